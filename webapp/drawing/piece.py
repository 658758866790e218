"""Pieces and measured runs, drawn for a page."""

from collections.abc import Sequence

from domain.drawing import piece
from domain.drawing.tape import Tape
from domain.measure import Run
from domain.pieces.piece import PlacedPiece
from domain.practice import ShopPractice
from domain.shop import Shop
from webapp.drawing.drawn import Drawn
from webapp.drawing.sheet import drawn


def piece_drawings(
    placed: PlacedPiece, others: Sequence[PlacedPiece], practice: ShopPractice, shop: Shop
) -> tuple[Drawn, ...]:
    """Return the drawings of a piece as drawn; none of a kind that has none. others: the pieces of its job."""
    tape = Tape.of(shop)
    return tuple(drawn(one, tape) for one in piece.piece_drawings(placed, others, practice, tape))


def run_drawings(run: Run, practice: ShopPractice, shop: Shop) -> tuple[Drawn, ...]:
    """Return the fit and the floor of a measured run as drawn."""
    tape = Tape.of(shop)
    return tuple(drawn(one, tape) for one in piece.run_drawings(run, practice, tape))
