"""Finding, changing and removing a row: what every noun of the store does the same way."""

from datetime import datetime
from typing import Any, TypeVar

from sqlalchemy import inspect
from sqlmodel import Session, SQLModel, col, func, select

T = TypeVar("T", bound=SQLModel)

LARGEST_ID = 2**63 - 1
"""SQLite's; a larger number in an address names nothing."""


class Missing(Exception):
    """There is no such row, or it was removed."""


class ChangedMeanwhile(Exception):
    """The row was saved by somebody else since this person saw it."""

    def __init__(self, version: int) -> None:
        super().__init__(version)
        self.version = version


def plain(table: type[SQLModel]) -> Any:
    """Return the query for the bare rows of a table: for reading many at once, when none of them is changed."""
    return select(*inspect(table).local_table.columns)


def find(db: Session, table: type[T], row_id: int | str) -> T:
    """Return the row. Raises Missing when it is not there or was removed."""
    row = db.get(table, row_id) if isinstance(row_id, str) or abs(row_id) <= LARGEST_ID else None
    if row is None or getattr(row, "removed_at", None) is not None:
        raise Missing(f"{table.__tablename__} {row_id}")
    return row


def of_job(db: Session, table: type[T], row_id: int, job_id: int) -> T:
    """Return a row of this job. Raises Missing, also for a row of another job."""
    row = find(db, table, row_id)
    if row.job_id != job_id:  # type: ignore[attr-defined]
        raise Missing(f"{table.__tablename__} {row_id} of job {job_id}")
    return row


def next_position(db: Session, table: type[T], job_id: int) -> int:
    """Return the position after all others of a job, those that were removed too."""
    columns: Any = table
    last = db.exec(select(func.max(columns.position)).where(col(columns.job_id) == job_id)).one()
    return 0 if last is None else last + 1


def add(db: Session, row: T) -> int:
    """Insert a row and return its id."""
    db.add(row)
    db.flush()
    row_id: int = row.id  # type: ignore[attr-defined]
    return row_id


def change(db: Session, table: type[T], row_id: int | str, *, version: int, **values: Any) -> T:
    """Change a row that the person saw at this version. Raises ChangedMeanwhile, or Missing."""
    row = find(db, table, row_id)
    if row.version != version:  # type: ignore[attr-defined]
        raise ChangedMeanwhile(row.version)  # type: ignore[attr-defined]
    for name, value in values.items():
        setattr(row, name, value)
    db.add(row)
    db.flush()
    return row


def remove(db: Session, table: type[T], row_id: int | str, *, at: datetime) -> None:
    """Mark a row as removed; undo brings it back. Raises Missing."""
    row = find(db, table, row_id)
    row.removed_at = at
    db.add(row)
    db.flush()
