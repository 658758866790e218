"""What a drawing is made of, in exact inches on paper: x to the right, y down. How large it gets is not said here."""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from domain.length import Length

Point = tuple[Fraction, Fraction]
"""A place on the drawing [in]: to the right, down."""


class Meaning(Enum):
    """What a line or an area stands for; the value is the name of its style."""

    OUTLINE = "outline"  # the edge of what is made
    PART = "part"  # one board or part of it
    JOINT = "joint"  # a glue line
    CUT = "cut"  # where a saw goes
    WASTE = "waste"  # cut off and gone
    OFFCUT = "offcut"  # cut off and kept
    SAWN = "sawn"  # solid wood or sheet, cut through by a section
    SAWN_TOO = "sawn-too"  # the same beside it, hatched the other way
    SEEN = "seen"  # an edge that people will see
    BEHIND = "behind"  # there, but not seen from here
    WALL = "wall"
    COVER = "cover"  # what hides a gap
    GAP = "gap"
    GRAIN = "grain"  # an arrow along the fibres
    FASTENER = "fastener"
    CLAMP = "clamp"  # above the work
    CLAMP_BELOW = "clamp-below"
    MARK = "mark"  # drawn on the wood with a pencil
    LEVEL = "level"  # a straight line to measure from


class Side(Enum):
    TOP = "top"
    BOTTOM = "bottom"
    LEFT = "left"
    RIGHT = "right"


@dataclass(frozen=True, slots=True)
class Shape:
    """A line or an area. name: what is there, such as a part mark; closed: the last point leads to the first."""

    meaning: Meaning
    points: tuple[Point, ...]
    name: str = ""
    closed: bool = True

    def __post_init__(self) -> None:
        if len(self.points) < 2:
            raise ValueError(f"{self.meaning.value} needs two points, not {self.points}")

    @property
    def left(self) -> Fraction:
        return min(x for x, _ in self.points)

    @property
    def right(self) -> Fraction:
        return max(x for x, _ in self.points)

    @property
    def top(self) -> Fraction:
        return min(y for _, y in self.points)

    @property
    def bottom(self) -> Fraction:
        return max(y for _, y in self.points)

    @property
    def wide(self) -> Fraction:
        return self.right - self.left

    @property
    def high(self) -> Fraction:
        return self.bottom - self.top

    @property
    def middle(self) -> Point:
        return (self.left + self.right) / 2, (self.top + self.bottom) / 2


@dataclass(frozen=True, slots=True)
class Label:
    """Words within a box, the longest that fit of them. within: left, top, right, bottom; lines have \\n between.

    together: what is said once for all labels with the same words here, when not each has room for its own.
    """

    words: tuple[str, ...]
    within: tuple[Fraction, Fraction, Fraction, Fraction]
    together: str = ""


@dataclass(frozen=True, slots=True)
class Marker:
    """A number in a ring on a line, such as that of a cut."""

    words: str
    start: Point
    end: Point


@dataclass(frozen=True, slots=True)
class Callout:
    """Words at the side of the drawing, with a line to the place they speak of."""

    at: Point
    words: str
    side: Side = Side.RIGHT


@dataclass(frozen=True, slots=True)
class Dimension:
    """A size beside the drawing. start, end: across for TOP and BOTTOM, down for LEFT and RIGHT; base: where its
    extension lines come from; lane: 0 is nearest; words: written in place of the size as drawn.
    """

    side: Side
    start: Fraction
    end: Fraction
    base: Fraction
    lane: int = 0
    words: str = ""

    def __post_init__(self) -> None:
        if self.start >= self.end:
            raise ValueError(f"a dimension goes from less to more, not {self.start} to {self.end}")

    @property
    def size(self) -> Length:
        return Length(self.end - self.start)


@dataclass(frozen=True, slots=True)
class Drawing:
    """A drawing with its words. key: tells it from others of its job; about: what it shows, in a sentence or two;
    words: the same as sentences, in order; to_scale: whether every line is as long as it says; taller: how many
    times larger heights are drawn than lengths, for what is long and thin; turned: what to say where it is better
    drawn upright, its left at the top, empty where it is not.
    """

    key: str
    title: str
    about: str
    words: tuple[str, ...]
    shapes: tuple[Shape, ...]
    labels: tuple[Label, ...] = ()
    markers: tuple[Marker, ...] = ()
    callouts: tuple[Callout, ...] = ()
    dimensions: tuple[Dimension, ...] = ()
    to_scale: bool = True
    taller: int = 1
    turned: str = ""

    def named(self, name: str) -> Shape:
        """Return the first shape of a name. Raises KeyError."""
        for shape in self.shapes:
            if shape.name == name:
                return shape
        raise KeyError(name)

    def of(self, meaning: Meaning) -> Iterator[Shape]:
        return (shape for shape in self.shapes if shape.meaning is meaning)


def box(
    meaning: Meaning, x: Fraction | int, y: Fraction | int, wide: Fraction | int, high: Fraction | int, name: str = ""
) -> Shape:
    """Return a rectangle from its upper left corner."""
    left, top = Fraction(x), Fraction(y)
    right, bottom = left + wide, top + high
    return Shape(meaning, ((left, top), (right, top), (right, bottom), (left, bottom)), name)


def line(meaning: Meaning, *points: Point, name: str = "") -> Shape:
    return Shape(meaning, points, name, closed=False)


def across(shape: Shape, side: Side = Side.BOTTOM, *, lane: int = 0, words: str = "") -> Dimension:
    """Return the dimension of how wide a shape is."""
    base = shape.bottom if side is Side.BOTTOM else shape.top
    return Dimension(side, shape.left, shape.right, base, lane, words)


def upright(shape: Shape, side: Side = Side.LEFT, *, lane: int = 0, words: str = "") -> Dimension:
    """Return the dimension of how high a shape is."""
    base = shape.right if side is Side.RIGHT else shape.left
    return Dimension(side, shape.top, shape.bottom, base, lane, words)


def within(shape: Shape) -> tuple[Fraction, Fraction, Fraction, Fraction]:
    return shape.left, shape.top, shape.right, shape.bottom
