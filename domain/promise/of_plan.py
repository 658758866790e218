"""How sure the finishes of a plan are: its tasks' spreads, played through its people and hours."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from functools import lru_cache

from domain.plan.planned import Plan, PlannedTask
from domain.promise.learnt import Learnt
from domain.promise.odds import Odds, odds
from domain.promise.spread import Spread
from domain.schedule.problem import Problem
from domain.schedule.schedule import Schedule
from domain.shop_calendar import in_minutes
from domain.task import Clock, Task

TYPED = "typed with the task"
WORK, LEAST_REPLAYS, MOST_REPLAYS = 120_000, 200, 1000
"""How many activities are played in all: a big book of jobs is played fewer times."""


@dataclass(frozen=True, slots=True)
class Day:
    """A day a job may be finished on. share: of all cases in which it is this day; by: by its end."""

    on: date
    share: float
    by: float


@dataclass(frozen=True, slots=True)
class Swing:
    """A task that moves the finish when it takes long. minutes: how far, usually; planned: the task."""

    planned: PlannedTask
    minutes: int


@dataclass(frozen=True, slots=True)
class Promise:
    """How sure the finish of one job is. days: every day it was finished on, in order; planned_on: as planned;
    swings: what moves it most; hours, hours_most: hands-on hours still to come as planned, and what eight of ten
    cases stay within; replays: how many cases.
    """

    job_id: int
    days: tuple[Day, ...]
    planned_on: date
    swings: tuple[Swing, ...]
    hours: Fraction
    hours_most: Fraction
    replays: int

    def on(self, share: float) -> Day:
        """Return the first day by whose end such a share of the cases is finished."""
        return next((day for day in self.days if day.by >= share), self.days[-1])

    def share_by(self, on: date) -> float:
        """Return the share of cases that are finished by the end of a day."""
        return max((day.by for day in self.days if day.on <= on), default=0.0)


def promise(plan: Plan, job_id: int, known: Learnt) -> Promise | None:
    """Return how sure the finish of a job is; None where the plan has no schedule, or nothing is left to do."""
    if plan.model is None or plan.schedule is None or job_id not in plan.model.jobs or plan.jobs[job_id].is_finished:
        return None
    made, job = plan.model, plan.model.jobs.index(job_id)
    spreads = tuple(_slots(spread_of(plan.tasks[key], known), made.grid.slot) for key in made.keys)
    replays = min(max(WORK // len(spreads), LEAST_REPLAYS), MOST_REPLAYS)
    found = _odds(made.problem, plan.schedule, spreads, replays)
    hour = Fraction(made.grid.slot, 60)
    return Promise(
        job_id=job_id,
        days=_days(plan, found, job),
        planned_on=plan.calendar.local(plan.jobs[job_id].finish_at).date(),
        swings=tuple(
            Swing(plan.tasks[made.keys[pull.activity]], round(pull.slots * made.grid.slot))
            for pull in found.pulls[job][:6]
        ),
        hours=_hours_to_come(plan, job_id),
        hours_most=Fraction(found.attended_by(job, 0.8)) * hour,
        replays=replays,
    )


def spread_of(each: PlannedTask, known: Learnt) -> Spread:
    """Return how long a task takes [min] at best, usually, at worst: as typed, else as learnt; waits as they are."""
    task, usual = each.task, Fraction(in_minutes(each.task.duration))
    if each.is_over or task.clock is Clock.ELAPSED or not usual:
        return Spread(usual, usual, usual)
    if task.best is not None or task.worst is not None:
        return typed_spread(task)
    shares = known.of(task)
    return Spread(shares.best * usual, shares.usual * usual, shares.worst * usual, shares.source)


def typed_spread(task: Task) -> Spread:
    """Return the three times typed with a task [min]; one that was left empty is the usual time."""
    usual = Fraction(in_minutes(task.duration))
    best = usual if task.best is None else min(Fraction(in_minutes(task.best)), usual)
    worst = usual if task.worst is None else max(Fraction(in_minutes(task.worst)), usual)
    return Spread(best, usual, worst, TYPED)


def _slots(spread: Spread, slot: int) -> Spread:
    return Spread(spread.best / slot, spread.usual / slot, spread.worst / slot, spread.source)


@lru_cache(maxsize=4)
def _odds(problem: Problem, schedule: Schedule, spreads: tuple[Spread, ...], replays: int) -> Odds:
    """Return the odds of a whole plan, which the pages of all its jobs share."""
    return odds(problem, schedule, spreads, replays=replays)


def _days(plan: Plan, found: Odds, job: int) -> tuple[Day, ...]:
    assert plan.model is not None
    counted: dict[date, int] = {}
    for slot in found.finishes[job]:
        on = plan.calendar.local(plan.model.grid.instant(slot)).date()
        counted[on] = counted.get(on, 0) + 1
    many, so_far, days = len(found.finishes[job]), 0, []
    for on, count in sorted(counted.items()):
        so_far += count
        days.append(Day(on, count / many, so_far / many))
    return tuple(days)


def _hours_to_come(plan: Plan, job_id: int) -> Fraction:
    minutes = sum(
        each.task.crew * in_minutes(each.task.duration)
        for each in plan.of_job(job_id)
        if each.task.clock is Clock.ATTENDED and not each.has_begun
    )
    return Fraction(minutes, 60)


def sources(plan: Plan, job_id: int, known: Learnt) -> Mapping[str, int]:
    """Return where the spreads of a job's open work come from, and of how many tasks each."""
    found: dict[str, int] = {}
    for each in plan.of_job(job_id):
        spread = spread_of(each, known)
        if spread.source:
            found[spread.source] = found.get(spread.source, 0) + 1
    return found
