"""Pieces and jobs for tests, typed the way a maker types them; all invented."""

from collections.abc import Iterator
from dataclasses import fields
from enum import Enum
from fractions import Fraction
from typing import Any

from hypothesis import strategies as st

from domain.figure import Figure
from domain.length import Length
from domain.part import Built
from domain.pieces import KINDS
from domain.pieces.ask import Asked, asks
from domain.pieces.piece import Piece, PlacedPiece
from domain.practice import ShopPractice

USUAL = ShopPractice()

A_LIST = "Bracket, 4, 3/4, 3, 12, White oak\nCleat; 2; 3/4; 4; 30; maple plywood"


def a_piece(kind: str, **typed: Any) -> Any:
    """Return a piece of a kind: sizes typed as text, choices by their words, the rest as offered."""
    made: Any = KINDS[kind]
    read = {asked.name: _read(asked, typed[asked.name]) for asked in asks(made) if asked.name in typed}
    unknown = typed.keys() - read.keys()
    assert not unknown, f"{kind} asks nothing called {unknown}"
    if kind == "part_list":
        read.setdefault("lines", A_LIST)
    return made(**read)


def _read(asked: Asked, value: Any) -> Any:
    if asked.type is Length and isinstance(value, str):
        return Length.parse(value)
    if asked.type == tuple[Length, ...] and isinstance(value, str):
        return tuple(Length.parse(one) for one in value.split(",") if one.strip())
    if isinstance(asked.type, type) and issubclass(asked.type, Enum):
        return asked.type(value)
    return value


def a_top(**typed: Any) -> Any:
    return a_piece("top", **typed)


def placed(
    piece: Piece, id: int = 7, *, name: str = "", quantity: int = 1, belongs_to: int | None = None
) -> PlacedPiece:
    return PlacedPiece(id, name or piece.title, quantity, piece, belongs_to)


def build(piece: Piece, practice: ShopPractice = USUAL) -> Built:
    return piece.build(practice, "piece:7")


def with_habits(**changed: str) -> ShopPractice:
    """Return the usual practice with some habits changed, typed as exact numbers."""
    return ShopPractice({key: Fraction(value) for key, value in changed.items()})


NO_ALLOWANCES = {"kerf": "0", "width_per_edge": "0", "length_per_part": "0", "extra_length": "0", "panel_trim": "0"}
"""Habits that make a rough size the finished one, for sums by hand."""


def a_pantry() -> tuple[PlacedPiece, ...]:
    """Return an invented pantry: a 9 ft top with its edge and strips, two cabinets, four drawers, two doors."""
    cabinet = a_piece("base_cabinet", width="36", seen_sides=1)
    return (
        placed(a_top(species="White oak", length="9'", depth="25 1/2"), 1, name="Pantry top"),
        placed(a_piece("built_up_edge", species="White oak", length="9'"), 2, name="Front edge", belongs_to=1),
        placed(a_piece("support_strips", run="9'"), 3, name="Strips", belongs_to=1),
        placed(cabinet, 4, name="Left cabinet"),
        placed(cabinet, 5, name="Right cabinet"),
        placed(a_piece("drawer", width="34"), 6, name="Drawers", quantity=4, belongs_to=4),
        placed(a_piece("door"), 7, name="Doors", quantity=2, belongs_to=5),
        placed(a_piece("toe_kick", length="72"), 8, name="Toe kick", belongs_to=4),
        placed(a_piece("filler"), 9, name="Filler at the wall", belongs_to=4),
        placed(a_piece("part_list"), 10, name="Odds and ends"),
    )


def leaves(figure: Figure) -> Iterator[Figure]:
    """Yield the figures that a figure came from in the end."""
    if not figure.came_from:
        yield figure
    for one in figure.came_from:
        yield from leaves(one)


def figures_of(built: Built) -> Iterator[Figure]:
    """Yield every figure of a built piece, wherever it is."""
    yield from built.figures
    if built.weight:
        yield built.weight
    for holder in (*built.parts, *built.joints, *built.faces):
        yield from holder.sizes
    yield from (part.counted for part in built.parts if part.counted)
    yield from (joint.fasteners for joint in built.joints if joint.fasteners)
    yield from (item.quantity for item in built.items)
    for step in built.steps:
        yield from (work.quantity for work in step.work)
        if step.elapsed:
            yield step.elapsed


def typed_values(asked: Asked, usual: Any) -> st.SearchStrategy[Any]:
    """Return values a person may type for a field, within its limits, the usual one often."""
    if asked.type is Length:
        return st.one_of(st.just(usual), _sixteenths(asked))
    if asked.type == tuple[Length, ...]:
        return st.lists(_sixteenths(asked), max_size=8).map(tuple)
    if asked.type is int:
        return st.one_of(st.just(usual), st.integers(asked.ask.least, asked.ask.most))  # type: ignore[arg-type]
    if asked.type is bool:
        return st.booleans()
    if isinstance(asked.type, type) and issubclass(asked.type, Enum):
        return st.sampled_from(list(asked.type))
    if asked.ask.options:
        return st.sampled_from(asked.ask.options())
    return st.just(usual)


def _sixteenths(asked: Asked) -> st.SearchStrategy[Length]:
    least, most = asked.ask.least, asked.ask.most
    assert isinstance(least, Length)
    assert isinstance(most, Length)
    marks = st.integers(int(least.inches * 16), int(most.inches * 16))
    return marks.map(lambda mark: max(Length(Fraction(mark, 16)), least))


def pieces(kind: str) -> st.SearchStrategy[Any]:
    """Return pieces of a kind with every field within its limits; some do not fit together."""
    usual: Any = a_piece(kind)
    given = {asked.name: typed_values(asked, getattr(usual, asked.name)) for asked in asks(KINDS[kind])}
    assert given.keys() == {one.name for one in fields(usual)}
    return st.builds(KINDS[kind], **given)
