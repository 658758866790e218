"""The shop itself, its hours, its practice, the times of its operations and its money terms."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import date, datetime
from fractions import Fraction
from typing import Any

from sqlmodel import Session, col, select

from domain.hours import ClosedDay, ExtraHours, OpenHours, extra_days
from domain.operation import OPERATIONS, OperationTime
from domain.practice import PRACTICES, Owned, ShopPractice
from domain.shop import Shop
from domain.shop_calendar import DAYS, Hours, ShopCalendar
from domain.terms import Terms
from webapp.store import rows
from webapp.store.codec import from_json, to_json
from webapp.store.rows import ChangedMeanwhile
from webapp.store.tables import ClosedDayRow, ExtraHoursRow, HoursRow, OperationRow, PracticeRow, ShopRow


def load_shop(db: Session) -> Shop:
    """Return the shop; before it was set up, one with usual values."""
    row = db.get(ShopRow, 1)
    return from_json(Shop, row.profile) if row else Shop()


def today(db: Session, now: datetime) -> date:
    """Return the day by the shop's own calendar."""
    return load_shop(db).day_of(now)


def load_version(db: Session) -> int:
    """Return the version of the shop's row; 0 before there is one."""
    row = db.get(ShopRow, 1)
    return row.version if row else 0


def save_shop(db: Session, shop: Shop, *, version: int) -> None:
    """Save the profile seen at this version. Raises ChangedMeanwhile."""
    _save(db, version=version, profile=to_json(replace(shop, is_set_up=True)))


def load_terms(db: Session) -> Terms:
    """Return the money terms that new jobs start with; before they were said, ones that say what is missing."""
    row = db.get(ShopRow, 1)
    terms = from_json(Terms, row.terms) if row and row.terms else Terms()
    return placed(terms, where="shop:terms", version=row.version if row else 0)


def save_terms(db: Session, terms: Terms, *, version: int) -> None:
    """Save the money terms seen at this version of the shop's row. Raises ChangedMeanwhile."""
    _save(db, version=version, terms=to_json(terms))


def placed(terms: Terms, *, where: str, version: int) -> Terms:
    """Return the terms with the address of the form that sets them and the version of the row that holds them."""
    return replace(terms, where=where, version=version, waste=replace(terms.waste, where=where))


def _save(db: Session, *, version: int, **values: str) -> None:
    if db.get(ShopRow, 1):
        rows.change(db, ShopRow, 1, version=version, **values)
    elif version:
        raise ChangedMeanwhile(0)
    else:
        rows.add(db, ShopRow(id=1, profile=values.get("profile", to_json(Shop())), terms=values.get("terms")))


def load_calendar(db: Session) -> ShopCalendar | None:
    """Return when the shop works; None while it has no hours, so that no hands-on work can be placed."""
    weekly: list[list[tuple[Any, Any]]] = [[] for _ in DAYS]
    for hours in load_hours(db):
        weekly[hours.weekday].append((hours.starts, hours.ends))
    if not any(weekly):
        return None
    days: tuple[Hours, ...] = tuple(tuple(day) for day in weekly)
    closed = load_closed_days(db)
    return ShopCalendar(load_shop(db).zone, days, closed, extra_days(load_extra_hours(db), days, closed))


def load_hours(db: Session) -> tuple[OpenHours, ...]:
    """Return the stretches of shop hours, Monday first."""
    query = select(HoursRow).where(col(HoursRow.removed_at).is_(None))
    return tuple(_hours(row) for row in db.exec(query.order_by(col(HoursRow.weekday), col(HoursRow.starts))))


def load_one_hours(db: Session, hours_id: int) -> OpenHours:
    """Return one stretch of shop hours. Raises Missing."""
    return _hours(rows.find(db, HoursRow, hours_id))


def add_hours(db: Session, hours: Iterable[OpenHours]) -> None:
    """Insert stretches of shop hours."""
    for one in hours:
        db.add(HoursRow(weekday=one.weekday, starts=one.starts, ends=one.ends))


def save_hours(db: Session, hours: OpenHours) -> None:
    """Save a stretch seen at its version. Raises ChangedMeanwhile, Missing."""
    rows.change(db, HoursRow, hours.id, version=hours.version, starts=hours.starts, ends=hours.ends)


def remove_hours(db: Session, hours_id: int, *, at: datetime) -> None:
    rows.remove(db, HoursRow, hours_id, at=at)


def load_closings(db: Session) -> tuple[ClosedDay, ...]:
    """Return the closed days, the earliest first."""
    query = select(ClosedDayRow).where(col(ClosedDayRow.removed_at).is_(None)).order_by(col(ClosedDayRow.day))
    return tuple(_closed(row) for row in db.exec(query))


def load_closed_days(db: Session) -> Mapping[date, str]:
    """Return the closed days and why, as the shop calendar wants them."""
    return {closed.day: closed.why for closed in load_closings(db)}


def load_closing(db: Session, closed_id: int) -> ClosedDay:
    """Return one closed day. Raises Missing."""
    return _closed(rows.find(db, ClosedDayRow, closed_id))


def add_closings(db: Session, days: Iterable[date], why: str) -> None:
    """Insert closed days for one reason."""
    for day in days:
        db.add(ClosedDayRow(day=day, why=why))


def save_closing(db: Session, closed: ClosedDay) -> None:
    """Save a closed day seen at its version. Raises ChangedMeanwhile, Missing."""
    rows.change(db, ClosedDayRow, closed.id, version=closed.version, day=closed.day, why=closed.why)


def remove_closing(db: Session, closed_id: int, *, at: datetime) -> None:
    rows.remove(db, ClosedDayRow, closed_id, at=at)


def load_extra_hours(db: Session) -> tuple[ExtraHours, ...]:
    """Return the hours worked on one day beside those of the week, the earliest first."""
    query = select(ExtraHoursRow).where(col(ExtraHoursRow.removed_at).is_(None))
    return tuple(_extra(row) for row in db.exec(query.order_by(col(ExtraHoursRow.day), col(ExtraHoursRow.starts))))


def load_one_extra(db: Session, extra_id: int) -> ExtraHours:
    """Return the extra hours of one stretch. Raises Missing."""
    return _extra(rows.find(db, ExtraHoursRow, extra_id))


def add_extra_hours(db: Session, extra: ExtraHours) -> int:
    """Insert extra hours and return their id."""
    return rows.add(db, ExtraHoursRow(day=extra.day, starts=extra.starts, ends=extra.ends, why=extra.why))


def save_extra_hours(db: Session, extra: ExtraHours) -> None:
    """Save extra hours seen at their version. Raises ChangedMeanwhile, Missing."""
    values = {"day": extra.day, "starts": extra.starts, "ends": extra.ends, "why": extra.why}
    rows.change(db, ExtraHoursRow, extra.id, version=extra.version, **values)


def remove_extra_hours(db: Session, extra_id: int, *, at: datetime) -> None:
    rows.remove(db, ExtraHoursRow, extra_id, at=at)


def load_practice(db: Session) -> ShopPractice:
    """Return the shop's practice: usual values, those it has changed, and what it has once it was set up."""
    shop = load_shop(db)
    owned = Owned(shop.clamps, shop.benches) if shop.is_set_up else None
    return ShopPractice(load_changed_practice(db), owned)


def load_changed_practice(db: Session) -> Mapping[str, Fraction]:
    """Return the habits that the shop has changed from their usual value."""
    return {row.id: row.value for row in db.exec(select(PracticeRow)) if row.id in PRACTICES}


def load_practice_versions(db: Session) -> Mapping[str, int]:
    """Return the versions of the habits that the shop has changed; any other is at 0."""
    return {row.id: row.version for row in db.exec(select(PracticeRow))}


def save_practice(db: Session, key: str, value: Fraction | None, *, version: int) -> None:
    """Save a habit seen at this version, None for its usual value again. Raises ChangedMeanwhile."""
    row = db.get(PracticeRow, key)
    if (row.version if row else 0) != version:
        raise ChangedMeanwhile(row.version if row else 0)
    if value is not None and row:
        rows.change(db, PracticeRow, key, version=version, value=value)
    elif value is not None:
        db.add(PracticeRow(id=key, value=value))
    elif row:
        db.delete(row)


def load_operation_times(db: Session) -> Mapping[str, OperationTime]:
    """Return what the shop said its operations take; nobody has said it of those left out."""
    found = db.exec(select(OperationRow))
    return {row.id: OperationTime(row.setup, row.each, row.crew) for row in found if row.id in OPERATIONS}


def load_operation_versions(db: Session) -> Mapping[str, int]:
    """Return the versions of the operations somebody has said something about; any other is at 0."""
    return {row.id: row.version for row in db.exec(select(OperationRow))}


def save_operation_time(db: Session, key: str, time: OperationTime, *, version: int) -> None:
    """Save what an operation takes, seen at this version. Raises ChangedMeanwhile."""
    row = db.get(OperationRow, key)
    if (row.version if row else 0) != version:
        raise ChangedMeanwhile(row.version if row else 0)
    if row:
        rows.change(db, OperationRow, key, version=version, setup=time.setup, each=time.each, crew=time.crew)
    else:
        db.add(OperationRow(id=key, setup=time.setup, each=time.each, crew=time.crew))


def add_starting_times(db: Session, times: Mapping[str, OperationTime]) -> None:
    """Save times for what nobody has said yet; what was said stays as it is."""
    for key, time in times.items():
        row = db.get(OperationRow, key) or OperationRow(id=key, crew=time.crew)
        row.setup = time.setup if row.setup is None else row.setup
        row.each = time.each if row.each is None else row.each
        db.add(row)


def _hours(row: HoursRow) -> OpenHours:
    return OpenHours(row.id or 0, row.weekday, row.starts, row.ends, row.version)


def _closed(row: ClosedDayRow) -> ClosedDay:
    return ClosedDay(row.id or 0, row.day, row.why, row.version)


def _extra(row: ExtraHoursRow) -> ExtraHours:
    return ExtraHours(row.id or 0, row.day, row.starts, row.ends, row.why, row.version)
