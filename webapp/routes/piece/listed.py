"""The list of a job's pieces, each with those that belong to it."""

from collections.abc import Sequence
from dataclasses import dataclass

from sqlmodel import Session

from domain.figure import Figure
from domain.job import Job
from domain.piece_words import size_words
from domain.pieces import KINDS
from domain.pieces.belonging import kinds_for
from domain.pieces.beside import beside_problems
from domain.pieces.piece import Piece, PlacedPiece, placing_problems
from domain.practice import ShopPractice
from domain.problem import Problem
from domain.shop import Shop
from domain.take_off.built import build
from webapp.store import piece as store
from webapp.store import shop as shop_store
from webapp.store.job import load_job


@dataclass(frozen=True)
class ListedPiece:
    """A piece in the list. words: its main sizes; weight: of one; problems: what is wrong, or warnings;
    belongings: the pieces that belong to it; adds: kinds that can; first, last: among those of the same owner.
    """

    placed: PlacedPiece
    words: str
    weight: Figure | None
    problems: tuple[Problem, ...]
    belongings: tuple["ListedPiece", ...]
    adds: tuple[type[Piece], ...]
    first: bool
    last: bool


@dataclass(frozen=True)
class PiecesPage:
    """pieces: those that belong to no other, with theirs inside."""

    job: Job
    pieces: tuple[ListedPiece, ...]


def pieces_page(db: Session, job_id: int) -> PiecesPage:
    """Return the pieces of a job, those that belong to another inside it. Raises Missing."""
    job, practice, shop = load_job(db, job_id), shop_store.load_practice(db), shop_store.load_shop(db)
    placed = store.load_pieces(db, job_id)
    ids = {one.id for one in placed}
    beside: dict[int | None, list[PlacedPiece]] = {}
    for one in placed:
        beside.setdefault(one.belongs_to if one.belongs_to in ids else None, []).append(one)

    def listed(owner: int | None) -> tuple[ListedPiece, ...]:
        ones = beside.get(owner, [])
        return tuple(
            _listed(one, placed, practice, shop, listed(one.id), first=one is ones[0], last=one is ones[-1])
            for one in ones
        )

    return PiecesPage(job, listed(None))


def _listed(one: PlacedPiece, others: Sequence[PlacedPiece], practice: ShopPractice, shop: Shop,
            belongings: tuple[ListedPiece, ...], *, first: bool, last: bool) -> ListedPiece:  # fmt: skip
    built = build(one.piece, practice, one.where)
    problems, weight = (built, None) if isinstance(built, tuple) else (built.problems, built.weight)
    problems = (*placing_problems(one, others), *problems, *beside_problems(one, others, practice))
    adds = kinds_for(one.piece, KINDS)
    return ListedPiece(one, size_words(one, shop), weight, problems, belongings, adds, first, last)
