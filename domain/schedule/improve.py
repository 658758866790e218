"""Makes a schedule better by trying other orders; the same for the same seed."""

from collections.abc import Callable, Iterator
from fractions import Fraction

from domain.schedule.anneal import better_priorities
from domain.schedule.generate import Generator
from domain.schedule.orders import better_orders
from domain.schedule.plain import plain_of, schedule_of
from domain.schedule.problem import NoRoom, Problem
from domain.schedule.schedule import Aim, Schedule


def improve(
    problem: Problem,
    start: Schedule,
    *,
    aim: Aim = Aim.SOONEST,
    seed: int = 0,
    rounds: int = 1000,
    by_rule: bool = True,
    stop: Callable[[], bool] = lambda: False,
) -> Iterator[tuple[Schedule, Fraction]]:
    """Yield each better schedule and how far along the search is, 0 to 1.

    rounds: schedules made; by_rule: orders by rule are tried first; stop: asked between them.
    """
    if (plain := plain_of(problem)) is not None:
        for starts, made in better_orders(plain, list(start.start), seed, rounds, stop):
            try:
                yield schedule_of(problem, plain, starts), Fraction(made, rounds)
            except NoRoom:
                continue
        return
    for schedule, made in better_priorities(Generator(problem), start, aim, seed, rounds, stop, by_rule=by_rule):
        yield schedule, Fraction(made, rounds)
