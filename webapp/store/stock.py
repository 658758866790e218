"""What lies in the shop."""

from datetime import datetime
from typing import Any

from sqlmodel import Session, col, select

from domain.material import Material
from domain.stock import StockItem
from webapp.store import rows
from webapp.store.tables import StockRow


def load_stock(db: Session) -> tuple[StockItem, ...]:
    """Return everything in stock, by material."""
    query = (
        select(StockRow).where(col(StockRow.removed_at).is_(None)).order_by(col(StockRow.material), col(StockRow.id))
    )
    return tuple(_item(row) for row in db.exec(query))


def load_stock_item(db: Session, item_id: int) -> StockItem:
    """Return one thing in stock. Raises Missing."""
    return _item(rows.find(db, StockRow, item_id))


def add_stock_item(db: Session, item: StockItem) -> int:
    """Insert a thing in stock and return its id."""
    return rows.add(db, StockRow(**_values(item)))


def save_stock_item(db: Session, item: StockItem) -> None:
    """Save a thing in stock seen at its version. Raises ChangedMeanwhile, Missing."""
    rows.change(db, StockRow, item.id, version=item.version, **_values(item))


def remove_stock_item(db: Session, item_id: int, *, at: datetime) -> None:
    rows.remove(db, StockRow, item_id, at=at)


def _values(item: StockItem) -> dict[str, Any]:
    return {
        "material": item.material.key,
        "quantity": item.quantity,
        "set_aside_for": item.set_aside_for,
        "note": item.note,
    }


def _item(row: StockRow) -> StockItem:
    material = Material.from_key(row.material)
    return StockItem(row.id or 0, material, row.quantity, row.set_aside_for, row.note, row.version)
