"""The pieces of a job, in their order; those that belong to another go and come with it."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from typing import Any

from sqlalchemy import Row
from sqlmodel import Session, col, select

from domain.pieces import KINDS
from domain.pieces.piece import PlacedPiece
from webapp.store import rows
from webapp.store.codec import from_json, to_json
from webapp.store.tables import PieceRow


def load_pieces(db: Session, job_id: int) -> tuple[PlacedPiece, ...]:
    """Return the pieces of a job in their order."""
    return load_pieces_of(db, [job_id])[job_id]


def load_pieces_of(db: Session, job_ids: Iterable[int]) -> Mapping[int, tuple[PlacedPiece, ...]]:
    """Return the pieces of these jobs in their order, by job."""
    found: dict[int, list[PlacedPiece]] = {job_id: [] for job_id in job_ids}
    for row in db.execute(_in_order(rows.plain(PieceRow), list(found))):
        found[row.job_id].append(_placed(row))
    return {job_id: tuple(pieces) for job_id, pieces in found.items()}


def load_piece(db: Session, job_id: int, piece_id: int) -> PlacedPiece:
    """Return a piece of this job. Raises Missing."""
    return _placed(rows.of_job(db, PieceRow, piece_id, job_id))


def job_of(db: Session, piece_id: int) -> int:
    """Return the id of the job that a piece is in. Raises Missing."""
    return rows.find(db, PieceRow, piece_id).job_id


def add_piece(db: Session, job_id: int, placed: PlacedPiece) -> int:
    """Add a piece after the others of its job and return its id."""
    position = rows.next_position(db, PieceRow, job_id)
    return rows.add(db, PieceRow(job_id=job_id, position=position, **_values(placed)))


def save_piece(db: Session, job_id: int, placed: PlacedPiece) -> None:
    """Save a piece as the person saw it at placed.version. Raises ChangedMeanwhile, Missing."""
    rows.of_job(db, PieceRow, placed.id, job_id)
    rows.change(db, PieceRow, placed.id, version=placed.version, **_values(placed))


def remove_piece(db: Session, job_id: int, piece_id: int, *, at: datetime) -> None:
    """Remove a piece and all that belongs to it; undo brings them back together. Raises Missing."""
    for row in _with_belongings(_rows(db, job_id), rows.of_job(db, PieceRow, piece_id, job_id)):
        rows.remove(db, PieceRow, row.id or 0, at=at)


def copy_piece(db: Session, job_id: int, piece_id: int, *, name: str) -> int:
    """Copy a piece under a new name, with all that belongs to it; return the id of the copy. Raises Missing."""
    new_ids: dict[int | None, int] = {}
    for row in _with_belongings(_rows(db, job_id), rows.of_job(db, PieceRow, piece_id, job_id)):
        placed = _placed(row)
        owner = new_ids.get(placed.belongs_to, placed.belongs_to)
        copy = replace(placed, name=placed.name if new_ids else name, belongs_to=owner)
        new_ids[row.id] = add_piece(db, job_id, copy)
    return new_ids[piece_id]


def move_piece(db: Session, job_id: int, piece_id: int, *, by: int) -> None:
    """Move a piece up (by -1) or down (by 1) among those of the same owner; at the end it stays. Raises Missing."""
    moved = rows.of_job(db, PieceRow, piece_id, job_id)
    ordered = _rows(db, job_id)
    beside = [row for row in ordered if row.belongs_to == moved.belongs_to]
    place = beside.index(moved) + by
    if not 0 <= place < len(beside):
        return
    here, there = ordered.index(moved), ordered.index(beside[place])
    ordered[here], ordered[there] = ordered[there], ordered[here]
    for position, row in enumerate(ordered):
        row.position = position
    db.add_all(ordered)
    db.flush()


def _rows(db: Session, job_id: int) -> list[PieceRow]:
    return list(db.exec(_in_order(select(PieceRow), [job_id])))


def _in_order(query: Any, job_ids: Sequence[int]) -> Any:
    """Return the query for the pieces of these jobs that were not removed, in their order."""
    query = query.where(col(PieceRow.job_id).in_(job_ids), col(PieceRow.removed_at).is_(None))
    return query.order_by(col(PieceRow.position), col(PieceRow.id))


def _with_belongings(ordered: Sequence[PieceRow], owner: PieceRow) -> Iterator[PieceRow]:
    """Yield a piece and what belongs to it, owners before what is theirs."""
    yield owner
    for row in ordered:
        if row.belongs_to == owner.id and row is not owner:
            yield from _with_belongings(ordered, row)


def _placed(row: PieceRow | Row[Any]) -> PlacedPiece:
    return PlacedPiece(
        id=row.id or 0, name=row.name, quantity=row.quantity, piece=from_json(KINDS[row.kind], row.choices),
        belongs_to=row.belongs_to, notes=row.notes, version=row.version, position=row.position,
    )  # fmt: skip


def _values(placed: PlacedPiece) -> dict[str, Any]:
    return {
        "kind": placed.piece.kind,
        "name": placed.name,
        "quantity": placed.quantity,
        "belongs_to": placed.belongs_to,
        "notes": placed.notes,
        "choices": to_json(placed.piece),
    }
