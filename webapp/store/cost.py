"""Costs of a job typed as amounts: subcontract, delivery, travel, an allowance."""

from dataclasses import replace
from datetime import datetime

from sqlmodel import Session, col, select

from domain.terms import CostLine
from webapp.store import rows
from webapp.store.codec import from_json, to_json
from webapp.store.tables import CostRow


def load_costs(db: Session, job_id: int) -> tuple[CostLine, ...]:
    """Return the costs of a job in the order they were added."""
    query = select(CostRow).where(CostRow.job_id == job_id, col(CostRow.removed_at).is_(None))
    return tuple(_cost(row) for row in db.exec(query.order_by(col(CostRow.position), col(CostRow.id))))


def load_cost(db: Session, job_id: int, cost_id: int) -> CostLine:
    """Return one cost of a job. Raises Missing."""
    return _cost(rows.of_job(db, CostRow, cost_id, job_id))


def job_of(db: Session, cost_id: int) -> int:
    """Return the job a cost belongs to. Raises Missing."""
    return rows.find(db, CostRow, cost_id).job_id


def add_cost(db: Session, job_id: int, cost: CostLine) -> int:
    """Insert a cost after the others of its job and return its id."""
    position = rows.next_position(db, CostRow, job_id)
    return rows.add(db, CostRow(job_id=job_id, position=position, line=to_json(_plain(cost))))


def save_cost(db: Session, job_id: int, cost: CostLine) -> None:
    """Save a cost seen at its version. Raises ChangedMeanwhile, Missing."""
    rows.of_job(db, CostRow, cost.id, job_id)
    rows.change(db, CostRow, cost.id, version=cost.version, line=to_json(_plain(cost)))


def remove_cost(db: Session, job_id: int, cost_id: int, *, at: datetime) -> None:
    """Mark a cost as removed; undo brings it back. Raises Missing."""
    rows.of_job(db, CostRow, cost_id, job_id)
    rows.remove(db, CostRow, cost_id, at=at)


def _plain(cost: CostLine) -> CostLine:
    """Return the cost as it is kept: the row knows its id and version."""
    return replace(cost, id=0, version=1)


def _cost(row: CostRow) -> CostLine:
    return replace(from_json(CostLine, row.line), id=row.id or 0, version=row.version)
