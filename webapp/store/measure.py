"""The measured runs of a job."""

from dataclasses import replace
from datetime import datetime

from sqlmodel import Session, col, func, select

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
    return _run(_row(db, job_id, run_id))


def add_run(db: Session, job_id: int, run: Run) -> int:
    """Add a run after the others of its job and return its id."""
    last = db.exec(select(func.max(RunRow.position)).where(RunRow.job_id == job_id)).one()
    position = 0 if last is None else last + 1
    return rows.add(db, RunRow(job_id=job_id, position=position, measured=_measured(run)))


def save_run(db: Session, job_id: int, run: Run) -> None:
    """Save a run as the person saw it at run.version. Raises ChangedMeanwhile, Missing."""
    _row(db, job_id, run.id)
    rows.change(db, RunRow, run.id, version=run.version, measured=_measured(run))


def remove_run(db: Session, job_id: int, run_id: int, *, at: datetime) -> None:
    """Remove a run of this job; undo brings it back. Raises Missing."""
    _row(db, job_id, run_id)
    rows.remove(db, RunRow, run_id, at=at)


def _row(db: Session, job_id: int, run_id: int) -> RunRow:
    row = rows.find(db, RunRow, run_id)
    if row.job_id != job_id:
        raise rows.Missing(f"run {run_id} of job {job_id}")
    return row


def _run(row: RunRow) -> Run:
    return replace(from_json(Run, row.measured), id=row.id or 0, version=row.version)


def _measured(run: Run) -> str:
    """Return the run as it is kept; its id and version are the row's."""
    return to_json(replace(run, id=0, version=1))
