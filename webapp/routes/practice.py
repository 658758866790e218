"""Shop practice: every habit behind the figures, changed in place."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from domain.figure import Unit
from domain.length import Unit as LengthUnit
from domain.practice import PRACTICES, UNLIMITED, Practice, ShopPractice
from domain.problem import Problem
from domain.shop import Shop
from webapp.conflict import conflict
from webapp.desk import Posted, is_htmx, reading, see_other, version_of, writing
from webapp.forms import practice as forms
from webapp.links import anchor
from webapp.render import fragments, page
from webapp.store import shop as store
from webapp.store.form_key import leads_to
from webapp.store.rows import ChangedMeanwhile, Missing

router = APIRouter()

HOME = "/shop/practice"


@dataclass(frozen=True)
class Habit:
    """One habit as its row shows it, exactly. typed: as its field shows it; version: 0 while it is as usual."""

    practice: Practice
    typed: str
    usual: str
    least: str
    most: str
    unit: str
    version: int

    @property
    def key(self) -> str:
        return self.practice.key

    @property
    def shown(self) -> str:
        return f"{self.typed} {self.unit}".strip()

    @property
    def is_own(self) -> bool:
        return self.version > 0

    @property
    def is_limited(self) -> bool:
        """Whether it has an upper limit of its own, worth saying."""
        return self.practice.most < UNLIMITED


@dataclass(frozen=True)
class Group:
    name: str
    habits: tuple[Habit, ...]

    @property
    def id(self) -> str:
        return f"group-{anchor(self.name)}"


@dataclass(frozen=True)
class PracticePage:
    """words: what was searched for; own: how many habits the shop has changed."""

    groups: tuple[Group, ...]
    words: str
    own: int


@dataclass(frozen=True)
class _Stored:
    shop: Shop
    practice: ShopPractice
    versions: Mapping[str, int]

    def habit(self, key: str) -> Habit:
        practice = PRACTICES[key]
        unit = self.shop.unit if practice.unit is Unit.INCH else practice.unit.value
        values = (self.practice.value(key), self.practice.usual(key).value, practice.least, practice.most)
        typed, usual, least, most = (forms.fill(practice, value, self.shop.unit) for value in values)
        return Habit(practice, typed, f"{usual} {unit}".strip(), least, most, unit, self.versions.get(key, 0))


def _stored(db: Session) -> _Stored:
    return _Stored(store.load_shop(db), store.load_practice(db), store.load_practice_versions(db))


def practice_page(db: Session, words: str = "") -> PracticePage:
    """Return the habits by group, those that hold every word of a search."""
    stored = _stored(db)
    found: dict[str, list[Habit]] = {}
    for key, practice in PRACTICES.items():
        text = f"{practice.label} {practice.group} {practice.help} {practice.source}".casefold()
        if all(word in text for word in words.casefold().split()):
            found.setdefault(practice.group, []).append(stored.habit(key))
    groups = tuple(Group(name, tuple(habits)) for name, habits in found.items())
    return PracticePage(groups, words, len(stored.practice.changed))


@router.get(HOME)
def show_practice(request: Request, words: str = "") -> Response:
    return _page(request, words=words[:100])


@router.get(f"{HOME}/{{key}}")
def show_habit(request: Request, key: str) -> Response:
    """Lead to the place of one habit on the page."""
    _known(key)
    return see_other(request, f"{HOME}#{key}")


@router.post(f"{HOME}/{{key}}")
def save_habit(request: Request, key: str, posted: Posted) -> Response:
    """Save one habit, or take its usual value again when nothing is typed or `usual` is pressed."""
    practice = _known(key)
    with reading(request) as db:
        stored = _stored(db)
    unit, worked_out = stored.shop.unit, stored.practice.usual(key).value
    value, problems = (None, []) if "usual" in posted else forms.read(key, posted, unit, worked_out)
    if problems:
        return _refused(request, key, posted, problems)
    try:
        with writing(request, _words(practice, value, unit)) as db:
            store.save_practice(db, key, value, version=version_of(posted))
            leads_to(db, f"{HOME}#{key}")
    except ChangedMeanwhile as changed:
        return _changed(request, key, posted, changed)
    if is_htmx(request):
        return _row(request, key, "saved")
    return see_other(request, f"{HOME}#{key}")


def _known(key: str) -> Practice:
    if key not in PRACTICES:
        raise Missing(f"practice {key}")
    return PRACTICES[key]


def _words(practice: Practice, value: Fraction | None, unit: LengthUnit) -> str:
    what = f"{practice.group}: {practice.label}"
    if value is None:
        return f"{what}, usual value again"
    shown = unit if practice.unit is Unit.INCH else practice.unit.value
    return f"{what}, now {forms.fill(practice, value, unit)} {shown}".rstrip()


def _refused(request: Request, key: str, posted: Mapping[str, str], problems: list[Problem]) -> Response:
    if is_htmx(request):
        return _row(request, key, "refused", problems=problems, status=422)
    return _page(request, typed={key: posted.get(key, "")}, problems=problems)


def _changed(request: Request, key: str, posted: Mapping[str, str], changed: ChangedMeanwhile) -> Response:
    if is_htmx(request):
        return _row(request, key, "changed", typed=posted.get(key, ""), status=409)
    with reading(request) as db:
        habit = _stored(db).habit(key)
    labels = {key: habit.practice.label}
    return conflict(request, changed, labels=labels, stored={key: habit.typed}, theirs=f"{HOME}#{key}")


def _row(request: Request, key: str, outcome: str, *, problems: list[Problem] | None = None, typed: str = "",
         status: int = 200) -> Response:  # fmt: skip
    """Return what changes beside the field of a habit. outcome: saved, refused or changed (meanwhile)."""
    with reading(request) as db:
        habit = _stored(db).habit(key)
    return fragments(
        request, "practice", "state", "hidden", status=status, habit=habit, outcome=outcome, problems=problems or [],
        typed=typed,
    )  # fmt: skip


def _page(request: Request, *, words: str = "", typed: Mapping[str, str] | None = None,
          problems: list[Problem] | None = None) -> Response:  # fmt: skip
    with reading(request) as db:
        shown = practice_page(db, words)
    return page(
        request, "practice", status=422 if problems else 200, page=shown, kept=typed or {}, problems=problems or [],
        outcome="", typed="",
    )  # fmt: skip
