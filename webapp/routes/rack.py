"""The rack: boards and sheets of known size in the shop or at the yard, added, changed, set aside, come, removed."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from domain.figure import Unit
from domain.material import MaterialKind
from domain.problem import Problem
from domain.rack import CUT_FROM, RackPiece, RackPlace, so_many
from domain.rack_list import amount, marked
from webapp import csv_text, desk
from webapp.conflict import conflict
from webapp.desk import Posted, reading, see_other, version_of, writing
from webapp.forms import rack as forms
from webapp.forms.rack_paste.words import place_named
from webapp.forms.rack_several import Do, Several
from webapp.forms.rack_several import read as read_several
from webapp.links import own_path
from webapp.render import page
from webapp.routes.rack_page import JobNames, job_names, rack_page
from webapp.store import rack as store
from webapp.store.form_key import leads_to
from webapp.store.price import load_suppliers
from webapp.store.rows import ChangedMeanwhile, Missing
from webapp.store.shop import load_practice, load_shop

router = APIRouter()

HOME = "/rack"

COLUMNS = (
    "Mark", "Kind", "Wood", "Thickness", "Grade", "Width [in]", "Length [in]", "Board feet", "Where", "Price",
    "Supplier", "Note", "Set aside for", "Left over from",
)  # fmt: skip


@router.get(HOME)
def show_rack(request: Request, words: str = "", place: str = "") -> Response:
    return _page(request, words=words, place=place)


@router.get(f"{HOME}.csv")
def download_rack(request: Request) -> Response:
    with reading(request) as db:
        rack, practice, names = store.load_rack(db), load_practice(db), job_names(db)
    amounts = ((piece, amount(piece, practice)) for piece in rack)
    rows = (_csv_row(piece, feet.value if feet.unit is Unit.BOARD_FOOT else None, names) for piece, feet in amounts)
    return csv_text.download("rack", COLUMNS, rows)


def _csv_row(piece: RackPiece, feet: csv_text.Cell, names: JobNames) -> tuple[csv_text.Cell, ...]:
    material = piece.material
    return (
        piece.mark, material.kind.value, material.name, material.size, material.grade, piece.width, piece.length, feet,
        piece.place.value, piece.price, piece.supplier, piece.note, names.of(piece.set_aside_for),
        names.of(piece.offcut_of),
    )  # fmt: skip


@router.get(f"{HOME}/new")
def new_piece(request: Request, kind: str = "", place: str = "") -> Response:
    chosen = forms.known_kind(kind) or MaterialKind.LUMBER
    where = place_named(place) or RackPlace.SHOP
    return _form(request, forms.blank(chosen) | {"place": where.value}, kind=chosen)


@router.post(f"{HOME}/new")
def add_piece(request: Request, posted: Posted) -> Response:
    with reading(request) as db:
        rack, known = store.load_rack(db, cut_up=True), _known(db)
    typed, problems = forms.read(posted, known)
    if problems:
        return _form(request, posted, problems, kind=forms.known_kind(posted.get("kind", "")))
    pieces = tuple(marked(typed, rack))
    with writing(request, f"{_named(pieces)} of {pieces[0].material.title} put on the rack") as db:
        store.add_rack_pieces(db, pieces)
        leads_to(db, HOME)
    return see_other(request, HOME)


@router.post(f"{HOME}/several")
def change_several(request: Request, posted: Posted) -> Response:
    """Do one thing with every board that is ticked: it has come, is set aside, is free again, or is gone."""
    with reading(request) as db:
        names, rack = job_names(db), store.load_rack(db)
    several, problems = read_several(posted, rack, names.still_open)
    if several is None:
        return _page(request, posted, problems)
    back = own_path(posted.get("back", ""), HOME)
    with writing(request, _several_words(several, names)) as db:
        for piece in several.pieces:
            _change_one(request, db, piece, several)
        leads_to(db, back)
    return see_other(request, back)


def _several_words(several: Several, names: JobNames) -> str:
    done = {
        Do.HERE: "came from the yard",
        Do.ASIDE: f"set aside for {names.of(several.job_id)}",
        Do.FREE: "free again",
        Do.REMOVE: "taken off the rack",
    }
    return f"{_named(several.pieces)} {done[several.do]}"


def _change_one(request: Request, db: Session, piece: RackPiece, several: Several) -> None:
    match several.do:
        case Do.HERE:
            store.save_rack_piece(db, replace(piece, place=RackPlace.SHOP))
        case Do.ASIDE | Do.FREE:
            store.save_rack_piece(db, replace(piece, set_aside_for=several.job_id))
        case Do.REMOVE:
            store.remove_rack_piece(db, piece.id, at=desk.now(request))


@router.get(f"{HOME}/{{piece_id}}")
def edit_piece(request: Request, piece_id: int) -> Response:
    with reading(request) as db:
        piece, unit = store.load_rack_piece(db, piece_id), load_shop(db).unit
    return _form(request, forms.fill(piece, unit), piece=piece)


@router.post(f"{HOME}/{{piece_id}}")
def save_piece(request: Request, piece_id: int, posted: Posted) -> Response:
    with reading(request) as db:
        old, unit = _whole(db, piece_id), load_shop(db).unit
        known = _known(db, old)
    piece, problems = forms.read_one(posted, known, old, version=version_of(posted))
    if piece is None:
        return _form(request, posted, problems, piece=old)
    try:
        with writing(request, f"{piece.mark} on the rack changed") as db:
            store.save_rack_piece(db, piece)
            leads_to(db, HOME)
    except ChangedMeanwhile as changed:
        return conflict(request, changed, labels=forms.LABELS, stored=forms.fill(old, unit), theirs=request.url.path)
    return see_other(request, HOME)


@router.post(f"{HOME}/{{piece_id}}/remove")
def remove_piece(request: Request, piece_id: int, posted: Posted) -> Response:
    with reading(request) as db:
        piece = _whole(db, piece_id)
    with writing(request, f"{piece.mark} taken off the rack") as db:
        store.remove_rack_piece(db, piece_id, at=desk.now(request))
        leads_to(db, HOME)
    return see_other(request, HOME)


@router.post(f"{HOME}/{{piece_id}}/here")
def piece_came(request: Request, piece_id: int, posted: Posted) -> Response:
    """Note that a board seen at the yard is in the shop now."""
    with reading(request) as db:
        piece = _whole(db, piece_id)
    with writing(request, f"{piece.mark} came from the yard") as db:
        store.save_rack_piece(db, replace(piece, place=RackPlace.SHOP))
        leads_to(db, HOME)
    return see_other(request, HOME)


def _whole(db: Session, piece_id: int) -> RackPiece:
    """Return a board or sheet that can still be changed. Raises Missing for one that was cut up."""
    piece = store.load_rack_piece(db, piece_id)
    if not piece.is_whole:
        raise Missing(f"rack piece {piece_id}, cut up")
    return piece


def _known(db: Session, old: RackPiece | None = None) -> forms.Known:
    """Return what a board is read against; the one that is changed does not stand in its own way."""
    names = job_names(db)
    marks = frozenset(one.mark.casefold() for one in store.load_rack(db) if old is None or one.id != old.id)
    jobs = dict(names.all_of_them) | (names.to_choose(old.set_aside_for, old.offcut_of) if old else {})
    return forms.Known(load_shop(db).unit, marks, jobs)


def _named(pieces: Sequence[RackPiece]) -> str:
    """Return boards as the history tells of them: `R12`, or how many."""
    if len(pieces) == 1:
        return pieces[0].mark
    is_sheet = all(piece.material.kind is MaterialKind.SHEET for piece in pieces)
    return so_many(len(pieces), MaterialKind.SHEET if is_sheet else MaterialKind.LUMBER)


def _page(
    request: Request, kept: Mapping[str, str] | None = None, problems: Sequence[Problem] = (), *, words: str = "",
    place: str = "",
) -> Response:  # fmt: skip
    with reading(request) as db:
        shown = rack_page(db, words[:200].strip(), place_named(place))
    return page(
        request, "rack", status=422 if problems else 200, page=shown, kept=kept or {}, problems=list(problems),
        places=tuple(RackPlace), here=request.url.path if request.method == "GET" else HOME,
        query=request.url.query if request.method == "GET" else "",
    )  # fmt: skip


def _form(request: Request, typed: Mapping[str, str], problems: Sequence[Problem] = (), *,
          kind: MaterialKind | None = None, piece: RackPiece | None = None) -> Response:  # fmt: skip
    kind = piece.material.kind if piece else kind or MaterialKind.LUMBER
    with reading(request) as db:
        names, suppliers = job_names(db), load_suppliers(db)
    aside, left_over = (piece.set_aside_for, piece.offcut_of) if piece else (None, None)
    every = dict(names.all_of_them) | names.to_choose(left_over)
    return page(
        request, "rack_form", status=422 if problems else 200, typed=forms.blank(kind) | dict(typed),
        problems=list(problems), piece=piece, ask=forms.ask_of(kind), labels=forms.LABELS,
        price_of=forms.PRICE_OF[kind], suppliers=suppliers, places=tuple(one.value for one in RackPlace),
        jobs=(("", "any job"), *names.to_choose(aside).items()), every=(("", "none"), *every.items()),
        cut_for=names.of(piece.cut_for) if piece else "", kinds=CUT_FROM,
    )  # fmt: skip
