"""The most valuable pieces that fit in a row, none more often than it is wanted; in whole numbers."""

from collections.abc import Sequence
from dataclasses import dataclass

MOST_ROOM = 12_000
"""Lengths up to so many units are gone through unit by unit."""

MOST_NODES = 20_000
"""Choices looked at where the length is too long for that."""


@dataclass(frozen=True, slots=True)
class Item:
    which: int
    size: int
    value: int
    count: int


@dataclass(frozen=True, slots=True)
class Best:
    """used: pairs of piece and how many; value: of them; most: what no choice is worth more than."""

    used: tuple[tuple[int, int], ...]
    value: int
    most: int


def knapsack(items: Sequence[Item], room: int) -> Best:
    """Return the best choice; most is its very value unless the length is long and the choice hard."""
    able = [item for item in items if item.value > 0 and item.size <= room and item.count > 0]
    if room <= MOST_ROOM:
        return _by_units(able, room)
    return _by_branches(sorted(able, key=lambda item: (-item.value / item.size, item.which)), room)


def _by_units(items: Sequence[Item], room: int) -> Best:
    """Return the best choice by dynamic programming over the length."""
    best, steps = [[0] * (room + 1)], list[tuple[Item, int]]()
    for item in items:
        many, step = min(item.count, room // item.size), 1
        while many > 0:
            step = min(step, many)
            now, size, value = best[-1], item.size * step, item.value * step
            best.append(now[:size] + list(map(max, now[size:], [have + value for have in now[: len(now) - size]])))
            steps.append((item, step))
            many -= step
            step *= 2
    used: dict[int, int] = {}
    left = room
    for at in range(len(steps), 0, -1):
        if best[at][left] != best[at - 1][left]:
            item, step = steps[at - 1]
            used[item.which] = used.get(item.which, 0) + step
            left -= item.size * step
    return Best(tuple(sorted(used.items())), best[-1][room], best[-1][room])


def _by_branches(items: Sequence[Item], room: int) -> Best:
    """Return the best choice by branch and bound, most of the most valuable by length first.

    Source: S. Martello, P. Toth, Knapsack Problems, 1990, section 3.6, for bounded knapsacks, in its plainest form.
    """
    best_value, best_used, nodes = 0, list[int](), 0
    taken = [0] * len(items)
    top = _part(items, 0, room)
    at, left, value = 0, room, 0
    while True:
        while at < len(items) and value + _part(items, at, left) > best_value:
            taken[at] = min(items[at].count, left // items[at].size)
            left -= taken[at] * items[at].size
            value += taken[at] * items[at].value
            at += 1
            nodes += 1
        if value > best_value:
            best_value, best_used = value, taken[:at]
        at -= 1
        while at >= 0 and not taken[at]:
            at -= 1
        if at < 0 or nodes > MOST_NODES:
            break
        taken[at] -= 1
        left += items[at].size
        value -= items[at].value
        at += 1
    used = sorted((item.which, many) for item, many in zip(items, best_used, strict=False) if many)
    return Best(tuple(used), best_value, best_value if nodes <= MOST_NODES else top)


def _part(items: Sequence[Item], begin: int, room: int) -> int:
    """Return the value where the last piece could be taken in part, rounded down."""
    value = 0
    for item in items[begin:]:
        many = min(item.count, room // item.size)
        value += many * item.value
        room -= many * item.size
        if many < item.count:
            return value + room * item.value // item.size
    return value
