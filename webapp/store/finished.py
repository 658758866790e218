"""Tasks that were finished, of jobs still open and of the last ones closed: what the shop can learn from."""

from datetime import datetime

from sqlmodel import Session, col, select

from domain.job import JobState
from domain.task import Task
from webapp.store.plan import load_job_facts, load_plan_facts
from webapp.store.tables import JobRow

CLOSED_JOBS = 12
"""Jobs looked back on, the last closed first; older ones were another shop."""


def load_finished_tasks(db: Session, now: datetime) -> tuple[Task, ...]:
    """Return the hands-on work that was finished and of which somebody said when it began."""
    closed = select(JobRow.id).where(JobRow.state == JobState.CLOSED.value, col(JobRow.removed_at).is_(None))
    ids = [job_id for job_id in db.exec(closed.order_by(col(JobRow.id).desc()).limit(CLOSED_JOBS)) if job_id]
    found = [load_job_facts(db, now, job_id) for job_id in ids]
    found += load_plan_facts(db, now).jobs.values()
    return tuple(
        task for facts in found for task in facts.tasks if task.started_at is not None and task.finished_at is not None
    )
