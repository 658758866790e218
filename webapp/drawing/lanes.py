"""Where the figures of dimensions stand: over their line where they fit, else beside it or in a row further out."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from domain.drawing.shape import Dimension, Drawing, Side
from domain.drawing.tape import Tape
from webapp.drawing.frame import Frame
from webapp.drawing.text import width

ROW, CLEAR, NEAR, LAST = 13.0, 7.0, 15.0, 5.0
"""Depth of a row of figures; before a line with its figures outside; with its figures inside; after a lane."""

OUTSIDE = (Side.TOP, Side.LEFT)
"""Sides where figures stand beyond their line: above it, read from below or from the right."""


@dataclass(frozen=True, slots=True)
class Figure:
    """A dimension set out along its side. start, end: of its line; at: middle of its figure; row: 0 is at the line."""

    dimension: Dimension
    words: str
    start: float
    end: float
    at: float
    row: int

    @property
    def wide(self) -> float:
        return width(self.words)


@dataclass(frozen=True, slots=True)
class Lane:
    """The dimensions of a lane. line: how far out their line is; depth: how far out the lane ends."""

    side: Side
    figures: tuple[Figure, ...]
    line: float
    depth: float

    def row(self, number: int) -> float:
        """Return how far out the figures of a row have their edge nearest to the drawing."""
        if self.side in OUTSIDE:
            return self.line + 2 + ROW * number
        return self.line - ROW if number == 0 else self.line + 3 + ROW * (number - 1)


def lanes(drawing: Drawing, frame: Frame, tape: Tape) -> dict[Side, tuple[Lane, ...]]:
    """Return the lanes of every side, nearest first."""
    return {side: tuple(_lanes(side, drawing, frame, tape)) for side in Side}


def _lanes(side: Side, drawing: Drawing, frame: Frame, tape: Tape) -> Iterator[Lane]:
    ours = [one for one in drawing.dimensions if one.side is side]
    out = 0.0
    for number in sorted({one.lane for one in ours}):
        figures = tuple(_figures([one for one in ours if one.lane == number], side, frame, tape))
        rows = max(figure.row for figure in figures)
        line = out + (CLEAR if side in OUTSIDE else NEAR)
        out = line + LAST + ROW * (rows + (side in OUTSIDE))
        yield Lane(side, figures, line, out)


def _figures(dimensions: Sequence[Dimension], side: Side, frame: Frame, tape: Tape) -> Iterator[Figure]:
    """Yield the figures of one lane, those that fit within their line first."""
    along = frame.x if side in (Side.TOP, Side.BOTTOM) else frame.y
    length = frame.right if side in (Side.TOP, Side.BOTTOM) else frame.bottom
    spans = [(along(one.start), along(one.end)) for one in dimensions]
    taken: dict[int, list[tuple[float, float]]] = {0: []}
    later = []
    for one, (start, end) in zip(dimensions, spans, strict=True):
        words = one.words or tape.bare(one.size)
        if width(words) + 8 <= end - start:
            middle = (start + end) / 2
            taken[0].append((middle - width(words) / 2, middle + width(words) / 2))
            yield Figure(one, words, start, end, middle, 0)
        else:
            later.append((one, words, start, end))
    for one, words, start, end in later:
        at, row = _free(words, (start, end), spans, taken, length)
        taken.setdefault(row, []).append((at - width(words) / 2, at + width(words) / 2))
        yield Figure(one, words, start, end, at, row)


def _free(
    words: str, own: tuple[float, float], spans: Sequence[tuple[float, float]],
    taken: dict[int, list[tuple[float, float]]], length: float,
) -> tuple[float, int]:  # fmt: skip
    """Return where the figure of a short line stands, and in which row."""
    half = width(words) / 2
    others = [*(span for span in spans if span != own), *taken[0]]
    for at in (own[1] + 5 + half, own[0] - 5 - half):
        if at - half >= -20 and at + half <= length + 20 and _is_free(at, half, others):
            return at, 0
    middle = (own[0] + own[1]) / 2
    at = min(max(middle, half - 20), max(length - half + 20, half - 20))
    row = 1
    while not _is_free(at, half, taken.get(row, [])):
        row += 1
    return at, row


def _is_free(at: float, half: float, taken: Sequence[tuple[float, float]]) -> bool:
    return all(at + half + 3 <= start or end <= at - half - 3 for start, end in taken)
