"""The rack: boards and sheets of known size, and what was cut up for jobs."""

from collections.abc import Iterable, Mapping
from datetime import datetime
from functools import lru_cache
from typing import Any

from sqlalchemy import Row
from sqlmodel import Session, col

from domain.layout.shape import Layout
from domain.length import Length
from domain.rack import Cutting, RackPiece, RackPlace
from webapp.store import rows
from webapp.store.codec import from_json, to_json
from webapp.store.price import material_of
from webapp.store.tables import CuttingRow, RackPieceRow


def load_rack(db: Session, *, cut_up: bool = False) -> tuple[RackPiece, ...]:
    """Return what lies on the rack or is seen at the yard, by material. cut_up: those cut up for a job too."""
    query = _pieces().order_by(RackPieceRow.material, RackPieceRow.id)
    if not cut_up:
        query = query.where(col(RackPieceRow.cut_for).is_(None))
    return tuple(_piece(row) for row in db.execute(query))


def load_rack_piece(db: Session, piece_id: int) -> RackPiece:
    """Return one board or sheet, cut up or not. Raises Missing."""
    return _piece(rows.find(db, RackPieceRow, piece_id))


def add_rack_piece(db: Session, piece: RackPiece) -> int:
    """Insert a board or sheet and return its id."""
    return rows.add(db, RackPieceRow(**_values(piece)))


def add_rack_pieces(db: Session, pieces: Iterable[RackPiece]) -> None:
    """Insert a list of boards and sheets, in its order."""
    db.add_all(RackPieceRow(**_values(piece)) for piece in pieces)
    db.flush()


def save_rack_piece(db: Session, piece: RackPiece) -> None:
    """Save a board or sheet seen at its version. Raises ChangedMeanwhile, Missing."""
    rows.change(db, RackPieceRow, piece.id, version=piece.version, **_values(piece))


def remove_rack_piece(db: Session, piece_id: int, *, at: datetime) -> None:
    """Take a board or sheet off the rack. Raises Missing."""
    rows.remove(db, RackPieceRow, piece_id, at=at)


def load_cuttings(db: Session, job_id: int) -> tuple[Cutting, ...]:
    """Return what was cut up for a job, in the order it was."""
    return load_cuttings_of(db, (job_id,)).get(job_id, ())


def load_cuttings_of(db: Session, job_ids: Iterable[int]) -> Mapping[int, tuple[Cutting, ...]]:
    """Return what was cut up for several jobs, each in the order it was; jobs without any are left out."""
    query = (
        rows.plain(CuttingRow)
        .where(col(CuttingRow.removed_at).is_(None), col(CuttingRow.job_id).in_(tuple(job_ids)))
        .order_by(CuttingRow.id)
    )
    found: dict[int, tuple[Cutting, ...]] = {}
    for row in db.execute(query):
        found[row.job_id] = (*found.get(row.job_id, ()), _cutting(row))
    return found


def add_cutting(db: Session, job_id: int, cutting: Cutting) -> int:
    """Insert what was cut up for a job and return its id."""
    layout = to_json(cutting.layout)
    return rows.add(db, CuttingRow(job_id=job_id, material=cutting.material.key, layout=layout))


def remove_cutting(db: Session, job_id: int, cutting_id: int, *, at: datetime) -> None:
    """Say that something was not cut up after all. Raises Missing, also for a cutting of another job."""
    rows.of_job(db, CuttingRow, cutting_id, job_id)
    rows.remove(db, CuttingRow, cutting_id, at=at)


def _pieces() -> Any:
    return rows.plain(RackPieceRow).where(col(RackPieceRow.removed_at).is_(None))


def _values(piece: RackPiece) -> dict[str, Any]:
    return {
        "mark": piece.mark,
        "material": piece.material.key,
        "width": piece.width.inches,
        "length": piece.length.inches,
        "place": piece.place.value,
        "price": piece.price,
        "supplier": piece.supplier,
        "set_aside_for": piece.set_aside_for,
        "offcut_of": piece.offcut_of,
        "cut_for": piece.cut_for,
        "note": piece.note,
    }


def _piece(row: RackPieceRow | Row[Any]) -> RackPiece:
    return RackPiece(
        id=row.id or 0, mark=row.mark, material=material_of(row.material), width=Length(row.width),
        length=Length(row.length), place=RackPlace(row.place), price=row.price, supplier=row.supplier,
        set_aside_for=row.set_aside_for, offcut_of=row.offcut_of, cut_for=row.cut_for, note=row.note,
        version=row.version,
    )  # fmt: skip


def _cutting(row: Row[Any]) -> Cutting:
    return Cutting(row.id, material_of(row.material), _layout(row.layout))


@lru_cache(maxsize=128)
def _layout(text: str) -> Layout:
    """Return the layout of a text; every page of the job reads it again."""
    return from_json(Layout, text)
