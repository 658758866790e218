"""The take-off: everything a job needs, from its pieces."""

from collections.abc import Iterable, Iterator
from functools import lru_cache

from domain.material import MaterialKind
from domain.pieces.piece import PlacedPiece
from domain.practice import ShopPractice
from domain.take_off.built import make, step_links
from domain.take_off.cut_list import OwnYields, cut_lines, lumber_lines, sheet_lines
from domain.take_off.shape import (
    USUAL_WASTE,
    BuiltPiece,
    CutLine,
    FinishArea,
    PartRef,
    StepLink,
    StepRef,
    TakeOff,
    TakeOffLine,
    WasteChoice,
    WasteMethod,
)
from domain.take_off.supplies import abrasive_lines, finish_areas, finish_lines, glue_lines, item_lines

__all__ = [
    "USUAL_WASTE",
    "BuiltPiece",
    "CutLine",
    "FinishArea",
    "PartRef",
    "StepLink",
    "StepRef",
    "TakeOff",
    "TakeOffLine",
    "WasteChoice",
    "WasteMethod",
    "take_off",
]

_ORDER = tuple(MaterialKind)


def take_off(
    placed: Iterable[PlacedPiece], practice: ShopPractice, waste: WasteChoice = USUAL_WASTE, own: OwnYields = ()
) -> TakeOff:
    """Return what the pieces of a job need, boards and sheets by factor. A piece with problems is left out and named.

    own: the yields of the shop's own jobs.

    A pure function: the same pieces and practice give the same take-off, the last few at once from memory.
    """
    return _take_off(tuple(placed), practice, waste, own)


@lru_cache(maxsize=16)
def _take_off(placed: tuple[PlacedPiece, ...], practice: ShopPractice, waste: WasteChoice, own: OwnYields) -> TakeOff:
    made, left_out = make(placed, practice)
    pieces = tuple(one.as_built() for one in made)
    cut, too_thick = cut_lines((one.placed for one in made), practice)
    sheets, too_large = sheet_lines(made, cut, practice)
    glues, unknown = glue_lines(made, practice)
    finishes = tuple(finish_areas(pieces))
    lines = (
        *lumber_lines(cut, practice, waste, own),
        *sheets,
        *glues,
        *item_lines(made, practice),
        *finish_lines(pieces, finishes, practice),
        *abrasive_lines(pieces, finishes, practice),
    )
    return TakeOff(
        pieces=pieces,
        cut_list=cut,
        lines=tuple(_in_order(lines)),
        finishes=finishes,
        links=step_links(pieces),
        heaviest=max(
            (one for one in pieces if one.weight), key=lambda one: one.weight.value if one.weight else 0, default=None
        ),
        problems=(*left_out, *too_thick, *too_large, *unknown),
    )


def _in_order(lines: Iterable[TakeOffLine]) -> Iterator[TakeOffLine]:
    """Yield the lines by kind of material, boards and sheets first, then by name and size."""
    yield from sorted(
        lines, key=lambda line: (_ORDER.index(line.material.kind), line.material.name, line.material.size)
    )
