"""The plan: every open job's tasks as they can be done with what there is, against its promise."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta
from types import MappingProxyType

from domain.open_minutes import EARLIEST, LATEST, OUT_OF_REACH, instant_of, minute_after, minute_at
from domain.plan.arrange import arranged
from domain.plan.chart import Bar, BarKind, Chart, ChartRow, chart
from domain.plan.explain import blocked_by, explain
from domain.plan.grid import SLOT
from domain.plan.job_plan import job_plans
from domain.plan.kept import KeptPlan, as_bounds, fingerprint
from domain.plan.laid import planned_tasks, times_as_planned
from domain.plan.load import Overload, Resource, Resources, overloads, uses
from domain.plan.model import Given
from domain.plan.planned import JobPlan, Plan, PlannedTask, TaskState
from domain.plan.window import Window, closes_soonest, windows
from domain.schedule.schedule import Proof
from domain.shop_calendar import ShopCalendar
from domain.task import Task
from domain.task_times import task_times
from domain.when import from_to, when

__all__ = [
    "Bar", "BarKind", "Chart", "ChartRow", "JobPlan", "Overload", "Plan", "PlannedTask", "Resource", "Resources",
    "TaskState", "Window", "blocked_by", "chart", "closes_soonest", "explain", "latest_order_day", "plan",
    "promise_in_reach",
]  # fmt: skip


def plan(
    tasks: Sequence[Task],
    calendar: ShopCalendar,
    now: datetime,
    resources: Resources,
    promised: Mapping[int, date],
    *,
    weights: Mapping[int, int] = MappingProxyType({}),
    kept: KeptPlan | None = None,
    slot: int = SLOT,
) -> Plan:
    """Return the plan of all tasks given, of one job or of several, which keeps to what there is.

    promised: the day each job is promised for, by job id; a job without one is planned as early as can be;
    weights: how much a job's lateness hurts beside that of others, by job id, 1 where nothing is said;
    kept: the plan people follow, of which as little is moved as can be;
    slot: what is still to come starts on a grid of so many minutes.
    What can never be met is named in Plan.unmet. Raises Cycle (a ValueError that names the tasks) when tasks wait for
    each other, ValueError when dates or times lead out of this century and the next.
    """
    promise_in_reach(promised)
    due = {job: calendar.midnight(on + timedelta(days=1)) for job, on in promised.items()}
    times = task_times(tasks, calendar, now, due)
    minute = minute_after(now)
    ends = {job: minute_at(instant) for job, instant in due.items()}
    facts = fingerprint(tasks, calendar, resources, promised, weights) if kept is not None else ""
    found = arranged(Given(tasks, times, calendar, minute, resources, ends, weights, slot), kept, facts)

    def say(at: int) -> str:
        return when(instant_of(at), now, calendar.tz)

    def say_both(start: int, end: int) -> str:
        return from_to(instant_of(start), instant_of(end), now, calendar.tz)

    made = planned_tasks(tasks, times, minute, found.model, found.schedule)
    as_planned = {key: times_as_planned(each, times[key]) for key, each in made.items()}
    used = uses(tasks, as_planned, calendar.minutes, minute)
    jobs = job_plans(made, promised, calendar, now)
    for key in (key for job in jobs.values() for key in job.chain):
        made[key] = replace(made[key], sets_date=True)
    return Plan(
        now=now,
        calendar=calendar,
        resources=resources,
        tasks=made,
        jobs=jobs,
        windows=windows(tasks, as_planned, calendar.minutes, minute, say),
        overloads=overloads(used, resources, calendar.minutes, say_both),
        unmet=(*found.model.unmet, *found.unmet),
        model=found.model,
        schedule=found.schedule,
        is_checked=found.is_checked,
        weights=weights,
        proof=kept.proof if kept is not None and found.is_as_kept else Proof.NONE,
        bounds=as_bounds(kept, found.model) if kept is not None and kept.facts == facts else (),
    )


def promise_in_reach(promised: Mapping[int, date]) -> None:
    """Raise ValueError, worded for a person, when a promise lies outside this century and the next."""
    if any(not EARLIEST < on < LATEST for on in promised.values()):
        raise ValueError(OUT_OF_REACH)


def latest_order_day(plan: Plan, key: str) -> date | None:
    """Return the last working day on which a delivery can be ordered, at any hour of it, and nothing waits.

    key: of the delivery's task. None when it is ordered already. A day gone by means: the promise is lost
    unless it comes faster; where nothing is promised, it is today at the earliest. Raises KeyError for a key not in
    the plan.
    """
    each = plan.tasks[key]
    if each.has_begun:
        return None
    on = plan.calendar.local(each.latest_start).date()
    while not (stretches := plan.calendar.open_stretches(on)) or stretches[-1][1] > each.latest_start:
        on -= timedelta(days=1)
    is_promised = plan.jobs[each.task.job_id].promised_on is not None
    return on if is_promised else max(on, plan.calendar.local(plan.now).date())
