"""Jobs that miss their promise: what holds them up, and what would win days back."""

from dataclasses import dataclass

from domain.plan.asked import Asked
from domain.plan.candidates import for_late_job
from domain.plan.explain import explain
from domain.plan.planned import JobPlan, Plan
from domain.plan.tried import Tried, offered
from domain.when import day
from domain.words import counted


@dataclass(frozen=True, slots=True)
class Late:
    """A job that is finished after its promise. words: how late, and what its finish hangs on;
    wins: what would win a day or more, each tried, the most days first.
    """

    job: JobPlan
    words: str
    wins: tuple[Tried, ...] = ()


def late(made: Plan, asked: Asked | None = None, *, job_id: int | None = None, most: int = 3) -> tuple[Late, ...]:
    """Return the jobs that are late, the latest first. asked: what the plan was made from; None: wins are not tried.

    job_id: of this job alone; most: so many wins for each. What a delay has moved, the old beside the new, says
    domain.plan.moved.moved().
    """
    jobs = [job for job in made.jobs.values() if job.is_late and not job.is_finished and job_id in (None, job.job_id)]
    return tuple(
        Late(job, _words(made, job), () if asked is None else wins(made, asked, job, most=most))
        for job in sorted(jobs, key=lambda job: -(job.days_late or 0))
    )


def wins(made: Plan, asked: Asked, job: JobPlan, *, most: int = 3) -> tuple[Tried, ...]:
    """Return what would finish a late job a day or more sooner, tried, the most days first."""
    found = offered(asked, made, for_late_job(made, asked, job.job_id), lambda new: _won(job, new), most=most)
    return tuple(sorted(found, key=lambda one: one.plan.jobs[job.job_id].days_late or 0))


def _won(job: JobPlan, new: Plan) -> str:
    """Return what a plan wins for a job, in words; nothing for less than a day."""
    then = new.jobs[job.job_id]
    days = (job.days_late or 0) - (then.days_late or 0)
    if days <= 0:
        return ""
    on, today = new.calendar.local(then.finish_at).date(), new.calendar.local(new.now).date()
    if not then.is_late:
        return f"Wins {counted(days, 'day')}: ready {day(on, today)}, in time."
    return f"Wins {counted(days, 'day')}: ready {day(on, today)}, still {counted(then.days_late or 0, 'day')} late."


def _words(made: Plan, job: JobPlan) -> str:
    words = f"{job.name}: {job.words}"
    if not job.chain:
        return words
    first = made.tasks[job.chain[0]]
    return f"{words} It hangs on “{first.task.name}”: {explain(made, first.key)}"
