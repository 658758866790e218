"""Words at the side of a drawing with a line to the place they speak of."""

from collections.abc import Sequence
from dataclasses import dataclass

from domain.drawing.shape import Callout, Side
from webapp.drawing.drawn import Path, Ring, Text, tidy
from webapp.drawing.frame import Frame
from webapp.drawing.key import Key
from webapp.drawing.text import LINE, SIZE, widest, width, wrap

LEAD, BETWEEN = 14.0, 3.0
"""Room for the slanted part of a leader; free between two callouts."""


@dataclass(frozen=True, slots=True)
class Said:
    """A callout set out. lines: its words; letter: what stands for them when they are in the key."""

    callout: Callout
    lines: tuple[str, ...] = ()
    letter: str = ""

    @property
    def wide(self) -> float:
        return 15.0 if self.letter else widest(self.lines)

    @property
    def high(self) -> float:
        return 16.0 if self.letter else LINE * len(self.lines)


def said(callouts: Sequence[Callout], key: Key, *, room: float, in_key: bool) -> tuple[Said, ...]:
    """Return callouts with their words in lines. room: for a line; in_key: what is longer goes to the key."""
    return tuple(
        Said(callout, letter=key.letter(callout.words))
        if in_key and width(callout.words) > room
        else Said(callout, wrap(callout.words, room))
        for callout in callouts
    )


def column(saids: Sequence[Said], side: Side) -> float:
    """Return how wide the column of callouts at a side is."""
    wide = [one.wide for one in saids if one.callout.side is side]
    return max(wide) + LEAD + 4 if wide else 0.0


def set_callouts(
    saids: Sequence[Said], side: Side, frame: Frame, out: float
) -> tuple[list[Path], list[Text], list[Ring]]:
    """Return the leaders, words and lettered rings of a side. out: how far out the column begins."""
    ours = sorted((one for one in saids if one.callout.side is side), key=lambda one: frame.at(one.callout.at)[1])
    paths: list[Path] = []
    texts: list[Text] = []
    rings: list[Ring] = []
    way = 1 if side is Side.RIGHT else -1
    edge = frame.right + out if side is Side.RIGHT else -out
    x = edge + way * LEAD
    for one, y in zip(ours, spread([(frame.at(each.callout.at)[1], each.high) for each in ours]), strict=True):
        paths.append(_leader(frame.at(one.callout.at), (edge, y), (x - 2 * way, y)))
        if one.letter:
            rings.append(Ring(tidy(x + 7.5 * way), tidy(y), one.letter))
        else:
            texts.append(_words(one, x, y - one.high / 2, to_right=way > 0))
    return paths, texts, rings


def _words(one: Said, x: float, top: float, *, to_right: bool) -> Text:
    left = x if to_right else x - one.wide
    box = (left, top, left + one.wide, top + one.high)
    return Text("callout", tidy(x), tidy(top + SIZE - 1.5), one.lines, box, "start" if to_right else "end")


def spread(wanted: Sequence[tuple[float, float]]) -> list[float]:
    """Return middles as near as can be to those wanted, in their order, none over its neighbour.

    wanted: middle and height of each. Neighbours that would overlap move apart together, about their mean.
    """
    groups: list[tuple[float, float, int]] = []  # where it begins, how high it is, how many
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
    dot = f"M{tidy(at[0] - 1.6)} {tidy(at[1])}a1.6 1.6 0 1 0 3.2 0a1.6 1.6 0 1 0 -3.2 0"
    xs, ys = [x for x, _ in spots], [y for _, y in spots]
    return Path("leader", drawn + dot, (min(xs) - 2, min(ys) - 2, max(xs) + 2, max(ys) + 2))
