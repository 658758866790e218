"""Jobs placed one after the other: each finds its place among those placed before it, the rest as if not asked for.

A book of thirty jobs is too much to be looked at as a whole again and again; one job among its neighbours is not.
"""

from collections.abc import Iterator, Sequence
from contextlib import suppress
from itertools import pairwise

from domain.schedule.among import Neighbours, Standing
from domain.schedule.cost import cost
from domain.schedule.generate import Generator
from domain.schedule.priority import rules
from domain.schedule.problem import NoRoom, Problem
from domain.schedule.schedule import Aim, Bound, Cost, Schedule, job_finishes
from domain.schedule.tied import Part


class Insertion:
    """Places jobs of a problem among others."""

    def __init__(self, problem: Problem, aim: Aim) -> None:
        self.problem, self.aim = problem, aim
        self.neighbours = Neighbours(problem)

    def order(self, bounds: Sequence[Bound]) -> list[list[int]]:
        """Return the jobs in the order to place them: the first due first, what has no date by when it can be done.

        Those come first that hold something from before now on: until when is seen only once they are placed.
        """

        def urgent(job: int) -> tuple[int, int, int]:
            due, soonest = self.problem.jobs[job].due, bounds[job].slot
            return soonest if due is None else due, soonest, job

        begun = self.neighbours.begun
        groups = [sorted(group, key=urgent) for group in self.neighbours.groups()]
        return sorted(groups, key=lambda group: (begun.isdisjoint(group), urgent(group[0])))

    def nothing(self, schedule: Schedule) -> Standing:
        """Return what stands before any job is placed: what has happened, and what is pinned."""
        stays = [one.fact is not None or one.pinned is not None for one in self.problem.activities]
        return Standing.of(schedule, stays)

    def found(self, standing: Standing, jobs: Sequence[int]) -> tuple[Part, Schedule]:
        """Return a good place for jobs among what stands: by rule, or in the order they had. Raises NoRoom."""
        part = self.neighbours.part(standing, jobs)
        generator = Generator(part.problem)
        best: tuple[Cost, Schedule] | None = None
        before = [float(standing.start[number]) for number in part.activities]
        for keys in (before, *rules(generator.prepared)):
            with suppress(NoRoom):
                schedule = generator.schedule(keys, loose=True)
                price = cost(part.problem, schedule, self.aim)
                if best is None or price < best[0]:
                    best = price, schedule
        if best is None:
            raise NoRoom
        return part, best[1]

    def rest(self, standing: Standing, jobs: Sequence[int]) -> Schedule:
        """Return the whole schedule with jobs that do not stand yet placed in the order they have. Raises NoRoom."""
        whole = standing.copy()
        if jobs:
            part = self.neighbours.part(standing, jobs)
            keys = [float(standing.start[number]) for number in part.activities]
            whole.take(part, Generator(part.problem).schedule(keys, loose=True))
        return whole.schedule(self.problem)


def late_first(problem: Problem, schedule: Schedule, bounds: Sequence[Bound]) -> list[int]:
    """Return the jobs, those that are late or farthest from their bound first."""
    finishes = job_finishes(problem, schedule)

    def lost(job: int) -> tuple[int, int, int]:
        due = problem.jobs[job].due
        late = 0 if due is None else max(0, finishes[job] - due) * problem.jobs[job].weight
        return -late, bounds[job].slot - finishes[job], job

    return sorted(range(len(finishes)), key=lost)


def side_by_side(problem: Problem, schedule: Schedule) -> Iterator[list[int]]:
    """Yield pairs of jobs that lie close to one another in time."""
    finishes = job_finishes(problem, schedule)
    for one, other in pairwise(sorted(range(len(finishes)), key=lambda job: (finishes[job], job))):
        yield [one, other]
