"""Words at the side of a drawing with a line to the place they speak of; long ones by a number and a key below."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from domain.drawing.shape import Callout, Side
from webapp.drawing.drawn import Path, Ring, Text, tidy
from webapp.drawing.frame import Frame
from webapp.drawing.text import LINE, SIZE, widest, width, wrap

LEAD, BETWEEN, KEY_LINE = 14.0, 3.0, 17.0
"""Room for the slanted part of a leader; free between two; a line of the key."""


@dataclass(frozen=True, slots=True)
class Said:
    """A callout set out. lines: its words, or none and a number that stands for them in the key."""

    callout: Callout
    lines: tuple[str, ...]
    number: int | None = None

    @property
    def wide(self) -> float:
        return 15.0 if self.number else widest(self.lines)

    @property
    def high(self) -> float:
        return 16.0 if self.number else LINE * len(self.lines)


def said(callouts: Sequence[Callout], *, room: float, in_key: bool) -> tuple[Said, ...]:
    """Return callouts with their words in lines. room: for a line; in_key: what is longer goes to the key."""
    found = []
    number = 0
    for callout in callouts:
        if in_key and width(callout.words) > room:
            number += 1
            found.append(Said(callout, (callout.words,), number))
        else:
            found.append(Said(callout, wrap(callout.words, room)))
    return tuple(found)


def column(saids: Sequence[Said], side: Side) -> float:
    """Return how wide the column of callouts at a side is."""
    wide = [one.wide for one in saids if one.callout.side is side]
    return max(wide) + LEAD + 4 if wide else 0.0


def set_callouts(
    saids: Sequence[Said], side: Side, frame: Frame, out: float
) -> tuple[list[Path], list[Text], list[Ring]]:
    """Return the leaders, words and numbered rings of a side. out: how far out the column begins."""
    ours = sorted((one for one in saids if one.callout.side is side), key=lambda one: frame.at(one.callout.at)[1])
    paths: list[Path] = []
    texts: list[Text] = []
    rings: list[Ring] = []
    to_right = side is Side.RIGHT
    edge = frame.right + out if to_right else -out
    for one, y in zip(ours, spread([(frame.at(each.callout.at)[1], each.high) for each in ours]), strict=True):
        x, at = (edge + LEAD, frame.at(one.callout.at)) if to_right else (edge - LEAD, frame.at(one.callout.at))
        paths.append(_leader(at, (edge, y), (x + (-2 if to_right else 2), y)))
        if one.number:
            rings.append(Ring(tidy(x + (7.5 if to_right else -7.5)), tidy(y), str(one.number)))
        else:
            wide, top = one.wide, y - one.high / 2
            box = (x, top, x + wide, top + one.high) if to_right else (x - wide, top, x, top + one.high)
            texts.append(
                Text("callout", tidy(x), tidy(top + SIZE - 1.5), one.lines, box, "start" if to_right else "end")
            )
    return paths, texts, rings


def key_lines(saids: Sequence[Said], top: float, left: float, room: float) -> Iterator[tuple[Ring, Text]]:
    """Yield the numbers and words of the key below the drawing."""
    y = top
    for one in saids:
        if one.number:
            lines = wrap(one.lines[0], room - 22)
            box = (left + 20, y, left + 20 + widest(lines), y + LINE * len(lines))
            yield (
                Ring(left + 8, tidy(y + 7), str(one.number)),
                Text("callout", tidy(left + 20), tidy(y + SIZE - 1), lines, box),
            )
            y += max(KEY_LINE, LINE * len(lines) + 3)


def spread(wanted: Sequence[tuple[float, float]]) -> list[float]:
    """Return middles as near as can be to those wanted, in their order, none over its neighbour.

    wanted: middle and height of each. Neighbours that would overlap move apart together, about their mean.
    """
    groups: list[tuple[float, float, int]] = []  # where it would begin, how high it is, how many
    for middle, high in wanted:
        begins, size, count = middle - (high + BETWEEN) / 2, high + BETWEEN, 1
        while groups and groups[-1][0] + groups[-1][1] > begins:
            before, more, others = groups.pop()
            begins = (before * others + (begins - more) * count) / (others + count)
            size, count = size + more, count + others
        groups.append((begins, size, count))
    places = []
    heights = iter(high for _, high in wanted)
    for begins, _, count in groups:
        for _ in range(count):
            high = next(heights) + BETWEEN
            places.append(begins + high / 2)
            begins += high
    return places


def _leader(at: tuple[float, float], knee: tuple[float, float], end: tuple[float, float]) -> Path:
    spots = [at, knee, end]
    drawn = "M" + "L".join(f"{tidy(x)} {tidy(y)}" for x, y in spots)
    x, y = tidy(at[0]), tidy(at[1])
    dot = f"M{tidy(x - 1.6)} {y}a1.6 1.6 0 1 0 3.2 0a1.6 1.6 0 1 0 -3.2 0"
    xs, ys = [x for x, _ in spots], [y for _, y in spots]
    return Path("leader", drawn + dot, (min(xs) - 2, min(ys) - 2, max(xs) + 2, max(ys) + 2))
