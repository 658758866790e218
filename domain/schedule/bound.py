"""Finishes that no schedule can beat, and what they follow from.

A finish is tried: if the windows it leaves are too narrow for the hands, the places or the air there are, it cannot be
had, and the next slot is tried. Source: R. Klein, A. Scholl, Computing lower bounds by destructive improvement,
European Journal of Operational Research 112, 1999, 322-346, from memory.
"""

from dataclasses import replace
from itertools import product

from domain.schedule.energy import Load, overfull, people_loads, resource_loads
from domain.schedule.problem import NoRoom, Problem, Side
from domain.schedule.schedule import Bound, Limit
from domain.schedule.tied import alone
from domain.schedule.timing import Contradiction, Timing, Windows


def bounds(problem: Problem) -> tuple[Bound, ...]:
    """Return for each job the greatest finish that no schedule of it can beat, the other jobs left out.

    Windows that need not be missed are kept by all of them. Raises Contradiction and NoRoom, as windows does.
    """
    return tuple(_Alone(problem, job).bound() for job in range(len(problem.jobs)))


def link_bounds(problem: Problem) -> tuple[Bound, ...]:
    """Return the same by calendars and lags alone: at once."""
    earliest = timing_of(problem).earliest()
    ends: dict[int, tuple[int, int]] = {}
    for number, activity in enumerate(problem.activities):
        if activity.counts:
            ends[activity.job] = max(ends.get(activity.job, (-1, -1)), (earliest.finish[number], number))
    return tuple(
        Bound(job, ends[job][0], Limit.LINKS, chain=tuple(earliest.chain(ends[job][1])[1]))
        if job in ends
        else Bound(job, 0, Limit.LINKS)
        for job in range(len(problem.jobs))
    )


def timing_of(problem: Problem) -> Timing:
    """Return the limits of a problem; where they contradict one another, without the windows that may be missed."""
    timing = Timing(problem)
    try:
        timing.earliest()
    except Contradiction:
        timing = Timing(problem, [number for number, lag in enumerate(problem.lags) if lag.most is not None])
    return timing


def of_job(problem: Problem, job: int) -> tuple[Problem, tuple[int, ...]]:
    """Return one job as a problem of its own, and what its activities are called in the whole."""
    part = alone(problem, [number for number, activity in enumerate(problem.activities) if activity.job == job])
    activities = tuple(replace(activity, job=0) for activity in part.problem.activities)
    return replace(part.problem, activities=activities, jobs=(problem.jobs[job],)), part.activities


class _Alone:
    """One job while a finish is sought that cannot be beaten."""

    def __init__(self, problem: Problem, job: int) -> None:
        self.job = job
        self.problem, self.numbers = of_job(problem, job)
        self.timing = timing_of(self.problem)
        self.people = people_loads(self.problem)
        self.resources = resource_loads(self.problem)

    def bound(self) -> Bound:
        if not any(activity.counts for activity in self.problem.activities):
            return Bound(self.job, 0, Limit.LINKS)
        (links,) = link_bounds(self.problem)
        why: tuple[Limit, int | None] = Limit.LINKS, None
        low, step = links.slot - 1, 1
        high: int | None = None
        while high is None or high - low > 1:
            tried = low + step if high is None else (low + high) // 2
            refuted = self._refuted(tried)
            if refuted is None:
                high = tried
            elif tried >= self.problem.horizon:
                break  # it holds of every finish, so of none in particular: facts ask for more than there is
            else:
                low, why, step = tried, refuted, 2 * step
        if high is None or low < links.slot:
            return replace(links, job=self.job, chain=tuple(self.numbers[at] for at in links.chain))
        return Bound(self.job, low + 1, why[0], why[1])

    def _refuted(self, finish: int) -> tuple[Limit, int | None] | None:
        """Return why a job cannot be finished by a slot; None where nothing says so."""
        try:
            windows = self.timing.windows((finish,))
        except Contradiction:
            return Limit.LINKS, None
        except NoRoom:
            return None
        return (
            _of(Limit.PEOPLE, overfull(self.people, windows))
            or _of(Limit.RESOURCE, overfull(self.resources, windows))
            or (self._stifled(windows) and (Limit.AIR, None))
            or None
        )

    def _stifled(self, windows: Windows) -> bool:
        """Whether dust and wet finish of a room cannot keep out of each other's way, whichever comes first."""
        airs, activities = self.problem.airs, self.problem.activities
        dust = [air for air in airs if air.side is Side.DUST and activities[air.first].fact is None]
        wet = [air for air in airs if air.side is Side.WET and activities[air.first].fact is None]
        return any(
            windows.earliest_finish[one.last] + one.spare > windows.latest_start[other.first]
            and windows.earliest_finish[other.last] + other.spare > windows.latest_start[one.first]
            and activities[one.first].work + one.spare > 0
            and activities[other.first].work + other.spare > 0
            for one, other in product(dust, wet)
            if one.room == other.room
        )


def _of(limit: Limit, found: Load | None) -> tuple[Limit, int | None] | None:
    return None if found is None else (limit, found.which)
