"""How good a schedule is: windows missed, lateness, then finishing soon or working in peace."""

from collections.abc import Sequence
from itertools import pairwise

from domain.schedule.problem import Mode, Problem
from domain.schedule.schedule import Aim, Cost, Schedule, job_finishes


def cost(problem: Problem, schedule: Schedule, aim: Aim = Aim.SOONEST) -> Cost:
    """Return what is wrong with a schedule; of two, the lesser is the better plan."""
    finishes = job_finishes(problem, schedule)
    late = sum(
        job.weight * (finish - job.due)
        for job, finish in zip(problem.jobs, finishes, strict=True)
        if job.due is not None and finish > job.due
    )
    soon, calm = sum(finishes), unrest(problem, schedule)
    first, second = (soon, calm) if aim is Aim.SOONEST else (calm, soon)
    return Cost(len(schedule.broken), late, first, second)


def unrest(problem: Problem, schedule: Schedule) -> int:
    """Return how often somebody is torn from one job to another, and how often a stretch of work is left half empty.

    Each change of job between two activities of a person counts 2, each idle gap between two activities within one
    stretch of that person's calendar counts 1.
    """
    by_person: list[list[int]] = [[] for _ in problem.people]
    for number, team in enumerate(schedule.team):
        activity = problem.activities[number]
        if activity.mode is not Mode.PASSIVE and not activity.fact:
            for person in team:
                by_person[person].append(number)
    return sum(_unrest_of(problem, schedule, person, numbers) for person, numbers in enumerate(by_person))


def _unrest_of(problem: Problem, schedule: Schedule, person: int, numbers: Sequence[int]) -> int:
    start, finish, activities = schedule.start, schedule.finish, problem.activities
    order = sorted(numbers, key=start.__getitem__)  # numbers come in order, so what begins at once stays in it
    stretches = problem.calendars[problem.people[person].calendar].stretches
    found, at, last = 0, 0, len(stretches) - 1
    for before, after in pairwise(order):
        if activities[before].job != activities[after].job:
            found += 2
        ends, begins = finish[before], start[after]
        if begins > ends:
            while at < last and stretches[at][1] < ends:
                at += 1
            found += at <= last and begins < stretches[at][1]
    return found
