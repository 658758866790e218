"""The people of the shop, and when they are away."""

from datetime import datetime, time
from typing import Any

from sqlmodel import Session, col, func, select

from domain.person import Absence, Person, Skill
from domain.shop_calendar import Hours
from webapp.store import rows
from webapp.store.codec import from_json, to_json
from webapp.store.tables import AbsenceRow, PersonRow

Week = tuple[tuple[tuple[time, time], ...], ...]
"""Own hours of Monday to Sunday as the document of a person's row holds them."""


def load_people(db: Session) -> tuple[Person, ...]:
    """Return the people of the shop, in the order they were named."""
    query = select(PersonRow).where(col(PersonRow.removed_at).is_(None))
    return tuple(_person(row) for row in db.exec(query.order_by(col(PersonRow.position), col(PersonRow.id))))


def load_person(db: Session, person_id: int) -> Person:
    """Return one person. Raises Missing."""
    return _person(rows.find(db, PersonRow, person_id))


def add_person(db: Session, person: Person) -> int:
    """Insert a person after all others and return the id."""
    last = db.exec(select(func.max(PersonRow.position))).one()
    return rows.add(db, PersonRow(position=0 if last is None else last + 1, **_values(person)))


def save_person(db: Session, person: Person) -> None:
    """Save a person seen at their version. Raises ChangedMeanwhile, Missing."""
    rows.change(db, PersonRow, person.id, version=person.version, **_values(person))


def remove_person(db: Session, person_id: int, *, at: datetime) -> None:
    """Take somebody off the list, with the days they would have been away. Raises Missing."""
    rows.remove(db, PersonRow, person_id, at=at)
    away = select(AbsenceRow).where(AbsenceRow.person_id == person_id, col(AbsenceRow.removed_at).is_(None))
    for row in db.exec(away).all():
        rows.remove(db, AbsenceRow, row.id or 0, at=at)


def load_absences(db: Session, since: datetime) -> tuple[Absence, ...]:
    """Return when people are away, what was over by `since` left out, the earliest first."""
    query = select(AbsenceRow).where(col(AbsenceRow.removed_at).is_(None), col(AbsenceRow.ends_at) > since)
    return tuple(_absence(row) for row in db.exec(query.order_by(col(AbsenceRow.starts_at), col(AbsenceRow.id))))


def load_absence(db: Session, absence_id: int) -> Absence:
    """Return one absence. Raises Missing."""
    return _absence(rows.find(db, AbsenceRow, absence_id))


def add_absence(db: Session, absence: Absence) -> int:
    """Insert an absence of somebody on the list and return its id. Raises Missing."""
    rows.find(db, PersonRow, absence.person_id)
    return rows.add(db, AbsenceRow(person_id=absence.person_id, **_times(absence)))


def save_absence(db: Session, absence: Absence) -> None:
    """Save an absence seen at its version. Raises ChangedMeanwhile, Missing."""
    rows.change(db, AbsenceRow, absence.id, version=absence.version, **_times(absence))


def remove_absence(db: Session, absence_id: int, *, at: datetime) -> None:
    """Say that somebody is there after all. Raises Missing."""
    rows.remove(db, AbsenceRow, absence_id, at=at)


def _values(person: Person) -> dict[str, Any]:
    return {
        "name": person.name,
        "skills": ",".join(skill.value for skill in Skill if skill in person.skills),
        "helps_only": person.helps_only,
        "weekly": None if person.weekly is None else to_json(person.weekly, Week),
    }


def _times(absence: Absence) -> dict[str, Any]:
    return {"starts_at": absence.starts_at, "ends_at": absence.ends_at, "why": absence.why}


def _person(row: PersonRow) -> Person:
    skills = frozenset(Skill(value) for value in row.skills.split(",") if value)
    weekly: tuple[Hours, ...] | None = None if row.weekly is None else from_json(Week, row.weekly)
    return Person(row.id or 0, row.name, skills, row.helps_only, weekly, row.version)


def _absence(row: AbsenceRow) -> Absence:
    return Absence(row.id or 0, row.person_id, row.starts_at, row.ends_at, row.why, row.version)
