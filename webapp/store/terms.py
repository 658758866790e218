"""The money terms of a job: its own, or else the shop's."""

from collections.abc import Iterable, Mapping

from sqlmodel import Session, col, select

from domain.terms import Terms
from webapp.store import rows, shop
from webapp.store.codec import from_json, to_json
from webapp.store.tables import JobRow


def load_terms(db: Session, job_id: int) -> Terms:
    """Return the terms of a job: its own, or the shop's while it has none. Their version is the job row's.

    Either way they are set at `job:ID:terms`, so that changing them there changes this job alone. Raises Missing.
    """
    row = rows.find(db, JobRow, job_id)
    return _placed(job_id, row.terms, row.version, shop.load_terms(db))


def load_terms_of(db: Session, job_ids: Iterable[int]) -> Mapping[int, Terms]:
    """Return the terms of these jobs, by job; those that are not there or were removed are left out."""
    query = select(JobRow.id, JobRow.terms, JobRow.version)
    query = query.where(col(JobRow.id).in_(list(job_ids)), col(JobRow.removed_at).is_(None))
    usual = shop.load_terms(db)
    return {job_id or 0: _placed(job_id or 0, text, version, usual) for job_id, text, version in db.exec(query)}


def _placed(job_id: int, text: str | None, version: int, usual: Terms) -> Terms:
    terms = from_json(Terms, text) if text else usual
    return shop.placed(terms, where=f"job:{job_id}:terms", version=version)


def has_own_terms(db: Session, job_id: int) -> bool:
    """Whether the job's terms no longer follow the shop's. Raises Missing."""
    return rows.find(db, JobRow, job_id).terms is not None


def save_terms(db: Session, job_id: int, terms: Terms | None, *, version: int) -> None:
    """Save a job's own terms seen at this version of its row; None: the shop's again.

    Raises ChangedMeanwhile, Missing.
    """
    rows.change(db, JobRow, job_id, version=version, terms=None if terms is None else to_json(terms))
