"""The critical path in plain minutes: earliest and latest times, total and free float, rings found and named.

domain/task_times.py finds the same on two clocks, with shop hours and what really happened.
"""

from collections.abc import Iterable, Sequence
from typing import NamedTuple

Lag = tuple[int, int, int]
"""Task `before` by its number, task `after` by its number, at least so long from finish to start."""


class Times(NamedTuple):
    """Earliest and latest times of numbered tasks, and what they may slip."""

    early_start: list[int]
    early_finish: list[int]
    late_start: list[int]
    late_finish: list[int]
    total_float: list[int]
    free_float: list[int]


class Cycle(ValueError):
    """Tasks that wait for each other. around: their numbers, each before the next, the last before the first."""

    def __init__(self, around: Sequence[int], names: Sequence[str] = ()) -> None:
        self.around = tuple(around)
        self.names = tuple(names)
        super().__init__(cycle_words(names or [f"task {number}" for number in around]))


def cycle_words(names: Sequence[str]) -> str:
    """Return what to tell a person about tasks that wait for each other, given in order."""
    if len(names) == 1:
        return f"“{names[0]}” would wait for itself. Take that link away."
    ring = " → ".join(f"“{name}”" for name in (*names, names[0]))
    return f"These tasks would wait for each other: {ring}. Take one of the links away."


def critical_path(durations: Sequence[int], lags: Iterable[Lag]) -> Times:
    """Return the earliest and latest times of tasks that start at 0, the latest so that the last is not later.

    Raises Cycle when tasks wait for each other.
    """
    after, waits = _followers(len(durations), lags)
    early_start = [0] * len(durations)
    early_finish = list(durations)
    order = [number for number, count in enumerate(waits) if not count]
    for number in order:
        finish = early_finish[number] = early_start[number] + durations[number]
        for _, then, at_least in after[number]:
            if finish + at_least > early_start[then]:
                early_start[then] = finish + at_least
            waits[then] -= 1
            if not waits[then]:
                order.append(then)
    if len(order) < len(durations):
        raise Cycle(_around(after, waits))
    end = max(early_finish, default=0)
    late_start, late_finish, free = [0] * len(durations), [end] * len(durations), [0] * len(durations)
    for number in reversed(order):
        late = soonest = end
        for _, then, at_least in after[number]:
            if late_start[then] - at_least < late:
                late = late_start[then] - at_least
            if early_start[then] - at_least < soonest:
                soonest = early_start[then] - at_least
        late_finish[number], late_start[number] = late, late - durations[number]
        free[number] = soonest - early_finish[number]
    total = [late - early for late, early in zip(late_start, early_start, strict=True)]
    return Times(early_start, early_finish, late_start, late_finish, total, free)


def in_order(count: int, lags: Iterable[Lag]) -> list[int]:
    """Return task numbers so that each stands after all it waits for.

    Raises Cycle when tasks wait for each other.
    """
    after, waits = _followers(count, lags)
    order = [number for number, waiting in enumerate(waits) if not waiting]
    for number in order:
        for _, then, _ in after[number]:
            waits[then] -= 1
            if not waits[then]:
                order.append(then)
    if len(order) < count:
        raise Cycle(_around(after, waits))
    return order


def _followers(count: int, lags: Iterable[Lag]) -> tuple[list[list[Lag]], list[int]]:
    """Return the lags that leave each task, and how many lead to each."""
    after: list[list[Lag]] = [[] for _ in range(count)]
    waits = [0] * count
    for lag in lags:
        after[lag[0]].append(lag)
        waits[lag[1]] += 1
    return after, waits


def _around(after: Sequence[Sequence[Lag]], waits: Sequence[int]) -> list[int]:
    """Return one ring among the tasks that still wait for another."""
    before: dict[int, int] = {}
    for number, followers in enumerate(after):
        if waits[number]:
            before.update((then, number) for _, then, _ in followers if waits[then])
    path = [next(iter(before))]
    while (number := before[path[-1]]) not in path:
        path.append(number)
    ring = path[path.index(number) :][::-1]
    first = ring.index(min(ring))
    return ring[first:] + ring[:first]
