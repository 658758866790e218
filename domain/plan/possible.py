"""Windows that contradict one another, whoever is free: the one whose loss does least harm is given up."""

from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache

from domain.plan.model import Model
from domain.schedule.problem import Job, NoRoom, Problem
from domain.schedule.timing import Contradiction, Timing


def possible(made: Model) -> Problem:
    """Return the problem without the windows that no hours could ever keep open together; as few as found."""
    given_up = contradicted(made)
    if not given_up:
        return made.problem
    lags = (replace(lag, most=None) if at in given_up else lag for at, lag in enumerate(made.problem.lags))
    return replace(made.problem, lags=tuple(lags))


def contradicted(made: Model) -> frozenset[int]:
    """Return windows, by lag number, without which the hours alone let the others be kept open; as few as found."""
    found: set[int] = set()
    for lags in _rows(made):
        small = _alone(made, lags)
        harm = tuple(_bears_missing(made, number) for number in lags)
        found.update(lags[place] for place in _given_up(small, harm))
    return frozenset(found)


def _rows(made: Model) -> list[list[int]]:
    """Return the lags between tasks that windows join, row by row; a window alone contradicts nothing but itself."""
    problem = made.problem
    root: dict[int, int] = {}

    def top(number: int) -> int:
        while root.setdefault(number, number) != number:
            number = root[number]
        return number

    for number, lag in enumerate(problem.lags):
        if lag.most is not None and made.links[number][1].at_most is not None:
            root[top(lag.before)] = top(lag.after)
    rows: dict[int, list[int]] = {}
    for number, lag in enumerate(problem.lags):
        if lag.before in root and lag.after in root and top(lag.before) == top(lag.after):
            rows.setdefault(top(lag.before), []).append(number)
    return list(rows.values())


def _alone(made: Model, lags: Sequence[int]) -> Problem:
    """Return the problem of a row of lags and the tasks they join, as if there was nothing else."""
    problem = made.problem
    own = sorted({end for number in lags for end in (problem.lags[number].before, problem.lags[number].after)})
    at = {number: place for place, number in enumerate(own)}
    return replace(
        problem,
        activities=tuple(replace(problem.activities[number], job=0) for number in own),
        lags=tuple(
            replace(problem.lags[number], before=at[problem.lags[number].before], after=at[problem.lags[number].after])
            for number in lags
        ),
        holds=(),
        airs=(),
        resources=(),
        jobs=(Job(),),
    )


@lru_cache(maxsize=512)
def _given_up(alone: Problem, harm: tuple[tuple[bool, bool, int], ...]) -> tuple[int, ...]:
    """Return the windows of a row to give up, by their place in it, until the others can be kept open."""
    given_up: list[int] = []
    while True:
        try:
            Timing(alone, given_up).earliest()
        except Contradiction as found:
            windows = [place for place in found.lags if harm[place][0] and place not in given_up]
            if not windows:
                break
            given_up.append(max(windows, key=lambda place: harm[place]))
        except NoRoom:
            break
        else:
            break
    return tuple(given_up)


def _bears_missing(made: Model, number: int) -> tuple[bool, bool, int]:
    """Return whether a lag is a window, and how little harm it does missed: the last of a row, best if it is known
    what it takes then.
    """
    key, link = made.links[number]
    return link.at_most is not None, bool(link.if_missed), made.number[key]
