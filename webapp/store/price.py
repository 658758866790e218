"""The price book."""

from collections.abc import Iterable
from datetime import datetime, timedelta
from functools import lru_cache
from typing import Any

from sqlalchemy import Row, or_
from sqlmodel import Session, col, func, select

from domain.material import Material, MaterialKind
from domain.price import Price, PriceBook
from webapp.store import rows
from webapp.store.tables import PriceRow

_COLUMNS = (
    PriceRow.id, PriceRow.material, PriceRow.description, PriceRow.supplier, PriceRow.package,
    PriceRow.package_quantity, PriceRow.price, PriceRow.priced_on, PriceRow.lead_days, PriceRow.whole,
    PriceRow.taxed, PriceRow.version,
)  # fmt: skip


def load_price_book(db: Session) -> PriceBook:
    """Return every price the shop knows."""
    return PriceBook(tuple(_price(row) for row in db.execute(_prices())))


def search_prices(
    db: Session, words: str = "", *, kind: MaterialKind | None = None, most: int = 300
) -> tuple[tuple[Price, ...], int]:
    """Return prices whose material, description, supplier or package hold every word, and how many there are.

    kind: of that kind only; most: how many are returned, by kind, supplier and material.
    """
    query = _prices()
    for word in words.split():
        like = f"%{word}%"
        columns = (PriceRow.material, PriceRow.description, PriceRow.supplier, PriceRow.package)
        query = query.where(or_(*(col(column).ilike(like) for column in columns)))
    if kind:
        query = query.where(col(PriceRow.material).startswith(f"{kind.value}|", autoescape=True))
    found = db.execute(select(func.count()).select_from(query.subquery())).scalar_one()
    kind_of = func.substr(PriceRow.material, 1, func.instr(PriceRow.material, "|"))
    query = query.order_by(kind_of, PriceRow.supplier, PriceRow.material, PriceRow.id)
    return tuple(_price(row) for row in db.execute(query.limit(most))), found


def count_prices(db: Session) -> int:
    return db.exec(select(func.count()).select_from(PriceRow).where(col(PriceRow.removed_at).is_(None))).one()


def load_suppliers(db: Session) -> tuple[str, ...]:
    """Return the suppliers in the price book, by name."""
    query = select(PriceRow.supplier).where(col(PriceRow.removed_at).is_(None), PriceRow.supplier != "")
    return tuple(db.exec(query.distinct().order_by(PriceRow.supplier)))


def load_price(db: Session, price_id: int) -> Price:
    """Return one price. Raises Missing."""
    row = db.execute(_prices().where(PriceRow.id == price_id)).first()
    if row is None:
        raise rows.Missing(f"price {price_id}")
    return _price(row)


def add_price(db: Session, price: Price) -> int:
    """Insert a price and return its id."""
    return rows.add(db, PriceRow(**_values(price)))


def save_price(db: Session, price: Price) -> None:
    """Save a price seen at its version. Raises ChangedMeanwhile, Missing."""
    rows.change(db, PriceRow, price.id, version=price.version, **_values(price))


def remove_price(db: Session, price_id: int, *, at: datetime) -> None:
    rows.remove(db, PriceRow, price_id, at=at)


def save_price_list(db: Session, prices: Iterable[Price]) -> None:
    """Insert prices without an id, and save those with one over what is stored. Raises ChangedMeanwhile, Missing."""
    for price in prices:
        if price.id:
            save_price(db, price)
        else:
            db.add(PriceRow(**_values(price)))


def _prices() -> Any:
    return select(*_COLUMNS).where(col(PriceRow.removed_at).is_(None))  # type: ignore[call-overload]


def _values(price: Price) -> dict[str, Any]:
    return {
        "material": price.material.key,
        "description": price.description,
        "supplier": price.supplier,
        "package": price.package,
        "package_quantity": price.package_quantity,
        "price": price.package_price,
        "priced_on": price.priced_on,
        "lead_days": price.lead_time.days,
        "whole": price.whole,
        "taxed": price.taxed,
    }


@lru_cache(maxsize=4096)
def material_of(key: str) -> Material:
    """Return the material of a key, from memory when it was asked for before."""
    return Material.from_key(key)


def _price(row: Row[Any]) -> Price:
    return Price(
        id=row.id, material=material_of(row.material), description=row.description, supplier=row.supplier,
        package=row.package, package_quantity=row.package_quantity, package_price=row.price,
        priced_on=row.priced_on, lead_time=timedelta(days=row.lead_days), whole=row.whole, taxed=row.taxed,
        version=row.version,
    )  # fmt: skip
