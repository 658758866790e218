"""Pasting a list of boards: looked at line by line first, then put on the rack at once."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from domain.figure import Figure
from domain.lumber import grade_names, quarters
from domain.pieces.choices import sheets
from domain.practice import ShopPractice
from domain.rack import RackPiece, RackPlace
from domain.rack_list import NOMINAL, RackGroup, amount, grouped, marked
from domain.wood import species_names
from domain.words import counted
from webapp.desk import Posted, reading, see_other, writing
from webapp.forms import rack_paste as forms
from webapp.forms.rack import LABELS, Known
from webapp.forms.rack_paste.line import FOR_ALL
from webapp.render import page
from webapp.routes.rack_page import job_names
from webapp.store import rack as store
from webapp.store.form_key import leads_to
from webapp.store.price import load_suppliers
from webapp.store.shop import load_practice, load_shop

router = APIRouter()

HOME = "/rack/paste"
MOST_PREVIEWED = 200

LENGTHS_IN = (("", "as the list or the shop says"), ("ft", "feet"), ("in", "inches"), ("mm", "millimetres"))


@dataclass(frozen=True)
class PastedLine:
    """A line that is understood. pieces: with the marks they will have; amount: of one of them."""

    line: forms.Line
    pieces: tuple[RackPiece, ...]
    amount: Figure

    @property
    def marks(self) -> str:
        first, last = self.pieces[0].mark, self.pieces[-1].mark
        return first if len(self.pieces) == 1 else f"{first} to {last}"


@dataclass(frozen=True)
class Preview:
    """What a pasted list would put on the rack. more: lines that are not shown; groups: what it comes to."""

    pasted: forms.PastedRack
    lines: tuple[PastedLine, ...]
    more: int
    wrong: tuple[forms.Line, ...]
    more_wrong: int
    groups: tuple[RackGroup, ...]

    @property
    def many(self) -> int:
        return len(self.pasted.pieces)


@router.get(HOME)
def show_paste(request: Request, place: str = "") -> Response:
    return _page(request, {"place": RackPlace.SHOP.value} if place == RackPlace.SHOP.value else {}, None)


@router.post(HOME)
def paste_rack(request: Request, posted: Posted) -> Response:
    """Show what a pasted list would put on the rack; do so once that was looked at and confirmed."""
    with reading(request) as db:
        practice = load_practice(db)
        pasted = forms.read(posted, _known(db), practice)
        shown = None if pasted.problem else _preview(db, pasted, practice)
    if shown is None or not shown.many or posted.get("step") != f"add {shown.many}":
        return _page(request, posted, pasted, shown)
    left = len(pasted.wrong)
    words = f"{counted(shown.many, 'board')} put on the rack from a pasted list"
    with writing(request, words + (f", {counted(left, 'line')} left out" if left else "")) as db:
        store.add_rack_pieces(db, marked(pasted.pieces, store.load_rack(db, cut_up=True)))
        leads_to(db, "/rack")
    return see_other(request, "/rack")


def _known(db: Session) -> Known:
    marks = frozenset(piece.mark.casefold() for piece in store.load_rack(db))
    return Known(load_shop(db).unit, marks, job_names(db).still_open)


def _preview(db: Session, pasted: forms.PastedRack, practice: ShopPractice) -> Preview:
    pieces = iter(marked(pasted.pieces, store.load_rack(db, cut_up=True)))
    understood = [line for line in pasted.lines if line.pieces]
    with_marks = [(line, tuple(next(pieces) for _ in line.pieces)) for line in understood]
    every = (piece for _, found in with_marks for piece in found)
    numbered = (_numbered(piece, number) for number, piece in enumerate(every, start=1))
    return Preview(
        pasted,
        tuple(PastedLine(line, found, amount(found[0], practice)) for line, found in with_marks[:MOST_PREVIEWED]),
        max(len(understood) - MOST_PREVIEWED, 0),
        pasted.wrong[:MOST_PREVIEWED],
        max(len(pasted.wrong) - MOST_PREVIEWED, 0),
        grouped(numbered, practice),
    )


def _numbered(piece: RackPiece, number: int) -> RackPiece:
    """Return a piece with a number of its own, so that a group can be told by its first."""
    return replace(piece, id=number)


def _page(
    request: Request, typed: Mapping[str, str], pasted: forms.PastedRack | None, shown: Preview | None = None
) -> Response:
    with reading(request) as db:
        names, suppliers, practice = job_names(db), load_suppliers(db), load_practice(db)
    problems = [pasted.problem] if pasted and pasted.problem else []
    blank = dict.fromkeys(("text", *FOR_ALL), "") | {"place": RackPlace.YARD.value}
    return page(
        request, "rack_paste", status=422 if problems else 200, problems=problems, shown=shown,
        typed=blank | dict(typed), labels=LABELS, for_all=FOR_ALL, suppliers=suppliers,
        woods=(*species_names(), *sheets()), grades=("", *grade_names()), stock=_stock(practice),
        places=tuple(one.value for one in RackPlace), jobs=(("", "any job"), *names.still_open.items()),
        lengths_in=LENGTHS_IN, most=forms.MOST_LINES,
    )  # fmt: skip


def _stock(practice: ShopPractice) -> Sequence[str]:
    """Return thicknesses to choose from: of boards, then of sheets."""
    return (*(quarter.name for quarter in quarters(practice)), *NOMINAL)
