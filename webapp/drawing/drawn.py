"""What a template prints: paths, words and rings with their places on the sheet."""

from collections.abc import Sequence
from dataclasses import dataclass

Box = tuple[float, float, float, float]
"""Left, top, right, bottom on the sheet."""


@dataclass(frozen=True, slots=True)
class Path:
    """kind: names its style; d: as SVG writes it; box: what it takes up."""

    kind: str
    d: str
    box: Box


@dataclass(frozen=True, slots=True)
class Text:
    """Lines of words. x, y: of the first baseline; anchor: which end of a line is there; turned: reads upwards."""

    kind: str
    x: float
    y: float
    lines: tuple[str, ...]
    box: Box
    anchor: str = "start"
    turned: bool = False


@dataclass(frozen=True, slots=True)
class Ring:
    """A number in a ring. x, y: its middle; drop: how far below it the number's baseline is."""

    x: float
    y: float
    words: str
    radius: float = 7.5
    drop: float = 3.6

    @property
    def box(self) -> Box:
        return self.x - self.radius, self.y - self.radius, self.x + self.radius, self.y + self.radius

    @property
    def baseline(self) -> float:
        return tidy(self.y + self.drop)


@dataclass(frozen=True, slots=True)
class Sheet:
    """One setting out of a drawing. scale: sheet units to the inch, 96 being life size on paper."""

    left: float
    top: float
    width: float
    height: float
    paths: tuple[Path, ...]
    texts: tuple[Text, ...]
    rings: tuple[Ring, ...]
    scale: float


@dataclass(frozen=True, slots=True)
class Drawn:
    """A drawing for the page: set out wide for a desk and paper, narrow for a phone; words: its text alternative.

    scale: the scale of the wide one on paper, in words; unit: of all sizes, in words.
    """

    key: str
    title: str
    about: str
    words: tuple[str, ...]
    wide: Sheet
    narrow: Sheet
    scale: str
    unit: str


def tidy(value: float) -> float:
    return round(value, 1)


def around(boxes: Sequence[Box]) -> Box:
    """Return the box around boxes."""
    return (
        min(box[0] for box in boxes),
        min(box[1] for box in boxes),
        max(box[2] for box in boxes),
        max(box[3] for box in boxes),
    )


def touch(one: Box, other: Box) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]
