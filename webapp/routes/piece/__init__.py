"""Pieces: the list of a job, one piece with its form and what it makes, adding, changing, copying and moving."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from fastapi import APIRouter, Request, Response
from starlette.responses import RedirectResponse

from domain.caution import GOVERNS
from domain.length import Length
from domain.operation import OPERATIONS
from domain.pieces import KINDS
from domain.pieces.belonging import kinds_for, started
from domain.pieces.board_choice import BoardChoice
from domain.pieces.part_list import ListUnit, PartList
from domain.pieces.piece import Piece, PlacedPiece
from domain.problem import Problem
from domain.rack import RackPiece, widths_to_be_had
from domain.shop import Shop
from webapp import desk
from webapp.conflict import conflict
from webapp.desk import Posted, reading, see_other, version_of, writing
from webapp.drawing.piece import piece_drawings
from webapp.forms import piece as forms
from webapp.render import fragments, page
from webapp.routes.piece.listed import pieces_page
from webapp.routes.piece.made import Made, made_of
from webapp.store import piece as store
from webapp.store import shop as shop_store
from webapp.store.form_key import leads_to
from webapp.store.job import load_job
from webapp.store.rack import load_rack
from webapp.store.rows import ChangedMeanwhile, Missing

router = APIRouter()


@router.get("/jobs/{job_id}/pieces")
def pieces(request: Request, job_id: int) -> Response:
    with reading(request) as db:
        shown = pieces_page(db, job_id)
    return page(request, "pieces", job=shown.job, page=shown)


@router.get("/pieces/{piece_id}")
def find_piece(request: Request, piece_id: int) -> Response:
    """Lead a figure's working to the piece it came from; the browser keeps the field after the #."""
    with reading(request) as db:
        job_id = store.job_of(db, piece_id)
    return RedirectResponse(f"/jobs/{job_id}/pieces/{piece_id}", status_code=303)


@router.get("/jobs/{job_id}/pieces/new")
def choose_kind(request: Request, job_id: int) -> Response:
    with reading(request) as db:
        job = load_job(db, job_id)
    return page(request, "piece_kinds", job=job, kinds=tuple(KINDS.values()), one_line=forms.ONE_LINE)


@router.get("/jobs/{job_id}/pieces/new/{kind}")
def new_piece(request: Request, job_id: int, kind: str) -> Response:
    """Show the form of a new piece. What the address says of its fields is filled in, as from a measured run."""
    with reading(request) as db:
        shop, placed = shop_store.load_shop(db), store.load_pieces(db, job_id)
    asked = dict(request.query_params)
    owner = next((one for one in placed if str(one.id) == asked.get("belongs_to")), None)
    fresh = _fresh(_kind(kind), owner, placed, shop)
    known = forms.labels(_kind(kind))
    typed = forms.fill(fresh, shop) | {name: asked[name] for name in known if name in asked}
    tried, _ = _read(request, job_id, _kind(kind), typed)
    return _form(request, job_id, tried or fresh, typed)


@router.post("/jobs/{job_id}/pieces/new/{kind}")
def add_piece(request: Request, job_id: int, kind: str, posted: Posted) -> Response:
    placed, problems = _read(request, job_id, _kind(kind), posted)
    if placed is None:
        return _form(request, job_id, _blank(kind), posted, problems)
    with writing(request, f"{placed.piece.title} “{placed.name}” added", job_id=job_id) as db:
        load_job(db, job_id)
        url = leads_to(db, f"/jobs/{job_id}/pieces/{store.add_piece(db, job_id, placed)}")
    return see_other(request, url)


@router.post("/jobs/{job_id}/pieces/new/{kind}/try")
def try_new_piece(request: Request, job_id: int, kind: str, posted: Posted) -> Response:
    return _tried(request, job_id, _blank(kind), posted)


@router.get("/jobs/{job_id}/pieces/{piece_id}")
def show_piece(request: Request, job_id: int, piece_id: int) -> Response:
    with reading(request) as db:
        placed, shop = store.load_piece(db, job_id, piece_id), shop_store.load_shop(db)
    return _form(request, job_id, placed, forms.fill(placed, shop))


@router.post("/jobs/{job_id}/pieces/{piece_id}")
def save_piece(request: Request, job_id: int, piece_id: int, posted: Posted) -> Response:
    with reading(request) as db:
        saved = store.load_piece(db, job_id, piece_id)
    kind = type(saved.piece)
    placed, problems = _read(request, job_id, kind, posted, piece_id=piece_id, version=version_of(posted))
    if placed is None:
        return _form(request, job_id, saved, posted, problems)
    url = f"/jobs/{job_id}/pieces/{piece_id}"
    try:
        with writing(request, f"{placed.piece.title} “{placed.name}” changed", job_id=job_id) as db:
            store.save_piece(db, job_id, placed)
            leads_to(db, url)
    except ChangedMeanwhile as changed:
        with reading(request) as db:
            stored = forms.fill(store.load_piece(db, job_id, piece_id), shop_store.load_shop(db))
        return conflict(request, changed, labels=forms.labels(kind), stored=stored, theirs=url)
    return see_other(request, url)


@router.post("/jobs/{job_id}/pieces/{piece_id}/try")
def try_piece(request: Request, job_id: int, piece_id: int, posted: Posted) -> Response:
    with reading(request) as db:
        saved = store.load_piece(db, job_id, piece_id)
    return _tried(request, job_id, saved, posted)


@router.post("/jobs/{job_id}/pieces/{piece_id}/remove")
def remove_piece(request: Request, job_id: int, piece_id: int, posted: Posted) -> Response:
    with reading(request) as db:
        placed = store.load_piece(db, job_id, piece_id)
        has_more = any(one.belongs_to == piece_id for one in store.load_pieces(db, job_id))
    words = f"{placed.piece.title} “{placed.name}” removed" + (", with all that belongs to it" if has_more else "")
    with writing(request, words, job_id=job_id) as db:
        store.remove_piece(db, job_id, piece_id, at=desk.now(request))
        url = leads_to(db, f"/jobs/{job_id}/pieces")
    return see_other(request, url)


@router.post("/jobs/{job_id}/pieces/{piece_id}/copy")
def copy_piece(request: Request, job_id: int, piece_id: int, posted: Posted) -> Response:
    with reading(request) as db:
        placed, others = store.load_piece(db, job_id, piece_id), store.load_pieces(db, job_id)
    with writing(request, f"{placed.piece.title} “{placed.name}” copied", job_id=job_id) as db:
        new_id = store.copy_piece(db, job_id, piece_id, name=_free_name(placed.name, others))
        url = leads_to(db, f"/jobs/{job_id}/pieces/{new_id}")
    return see_other(request, url)


@router.post("/jobs/{job_id}/pieces/{piece_id}/{way}")
def move_piece(request: Request, job_id: int, piece_id: int, way: str, posted: Posted) -> Response:
    if way not in ("up", "down"):
        raise Missing(way)
    with reading(request) as db:
        placed = store.load_piece(db, job_id, piece_id)
    with writing(request, f"{placed.piece.title} “{placed.name}” moved {way}", job_id=job_id) as db:
        store.move_piece(db, job_id, piece_id, by=-1 if way == "up" else 1)
        url = leads_to(db, f"/jobs/{job_id}/pieces#piece-{piece_id}")
    return see_other(request, url)


def _kind(word: str) -> type[Piece]:
    if word not in KINDS:
        raise Missing(word)
    return KINDS[word]


def _blank(word: str) -> PlacedPiece:
    return PlacedPiece(0, "", 1, _kind(word)())


def _fresh(kind: type[Piece], owner: PlacedPiece | None, others: Sequence[PlacedPiece], shop: Shop) -> PlacedPiece:
    """Return a new piece to fill in, started from its owner when it has one."""
    owner = owner if owner and owner.piece.kind in kind.belongs_to else None
    beside = [other.piece for other in others if owner and other.belongs_to == owner.id]
    piece = started(kind, owner.piece, beside) if owner else kind()
    if isinstance(piece, PartList) and shop.unit == "mm":
        piece = replace(piece, unit=ListUnit.MILLIMETRES)
    return PlacedPiece(0, _free_name(kind.title, others), 1, piece, owner.id if owner else None)


def _free_name(name: str, others: Iterable[PlacedPiece]) -> str:
    """Return a name that no piece of the job has yet: `Drawer`, `Drawer 2`, `Drawer 3`."""
    taken = {other.name.casefold() for other in others}
    base = name.rstrip("0123456789 ") or name
    numbered = (name, *(f"{base} {number}" for number in range(2, len(taken) + 3)))
    return next(one for one in numbered if one.casefold() not in taken)


def _read(
    request: Request, job_id: int, kind: type[Piece], posted: Mapping[str, str], *, piece_id: int = 0, version: int = 1
) -> tuple[PlacedPiece | None, list[Problem]]:
    with reading(request) as db:
        shop, practice = shop_store.load_shop(db), shop_store.load_practice(db)
        others = [one for one in store.load_pieces(db, job_id) if one.id != piece_id]
    return forms.read(kind, posted, shop, practice, others, piece_id=piece_id, version=version)


def _form(
    request: Request, job_id: int, placed: PlacedPiece, typed: Mapping[str, str], problems: Sequence[Problem] = ()
) -> Response:
    """Return the page of a piece as saved, or new when it has no id, with the form as typed and what that makes."""
    with reading(request) as db:
        job, shop = load_job(db, job_id), shop_store.load_shop(db)
        practice, others = shop_store.load_practice(db), store.load_pieces(db, job_id)
        rack = load_rack(db)
    kind = type(placed.piece)
    made = Made(placed, problems=tuple(problems)) if problems else made_of(placed, practice, others)
    shown = {**dict.fromkeys(forms.labels(kind), ""), **typed}
    owners = [(str(one.id), one.name) for one in others if one.piece.kind in kind.belongs_to and one.id != placed.id]
    return page(
        request, "piece", status=422 if problems else 200, job=job, placed=placed, typed=shown, problems=problems,
        questions=forms.questions(kind, shown, shop), labels=forms.labels(kind), one_line=forms.ONE_LINE[kind.kind],
        owners=owners, adds=kinds_for(placed.piece, KINDS) if placed.id else (), is_saved=bool(placed.id),
        made=made, on_rack=_on_rack(made, rack, job_id),
        drawings=piece_drawings(placed, others, practice, shop) if placed.id and not problems else (),
        operations=OPERATIONS, governs=GOVERNS,
    )  # fmt: skip


def _on_rack(made: Made, rack: Sequence[RackPiece], job_id: int) -> tuple[Length, ...]:
    """Return the widths of boards on the rack that the boards of a top could be."""
    boards = made.boards if isinstance(made.placed.piece, BoardChoice) else None
    if boards is None or boards.rough is None:
        return ()
    return widths_to_be_had(rack, boards.part.material, boards.rough.length.length, job_id=job_id)


def _tried(request: Request, job_id: int, placed: PlacedPiece, posted: Mapping[str, str]) -> Response:
    """Return what the piece would make as typed so far; nothing is saved."""
    tried, problems = _read(request, job_id, type(placed.piece), posted, piece_id=placed.id)
    with reading(request) as db:
        job, practice, others = load_job(db, job_id), shop_store.load_practice(db), store.load_pieces(db, job_id)
    made = made_of(tried, practice, others) if tried else Made(placed, problems=tuple(problems))
    return fragments(
        request, "piece", "made", job=job, made=made, is_saved=False, operations=OPERATIONS, governs=GOVERNS
    )
