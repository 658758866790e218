"""Finishes that no schedule can beat, and what they follow from.

A finish is tried: if the windows it leaves are too narrow for the hands, the places or the air there are, it cannot be
had, and the next slot is tried. Source: R. Klein, A. Scholl, Computing lower bounds by destructive improvement,
European Journal of Operational Research 112, 1999, 322-346, from memory.
"""

from dataclasses import replace
from itertools import product

from domain.schedule.energy import Load, overfull, people_loads, resource_loads
from domain.schedule.hours import hours_of
from domain.schedule.problem import Mode, NoRoom, Problem, Side
from domain.schedule.schedule import Bound, Limit
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


def alone(problem: Problem, job: int) -> tuple[Problem, list[int]]:
    """Return one job as a problem of its own, and what its activities are called in the whole."""
    numbers = [number for number, activity in enumerate(problem.activities) if activity.job == job]
    own = {number: at for at, number in enumerate(numbers)}
    small = replace(
        problem,
        activities=tuple(replace(problem.activities[number], job=0) for number in numbers),
        lags=tuple(
            replace(lag, before=own[lag.before], after=own[lag.after])
            for lag in problem.lags
            if lag.before in own and lag.after in own
        ),
        holds=tuple(
            replace(hold, first=own[hold.first], last=own[hold.last])
            for hold in problem.holds
            if hold.first in own and hold.last in own
        ),
        airs=tuple(
            replace(air, first=own[air.first], last=own[air.last])
            for air in problem.airs
            if air.first in own and air.last in own
        ),
        jobs=(problem.jobs[job],),
    )
    return small, numbers


class _Alone:
    """One job while a finish is sought that cannot be beaten."""

    def __init__(self, problem: Problem, job: int) -> None:
        self.job = job
        self.problem, self.numbers = alone(problem, job)
        self.timing = timing_of(self.problem)
        self.people = people_loads(self.problem, self.timing)
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
            else:
                low, why, step = tried, refuted, 2 * step
        if low < links.slot:
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


def labour_total(problem: Problem) -> int:
    """Return what the sum of the finishes of all jobs cannot be less than [slots].

    All people together are taken as one who works on the job with the least left to do. Source: L. Schrage, A proof of
    the optimality of the shortest remaining processing time discipline, Operations Research 16, 1968, 687-690.
    """
    each = link_bounds(problem)
    timing = timing_of(problem)
    earliest = timing.earliest()
    hours = [hours_of(problem.calendars[person.calendar]) for person in problem.people]
    comes: dict[int, int] = {}
    work: dict[int, int] = {}
    for number, activity in enumerate(problem.activities):
        is_work = activity.mode is not Mode.PASSIVE and activity.crew > 0 and activity.work > 0
        if is_work and activity.counts and activity.fact is None and activity.pinned is None:
            start = earliest.start[number]
            comes[activity.job] = min(start, comes.get(activity.job, start))
            work[activity.job] = work.get(activity.job, 0) + activity.work * activity.crew
    finished = _shortest_first({job: sum(one.passed(slot) for one in hours) for job, slot in comes.items()}, work)
    total = sum(each[job].slot for job in range(len(problem.jobs)) if job not in finished)
    for passed in finished.values():
        low, high = 0, problem.horizon
        while low < high:
            middle = (low + high) // 2
            if sum(one.passed(middle) for one in hours) >= passed:
                high = middle
            else:
                low = middle + 1
        total += low
    return max(total, sum(bound.slot for bound in each))


def _shortest_first(comes: dict[int, int], work: dict[int, int]) -> dict[int, int]:
    """Return when each job is done if the one with least left is always worked on."""
    left, done, now = dict(work), dict[int, int](), 0
    while left:
        there = [job for job in left if comes[job] <= now]
        if not there:
            now = min(comes[job] for job in left)
            continue
        job = min(there, key=lambda job: (left[job], job))
        others = [comes[other] for other in left if comes[other] > now]
        spent = min(left[job], min(others) - now) if others else left[job]
        now += spent
        left[job] -= spent
        if not left[job]:
            del left[job]
            done[job] = now
    return done
