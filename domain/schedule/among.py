"""A job among the others: they stand where they are, and only what is near in time is looked at."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass, replace
from itertools import pairwise

from domain.schedule.bound import timing_of
from domain.schedule.part import missed
from domain.schedule.problem import Activity, Fact, Problem
from domain.schedule.schedule import Schedule
from domain.schedule.tied import Part, alone


@dataclass(slots=True)
class Standing:
    """Where activities stand; there: which do, the others are as if nobody had asked for them yet."""

    start: list[int]
    finish: list[int]
    team: list[tuple[int, ...]]
    there: list[bool]

    @classmethod
    def of(cls, schedule: Schedule, there: Iterable[bool]) -> "Standing":
        return cls(list(schedule.start), list(schedule.finish), list(schedule.team), list(there))

    def take(self, part: Part, found: Schedule) -> None:
        """Let the activities of a part stand where a schedule of it has them."""
        for at, number in enumerate(part.activities):
            self.start[number], self.finish[number] = found.start[at], found.finish[at]
            self.team[number], self.there[number] = found.team[at], True

    def schedule(self, problem: Problem) -> Schedule:
        """Return all of it as a schedule of the problem."""
        broken = missed(problem, self.start, self.finish)
        return Schedule(tuple(self.start), tuple(self.finish), tuple(self.team), broken)

    def copy(self) -> "Standing":
        return Standing(list(self.start), list(self.finish), list(self.team), list(self.there))


class Neighbours:
    """What jobs of a problem have to do with one another in time and by what joins them; found once.

    of_job: activities of each that have not happened; begun: jobs that hold something from before now on.
    """

    def __init__(self, problem: Problem) -> None:
        self.problem, activities = problem, problem.activities
        self._earliest = timing_of(problem).earliest().start
        self.of_job: list[list[int]] = [[] for _ in problem.jobs]
        for number, activity in enumerate(activities):
            if activity.fact is None:
                self.of_job[activity.job].append(number)
        self._spans = [(hold.first, hold.last, hold.spare) for hold in problem.holds]
        self._spans += [(air.first, air.last, air.spare) for air in problem.airs]
        self.begun = {
            activities[last].job
            for first, last, _ in self._spans
            if activities[first].fact is not None and activities[last].fact is None
        }
        joined = [(lag.before, lag.after) for lag in problem.lags] + [(first, last) for first, last, _ in self._spans]
        self._across = [pair for pair in joined if activities[pair[0]].job != activities[pair[1]].job]

    def groups(self) -> list[list[int]]:
        """Return the jobs that have anything to place, those together that must be: joined to one another, or begun."""
        group = list(range(len(self.of_job)))
        pairs = [(self.problem.activities[one].job, self.problem.activities[other].job) for one, other in self._across]
        for one, other in (*pairs, *pairwise(sorted(self.begun))):
            old, new = group[one], group[other]
            group = [new if number == old else number for number in group]
        found: dict[int, list[int]] = {}
        for job, number in enumerate(group):
            if self.of_job[job]:
                found.setdefault(number, []).append(job)
        return list(found.values())

    def part(self, standing: Standing, jobs: Collection[int]) -> Part:
        """Return the problem of some jobs, all else that is there and lasts until they can begin made facts."""
        problem = self.problem
        free = {number for job in jobs for number in self.of_job[job]}
        begins = min((self._earliest[number] for number in free), default=problem.now)
        near = {number for number, end in enumerate(standing.finish) if end > begins}
        for first, last, spare in self._spans:
            if standing.finish[last] + spare > begins:
                near |= {first, last}
        for one, other in self._across:
            if (one in free) is not (other in free):
                near |= {one, other}
        chosen = free | {number for number in near if standing.there[number]}
        part = alone(problem, chosen)
        stays = tuple(
            activity if number in free else _fact(activity, standing, number)
            for number, activity in zip(part.activities, part.problem.activities, strict=True)
        )
        return replace(part, problem=replace(part.problem, activities=stays))


def _fact(activity: Activity, standing: Standing, number: int) -> Activity:
    return replace(activity, fact=Fact(standing.start[number], standing.finish[number], standing.team[number]))
