"""Orders with their lines and what came of them."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, datetime, timedelta
from typing import Any

from sqlalchemy import Row
from sqlalchemy.orm import aliased
from sqlmodel import Session, col, or_, select

from domain.order import Order, OrderLine, Receipt
from domain.shortage import Shortage, to_order
from webapp.store import rows
from webapp.store.price import load_price_book, material_of
from webapp.store.rows import ChangedMeanwhile
from webapp.store.stock import load_stock
from webapp.store.tables import JobRow, OrderLineRow, OrderRow, ReceiptRow
from webapp.store.take_off import load_take_off


def load_orders(db: Session, job_id: int) -> tuple[Order, ...]:
    """Return the orders of a job, the first written first."""
    return _load(db, OrderRow.job_id == job_id)


def load_orders_of(db: Session, job_ids: Iterable[int]) -> Mapping[int, tuple[Order, ...]]:
    """Return the orders of these jobs, by job."""
    found: dict[int, tuple[Order, ...]] = dict.fromkeys(job_ids, ())
    for order in _load(db, col(OrderRow.job_id).in_(list(found))):
        found[order.job_id] += (order,)
    return found


def load_order(db: Session, order_id: int) -> Order:
    """Return one order. Raises Missing, also when its job was removed."""
    row = rows.find(db, OrderRow, order_id)
    rows.find(db, JobRow, row.job_id)
    (order,) = _load(db, OrderRow.id == order_id)
    return order


def load_shortage(db: Session, job_id: int, *, order_by: Mapping[str, date] | None = None) -> Shortage:
    """Return what a job still has to order. order_by: latest day by the material's key. Raises Missing."""
    needs = load_take_off(db, job_id).lines
    stock, orders, prices = load_stock(db), load_orders(db, job_id), load_price_book(db)
    return to_order(needs, stock, orders, prices, job_id=job_id, order_by=order_by)


def load_job_names(db: Session, orders: Iterable[Order]) -> Mapping[int, str]:
    """Return the names of the jobs that orders are for, by the job's id."""
    ids = {order.job_id for order in orders}
    found = db.exec(select(JobRow).where(col(JobRow.id).in_(ids)))
    return {job.id or 0: job.name for job in found}


def search_orders(db: Session, words: str = "", *, most: int = 50) -> tuple[Order, ...]:
    """Return the orders whose number, supplier or job hold every word, newest first: all that may still be open,
    and the newest of the others.
    """
    query = select(OrderRow.id).join(JobRow, col(JobRow.id) == OrderRow.job_id)
    query = query.where(col(OrderRow.removed_at).is_(None), col(JobRow.removed_at).is_(None))
    for word in words.split():
        like = f"%{word}%"
        columns = (OrderRow.number, OrderRow.supplier, JobRow.name)
        query = query.where(or_(*(col(column).ilike(like) for column in columns)))
    newest = list(db.exec(query.order_by(col(OrderRow.id).desc()).limit(most)))
    may_be_open = list(db.exec(query.where(_came_at_once(db).is_(False))))
    return _load(db, col(OrderRow.id).in_([*newest, *may_be_open]))[::-1]


def load_numbers(db: Session) -> tuple[str, ...]:
    """Return every number an order ever had; read it in the writing session that adds the next."""
    return tuple(db.exec(select(OrderRow.number)))


def add_order(db: Session, order: Order) -> int:
    """Insert an order with its lines and what came of them, and return its id."""
    order_id = rows.add(db, OrderRow(job_id=order.job_id, number=order.number, **_values(order)))
    for position, line in enumerate(order.lines):
        line_id = rows.add(db, OrderLineRow(order_id=order_id, position=position, **_line_values(line)))
        _add_receipts(db, line_id, line.receipts)
    return order_id


def save_order(db: Session, order: Order) -> None:
    """Save an order as the person saw it at order.version; lines that it no longer has are removed, receipts added.

    Raises ChangedMeanwhile, Missing.
    """
    stored = load_order(db, order.id)
    if stored.version != order.version:
        raise ChangedMeanwhile(stored.version)
    _set(db, OrderRow, order.id, _values(order))
    kept = {line.id: line for line in order.lines}
    for line in stored.lines:
        if line.id not in kept:
            rows.remove(db, OrderLineRow, line.id, at=db.info["at"])
            continue
        _set(db, OrderLineRow, line.id, _line_values(kept[line.id]))
        _add_receipts(db, line.id, kept[line.id].receipts[len(line.receipts) :])


def remove_order(db: Session, order_id: int, *, at: datetime) -> None:
    """Mark an order as removed; undo brings it back. Raises Missing."""
    rows.remove(db, OrderRow, order_id, at=at)


def _came_at_once(db: Session) -> Any:
    """Return the condition that every line of an order came whole in one delivery."""
    line, receipt = aliased(OrderLineRow), aliased(ReceiptRow)
    whole = (
        select(receipt.id)
        .where(receipt.line_id == line.id, receipt.packages == line.packages, col(receipt.removed_at).is_(None))
        .exists()
    )
    lacking = select(line.id).where(line.order_id == OrderRow.id, col(line.removed_at).is_(None), ~whole)
    return ~lacking.exists()


def _set(db: Session, table: type[Any], row_id: int, values: Mapping[str, Any]) -> None:
    row = rows.find(db, table, row_id)
    for name, value in values.items():
        setattr(row, name, value)
    db.add(row)
    db.flush()


def _add_receipts(db: Session, line_id: int, receipts: Iterable[Receipt]) -> None:
    for one in receipts:
        rows.add(db, ReceiptRow(line_id=line_id, packages=one.packages, received_at=one.received_at, note=one.note))


def _load(db: Session, condition: Any) -> tuple[Order, ...]:
    """Return the orders that meet a condition, the first written first, in three questions however many they are."""
    found = db.execute(
        rows.plain(OrderRow).where(condition, col(OrderRow.removed_at).is_(None)).order_by(col(OrderRow.id))
    )
    lines = db.execute(
        rows.plain(OrderLineRow)
        .join(OrderRow, col(OrderRow.id) == OrderLineRow.order_id)
        .where(condition)
        .order_by(col(OrderLineRow.position), col(OrderLineRow.id))
    )
    receipts = db.execute(
        rows.plain(ReceiptRow)
        .add_columns(col(OrderLineRow.order_id))
        .join(OrderLineRow, col(OrderLineRow.id) == ReceiptRow.line_id)
        .join(OrderRow, col(OrderRow.id) == OrderLineRow.order_id)
        .where(condition)
        .order_by(col(ReceiptRow.received_at), col(ReceiptRow.id))
    )
    by_order: dict[int, list[Row[Any]]] = {}
    for line in lines:
        by_order.setdefault(line.order_id, []).append(line)
    came: dict[int, list[Row[Any]]] = {}
    for receipt in receipts:
        came.setdefault(receipt.order_id, []).append(receipt)
    return tuple(_order(row, by_order.get(row.id, []), came.get(row.id, [])) for row in found)


def _order(row: Row[Any], lines: Sequence[Row[Any]], receipts: Sequence[Row[Any]]) -> Order:
    """Return an order. Its version counts every change to it, its lines and its receipts, those taken back too."""
    version = sum(each.version for each in (row, *lines, *receipts))
    came: dict[int, list[Row[Any]]] = {}
    for receipt in receipts:
        if receipt.removed_at is None:
            came.setdefault(receipt.line_id, []).append(receipt)
    return Order(
        id=row.id, job_id=row.job_id, number=row.number, supplier=row.supplier,
        lines=tuple(_line(line, came.get(line.id, [])) for line in lines if line.removed_at is None),
        ordered_at=row.ordered_at, lead_time=timedelta(days=row.lead_days), expected_on=row.expected_on,
        notes=row.notes, version=version,
    )  # fmt: skip


def _line(row: Row[Any], receipts: Iterable[Row[Any]]) -> OrderLine:
    return OrderLine(
        id=row.id, material=material_of(row.material), description=row.description, package=row.package,
        package_quantity=row.package_quantity, packages=row.packages, package_price=row.price, parts=row.parts,
        receipts=tuple(Receipt(one.packages, one.received_at, one.note) for one in receipts), version=row.version,
    )  # fmt: skip


def _values(order: Order) -> dict[str, Any]:
    return {
        "supplier": order.supplier,
        "lead_days": -(-order.lead_time // timedelta(days=1)),
        "ordered_at": order.ordered_at,
        "expected_on": order.expected_on,
        "notes": order.notes,
    }


def _line_values(line: OrderLine) -> dict[str, Any]:
    return {
        "material": line.material.key,
        "description": line.description,
        "package": line.package,
        "package_quantity": line.package_quantity,
        "packages": line.packages,
        "price": line.package_price,
        "parts": line.parts,
    }
