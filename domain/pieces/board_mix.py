"""Boards of mixed widths for a panel: chosen so that the least is ripped away, the wide ones spread."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from math import ceil, floor

MARKS = 32
"""Widths are added up in marks of 1/32 in, boards rounded down and the panel up, so that a choice always fills it."""

MOST_BOARDS = 80


@dataclass(frozen=True, slots=True)
class Fill:
    """A panel to fill with boards, all in inches. needed: its width with what is trimmed off both edges;
    across: its width once ripped; narrowest: no strip is left narrower than that.
    """

    needed: Fraction
    across: Fraction
    narrowest: Fraction

    def is_kept(self, boards: Sequence[Fraction]) -> bool:
        """Whether no strip is too narrow, the outer two once half of what is ripped away is gone from each."""
        return min(left_over(boards, self.across), default=self.across) >= min(self.narrowest, self.across)


def left_over(boards: Sequence[Fraction], across: Fraction) -> tuple[Fraction, ...]:
    """Return how wide each board is seen in the finished panel [in], half of what is ripped off gone on each side."""
    if len(boards) < 2:
        return (across,) * len(boards)
    ripped = (sum(boards, Fraction(0)) - across) / 2
    return (boards[0] - ripped, *boards[1:-1], boards[-1] - ripped)


@lru_cache(maxsize=256)
def chosen(fill: Fill, widths: tuple[Fraction, ...]) -> tuple[Fraction, ...]:
    """Return boards side by side that fill a panel with the least ripped away, of those the fewest; () when none do.

    widths: jointed widths to choose from, each as often as wanted [in]. One board that is wide enough by itself
    needs no trim.
    """
    usable = tuple(sorted({width for width in widths if width > 0}, reverse=True))
    if not usable:
        return ()
    if usable[0] >= fill.across:
        return (min(width for width in usable if width >= fill.across),)
    inner = tuple(width for width in usable if width >= fill.narrowest)
    if not inner:
        return ()
    least, most = ceil(fill.needed * MARKS), ceil((fill.needed + 2 * inner[0]) * MARKS)
    fewest = _fewest(tuple(floor(width * MARKS) for width in inner), most)
    for total in range(least, most + 1):
        found = _filled(fill, inner, fewest, total)
        if found:
            return found
    return ()


def _filled(fill: Fill, inner: Sequence[Fraction], fewest: Sequence[int | None], total: int) -> tuple[Fraction, ...]:
    """Return the fewest boards that add up to a total of marks and keep both outer strips wide enough; () for none."""
    outer = [width for width in inner if width - (Fraction(total, MARKS) - fill.across) / 2 >= fill.narrowest]
    tried = []
    for place, left in enumerate(outer):
        for right in outer[place:]:
            rest = total - floor(left * MARKS) - floor(right * MARKS)
            if rest >= 0 and (count := fewest[rest]) is not None and count + 2 <= MOST_BOARDS:
                tried.append((count, rest, left, right))
    for _, rest, left, right in sorted(tried, key=lambda one: (one[0], -one[2], -one[3])):
        boards = spread((left, *_taken(inner, fewest, rest), right))
        for one in (boards, _ends_first(boards, left, right)):
            if fill.is_kept(one):
                return one
    return ()


def _fewest(marks: Sequence[int], most: int) -> list[int | None]:
    """Return the fewest boards that add up to each total of marks exactly, None where none do."""
    fewest: list[int | None] = [0] + [None] * most
    for total in range(1, most + 1):
        counts = [count for mark in marks if mark <= total and (count := fewest[total - mark]) is not None]
        fewest[total] = min(counts) + 1 if counts else None
    return fewest


def _taken(widths: Sequence[Fraction], fewest: Sequence[int | None], total: int) -> Iterator[Fraction]:
    """Yield the boards that add up to a total, the widest that lead to the fewest first."""
    while total:
        for width in widths:
            rest = total - floor(width * MARKS)
            if rest >= 0 and (count := fewest[rest]) is not None and count + 1 == fewest[total]:
                yield width
                total = rest
                break


def spread(boards: Sequence[Fraction]) -> tuple[Fraction, ...]:
    """Return boards in an order in which each width is spread evenly over the panel, wide ones before narrow ones."""
    places = [
        (Fraction(2 * number + 1, 2 * count), -width)
        for width, count in Counter(boards).items()
        for number in range(count)
    ]
    return tuple(-width for _, width in sorted(places))


def _ends_first(boards: Sequence[Fraction], left: Fraction, right: Fraction) -> tuple[Fraction, ...]:
    """Return the boards with these two at the ends, the others in their order."""
    between = list(boards)
    between.remove(left)
    between.remove(right)
    return (left, *between, right)
