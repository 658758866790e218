"""What one plan moves beside another: tasks and the finish of jobs, the old beside the new."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from domain.plan.planned import Plan
from domain.when import day
from domain.words import counted, listing

UNNOTICED = timedelta(minutes=15)
"""Less than this, nobody calls a task moved."""

Spans = Mapping[str, tuple[datetime, datetime]]
"""When tasks start and finish, by key."""


@dataclass(frozen=True, slots=True)
class MovedTask:
    """A task that stands elsewhere. was, will: its start before and after."""

    key: str
    name: str
    job_name: str
    was: datetime
    will: datetime

    @property
    def by(self) -> timedelta:
        """Return how much later it starts; below zero: sooner."""
        return self.will - self.was


@dataclass(frozen=True, slots=True)
class MovedJob:
    """A job that is finished on another day. was, will: its last day before and after."""

    job_id: int
    name: str
    was: date
    will: date

    @property
    def days(self) -> int:
        """Return how many days later it is finished; below zero: sooner."""
        return (self.will - self.was).days


@dataclass(frozen=True, slots=True)
class Moved:
    """Everything that moves: tasks by their new start, jobs in their order."""

    tasks: tuple[MovedTask, ...] = ()
    jobs: tuple[MovedJob, ...] = ()

    def __bool__(self) -> bool:
        return bool(self.tasks or self.jobs)


def spans(plan: Plan) -> Spans:
    """Return when the tasks of a plan start and finish."""
    return {key: (each.start, each.finish) for key, each in plan.tasks.items()}


def moved(was: Spans, plan: Plan, *, least: timedelta = UNNOTICED) -> Moved:
    """Return what stands elsewhere in a plan than it did. least: a smaller shift of a start is left out.

    What has begun has not moved, and neither has what was not planned before.
    """
    tasks = [
        MovedTask(key, each.task.name, each.task.job_name, was[key][0], each.start)
        for key, each in plan.tasks.items()
        if key in was and not each.has_begun and abs(each.start - was[key][0]) >= least
    ]
    return Moved(tuple(sorted(tasks, key=lambda each: (each.will, each.key))), tuple(_jobs(was, plan)))


def words(found: Moved, plan: Plan) -> str:
    """Return what moves in one line: `Oak bar finishes Fri 5 Jun instead of Thu 4 Jun; 3 tasks move.`"""
    today = plan.calendar.local(plan.now).date()
    jobs = [f"{job.name} is finished {day(job.will, today)} instead of {day(job.was, today)}" for job in found.jobs]
    tasks = f"{counted(len(found.tasks), 'task')} {'moves' if len(found.tasks) == 1 else 'move'}" if found.tasks else ""
    parts = [part for part in (listing(jobs), tasks) if part]
    return f"{'; '.join(parts)}." if parts else "Nothing else moves."


def _jobs(was: Spans, plan: Plan) -> list[MovedJob]:
    found: list[MovedJob] = []
    for job in plan.jobs.values():
        counting = [each for each in plan.of_job(job.job_id) if not each.task.trails] or list(plan.of_job(job.job_id))
        before = [was[each.key][1] for each in counting if each.key in was]
        if not before:
            continue
        old, new = (plan.calendar.local(at).date() for at in (max(before), job.finish_at))
        if old != new:
            found.append(MovedJob(job.job_id, job.name, old, new))
    return found
