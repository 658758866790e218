"""What belongs to one top and must fit together: its support strips against its built-up edge."""

from collections.abc import Iterable, Iterator

from domain.figure import Figure
from domain.pieces.built_up_edge import BuiltUpEdge
from domain.pieces.making import inches, sheet_thickness
from domain.pieces.piece import PlacedPiece
from domain.pieces.raised_top import meeting_warnings
from domain.pieces.support_strips import SupportStrips
from domain.practice import ShopPractice
from domain.problem import Problem
from domain.words import first_lower


def beside_problems(placed: PlacedPiece, others: Iterable[PlacedPiece], practice: ShopPractice) -> Iterator[Problem]:
    """Yield where strips do not meet the edge of the same top, unless they say themselves how far it hangs."""
    beside = [one for one in others if one.belongs_to == placed.belongs_to and one.id != placed.id]
    piece = placed.piece
    if placed.belongs_to is None:
        return
    if isinstance(piece, SupportStrips) and not piece.edge_hangs.inches:
        edge = next((one for one in beside if isinstance(one.piece, BuiltUpEdge)), None)
        if edge and isinstance(edge.piece, BuiltUpEdge):
            found = meeting_warnings(_hangs(edge.piece), _raises(piece, practice), practice, "edge_hangs")
            yield from _named(edge, found)


def _hangs(edge: BuiltUpEdge) -> Figure:
    below = edge.seen_thickness.inches - edge.top_thickness.inches
    return inches("Edge hangs below the top by", below, "thickness seen − thickness of the top")


def _raises(strips: SupportStrips, practice: ShopPractice) -> Figure:
    return sheet_thickness(strips.sheet, strips.thickness.value, practice)


def _named(other: PlacedPiece, found: Iterable[Problem]) -> Iterator[Problem]:
    for problem in found:
        yield Problem(problem.field, f"Beside “{other.name}” {first_lower(problem.words)}")
