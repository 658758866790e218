"""The plan of several jobs: one that cannot be planned keeps none of the others from it."""

from collections.abc import Sequence
from datetime import datetime

from domain.job import Job
from domain.plan import Plan, Resources, plan
from domain.problem import Problem
from domain.shop_calendar import NO_HOURS, ShopCalendar
from domain.task import Task

Planned = tuple[Job, Sequence[Task]]
"""A job and its tasks."""


def plan_several(
    jobs: Sequence[Planned], calendar: ShopCalendar | None, now: datetime, resources: Resources
) -> tuple[Plan | None, tuple[Problem, ...]]:
    """Return the plan of all jobs that can be planned, and why the others cannot.

    calendar: None while the shop has no hours; then there is no plan. Fields of problems are addresses.
    """
    if calendar is None:
        return None, (Problem("shop:hours", NO_HOURS),)
    try:
        return _plan(jobs, calendar, now, resources), ()
    except ValueError:
        fit, problems = _fit(jobs, calendar, now, resources)
        return _plan(fit, calendar, now, resources), problems


def _fit(
    jobs: Sequence[Planned], calendar: ShopCalendar, now: datetime, resources: Resources
) -> tuple[list[Planned], tuple[Problem, ...]]:
    fit: list[Planned] = []
    problems: list[Problem] = []
    for job, tasks in jobs:
        try:
            _plan([(job, tasks)], calendar, now, resources)
            fit.append((job, tasks))
        except ValueError as error:
            problems.append(Problem(f"job:{job.id}:plan", f"{job.name} cannot be planned. {error}"))
    return fit, tuple(problems)


def _plan(jobs: Sequence[Planned], calendar: ShopCalendar, now: datetime, resources: Resources) -> Plan:
    promised = {job.id: job.promised_on for job, _ in jobs if job.promised_on}
    return plan([task for _, tasks in jobs for task in tasks], calendar, now, resources, promised)
