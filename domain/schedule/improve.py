"""Makes a schedule better by trying other orders; the same for the same seed."""

from collections.abc import Callable, Iterator
from fractions import Fraction

from domain.schedule.problem import Problem
from domain.schedule.schedule import Aim, Schedule


def improve(
    problem: Problem,
    start: Schedule,
    *,
    aim: Aim = Aim.SOONEST,
    seed: int = 0,
    rounds: int = 1000,
    stop: Callable[[], bool] = lambda: False,
) -> Iterator[tuple[Schedule, Fraction]]:
    """Yield each better schedule and how far along the search is, 0 to 1.

    rounds: schedules made; stop: asked between them.
    """
    raise NotImplementedError
