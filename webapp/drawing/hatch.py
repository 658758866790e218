"""Pencil hatching: parallel lines inside a shape, drawn one by one so that every printer shows them."""

from collections.abc import Sequence
from math import ceil, cos, radians, sin

from webapp.drawing.drawn import tidy

Spot = tuple[float, float]


def hatch(points: Sequence[Spot], *, apart: float, angle: float) -> str:
    """Return the path of lines at an angle [°] through a closed shape of these corners; empty when none fits."""
    turn = radians(angle)
    turned = [_turn(point, -turn) for point in points]
    lowest, highest = min(y for _, y in turned), max(y for _, y in turned)
    strokes = []
    for number in range(ceil(lowest / apart), ceil(highest / apart)):
        y = number * apart
        crossings = sorted(_crossings(turned, y))
        for start, end in zip(crossings[::2], crossings[1::2], strict=False):
            if end - start > 1:
                (x1, y1), (x2, y2) = _turn((start, y), turn), _turn((end, y), turn)
                strokes.append(f"M{tidy(x1)} {tidy(y1)}L{tidy(x2)} {tidy(y2)}")
    return "".join(strokes)


def _turn(point: Spot, by: float) -> Spot:
    x, y = point
    return x * cos(by) - y * sin(by), x * sin(by) + y * cos(by)


def _crossings(points: Sequence[Spot], y: float) -> list[float]:
    found = []
    for (x1, y1), (x2, y2) in zip(points, [*points[1:], points[0]], strict=True):
        if (y1 <= y) != (y2 <= y):
            found.append(x1 + (y - y1) / (y2 - y1) * (x2 - x1))
    return found
