"""A new plan that moves as little of the one people follow as it can, and costs nobody a day."""

from collections.abc import Iterator
from dataclasses import replace

from domain.plan.model import Model
from domain.plan.possible import possible
from domain.schedule.check import violations
from domain.schedule.cost import cost
from domain.schedule.generate import first
from domain.schedule.part import missed
from domain.schedule.problem import Mode, NoRoom
from domain.schedule.schedule import Schedule, job_finishes

DAY = 1440
"""A later finish than this is none that steadiness is worth [min]."""


def as_it_was(made: Model, before: Schedule, may_miss: int) -> Schedule | None:
    """Return the schedule of before with what has happened since, if it is still right; else None.

    may_miss: so many windows it missed as it was.
    """
    activities = made.problem.activities
    start, finish, team = list(before.start), list(before.finish), list(before.team)
    for number, activity in enumerate(activities):
        if (fact := activity.fact) is not None:
            start[number], finish[number], team[number] = fact.start, fact.finish, fact.team
        elif start[number] < made.problem.now or start[number] >= made.problem.horizon:
            return None
    broken = tuple(missed(made.problem, start, finish))
    if len(broken) > may_miss or not all(_is_window(made, number) for number in broken):
        return None
    schedule = Schedule(tuple(start), tuple(finish), tuple(team), broken)
    return None if violations(made.problem, schedule) else schedule


def steadiest(made: Model, best: Schedule, before: Schedule, may_miss: int) -> Schedule:
    """Return the schedule nearest to the one before that misses no more windows, is no later and costs no job a day.

    best: how good a plan can be made without looking at the one before.
    """
    for found in _near(made, before, may_miss):
        if _is_as_good(made, found, best, before):
            return found
    return best


def _near(made: Model, before: Schedule, may_miss: int) -> Iterator[Schedule]:
    """Yield schedules near one, the nearest first: as it was, then nothing sooner, then in the same order."""
    if (same := as_it_was(made, before, may_miss)) is not None:
        yield same
    problem = possible(made)
    held = tuple(
        activity
        if activity.mode is Mode.PASSIVE or activity.fact is not None or before.start[number] >= problem.horizon
        else replace(activity, earliest=max(activity.earliest, before.start[number]))
        for number, activity in enumerate(problem.activities)
    )
    for asked in (replace(problem, activities=held), problem):
        try:
            found = first(asked, kept=before)
        except NoRoom:
            continue
        yield replace(found, broken=missed(made.problem, found.start, found.finish))


def _is_as_good(made: Model, found: Schedule, best: Schedule, before: Schedule) -> bool:
    """Whether a schedule keeps as many windows and promises, and no job loses a day by it that others do not win.

    What counts are the jobs that were planned before.
    """
    problem = made.problem
    here, there = cost(problem, found), cost(problem, best)
    if here.broken > there.broken or here.late > there.late:
        return False
    day = DAY // made.grid.slot
    known = {
        activity.job
        for activity, start in zip(problem.activities, before.start, strict=True)
        if activity.fact is None and start < problem.horizon
    }
    finishes = list(zip(job_finishes(problem, found), job_finishes(problem, best), strict=True))
    lost = [finishes[job][0] - finishes[job][1] for job in known]
    return all(slots < day for slots in lost) or sum(lost) < 0


def _is_window(made: Model, number: int) -> bool:
    return made.links[number][1].at_most is not None
