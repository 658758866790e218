"""The shop itself, its hours, its practice and the times of its operations."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import date, time
from fractions import Fraction

from sqlmodel import Session, col, select

from domain.practice import ShopPractice
from domain.shop import Shop
from webapp.store import rows
from webapp.store.codec import from_json, to_json
from webapp.store.tables import ClosedDayRow, HoursRow, PracticeRow, ShopRow


def load_shop(db: Session) -> Shop:
    """Return the shop; before it was set up, one with usual values."""
    row = db.get(ShopRow, 1)
    return from_json(Shop, row.profile) if row else Shop()


def load_version(db: Session) -> int:
    """Return the version of the shop's profile; 0 before it was set up."""
    row = db.get(ShopRow, 1)
    return row.version if row else 0


def save_shop(db: Session, shop: Shop, *, version: int) -> None:
    """Save the profile seen at this version. Raises ChangedMeanwhile."""
    profile = to_json(replace(shop, is_set_up=True))
    if db.get(ShopRow, 1):
        rows.change(db, ShopRow, 1, version=version, profile=profile)
    else:
        rows.add(db, ShopRow(id=1, profile=profile))


def load_hours(db: Session) -> tuple[tuple[int, time, time], ...]:
    """Return the stretches of shop hours: weekday (0 is Monday), from, to."""
    query = (
        select(HoursRow).where(col(HoursRow.removed_at).is_(None)).order_by(col(HoursRow.weekday), col(HoursRow.starts))
    )
    return tuple((row.weekday, row.starts, row.ends) for row in db.exec(query))


def load_closed_days(db: Session) -> Mapping[date, str]:
    query = select(ClosedDayRow).where(col(ClosedDayRow.removed_at).is_(None)).order_by(col(ClosedDayRow.day))
    return {row.day: row.why for row in db.exec(query)}


def load_changed_practice(db: Session) -> Mapping[str, Fraction]:
    """Return the habits that the shop has changed from their usual value."""
    return {row.id: row.value for row in db.exec(select(PracticeRow))}


def load_practice(db: Session) -> ShopPractice:
    """Return the shop's practice: usual values, and those it has changed."""
    return ShopPractice(load_changed_practice(db))
