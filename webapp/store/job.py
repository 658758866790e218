"""Jobs and their clients."""

from datetime import datetime
from typing import Any

from sqlalchemy import or_
from sqlmodel import Session, col, func, select

from domain.job import Client, Job, JobState, Matters
from domain.option import for_pieces
from webapp.store import option, rows
from webapp.store.tables import ClientRow, CostRow, JobRow, OrderRow, PieceRow, QuoteRow, RunRow


def load_job(db: Session, job_id: int) -> Job:
    """Return the job with its client. Raises Missing."""
    row = rows.find(db, JobRow, job_id)
    client = db.get(ClientRow, row.client_id)
    assert client is not None
    return _job(row, client)


def search_jobs(db: Session, words: str = "", *, state: JobState | None = None, most: int = 100) -> tuple[Job, ...]:
    """Return jobs whose name, site, notes or client hold every word, newest first; of one state if said."""
    query = _jobs()
    for word in words.split():
        like = f"%{word}%"
        query = query.where(
            or_(
                *(
                    col(column).ilike(like)
                    for column in (JobRow.name, JobRow.site, JobRow.notes, ClientRow.name, ClientRow.address)
                )
            )
        )
    if state:
        query = query.where(JobRow.state == state.value)
    return tuple(_job(job, client) for job, client in db.exec(query.limit(most)))


def count_jobs(db: Session) -> dict[JobState, int]:
    """Return how many jobs there are in each state."""
    query = select(JobRow.state, func.count()).where(col(JobRow.removed_at).is_(None)).group_by(JobRow.state)
    counted = dict(db.exec(query).all())
    return {state: counted.get(state.value, 0) for state in JobState}


def load_open_jobs(db: Session) -> tuple[Job, ...]:
    """Return the jobs that hands may have work on, oldest promise first."""
    open_states = [state.value for state in JobState if state.is_open]
    query = (
        _jobs()
        .where(col(JobRow.state).in_(open_states))
        .order_by(None)
        .order_by(col(JobRow.promised_on).nulls_last(), col(JobRow.id))
    )
    return tuple(_job(job, client) for job, client in db.exec(query))


def load_progress(db: Session, job_id: int) -> dict[str, int]:
    """Return how many runs, pieces, quotes and orders a job has."""
    tables: dict[str, Any] = {"runs": RunRow, "pieces": PieceRow, "quotes": QuoteRow, "orders": OrderRow}
    counted = {}
    for name, table in tables.items():
        query = select(func.count()).select_from(table).where(table.job_id == job_id)
        if hasattr(table, "removed_at"):
            query = query.where(col(table.removed_at).is_(None))
        counted[name] = db.exec(query).one()
    return counted


def load_clients(db: Session) -> tuple[Client, ...]:
    query = select(ClientRow).where(col(ClientRow.removed_at).is_(None)).order_by(col(ClientRow.name))
    return tuple(_client(row) for row in db.exec(query))


def add_client(db: Session, client: Client) -> int:
    """Insert a client and return its id."""
    return rows.add(db, ClientRow(name=client.name, address=client.address, phone=client.phone, email=client.email))


def add_job(db: Session, job: Job, *, at: datetime) -> int:
    """Insert a job, and its client when that has no id yet; return the job's id."""
    client_id = job.client.id or add_client(db, job.client)
    return rows.add(db, JobRow(client_id=client_id, created_at=at, invented=job.invented, **_values(job)))


def save_job(db: Session, job: Job) -> None:
    """Save a job and its client as the person saw them at job.version. Raises ChangedMeanwhile, Missing."""
    row = rows.change(db, JobRow, job.id, version=job.version, **_values(job))
    client = rows.find(db, ClientRow, row.client_id)
    seen = Client(row.client_id, job.client.name, job.client.address, job.client.phone, job.client.email)
    if _client(client) != seen:
        values = {"name": seen.name, "address": seen.address, "phone": seen.phone, "email": seen.email}
        rows.change(db, ClientRow, row.client_id, version=client.version, **values)


def set_state(db: Session, job_id: int, state: JobState) -> None:
    row = rows.find(db, JobRow, job_id)
    row.state = state.value
    db.add(row)


def remove_job(db: Session, job_id: int, *, at: datetime) -> None:
    rows.remove(db, JobRow, job_id, at=at)


def copy_job(db: Session, job_id: int, *, name: str, at: datetime) -> int:
    """Copy a job as the start of another: client, runs, pieces, options, costs and terms; no dates, no records.

    Returns the new job's id. Raises Missing.
    """
    job = rows.find(db, JobRow, job_id)
    kept: dict[str, Any] = {
        "client_id": job.client_id,
        "site": job.site,
        "notes": job.notes,
        "terms": job.terms,
        "invented": job.invented,
    }
    new_id = rows.add(db, JobRow(name=name, created_at=at, **kept))
    for table in (RunRow, CostRow):
        for row in _of_job(db, table, job_id):
            db.add(table(**_copied(row), job_id=new_id))
    new_ids: dict[int, int] = {}
    pieces = _of_job(db, PieceRow, job_id)
    for row in pieces:
        new_ids[row.id] = rows.add(db, PieceRow(**_copied(row, "belongs_to"), job_id=new_id))
    for row in pieces:
        if row.belongs_to in new_ids:
            copy = rows.find(db, PieceRow, new_ids[row.id])
            copy.belongs_to = new_ids[row.belongs_to]
            db.add(copy)
    for one in for_pieces(option.load_options(db, job_id), new_ids):
        option.add_option(db, new_id, one)
    db.flush()
    return new_id


def _of_job(db: Session, table: type[Any], job_id: int) -> list[Any]:
    query = (
        select(table).where(table.job_id == job_id, col(table.removed_at).is_(None)).order_by(table.position, table.id)
    )
    return list(db.exec(query))


def _copied(row: Any, *but: str) -> dict[str, Any]:
    left = {"id", "job_id", "version", "removed_at", *but}
    return {name: value for name, value in row.model_dump().items() if name not in left}


def _jobs() -> Any:
    query = select(JobRow, ClientRow).join(ClientRow, col(ClientRow.id) == JobRow.client_id)
    return query.where(col(JobRow.removed_at).is_(None)).order_by(col(JobRow.id).desc())


def _values(job: Job) -> dict[str, Any]:
    return {
        "name": job.name,
        "site": job.site,
        "promised_on": job.promised_on,
        "state": job.state.value,
        "notes": job.notes,
        "matters": job.matters.value,
    }


def _client(row: ClientRow) -> Client:
    return Client(row.id or 0, row.name, row.address, row.phone, row.email)


def _job(row: JobRow, client: ClientRow) -> Job:
    return Job(
        id=row.id or 0, name=row.name, client=_client(client), site=row.site, promised_on=row.promised_on,
        state=JobState(row.state), notes=row.notes, invented=row.invented, version=row.version,
        matters=Matters(row.matters),
    )  # fmt: skip
