"""The plan: every open job's tasks on two clocks, against its promise, with windows and loads checked."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta

from domain.open_minutes import EARLIEST, LATEST, OUT_OF_REACH, instant_of, minute_after
from domain.plan.chart import Bar, BarKind, Chart, ChartRow, chart
from domain.plan.explain import blocked_by, explain
from domain.plan.load import Overload, Resource, Resources, overloads, uses
from domain.plan.planned import JobPlan, Plan, PlannedTask, TaskState, planned
from domain.plan.window import Window, closes_soonest, windows
from domain.shop_calendar import ShopCalendar
from domain.task import Task
from domain.task_times import task_times
from domain.when import day, from_to, when
from domain.words import counted

__all__ = [
    "Bar", "BarKind", "Chart", "ChartRow", "JobPlan", "Overload", "Plan", "PlannedTask", "Resource", "Resources",
    "TaskState", "Window", "blocked_by", "chart", "closes_soonest", "explain", "latest_order_day", "plan",
]  # fmt: skip


def plan(
    tasks: Sequence[Task],
    calendar: ShopCalendar,
    now: datetime,
    resources: Resources,
    promised: Mapping[int, date],
) -> Plan:
    """Return the plan of all tasks given, of one job or of several.

    promised: the day each job is promised for, by job id; a job without one is planned as early as can be.
    Hands, clamps and bench are counted, not waited for. Raises Cycle (a ValueError that names the tasks)
    when tasks wait for each other, ValueError when dates or times lead out of this century and the next.
    """
    if any(not EARLIEST < on < LATEST for on in promised.values()):
        raise ValueError(OUT_OF_REACH)
    due = {job: calendar.midnight(on + timedelta(days=1)) for job, on in promised.items()}
    times = task_times(tasks, calendar, now, due)
    minute = minute_after(now)

    def say(at: int) -> str:
        return when(instant_of(at), now, calendar.tz)

    def say_both(start: int, end: int) -> str:
        return from_to(instant_of(start), instant_of(end), now, calendar.tz)

    made = {task.key: planned(task, times[task.key], minute) for task in tasks}
    used = uses(tasks, times, calendar.minutes, minute)
    jobs = _jobs(made, promised, calendar, now)
    for key in (key for job in jobs.values() for key in job.chain):
        made[key] = replace(made[key], sets_date=True)
    return Plan(
        now=now,
        calendar=calendar,
        resources=resources,
        tasks=made,
        jobs=jobs,
        windows=windows(tasks, times, calendar.minutes, minute, say),
        overloads=overloads(used, resources, calendar.minutes, say_both),
    )


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


def _jobs(
    made: Mapping[str, PlannedTask], promised: Mapping[int, date], calendar: ShopCalendar, now: datetime
) -> dict[int, JobPlan]:
    by_job: dict[int, list[PlannedTask]] = {}
    for each in made.values():
        by_job.setdefault(each.task.job_id, []).append(each)
    return {job: _job(job, tasks, made, promised.get(job), calendar, now) for job, tasks in by_job.items()}


def _job(
    job_id: int,
    tasks: Sequence[PlannedTask],
    made: Mapping[str, PlannedTask],
    promised_on: date | None,
    calendar: ShopCalendar,
    now: datetime,
) -> JobPlan:
    counted = [each for each in tasks if not each.task.trails] or tasks
    last = max(counted, key=lambda each: each.earliest_finish)
    finish_on = calendar.local(last.earliest_finish).date()
    is_finished = all(each.is_over for each in counted)
    late = None if promised_on is None else (finish_on - promised_on).days
    return JobPlan(
        job_id=job_id,
        name=last.task.job_name,
        finish_at=last.earliest_finish,
        promised_on=promised_on,
        days_late=late,
        is_finished=is_finished,
        chain=_chain(last, made),
        words=_finish_words(finish_on, promised_on, late, is_finished=is_finished, today=calendar.local(now).date()),
    )


def _chain(last: PlannedTask, made: Mapping[str, PlannedTask]) -> tuple[str, ...]:
    """Return the keys of the tasks that lead to the last one, each held by the one before it, from what is open."""
    chain = [last]
    while chain[-1].held_by is not None and not chain[-1].has_begun:
        chain.append(made[chain[-1].held_by.before])
    return tuple(each.key for each in reversed(chain) if not each.is_over)


def _finish_words(
    finish_on: date, promised_on: date | None, late: int | None, *, is_finished: bool, today: date
) -> str:
    ready = f"{'Finished' if is_finished else 'Ready'} {day(finish_on, today)}"
    if promised_on is None or late is None:
        return f"{ready}; nothing is promised yet."
    if not late:
        return f"{ready}, on the promised day."
    if late < 0:
        return f"{ready}, {counted(-late, 'day')} before the promise of {day(promised_on, today)}."
    return f"{ready}, {counted(late, 'day')} after the promise of {day(promised_on, today)}."
