"""What one piece makes, for its page and for the working of its figures."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import datetime

from sqlmodel import Session

from domain.caution import Caution, cautions_for
from domain.part import Built
from domain.pieces.beside import beside_problems
from domain.pieces.piece import PlacedPiece, placing_problems
from domain.practice import ShopPractice
from domain.problem import Problem
from domain.take_off import CutLine, TakeOff, take_off
from domain.take_off.built import build
from webapp.store import piece as store
from webapp.store import shop as shop_store
from webapp.store.job import load_job
from webapp.working import PAGES

NOTHING = TakeOff()


@dataclass(frozen=True)
class Made:
    """What a piece makes. built: one of it, None when something is wrong; whole: the take-off of all that are
    alike, by themselves; problems: what is wrong with it, or warnings; cautions: for the work on it.
    """

    placed: PlacedPiece
    built: Built | None = None
    whole: TakeOff = NOTHING
    problems: tuple[Problem, ...] = ()
    cautions: tuple[Caution, ...] = ()

    @property
    def boards(self) -> CutLine | None:
        """Return the first of its parts that is cut from lumber, None without one."""
        return next((line for line in self.whole.cut_list if line.rough), None)

    @property
    def step_names(self) -> Mapping[str, str]:
        return {step.key: step.name for step in self.built.steps} if self.built else {}


class MadePieces(Mapping[int, Made]):
    """What the pieces of a job make, by their id; each is worked out when it is asked for."""

    def __init__(self, placed: Iterable[PlacedPiece], practice: ShopPractice) -> None:
        self._placed = {one.id: one for one in placed}
        self._practice = practice

    def __getitem__(self, piece_id: int) -> Made:
        return made_of(self._placed[piece_id], self._practice, self._placed.values())

    def __iter__(self) -> Iterator[int]:
        return iter(self._placed)

    def __len__(self) -> int:
        return len(self._placed)


@dataclass(frozen=True)
class PiecePage:
    made: Mapping[int, Made]


def piece_page(db: Session, job_id: int, now: datetime) -> PiecePage:
    """Return what each piece of a job makes. Raises Missing."""
    load_job(db, job_id)
    return PiecePage(MadePieces(store.load_pieces(db, job_id), shop_store.load_practice(db)))


PAGES["piece"] = piece_page


def made_of(placed: PlacedPiece, practice: ShopPractice, others: Iterable[PlacedPiece]) -> Made:
    """Return what a piece makes, or what is wrong with it."""
    others = tuple(others)
    built = build(placed.piece, practice, placed.where)
    wrong = (*(built if isinstance(built, tuple) else ()), *placing_problems(placed, others))
    if wrong or isinstance(built, tuple):
        return Made(placed, problems=wrong)
    whole = take_off([replace(placed, belongs_to=None)], practice)
    heaviest = built.weight.value if built.weight else None
    materials = [line.material for line in whole.lines]
    cautions = cautions_for([step.kind for step in built.steps], materials, heaviest)
    problems = (*built.problems, *beside_problems(placed, others, practice))
    return Made(placed, built, whole, problems, cautions)
