"""What finished jobs really took of their woods."""

from datetime import datetime
from typing import Any

from sqlmodel import Session, col, select

from domain.board_use import BoardUse
from webapp.store import rows
from webapp.store.price import material_of
from webapp.store.tables import BoardUseRow, JobRow


def load_board_uses(db: Session, job_id: int | None = None) -> tuple[BoardUse, ...]:
    """Return what was recorded, of one job or of every job that is there, the first first."""
    query = (
        select(BoardUseRow, JobRow.name)
        .join(JobRow, col(JobRow.id) == BoardUseRow.job_id)
        .where(col(BoardUseRow.removed_at).is_(None), col(JobRow.removed_at).is_(None))
    )
    if job_id is not None:
        query = query.where(BoardUseRow.job_id == job_id)
    return tuple(_use(row, name) for row, name in db.exec(query.order_by(col(BoardUseRow.id))))


def add_board_use(db: Session, use: BoardUse) -> int:
    """Insert what a job took of a wood and return its id."""
    return rows.add(db, BoardUseRow(job_id=use.job_id, **_values(use)))


def save_board_use(db: Session, use: BoardUse) -> None:
    """Save what a job took of a wood, seen at its version. Raises ChangedMeanwhile, Missing."""
    rows.of_job(db, BoardUseRow, use.id, use.job_id)
    rows.change(db, BoardUseRow, use.id, version=use.version, **_values(use))


def remove_board_use(db: Session, job_id: int, use_id: int, *, at: datetime) -> None:
    """Forget what a job took of a wood. Raises Missing, also for a use of another job."""
    rows.of_job(db, BoardUseRow, use_id, job_id)
    rows.remove(db, BoardUseRow, use_id, at=at)


def _values(use: BoardUse) -> dict[str, Any]:
    return {"material": use.material.key, "net": use.net, "used": use.used, "note": use.note}


def _use(row: BoardUseRow, job: str) -> BoardUse:
    material = material_of(row.material)
    return BoardUse(row.id or 0, row.job_id, job, material, row.net, row.used, row.note, row.version)
