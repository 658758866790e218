"""What a job really took of its woods, and the yield that the shop's own jobs suggest."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from domain.board_use import (
    BoardUse,
    OwnYield,
    by_wood,
    cut_from_rack,
    likely_used,
    own_yield,
    put_back,
    received,
    yield_of,
)
from domain.figure import Figure
from domain.job import Job
from domain.material import Material, MaterialKind
from domain.problem import Problem
from webapp import desk
from webapp.conflict import conflict
from webapp.desk import Posted, reading, see_other, version_of, writing
from webapp.forms import board_use as forms
from webapp.forms.number import as_typed
from webapp.render import page
from webapp.store import board_use as store
from webapp.store.form_key import leads_to
from webapp.store.job import load_job
from webapp.store.order import load_orders
from webapp.store.rack import load_rack
from webapp.store.rows import ChangedMeanwhile, Missing
from webapp.store.shop import load_practice
from webapp.store.take_off import load_take_off
from webapp.working import PAGES

router = APIRouter()


@dataclass(frozen=True)
class WoodUse:
    """One wood of a job. net: in its rough parts [bf], None when it is no longer in the job; from_orders, from_rack:
    what was probably cut up [bf], None when it cannot be told; use: as recorded; gave: the yield of that;
    own: of all jobs.
    """

    material: Material
    net: Figure | None
    from_orders: Figure | None
    from_rack: Figure | None
    use: BoardUse | None
    gave: Figure | None
    own: OwnYield | None

    @property
    def usual(self) -> str:
        """Return what the form starts with: what was recorded, else the likeliest guess."""
        guess = self.from_orders or self.from_rack
        return as_typed(self.use.used) if self.use else as_typed(round(guess.value, 2) if guess else None)

    @property
    def note(self) -> str:
        return self.use.note if self.use else ""

    @property
    def changed(self) -> bool:
        """Whether the parts are others now than when it was recorded."""
        return self.use is not None and self.net is not None and self.net.value != self.use.net


@dataclass(frozen=True)
class BoardUsePage:
    job: Job
    woods: tuple[WoodUse, ...]


def board_use_page(db: Session, job_id: int, now: datetime) -> BoardUsePage:
    """Return what a job took of each of its woods, as far as that was recorded or can be guessed. Raises Missing."""
    job, every = load_job(db, job_id), store.load_board_uses(db)
    mine = {use.material: use for use in every if use.job_id == job_id}
    net = {
        line.material: line.net for line in load_take_off(db, job_id).lines if line.material.kind is MaterialKind.LUMBER
    }
    woods = tuple(dict.fromkeys((*net, *mine)))
    guesses = _guesses(db, job_id, woods)
    found = (
        WoodUse(
            wood, net.get(wood), *guesses[wood], use := mine.get(wood), yield_of(use) if use else None,
            own_yield(every, wood),
        )
        for wood in woods
    )  # fmt: skip
    return BoardUsePage(job, tuple(found))


PAGES["board-use"] = board_use_page


def _guesses(
    db: Session, job_id: int, woods: Sequence[Material]
) -> Mapping[Material, tuple[Figure | None, Figure | None]]:
    """Return what was probably cut up of each wood: by the orders that came, and by the boards taken off the rack."""
    practice, orders = load_practice(db), load_orders(db, job_id)
    rack = [piece for piece in load_rack(db, cut_up=True) if job_id in (piece.cut_for, piece.offcut_of)]
    found = {}
    for wood, boards in by_wood(rack, woods).items():
        back = put_back(boards, job_id, practice)
        from_rack = likely_used(cut_from_rack(boards, job_id, practice), back)
        found[wood] = likely_used(received(orders, wood), back), from_rack
    return found


@router.get("/jobs/{job_id}/board-use")
def show_board_use(request: Request, job_id: int) -> Response:
    return _page(request, job_id)


@router.post("/jobs/{job_id}/board-use")
def save_board_use(request: Request, job_id: int, posted: Posted) -> Response:
    """Record what was cut up of one wood; the net is what the take-off says as it is recorded."""
    with reading(request) as db:
        wood = _wood(board_use_page(db, job_id, desk.now(request)), posted)
    home = f"/jobs/{job_id}/board-use"
    if wood.net is None:
        words = f"{wood.material.title} is in this job no more, so there is nothing to compare with."
        return _page(request, job_id, posted, [Problem("", words)])
    asked = wood.use or BoardUse(0, job_id, "", wood.material, wood.net.value, wood.net.value)
    seen = replace(asked, net=wood.net.value, used=max(asked.used, wood.net.value), version=version_of(posted))
    use, problems = forms.read(posted, seen)
    if use is None:
        return _page(request, job_id, posted, problems)
    try:
        with writing(request, f"{wood.material.title} cut up: {as_typed(use.used)} bf", job_id=job_id) as db:
            if use.id:
                store.save_board_use(db, use)
            else:
                store.add_board_use(db, use)
            leads_to(db, home)
    except ChangedMeanwhile as changed:
        return conflict(request, changed, labels=forms.LABELS, stored=forms.fill(asked), theirs=home)
    return see_other(request, home)


@router.post("/jobs/{job_id}/board-use/remove")
def remove_board_use(request: Request, job_id: int, posted: Posted) -> Response:
    with reading(request) as db:
        wood = _wood(board_use_page(db, job_id, desk.now(request)), posted)
    if wood.use is None:
        raise Missing(f"board use of {wood.material.key}")
    home = f"/jobs/{job_id}/board-use"
    with writing(request, f"What was cut up of {wood.material.title} forgotten", job_id=job_id) as db:
        store.remove_board_use(db, job_id, wood.use.id, at=desk.now(request))
        leads_to(db, home)
    return see_other(request, home)


def _wood(shown: BoardUsePage, posted: Mapping[str, str]) -> WoodUse:
    """Return the wood that a form is about. Raises Missing."""
    key = posted.get("material", "")
    found = next((wood for wood in shown.woods if wood.material.key == key), None)
    if found is None:
        raise Missing(f"board use of {key}")
    return found


def _page(
    request: Request, job_id: int, typed: Mapping[str, str] | None = None, problems: Sequence[Problem] = ()
) -> Response:
    with reading(request) as db:
        shown = board_use_page(db, job_id, desk.now(request))
    return page(
        request, "board_use", status=422 if problems else 200, job=shown.job, page=shown, typed=typed or {},
        problems=list(problems), labels=forms.LABELS,
    )  # fmt: skip
