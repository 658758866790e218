"""Turning a drawing upright, its left at the top, for a sheet that is narrow."""

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from domain.drawing.shape import Dimension, Drawing, Point, Side

SIDES = {Side.TOP: Side.LEFT, Side.LEFT: Side.TOP, Side.BOTTOM: Side.LEFT, Side.RIGHT: Side.BOTTOM}
"""Where dimensions go; words of callouts stay at the right."""


def upright(drawing: Drawing) -> Drawing:
    """Return a drawing turned a quarter, what was at the left being at the top."""
    lowest = max(shape.bottom for shape in drawing.shapes)

    def turn(at: Point) -> Point:
        return lowest - at[1], at[0]

    return replace(
        drawing,
        shapes=tuple(replace(one, points=tuple(map(turn, one.points))) for one in drawing.shapes),
        labels=tuple(replace(one, within=_within(one.within, lowest)) for one in drawing.labels),
        markers=tuple(replace(one, start=turn(one.start), end=turn(one.end)) for one in drawing.markers),
        callouts=tuple(replace(one, at=turn(one.at)) for one in drawing.callouts),
        dimensions=tuple(_dimensions(drawing, lowest)),
    )


def _within(
    box: tuple[Fraction, Fraction, Fraction, Fraction], lowest: Fraction
) -> tuple[Fraction, Fraction, Fraction, Fraction]:
    left, top, right, bottom = box
    return lowest - bottom, left, lowest - top, right


def _dimensions(drawing: Drawing, lowest: Fraction) -> Iterator[Dimension]:
    """Yield the dimensions on their new sides, from the edge of the drawing."""
    first, last = min(one.left for one in drawing.shapes), max(one.right for one in drawing.shapes)
    for one in drawing.dimensions:
        side = SIDES[one.side]
        if side is Side.LEFT:
            yield replace(one, side=side, base=Fraction(0))
        else:
            base = first if side is Side.TOP else last
            yield replace(one, side=side, start=lowest - one.end, end=lowest - one.start, base=base)
