"""What was recorded and changed of tasks, and the maker's own links, found by the tasks' stable keys."""

from collections.abc import Iterable, Mapping
from dataclasses import fields, replace
from datetime import datetime, timedelta
from typing import Any

from sqlalchemy import Row
from sqlmodel import Session, col, select

from domain.part import TaskKind
from domain.task import Clock, End, OwnLink, TaskRecord
from webapp.store import rows
from webapp.store.rows import ChangedMeanwhile, Missing
from webapp.store.tables import LinkRow, TaskRow

OWN = "own."
"""How the keys of the maker's own tasks begin."""

_SAID = tuple(field.name for field in fields(TaskRecord) if field.name != "key")


def load_records(db: Session, job_ids: Iterable[int]) -> Mapping[int, tuple[TaskRecord, ...]]:
    """Return what was recorded of the tasks of these jobs, by job."""
    found: dict[int, list[TaskRecord]] = {job_id: [] for job_id in job_ids}
    query = rows.plain(TaskRow).where(col(TaskRow.job_id).in_(found), col(TaskRow.removed_at).is_(None))
    for row in db.execute(query.order_by(col(TaskRow.id))):
        found[row.job_id].append(_record(row))
    return {job_id: tuple(records) for job_id, records in found.items()}


def load_record(db: Session, job_id: int, key: str) -> tuple[TaskRecord, int]:
    """Return what was recorded of a task, and its version; 0 when nothing was."""
    row = _row(db, job_id, key)
    if row is None or row.removed_at is not None:
        return TaskRecord(key), 0
    return _record(row), row.version


def load_versions(db: Session, job_ids: Iterable[int]) -> Mapping[tuple[int, str], int]:
    """Return the versions of what was recorded, by job and key; any other is at 0."""
    query = select(TaskRow.job_id, TaskRow.key, TaskRow.version)
    query = query.where(col(TaskRow.job_id).in_(list(job_ids)), col(TaskRow.removed_at).is_(None))
    return {(job_id, key): version for job_id, key, version in db.exec(query)}


def save_record(db: Session, job_id: int, record: TaskRecord, *, version: int) -> None:
    """Save what is recorded of a task, seen at this version. Raises ChangedMeanwhile."""
    row = _row(db, job_id, record.key)
    seen = 0 if row is None or row.removed_at is not None else row.version
    if seen != version:
        raise ChangedMeanwhile(seen)
    row = row or TaskRow(job_id=job_id, key=record.key)
    row.removed_at = None
    for name, value in _values(record).items():
        setattr(row, name, value)
    db.add(row)
    db.flush()


def add_own_task(db: Session, job_id: int, record: TaskRecord) -> str:
    """Add a task of the maker's and return its key, which was never used before in this job."""
    used = db.exec(select(TaskRow.key).where(TaskRow.job_id == job_id, col(TaskRow.key).startswith(OWN)))
    numbers = [int(number) for key in used if (number := key.removeprefix(OWN)).isdecimal()]
    key = f"{OWN}{max(numbers, default=0) + 1}"
    save_record(db, job_id, replace(record, key=key, own=True), version=0)
    return key


def remove_own_task(db: Session, job_id: int, key: str, *, version: int, at: datetime) -> None:
    """Remove a task the maker added, with the links to and from it. Raises Missing, ChangedMeanwhile."""
    record, seen = load_record(db, job_id, key)
    if not record.own:
        raise Missing(f"own task {key} of job {job_id}")
    if seen != version:
        raise ChangedMeanwhile(seen)
    row = _row(db, job_id, key)
    assert row is not None
    rows.remove(db, TaskRow, row.id or 0, at=at)
    for link in _link_rows(db, [job_id]):
        if key in (link.before, link.after):
            rows.remove(db, LinkRow, link.id or 0, at=at)


def save_positions(db: Session, job_id: int, positions: Mapping[str, int]) -> None:
    """Save where tasks stand in the list, by key."""
    for key, position in positions.items():
        record, version = load_record(db, job_id, key)
        save_record(db, job_id, replace(record, position=position), version=version)


def load_links(db: Session, job_ids: Iterable[int]) -> Mapping[int, tuple[OwnLink, ...]]:
    """Return the maker's own links of these jobs, by job."""
    found: dict[int, list[OwnLink]] = {job_id: [] for job_id in job_ids}
    for row in _link_rows(db, found):
        found[row.job_id].append(_link(row))
    return {job_id: tuple(links) for job_id, links in found.items()}


def save_link(db: Session, job_id: int, link: OwnLink) -> None:
    """Add a link, or change the one that joins the same tasks already."""
    row = _link_row(db, job_id, link.before, link.after) or link_row_of(job_id, link)
    for name, value in _link_values(link).items():
        setattr(row, name, value)
    db.add(row)
    db.flush()


def remove_link(db: Session, job_id: int, *, before: str, after: str, at: datetime) -> None:
    """Remove the link between two tasks. Raises Missing."""
    row = _link_row(db, job_id, before, after)
    if row is None:
        raise Missing(f"link from {before} to {after} in job {job_id}")
    rows.remove(db, LinkRow, row.id or 0, at=at)


def row_of(job_id: int, record: TaskRecord) -> TaskRow:
    """Return a new row of what is recorded of a task."""
    return TaskRow(job_id=job_id, key=record.key, **_values(record))


def link_row_of(job_id: int, link: OwnLink) -> LinkRow:
    """Return a new row of a link."""
    return LinkRow(job_id=job_id, before=link.before, after=link.after, **_link_values(link))


def _row(db: Session, job_id: int, key: str) -> TaskRow | None:
    """Return the row of a task, even one that was removed: a key is used by one row only."""
    return db.exec(select(TaskRow).where(TaskRow.job_id == job_id, TaskRow.key == key)).first()


def _link_row(db: Session, job_id: int, before: str, after: str) -> LinkRow | None:
    found = (row for row in _link_rows(db, [job_id]) if (row.before, row.after) == (before, after))
    return next(found, None)


def _link_rows(db: Session, job_ids: Iterable[int]) -> list[LinkRow]:
    query = select(LinkRow).where(col(LinkRow.job_id).in_(list(job_ids)), col(LinkRow.removed_at).is_(None))
    return list(db.exec(query.order_by(col(LinkRow.id))))


def _values(record: TaskRecord) -> dict[str, Any]:
    written = {"kind": record.kind.value if record.kind else None, "who": ",".join(map(str, record.who))}
    return {name: getattr(record, name) for name in _SAID} | written


def _link_values(link: OwnLink) -> dict[str, Any]:
    minute = timedelta(minutes=1)
    return {
        "at_least": link.at_least // minute,
        "at_most": None if link.at_most is None else link.at_most // minute,
        "clock": link.clock.value,
        "leaves": link.leaves.value,
        "reaches": link.reaches.value,
    }


def _record(row: TaskRow | Row[Any]) -> TaskRecord:
    said = {name: getattr(row, name) for name in _SAID}
    who = tuple(int(number) for number in row.who.split(",") if number)
    return TaskRecord(row.key, **said | {"kind": TaskKind(row.kind) if row.kind else None, "who": who})


def _link(row: LinkRow) -> OwnLink:
    most = None if row.at_most is None else timedelta(minutes=row.at_most)
    least, clock = timedelta(minutes=row.at_least), Clock(row.clock)
    return OwnLink(row.before, row.after, least, most, clock, End(row.leaves), End(row.reaches))
