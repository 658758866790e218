"""Dimensions as drawn: extension lines, a line with a slanted tick at each end, the figure reading along it."""

from collections.abc import Iterator

from domain.drawing.shape import Side
from webapp.drawing.drawn import Box, Path, Text, tidy
from webapp.drawing.frame import Frame
from webapp.drawing.lanes import Figure, Lane
from webapp.drawing.text import LINE, SIZE

TICK, OFF, OVER = 3.2, 2.5, 3.0
"""Half a tick; free between the drawing and its extension line; how far that runs over the dimension line."""


def dimension_paths(lane: Lane, frame: Frame) -> Iterator[Path]:
    for figure in lane.figures:
        side = _Set(lane.side, frame)
        base, line = side.base(figure), lane.line
        lines = [(figure.start, line, figure.end, line)]
        for end in (figure.start, figure.end):
            lines.append((end, base + OFF, end, line + OVER))
        if figure.row:
            lines.append(((figure.start + figure.end) / 2, line, figure.at, _near(lane, figure)))
        yield side.path("dimension", lines)
        yield side.path(
            "tick", [(end - TICK, line - TICK, end + TICK, line + TICK) for end in (figure.start, figure.end)]
        )


def dimension_texts(lane: Lane, frame: Frame) -> Iterator[Text]:
    return (_Set(lane.side, frame).text(figure, lane.row(figure.row)) for figure in lane.figures)


def _near(lane: Lane, figure: Figure) -> float:
    return lane.row(figure.row) - 1


class _Set:
    """Places along a side and away from the drawing -> places on the sheet."""

    def __init__(self, side: Side, frame: Frame) -> None:
        self.side, self.frame = side, frame

    def base(self, figure: Figure) -> float:
        """Return how far out an extension line begins, less than nothing inside the drawing."""
        place = figure.dimension.base
        match self.side:
            case Side.TOP:
                return -self.frame.y(place)
            case Side.BOTTOM:
                return self.frame.y(place) - self.frame.bottom
            case Side.LEFT:
                return -self.frame.x(place)
            case Side.RIGHT:
                return self.frame.x(place) - self.frame.right

    def at(self, along: float, out: float) -> tuple[float, float]:
        match self.side:
            case Side.TOP:
                return along, -out
            case Side.BOTTOM:
                return along, self.frame.bottom + out
            case Side.LEFT:
                return -out, along
            case Side.RIGHT:
                return self.frame.right + out, along

    def path(self, kind: str, lines: list[tuple[float, float, float, float]]) -> Path:
        ends = [(self.at(a, b), self.at(c, d)) for a, b, c, d in lines]
        drawn = "".join(f"M{tidy(x1)} {tidy(y1)}L{tidy(x2)} {tidy(y2)}" for (x1, y1), (x2, y2) in ends)
        spots = [spot for pair in ends for spot in pair]
        box: Box = (
            min(x for x, _ in spots), min(y for _, y in spots), max(x for x, _ in spots), max(y for _, y in spots)
        )  # fmt: skip
        return Path(kind, drawn, box)

    def text(self, figure: Figure, out: float) -> Text:
        half, (x, y) = figure.wide / 2, self.at(figure.at, out)
        match self.side:
            case Side.TOP:
                box, spot = (x - half, y - LINE + 1, x + half, y), (x, y - 2)
            case Side.BOTTOM:
                box, spot = (x - half, y, x + half, y + LINE - 1), (x, y + SIZE - 2)
            case Side.LEFT:
                box, spot = (x - LINE + 1, y - half, x, y + half), (x - 2, y)
            case Side.RIGHT:
                box, spot = (x, y - half, x + LINE - 1, y + half), (x + SIZE - 2, y)
        turned = self.side in (Side.LEFT, Side.RIGHT)
        return Text("figure", tidy(spot[0]), tidy(spot[1]), (figure.words,), box, "middle", turned)
