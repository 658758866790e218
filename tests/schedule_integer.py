"""The best schedule of a small problem by an integer program, a yes or no per place of each activity.

Source of the program: A. Pritsker, L. Watters, P. Wolfe, Multiproject scheduling with limited resources: a zero-one
programming approach, Management Science 16, 1969, 93-108; solved by HiGHS through SciPy. Shares no code with planner
and checker; facts are left out.
"""

from collections.abc import Iterator, Sequence

import numpy as np
from scipy.optimize import LinearConstraint, milp

from domain.schedule.problem import Problem, Side
from schedule_slots import Place, places

Row = tuple[dict[int, float], float, float]
"""Factors by variable, the least and the most of their sum."""


def soonest(problem: Problem, last: int) -> int | None:
    """Return the soonest finish of a problem in which all counts, missing no window; None if none is in time."""
    every = [list(places(problem, number, last)) for number in range(len(problem.activities))]
    if not all(every):
        return None
    first = [sum(map(len, every[:number])) for number in range(len(every))]
    many = sum(map(len, every)) + 1
    rows = list(_rows(problem, every, first, last))
    matrix = np.zeros((len(rows), many))
    for at, (factors, _, _) in enumerate(rows):
        for column, factor in factors.items():
            matrix[at, column] += factor
    aim = np.zeros(many)
    aim[-1] = 1
    limits = LinearConstraint(matrix, [low for _, low, _ in rows], [high for _, _, high in rows])
    upper = np.ones(many)
    upper[-1] = last
    found = milp(aim, constraints=limits, integrality=np.ones(many), bounds=(0, upper))
    return round(found.fun) if found.success else None


def _rows(problem: Problem, every: Sequence[Sequence[Place]], first: Sequence[int], last: int) -> Iterator[Row]:
    end = sum(map(len, every))

    def held(start_of: int, finish_of: int, spare: int, slot: int) -> dict[int, float]:
        """Return what adds up to 1 while something lasts from a start to a finish and so many slots longer."""
        factors: dict[int, float] = {}
        for at, (start, _, _) in enumerate(every[start_of]):
            if start <= slot:
                factors[first[start_of] + at] = factors.get(first[start_of] + at, 0) + 1
        for at, (_, finish, _) in enumerate(every[finish_of]):
            if finish + spare <= slot:
                factors[first[finish_of] + at] = factors.get(first[finish_of] + at, 0) - 1
        return factors

    for number, own in enumerate(every):
        yield {first[number] + at: 1.0 for at in range(len(own))}, 1, 1
        yield {end: 1.0} | {first[number] + at: -float(place[1]) for at, place in enumerate(own)}, 0, np.inf
    for lag in problem.lags:
        opened = range(last + 1)
        if lag.calendar is not None:
            stretches = problem.calendars[lag.calendar].stretches
            opened = [sum(min(max(slot - o, 0), c - o) for o, c in stretches) for slot in range(last + 1)]  # type: ignore
        factors: dict[int, float] = {}
        for at, place in enumerate(every[lag.after]):
            factors[first[lag.after] + at] = opened[place[lag.to_finish]]
        for at, place in enumerate(every[lag.before]):
            factors[first[lag.before] + at] = -opened[place[not lag.from_start]]
        low = -np.inf if lag.least is None else lag.least
        yield factors, low, np.inf if lag.most is None else lag.most
    longest = max((thing.spare for thing in (*problem.holds, *problem.airs)), default=0)
    for slot in range(last + longest + 1):
        for which, resource in enumerate(problem.resources):
            factors = {}
            for hold in problem.holds:
                if hold.resource == which:
                    for column, factor in held(hold.first, hold.last, hold.spare, slot).items():
                        factors[column] = factors.get(column, 0) + hold.amount * factor
            yield factors, -np.inf, resource.capacity
        for person in range(len(problem.people)):
            yield (
                {
                    first[number] + at: 1.0
                    for number, own in enumerate(every)
                    for at, (start, finish, team) in enumerate(own)
                    if person in team and start <= slot < finish
                },
                -np.inf,
                1,
            )
        for dust in problem.airs:
            for wet in problem.airs:
                if dust.side is Side.DUST and wet.side is Side.WET and dust.room == wet.room:
                    factors = held(dust.first, dust.last, dust.spare, slot)
                    for column, factor in held(wet.first, wet.last, wet.spare, slot).items():
                        factors[column] = factors.get(column, 0) + factor
                    yield factors, -np.inf, 1
