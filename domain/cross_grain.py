"""Where wood that moves is held by something that does not: every such place of a job, called out."""

from collections.abc import Iterable, Iterator

from domain.figure import Figure
from domain.movement import WORTH_A_SLOT, Movement
from domain.pieces.built_up_edge import AcrossTop, BuiltUpEdge
from domain.pieces.corner_top import CornerTop
from domain.pieces.front_strip import FrontStrip
from domain.pieces.making import Making, inches, seasonal
from domain.pieces.top import Top
from domain.practice import ShopPractice
from domain.problem import Problem
from domain.shop import Shop
from domain.take_off import BuiltPiece
from domain.tape import near
from domain.wide_part import Held
from domain.words import first_lower


def cross_grain(
    pieces: Iterable[BuiltPiece], found: Iterable[Movement], practice: ShopPractice, shop: Shop
) -> tuple[Problem, ...]:
    """Return what would split or tear open, each naming its piece and what works. Fields are addresses."""
    kept = tuple(pieces)
    return (*_strips(kept, practice, shop), *_told_by_tops(kept), *_held(found, shop))


def _strips(pieces: Iterable[BuiltPiece], practice: ShopPractice, shop: Shop) -> Iterator[Problem]:
    """Yield long strips glued across the grain of a top."""
    for built in pieces:
        edge, where = built.placed.piece, built.placed.where
        if not isinstance(edge, BuiltUpEdge) or edge.across is not AcrossTop.LONG_GRAIN:
            continue
        for name, length in _across(edge, Making(edge, practice, where)):
            moved = seasonal(edge.species, edge.cut, length, practice)
            how_far = near(moved.value, shop) if moved else "nobody knows how far"
            yield Problem(
                f"{where}:across",
                f"{built.placed.name}: the {name} lies across the grain of the top, which moves {how_far} along it "
                "between seasons. Glued fast it cracks the top: take short pieces with the top's grain.",
            )


def _told_by_tops(pieces: Iterable[BuiltPiece]) -> Iterator[Problem]:
    """Yield what a top itself says of a strip over its end grain, and of the corner where its grain turns."""
    for built in pieces:
        top = built.placed.piece
        if isinstance(top, Top) and top.front_strip in (FrontStrip.GLUED, FrontStrip.MIDDLE):
            fields = {"front_strip"}
        elif isinstance(top, CornerTop):
            fields = {"corner", "glued_corner", "second_grain"}
        else:
            continue
        found = next((problem for problem in built.problems if problem.field in fields), None)
        if found:
            yield Problem(f"{built.placed.where}:{found.field}", f"{built.placed.name}: {first_lower(found.words)}")


def _across(edge: BuiltUpEdge, making: Making) -> Iterator[tuple[str, Figure]]:
    """Yield the strips that lie across the grain of their top, with their length."""
    if edge.end_grain_front:
        yield "front strip", making.typed("length")
    elif edge.returned_ends:
        depth, front = making.typed("depth"), making.typed("strip_width")
        yield "end strip", inches("Returned length", depth.value - front.value, "depth − front strip", depth, front)


def _held(found: Iterable[Movement], shop: Shop) -> Iterator[Problem]:
    """Yield wide solid parts fastened to a case that does not move, and panels that glue would hold."""
    for one in found:
        if one.counted is None or one.counted.whole.value < WORTH_A_SLOT:
            continue
        part, moves = one.part, near(one.counted.whole.value, shop)
        where = f"piece:{part.piece_id}"
        if part.held is Held.FIXED:
            words = (
                "is fastened to a case of plywood that does not move. Glued or screwed over its whole width it splits"
            )
            yield Problem(where, f"{part.called} moves {moves} and {words}: fasten it along one edge.")
        elif part.held is Held.IN_FRAME:
            words = (
                "in a frame that does not. Glued into its grooves it splits or pushes the corners open: leave it dry."
            )
            yield Problem(where, f"{part.called}, is solid and moves {moves} {words}")
        elif part.held is Held.SCREWED:
            words = "on cabinets that do not. Screwed fast in two rows it cracks: slots in every row but one."
            yield Problem(where, f"{part.called} moves {moves} {words}")
