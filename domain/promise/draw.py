"""Durations drawn from spreads: of each task so many, evenly over its distribution, in an order of its own."""

from bisect import bisect_left
from collections.abc import Sequence
from functools import lru_cache
from math import exp, log
from random import Random

from domain.promise.spread import Spread

STEPS = 512
"""Steps in which a distribution is added up; its quantiles are then right to better than a thousandth of its width."""


def draws(spreads: Sequence[Spread | None], count: int, *, seed: int) -> list[list[int]]:
    """Return for each of `count` cases a duration of every task, rounded to whole units. None: always 0.

    Each task's durations are the middles of `count` equally likely parts of its distribution, shuffled: a Latin
    hypercube. Source: McKay, Beckman, Conover, A Comparison of Three Methods for Selecting Values of Input Variables,
    Technometrics 21 (1979) 239-245.
    """
    random = Random(seed)
    columns = []
    for spread in spreads:
        column = _evenly(spread, count)
        random.shuffle(column)
        columns.append(column)
    return [list(case) for case in zip(*columns, strict=True)]


def _evenly(spread: Spread | None, count: int) -> list[int]:
    if spread is None:
        return [0] * count
    low, width = float(spread.best), float(spread.worst - spread.best)
    if not width:
        return [round(spread.usual)] * count
    first, second = spread.shape
    return [round(low + width * share) for share in _middles(float(first), float(second), count)]


@lru_cache(maxsize=256)
def _middles(first: float, second: float, count: int) -> tuple[float, ...]:
    """Return the middles of equally likely parts of the beta distribution with these shapes, from 0 to 1."""
    return tuple(quantile(first, second, (part + 0.5) / count) for part in range(count))


def quantile(first: float, second: float, share: float) -> float:
    """Return where a beta distribution has so much of itself below, 0 to 1. first, second: shapes of at least 1."""
    below = _added_up(first, second)
    at = min(max(bisect_left(below, share * below[-1]), 1), STEPS)
    less, more = below[at - 1], below[at]
    part = (share * below[-1] - less) / (more - less) if more > less else 0.0
    return (at - 1 + part) / STEPS


@lru_cache(maxsize=256)
def _added_up(first: float, second: float) -> tuple[float, ...]:
    """Return how much of a beta distribution lies below each step, not divided by the whole."""
    added, total = [0.0], 0.0
    for step in range(STEPS):
        middle = (step + 0.5) / STEPS
        total += exp((first - 1) * log(middle) + (second - 1) * log(1 - middle))
        added.append(total)
    return tuple(added)
