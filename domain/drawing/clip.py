"""Cutting a shape along a line, as a mitre does."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

from domain.drawing.shape import Point, Shape

Height = Callable[[Point], Fraction]
"""How far a place is on the kept side of a line, less than nothing beyond it; linear."""


def clipped(shape: Shape, height: Height) -> Shape | None:
    """Return what is left of a convex area or a line on the kept side; None when nothing is."""
    points = _kept(shape.points if not shape.closed else (*shape.points, shape.points[0]), height)
    found = tuple(dict.fromkeys(points)) if shape.closed else points
    return replace(shape, points=found) if len(found) > (2 if shape.closed else 1) else None


def _kept(points: Sequence[Point], height: Height) -> tuple[Point, ...]:
    kept: list[Point] = []
    for here, there in pairwise(points):
        a, b = height(here), height(there)
        if a >= 0:
            kept.append(here)
        if (a < 0 < b) or (b < 0 < a):
            share = a / (a - b)
            kept.append((here[0] + (there[0] - here[0]) * share, here[1] + (there[1] - here[1]) * share))
    if points and height(points[-1]) >= 0:
        kept.append(points[-1])
    return tuple(kept)
