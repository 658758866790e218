"""The plan of several jobs: one that cannot be planned keeps none of the others from it."""

from collections.abc import Iterable, Sequence
from datetime import date, datetime

from domain.job import Job
from domain.plan import Plan, Resources, plan, promise_in_reach
from domain.plan.kept import KeptPlan
from domain.problem import Problem
from domain.shop_calendar import NO_HOURS, ShopCalendar
from domain.task import Task
from domain.task_times import task_times

Planned = tuple[Job, Sequence[Task]]
"""A job and its tasks."""


def plan_several(
    jobs: Sequence[Planned],
    calendar: ShopCalendar | None,
    now: datetime,
    resources: Resources,
    *,
    kept: KeptPlan | None = None,
) -> tuple[Plan | None, tuple[Problem, ...]]:
    """Return the plan of all jobs that can be planned, and why the others cannot.

    calendar: None while the shop has no hours; then there is no plan; kept: the plan people follow. Fields of problems
    are addresses.
    """
    if calendar is None:
        return None, (Problem("shop:hours", NO_HOURS),)
    try:
        return _plan(jobs, calendar, now, resources, kept), ()
    except ValueError:
        fit, problems = _fit(jobs, calendar, now, resources)
        return _plan(fit, calendar, now, resources, kept), problems


def _fit(
    jobs: Sequence[Planned], calendar: ShopCalendar, now: datetime, resources: Resources
) -> tuple[list[Planned], tuple[Problem, ...]]:
    fit: list[Planned] = []
    problems: list[Problem] = []
    for job, tasks in jobs:
        try:
            task_times(tasks, calendar, now, {})
            promise_in_reach(promises([job]))
            _plan([(job, tasks)], calendar, now, resources)
            fit.append((job, tasks))
        except ValueError as error:
            problems.append(Problem(f"job:{job.id}:plan", f"{job.name} cannot be planned. {error}"))
    return fit, tuple(problems)


def promises(jobs: Iterable[Job]) -> dict[int, date]:
    """Return the day each job is promised for, by its id; nothing of a job without a promise."""
    return {job.id: job.promised_on for job in jobs if job.promised_on}


def weights(jobs: Iterable[Job]) -> dict[int, int]:
    """Return how much each job's lateness hurts beside that of others, by its id."""
    return {job.id: job.matters.weight for job in jobs}


def _plan(
    jobs: Sequence[Planned],
    calendar: ShopCalendar,
    now: datetime,
    resources: Resources,
    kept: KeptPlan | None = None,
) -> Plan:
    every = [job for job, _ in jobs]
    tasks = [task for _, each in jobs for task in each]
    return plan(tasks, calendar, now, resources, promises(every), weights=weights(every), kept=kept)
