"""The least that boards cost, or their least number, when together they must hold so much weight."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from heapq import heappop, heappush
from math import ceil, gcd

MOST_NODES = 4000
"""Looked at before the least bound still open is taken, each for every stock."""


_Open = tuple[int, int, list[int], list[int], tuple[int, int] | None]


@dataclass(frozen=True, slots=True)
class Row:
    """So much weight is to be held. holds: the most that each stock can hold of it; why: where it comes from.

    plain: how easily that is seen, nothing for not easily.
    """

    need: int
    holds: tuple[int, ...]
    why: str
    plain: int = 0


@dataclass(frozen=True, slots=True)
class Least:
    """value: what no choice of boards can beat; row: the one that says so by itself, None where none is needed."""

    value: int
    row: Row | None


def least(rows: Sequence[Row], costs: Sequence[int], limits: Sequence[int]) -> Least | None:
    """Return the least cost of whole boards that holds all rows, or less; None where no boards hold them.

    By branch and bound, the least first, each row's boards taken in part where that costs least.
    """
    step = gcd(*costs) or 1
    ordered = [(row, _by_worth(row, costs)) for row in rows]
    low, forcing = _forced(rows, limits)
    if any(lower > limit for lower, limit in zip(low, limits, strict=True)):
        return None
    root = _node(ordered, costs, low, list(limits), step)
    if root is None:
        return None
    if root[1] is None:
        return Least(root[0], root[2] or forcing)
    heap: list[_Open] = [(root[0], 0, low, list(limits), root[1])]
    made, row = 0, root[2] or forcing
    while True:
        value, _, low, high, branch = heappop(heap)
        if branch is None or made * len(costs) >= MOST_NODES:
            return Least(value, row)
        at, taken = branch
        for lower, upper in ((low[at], taken), (taken + 1, high[at])):
            if lower <= upper:
                below = [*low[:at], lower, *low[at + 1 :]], [*high[:at], upper, *high[at + 1 :]]
                node = _node(ordered, costs, *below, step)
                if node is not None:
                    made += 1
                    heappush(heap, (max(value, node[0]), made, *below, node[1]))
        if not heap:
            return None


def _forced(rows: Sequence[Row], limits: Sequence[int]) -> tuple[list[int], Row | None]:
    """Return how many of each stock are needed even where all of the others are used, and the last row to say so."""
    low, last = [0] * len(limits), None
    for row in rows:
        most = sum(holds * limit for holds, limit in zip(row.holds, limits, strict=True))
        for at, (holds, limit) in enumerate(zip(row.holds, limits, strict=True)):
            rest = row.need - (most - holds * limit)
            if holds and rest > low[at] * holds:
                low[at], last = -(-rest // holds), row
    return low, last


def _by_worth(row: Row, costs: Sequence[int]) -> list[int]:
    able = [at for at, holds in enumerate(row.holds) if holds]
    return sorted(able, key=lambda at: (Fraction(costs[at], row.holds[at]), -row.holds[at], at))


def _node(
    rows: Sequence[tuple[Row, list[int]]], costs: Sequence[int], low: Sequence[int], high: Sequence[int], step: int
) -> tuple[int, tuple[int, int] | None, Row | None] | None:
    """Return the bound between the limits, the stock to branch on with how many whole ones are taken, and the row."""
    base = sum(cost * many for cost, many in zip(costs, low, strict=True))
    worst, branch, which = Fraction(base), None, None
    for row, order in rows:
        rest = row.need - sum(holds * many for holds, many in zip(row.holds, low, strict=True))
        if rest <= 0:
            continue
        found = _fractional(row, rest, costs, order, low, high)
        if found is None:
            return None
        value = base + found[0]
        if which is None or value > worst or (value == worst and branch is None):
            worst, branch, which = value, found[1], row
    return ceil(worst / step) * step, branch, which


def _fractional(
    row: Row, rest: int, costs: Sequence[int], order: Sequence[int], low: Sequence[int], high: Sequence[int]
) -> tuple[Fraction, tuple[int, int] | None] | None:
    """Return the least cost to hold the rest where boards may be taken in part, and the one that is taken in part."""
    value = Fraction(0)
    for at in order:
        if high[at] <= low[at]:
            continue
        whole, over = divmod(rest, row.holds[at])
        if whole < high[at] - low[at] or (whole == high[at] - low[at] and not over):
            part = (at, low[at] + whole) if over else None
            return value + Fraction(costs[at] * rest, row.holds[at]), part
        value += costs[at] * (high[at] - low[at])
        rest -= row.holds[at] * (high[at] - low[at])
    return None
