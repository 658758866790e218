"""Drawings of a job: its pieces and what belongs to them, its measured runs; on screen, and a page each on paper."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from domain.job import Job
from domain.pieces.piece import PlacedPiece
from domain.practice import ShopPractice
from domain.shop import Shop
from webapp import desk
from webapp.desk import reading
from webapp.drawing.drawn import Drawn
from webapp.drawing.piece import piece_drawings, run_drawings
from webapp.render import page
from webapp.store import measure as measure_store
from webapp.store import piece as piece_store
from webapp.store import shop as shop_store
from webapp.store.job import load_job
from webapp.store.rows import Missing

router = APIRouter()


@dataclass(frozen=True)
class DrawnPiece:
    """A piece, or a measured run, with its drawings. anchor: its place on the page; url: of its own page."""

    name: str
    anchor: str
    url: str
    drawings: tuple[Drawn, ...]


@dataclass(frozen=True)
class DrawingsPage:
    """groups: a piece with what belongs to it, or a run, in the order of the job."""

    job: Job
    groups: tuple[DrawnPiece, ...]
    on: date

    @property
    def count(self) -> int:
        return sum(len(group.drawings) for group in self.groups)


def drawings_page(db: Session, job_id: int, now: datetime) -> DrawingsPage:
    """Return every drawing of a job. Raises Missing."""
    job, practice, shop = load_job(db, job_id), shop_store.load_practice(db), shop_store.load_shop(db)
    runs = tuple(
        DrawnPiece(run.name, f"run-{run.id}", f"/jobs/{job_id}/measure#{run.id}", run_drawings(run, practice, shop))
        for run in measure_store.load_runs(db, job_id)
    )
    found = (*_pieces(job_id, piece_store.load_pieces(db, job_id), practice, shop), *runs)
    return DrawingsPage(job, tuple(group for group in found if group.drawings), shop.day_of(now))


def _pieces(job_id: int, placed: Sequence[PlacedPiece], practice: ShopPractice, shop: Shop) -> Iterator[DrawnPiece]:
    for owner in placed:
        if owner.belongs_to is None:
            ours = (owner, *(one for one in placed if one.belongs_to == owner.id))
            drawings = tuple(d for one in ours for d in piece_drawings(one, placed, practice, shop))
            yield DrawnPiece(owner.name, f"piece-{owner.id}", f"/jobs/{job_id}/pieces/{owner.id}", drawings)


@router.get("/jobs/{job_id}/drawings")
def show_drawings(request: Request, job_id: int) -> Response:
    with reading(request) as db:
        shown = drawings_page(db, job_id, desk.now(request))
    return page(request, "drawings", job=shown.job, page=shown)


@router.get("/jobs/{job_id}/drawings/print")
def print_drawings(request: Request, job_id: int, only: str = "") -> Response:
    """Show the drawings for paper. only: the anchor of one piece or run, else all of the job."""
    with reading(request) as db:
        shown = drawings_page(db, job_id, desk.now(request))
    groups = tuple(group for group in shown.groups if only in ("", group.anchor))
    if only and not groups:
        raise Missing(only)
    sheets = tuple((group, drawing) for group in groups for drawing in group.drawings)
    return page(request, "drawings_print", job=shown.job, page=shown, sheets=sheets)
