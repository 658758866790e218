"""What every kind of piece can do, a piece in a job, and what is wrong with one."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import timedelta
from enum import Enum
from typing import Any, ClassVar, Protocol

from domain.length import Length
from domain.part import Built
from domain.pieces.ask import Asked, asks
from domain.practice import ShopPractice
from domain.problem import Problem
from domain.words import cut_short

USUAL = ShopPractice()


@dataclass(frozen=True, slots=True)
class Link:
    """An order between a piece's step and one of the piece it belongs to.

    first, then: step keys; owner_first: `first` is the owner's, else `then` is; a step that a piece
    does not have makes no link. why: in a maker's words.
    """

    first: str
    then: str
    owner_first: bool
    at_least: timedelta = timedelta()
    why: str = ""


class Piece(Protocol):
    """A kind of piece with its choices: a frozen dataclass whose fields are all described by `asks`.

    kind: the word it is stored by; title: the word people read; belongs_to: kinds it may belong to;
    links: how its steps and its owner's wait for each other.
    """

    kind: ClassVar[str]
    title: ClassVar[str]
    belongs_to: ClassVar[tuple[str, ...]]
    links: ClassVar[tuple[Link, ...]]

    def __hash__(self) -> int: ...

    def own_problems(self, practice: ShopPractice) -> Iterable[Problem]:
        """Return what does not fit together, once every field is within its own limits."""
        ...

    def build(self, practice: ShopPractice, where: str) -> Built:
        """Return what one needs, once nothing is wrong with it. where: its address, such as `piece:7`."""
        ...


@dataclass(frozen=True, slots=True)
class PlacedPiece:
    """A piece in a job: so many alike, under a name, perhaps belonging to another (an edge to its top)."""

    id: int
    name: str
    quantity: int
    piece: Piece
    belongs_to: int | None = None
    notes: str = ""
    version: int = 1
    position: int = 0

    @property
    def where(self) -> str:
        return f"piece:{self.id}"


MOST_ALIKE = 500


def problems_of(piece: Piece, practice: ShopPractice = USUAL) -> tuple[Problem, ...]:
    """Return everything wrong with a piece: fields out of their limits, else what does not fit together."""
    return field_problems(piece) or tuple(piece.own_problems(practice))


def field_problems(piece: Piece) -> tuple[Problem, ...]:
    """Return what is out of its field's own limits."""
    return tuple(problem for asked in asks(type(piece)) for problem in _field_problems(piece, asked))


def placing_problems(placed: PlacedPiece, others: Iterable[PlacedPiece]) -> tuple[Problem, ...]:
    """Return what is wrong with how a piece stands in its job: its count, and what it belongs to."""
    problems = []
    if not 1 <= placed.quantity <= MOST_ALIKE:
        problems.append(Problem("quantity", f"How many “{placed.quantity}” must be from 1 to {MOST_ALIKE}. Try 1."))
    if placed.belongs_to is not None:
        problems += _belonging_problems(placed, next((one for one in others if one.id == placed.belongs_to), None))
    return tuple(problems)


def _belonging_problems(placed: PlacedPiece, owner: PlacedPiece | None) -> Iterator[Problem]:
    if owner is not None and owner.piece.kind in placed.piece.belongs_to:
        return
    wanted = " or ".join(placed.piece.belongs_to).replace("_", " ") or "no other piece"
    found = f"“{owner.name}”" if owner else "A piece that is gone"
    words = f"{found} is not what a {placed.piece.title.lower()} belongs to: {wanted}."
    yield Problem("belongs_to", words)


def _field_problems(piece: Piece, asked: Asked) -> Iterator[Problem]:
    value = getattr(piece, asked.name)
    if isinstance(value, str) and not isinstance(value, Enum):
        yield from _text_problems(asked, value)
    for one in value if isinstance(value, tuple) else (value,):
        if isinstance(one, Length | int) and not isinstance(one, bool):
            yield from _limit_problems(asked, one)


def _limit_problems(asked: Asked, value: Any) -> Iterator[Problem]:
    least, most = asked.ask.least, asked.ask.most
    if (least is not None and value < least) or (most is not None and value > most):
        usual = (
            Length.parse(asked.ask.usual).tape() if asked.ask.usual and isinstance(value, Length) else asked.ask.usual
        )
        advice = f" Try {usual}." if usual else ""
        limits = f"from {_shown(least)} to {_shown(most)}"
        yield Problem(asked.name, f"{asked.ask.label} “{_shown(value)}” must be {limits}.{advice}")


def _text_problems(asked: Asked, value: str) -> Iterator[Problem]:
    ask, shown = asked.ask, cut_short(value)
    if ask.needed and not value.strip():
        advice = "Type or paste the first one" if ask.lines else f"Try {ask.usual or 'a word to know it by'}"
        yield Problem(asked.name, f"{ask.label} is empty. {advice}.")
    elif len(value) > ask.longest:
        yield Problem(
            asked.name,
            f"{ask.label} “{shown}” is {len(value):,} characters long. Keep it to {ask.longest:,}.",
        )
    elif ask.only_options and ask.options and value not in ask.options():
        yield Problem(asked.name, f"{ask.label} “{shown}” is not known. Try {', '.join(ask.options()[:3])}.")
    elif not ask.lines and ("|" in value or not value.isprintable()):
        yield Problem(
            asked.name,
            f"{ask.label} “{shown}” holds a sign that cannot be kept. Use letters, digits and spaces.",
        )


def _shown(value: Any) -> str:
    """Return a limit or value as a person says it: whole feet as feet, else the nearest tape mark."""
    if isinstance(value, Length):
        feet = value.in_feet
        return f"{feet} ft" if feet >= 4 and feet.denominator == 1 else value.tape(precision=64)
    return str(value)
