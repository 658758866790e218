"""Glue-ups: those of a job at a glance, and the card of a piece for the bench, on screen and on paper."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from domain.caution import GOVERNS
from domain.glue_card import GlueCard, glue_cards
from domain.job import Job
from domain.part import TaskKind
from domain.pieces.piece import PlacedPiece
from domain.practice import ShopPractice
from domain.shop import Shop
from domain.take_off.built import build
from webapp import desk
from webapp.desk import reading
from webapp.drawing.drawn import Drawn, Sheet
from webapp.drawing.glue_up import glue_up_drawn
from webapp.render import page
from webapp.store.job import load_job
from webapp.store.piece import load_piece, load_pieces
from webapp.store.shop import load_practice, load_shop
from webapp.working import PAGES

router = APIRouter()

TALL = 290.0
"""Height of a drawing [px] beyond which its narrow setting stands beside the words on paper: so both stay large."""


@dataclass(frozen=True)
class OnPaper:
    """A card with its drawing as it is printed. is_beside: the drawing stands beside the words, not above them."""

    card: GlueCard
    drawn: Drawn

    @property
    def is_beside(self) -> bool:
        return self.drawn.wide.height > TALL

    @property
    def sheet(self) -> Sheet:
        return self.drawn.narrow if self.is_beside else self.drawn.wide


@dataclass(frozen=True)
class GlueUpsPage:
    """cards: of every panel glued up from boards, in the order of the pieces; also: pieces with other glue-ups."""

    job: Job
    cards: tuple[GlueCard, ...]
    also: tuple[PlacedPiece, ...]

    def of(self, piece_id: int) -> tuple[tuple[int, GlueCard], ...]:
        """Return the cards of a piece with their places among all."""
        return tuple((place, card) for place, card in enumerate(self.cards) if card.placed.id == piece_id)


def glue_ups_page(db: Session, job_id: int, now: datetime) -> GlueUpsPage:
    """Return the glue-ups of a job. A piece that cannot be built has none. Raises Missing."""
    job, practice = load_job(db, job_id), load_practice(db)
    cards: list[GlueCard] = []
    also: list[PlacedPiece] = []
    for placed in load_pieces(db, job_id):
        found, is_glued = _cards(placed, practice)
        cards += found
        if is_glued and not found:
            also.append(placed)
    return GlueUpsPage(job, tuple(cards), tuple(also))


PAGES["glue-ups"] = glue_ups_page


def _cards(placed: PlacedPiece, practice: ShopPractice) -> tuple[tuple[GlueCard, ...], bool]:
    """Return the cards of a piece, and whether anything of it is glued up at all."""
    built = build(placed.piece, practice, placed.where)
    if isinstance(built, tuple):
        return (), False
    return glue_cards(placed, built, practice), any(step.kind is TaskKind.GLUE_UP for step in built.steps)


@router.get("/jobs/{job_id}/glue-ups")
def show_glue_ups(request: Request, job_id: int) -> Response:
    with reading(request) as db:
        shown = glue_ups_page(db, job_id, desk.now(request))
    return page(request, "glue_ups", job=shown.job, page=shown)


@router.get("/jobs/{job_id}/glue-ups/print")
def print_glue_ups(request: Request, job_id: int) -> Response:
    with reading(request) as db:
        shown, shop = glue_ups_page(db, job_id, desk.now(request)), load_shop(db)
    return _paper(request, shown, shown.cards, shop, f"/jobs/{job_id}/glue-ups")


@router.get("/jobs/{job_id}/pieces/{piece_id}/glue-up")
def show_glue_up(request: Request, job_id: int, piece_id: int) -> Response:
    with reading(request) as db:
        shown, shop = glue_ups_page(db, job_id, desk.now(request)), load_shop(db)
        placed = load_piece(db, job_id, piece_id)
    cards = shown.of(piece_id)
    return page(
        request, "glue_up", job=shown.job, page=shown, placed=placed, cards=cards, governs=GOVERNS,
        drawings={card.key: glue_up_drawn(card, shop) for _, card in cards},
    )  # fmt: skip


@router.get("/jobs/{job_id}/pieces/{piece_id}/glue-up/print")
def print_glue_up(request: Request, job_id: int, piece_id: int) -> Response:
    with reading(request) as db:
        shown, shop = glue_ups_page(db, job_id, desk.now(request)), load_shop(db)
        load_piece(db, job_id, piece_id)
    cards = (card for _, card in shown.of(piece_id))
    return _paper(request, shown, cards, shop, f"/jobs/{job_id}/pieces/{piece_id}/glue-up")


def _paper(request: Request, shown: GlueUpsPage, cards: Iterable[GlueCard], shop: Shop, back: str) -> Response:
    papers = tuple(OnPaper(card, glue_up_drawn(card, shop)) for card in cards)
    return page(request, "glue_up_print", job=shown.job, papers=papers, governs=GOVERNS, back=back)
