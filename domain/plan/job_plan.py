"""When each job is finished, against its promise, and the tasks that set that date."""

from collections.abc import Mapping, Sequence
from datetime import date, datetime

from domain.plan.planned import HeldBy, JobPlan, PlannedTask
from domain.shop_calendar import ShopCalendar
from domain.when import day
from domain.words import counted


def job_plans(
    made: Mapping[str, PlannedTask], promised: Mapping[int, date], calendar: ShopCalendar, now: datetime
) -> dict[int, JobPlan]:
    """Return the plans of all jobs by id."""
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
    last = max(counted, key=lambda each: each.finish)
    finish_on = calendar.local(last.finish).date()
    is_finished = all(each.is_over for each in counted)
    late = None if promised_on is None else (finish_on - promised_on).days
    return JobPlan(
        job_id=job_id,
        name=last.task.job_name,
        finish_at=last.finish,
        promised_on=promised_on,
        days_late=late,
        is_finished=is_finished,
        chain=_chain(last, made),
        words=_finish_words(finish_on, promised_on, late, is_finished=is_finished, today=calendar.local(now).date()),
    )


def _chain(last: PlannedTask, made: Mapping[str, PlannedTask]) -> tuple[str, ...]:
    """Return the keys of the tasks that lead to the last one, each held by the one before it, from what is open."""
    chain, seen = [last], {last.key}
    while (before := _held_by(chain[-1], made)) is not None and before.key not in seen:
        chain.append(before)
        seen.add(before.key)
    return tuple(each.key for each in reversed(chain) if not each.is_over)


def _held_by(each: PlannedTask, made: Mapping[str, PlannedTask]) -> PlannedTask | None:
    """Return the task that lets go of another last, of those that begin before it."""
    if each.has_begun or each.holder is None:
        return None
    by = each.holder.by
    if each.holder.kind is HeldBy.WINDOW:
        by = (each.held_by.before,) if each.held_by else ()
    before = [made[key] for key in by if key in made and made[key].start <= each.start]
    return max(before, key=lambda other: other.finish, default=None)


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
