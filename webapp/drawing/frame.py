"""Where inches are on the sheet: the scale, and how much room is kept around for sizes and words."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from domain.drawing.shape import Point, Shape, Side
from webapp.drawing.drawn import Box

LIFE = 96.0
"""Sheet units to the inch at full size: a unit is a CSS pixel, 96 to the inch on paper."""

SCALES = (1, 2, 4, 5, 8, 10, 12, 15, 16, 20, 24, 25, 30, 32, 40, 48, 50, 64, 96, 100)
"""Scales that people draw to, 1 to so many."""


@dataclass(frozen=True, slots=True)
class Extent:
    """What a drawing takes up [in], no longer exact: from here on it is only drawn."""

    left: float
    top: float
    right: float
    bottom: float

    @classmethod
    def of(cls, shapes: Iterable[Shape]) -> "Extent":
        points = [point for shape in shapes for point in shape.points]
        across, down = [float(x) for x, _ in points], [float(y) for _, y in points]
        return cls(min(across), min(down), max(across), max(down))

    @property
    def wide(self) -> float:
        return self.right - self.left or 1.0

    @property
    def high(self) -> float:
        return self.bottom - self.top or 1.0


@dataclass(frozen=True, slots=True)
class Frame:
    """scale: units to the inch, down the sheet so many times taller; the upper left corner is at 0, 0 of the sheet."""

    extent: Extent
    scale: float
    taller: int = 1

    def x(self, inches: Fraction) -> float:
        return (float(inches) - self.extent.left) * self.scale

    def y(self, inches: Fraction) -> float:
        return (float(inches) - self.extent.top) * self.scale * self.taller

    def at(self, point: Point) -> tuple[float, float]:
        return self.x(point[0]), self.y(point[1])

    def box(self, within: tuple[Fraction, Fraction, Fraction, Fraction]) -> Box:
        left, top, right, bottom = within
        return self.x(left), self.y(top), self.x(right), self.y(bottom)

    @property
    def right(self) -> float:
        return self.extent.wide * self.scale

    @property
    def bottom(self) -> float:
        return self.extent.high * self.scale * self.taller


def fitted(
    extent: Extent, width: float, highest: float, kept: Mapping[Side, float], *, taller: int, round_scale: bool
) -> Frame:
    """Return the frame of a drawing on a sheet so wide and at most so high. kept: room kept at each side."""
    room = max(width - kept[Side.LEFT] - kept[Side.RIGHT], width / 4)
    scale = min(room / extent.wide, highest / extent.high / taller, LIFE)
    if round_scale:
        scale = next((LIFE / one for one in SCALES if LIFE / one <= scale), scale)
    return Frame(extent, scale, taller)
