"""The measured runs of a job."""

from dataclasses import replace
from datetime import datetime

from sqlmodel import Session, col, select

from domain.measure import Run
from webapp.store import rows
from webapp.store.codec import from_json, to_json
from webapp.store.tables import RunRow


def load_runs(db: Session, job_id: int) -> tuple[Run, ...]:
    """Return the runs of a job in their order."""
    query = (
        select(RunRow)
        .where(RunRow.job_id == job_id, col(RunRow.removed_at).is_(None))
        .order_by(col(RunRow.position), col(RunRow.id))
    )
    return tuple(_run(row) for row in db.exec(query))


def load_run(db: Session, job_id: int, run_id: int) -> Run:
    """Return a run of this job. Raises Missing."""
    return _run(rows.of_job(db, RunRow, run_id, job_id))


def add_run(db: Session, job_id: int, run: Run) -> int:
    """Add a run after the others of its job and return its id."""
    position = rows.next_position(db, RunRow, job_id)
    return rows.add(db, RunRow(job_id=job_id, position=position, measured=_measured(run)))


def save_run(db: Session, job_id: int, run: Run) -> None:
    """Save a run as the person saw it at run.version. Raises ChangedMeanwhile, Missing."""
    rows.of_job(db, RunRow, run.id, job_id)
    rows.change(db, RunRow, run.id, version=run.version, measured=_measured(run))


def remove_run(db: Session, job_id: int, run_id: int, *, at: datetime) -> None:
    """Remove a run of this job; undo brings it back. Raises Missing."""
    rows.of_job(db, RunRow, run_id, job_id)
    rows.remove(db, RunRow, run_id, at=at)


def _run(row: RunRow) -> Run:
    return replace(from_json(Run, row.measured), id=row.id or 0, version=row.version)


def _measured(run: Run) -> str:
    """Return the run as it is kept; its id and version are the row's."""
    return to_json(replace(run, id=0, version=1))
