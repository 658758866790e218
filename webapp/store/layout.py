"""The best layouts found so far, kept so that nobody waits for them twice. They are no facts: they can be made anew."""

from collections.abc import Iterable, Mapping
from datetime import datetime
from functools import lru_cache

from sqlmodel import Session, col, delete, select

from domain.layout.shape import Layout
from webapp.store import rows
from webapp.store.codec import from_json, to_json
from webapp.store.tables import LayoutRow

MOST_KEPT = 60
"""Layouts of a job; the oldest go when there are more."""


def load_layouts_of(db: Session, job_ids: Iterable[int]) -> Mapping[int, Mapping[str, Layout]]:
    """Return the layouts kept for these jobs by the fingerprint of what was asked, by job."""
    found: dict[int, dict[str, Layout]] = {job_id: {} for job_id in job_ids}
    query = rows.plain(LayoutRow).where(col(LayoutRow.job_id).in_(list(found)))
    for row in db.execute(query):
        found[row.job_id][row.fingerprint] = _read(row.found)
    return found


@lru_cache(maxsize=256)
def _read(text: str) -> Layout:
    return from_json(Layout, text)


def keep_layout(db: Session, job_id: int, fingerprint: str, layout: Layout, *, at: datetime) -> None:
    """Keep a layout in the place of the one kept before for the same question."""
    row = db.exec(
        select(LayoutRow).where(LayoutRow.job_id == job_id, LayoutRow.fingerprint == fingerprint)
    ).one_or_none() or LayoutRow(job_id=job_id, fingerprint=fingerprint, found="", found_at=at)
    row.found, row.found_at = to_json(layout), at
    db.add(row)
    db.flush()
    kept = select(LayoutRow.id).where(LayoutRow.job_id == job_id).order_by(col(LayoutRow.id).desc()).limit(MOST_KEPT)
    db.exec(delete(LayoutRow).where(col(LayoutRow.job_id) == job_id, col(LayoutRow.id).not_in(kept)))
