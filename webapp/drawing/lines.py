"""Shapes as paths: areas and their hatching, outlines with corners run over as a pencil does, grain arrows."""

from collections.abc import Iterator, Sequence
from math import hypot

from domain.drawing.shape import Meaning, Shape
from webapp.drawing.drawn import Box, Path, tidy, touch
from webapp.drawing.frame import Frame
from webapp.drawing.hatch import Spot, hatch
from webapp.drawing.text import LINE

HATCHES = {
    Meaning.WASTE: (5.0, -52.0),
    Meaning.OFFCUT: (9.0, -38.0),
    Meaning.SAWN: (6.0, -45.0),
    Meaning.SAWN_TOO: (6.0, 45.0),
    Meaning.WALL: (5.0, -60.0),
    Meaning.COVER: (4.0, 45.0),
}
"""How far apart the pencil's lines are, and their angle [°]."""

OVER, BARB = 3.0, 4.5
"""How far an outline runs over its corners; how long the barbs of an arrow are."""


def paths(shapes: Sequence[Shape], frame: Frame) -> Iterator[Path]:
    """Yield the paths of shapes, in their order. Grain arrows that would run into one another are left out."""
    arrows: list[Box] = []
    for shape in shapes:
        spots = [frame.at(point) for point in shape.points]
        if shape.meaning is Meaning.GRAIN:
            around = box_of(spots, BARB)
            if any(touch(around, other) for other in arrows):
                continue
            arrows.append(around)
        kind = shape.meaning.value
        if shape.closed and shape.meaning in HATCHES:
            yield Path(f"{kind} area", _through(spots, closed=True), box_of(spots))
            apart, angle = HATCHES[shape.meaning]
            if strokes := hatch(spots, apart=apart, angle=angle):
                yield Path(f"{kind} pencil", strokes, box_of(spots))
            yield Path(f"{kind} edge", _through(spots, closed=True), box_of(spots))
        elif shape.meaning is Meaning.OUTLINE and shape.closed:
            yield Path(kind, _run_over(spots), box_of(spots, OVER))
        elif shape.meaning is Meaning.GRAIN:
            yield Path(kind, _arrow(spots[0], spots[-1]), box_of(spots, BARB))
        else:
            yield Path(kind, _through(spots, closed=shape.closed), box_of(spots))


def box_of(spots: Sequence[Spot], more: float = 0.0) -> Box:
    return (
        min(x for x, _ in spots) - more,
        min(y for _, y in spots) - more,
        max(x for x, _ in spots) + more,
        max(y for _, y in spots) + more,
    )


def _through(spots: Sequence[Spot], *, closed: bool) -> str:
    return "M" + "L".join(f"{tidy(x)} {tidy(y)}" for x, y in spots) + ("Z" if closed else "")


def _run_over(spots: Sequence[Spot]) -> str:
    """Return the sides one by one, each a little longer than it is."""
    sides = zip(spots, [*spots[1:], spots[0]], strict=True)
    return "".join(_longer(start, end) for start, end in sides if start != end)


def _longer(start: Spot, end: Spot) -> str:
    along = hypot(end[0] - start[0], end[1] - start[1])
    dx, dy = (end[0] - start[0]) / along * OVER, (end[1] - start[1]) / along * OVER
    return f"M{tidy(start[0] - dx)} {tidy(start[1] - dy)}L{tidy(end[0] + dx)} {tidy(end[1] + dy)}"


def _arrow(start: Spot, end: Spot) -> str:
    """Return a line with half a barb at each end, as grain is marked."""
    along = hypot(end[0] - start[0], end[1] - start[1]) or 1.0
    dx, dy = (end[0] - start[0]) / along, (end[1] - start[1]) / along
    tip = (end[0] - BARB * (dx - 0.6 * dy), end[1] - BARB * (dy + 0.6 * dx))
    tail = (start[0] + BARB * (dx - 0.6 * dy), start[1] + BARB * (dy + 0.6 * dx))
    return "".join(_through(pair, closed=False) for pair in ((start, end), (end, tip), (start, tail)))


def thin_lines(shapes: Sequence[Shape], frame: Frame) -> list[Box]:
    """Return where narrow things lie behind what words are written on."""
    boxes = [box_of([frame.at(point) for point in shape.points]) for shape in shapes if shape.meaning is Meaning.BEHIND]
    return [box for box in boxes if min(box[2] - box[0], box[3] - box[1]) < LINE]
