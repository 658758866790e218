"""Options of a job: named changes to its pieces, priced beside it."""

from dataclasses import replace
from datetime import datetime

from sqlmodel import Session, col, select

from domain.option import Option, apply
from webapp.store import rows
from webapp.store.codec import from_json, to_json
from webapp.store.piece import load_pieces, remove_piece, save_piece
from webapp.store.tables import OptionRow


def load_options(db: Session, job_id: int) -> tuple[Option, ...]:
    """Return the options of a job in the order they were added."""
    query = select(OptionRow).where(OptionRow.job_id == job_id, col(OptionRow.removed_at).is_(None))
    return tuple(_option(row) for row in db.exec(query.order_by(col(OptionRow.position), col(OptionRow.id))))


def load_option(db: Session, job_id: int, option_id: int) -> Option:
    """Return one option of a job. Raises Missing."""
    return _option(rows.of_job(db, OptionRow, option_id, job_id))


def add_option(db: Session, job_id: int, option: Option) -> int:
    """Insert an option after the others of its job and return its id."""
    position = rows.next_position(db, OptionRow, job_id)
    return rows.add(db, OptionRow(job_id=job_id, position=position, change=to_json(_plain(option))))


def save_option(db: Session, job_id: int, option: Option) -> None:
    """Save an option seen at its version. Raises ChangedMeanwhile, Missing."""
    rows.of_job(db, OptionRow, option.id, job_id)
    rows.change(db, OptionRow, option.id, version=option.version, change=to_json(_plain(option)))


def remove_option(db: Session, job_id: int, option_id: int, *, at: datetime) -> None:
    """Mark an option as removed; undo brings it back. Raises Missing."""
    rows.of_job(db, OptionRow, option_id, job_id)
    rows.remove(db, OptionRow, option_id, at=at)


def take_option(db: Session, job_id: int, option: Option, *, at: datetime) -> None:
    """Change the job's pieces to the option, which then is no option any more. Raises Missing."""
    placed = load_pieces(db, job_id)
    kept = {piece.id: piece for piece in apply(option, placed)}
    gone = {piece.id for piece in placed} - set(kept)
    for piece in placed:
        if piece.id in gone and piece.belongs_to not in gone:
            remove_piece(db, job_id, piece.id, at=at)
        elif piece.id in kept and kept[piece.id] != piece:
            save_piece(db, job_id, kept[piece.id])
    remove_option(db, job_id, option.id, at=at)


def _plain(option: Option) -> Option:
    """Return the option as it is kept: the row knows its id and version."""
    return replace(option, id=0, version=1)


def _option(row: OptionRow) -> Option:
    return replace(from_json(Option, row.change), id=row.id or 0, version=row.version)
