"""The demo's people, when they are away, and the days on which nobody works. All invented but the public holidays."""

from datetime import date, datetime, timedelta

from sqlmodel import Session

from domain.holiday import holidays_of
from domain.person import Absence, Person, Skill, away_between
from webapp.demo.shop import SHOP
from webapp.store import person as store
from webapp.store.shop import add_closings

ON_MACHINES = frozenset({Skill.MACHINES, Skill.BENCH, Skill.INSTALLING})
PEOPLE = (
    Person(0, "Mira", ON_MACHINES),  # everything but the finish
    Person(0, "Oskar"),
    Person(0, "Lio", helps_only=True),  # in the first year of an apprenticeship
)
KEPT = frozenset({
    "New Year's Day", "Memorial Day", "Independence Day", "Independence Day (observed)", "Labor Day",
    "Thanksgiving Day", "Christmas Day",
})  # fmt: skip
"""Public holidays on which this shop is closed."""

_SCHOOL = timedelta(days=11)


def add_people(db: Session, *, at: datetime) -> None:
    """Name two makers and an apprentice, with a morning at school to come, and close the shop on holidays of a year."""
    ids = [store.add_person(db, person) for person in PEOPLE]
    day = _weekday(SHOP.day_of(at + _SCHOOL))
    starts, ends = away_between(day, day, from_noon=False, until_noon=True, zone=SHOP.tz)
    store.add_absence(db, Absence(0, ids[-1], starts, ends, "school"))
    today = SHOP.day_of(at)
    for holiday in (*holidays_of(SHOP.region, today.year), *holidays_of(SHOP.region, today.year + 1)):
        if holiday.name in KEPT and today < holiday.day < today + timedelta(days=365):
            add_closings(db, [holiday.day], holiday.name)


def _weekday(day: date) -> date:
    """Return the day, or of a weekend the Monday after it."""
    return day + timedelta(days=7 - day.weekday() if day.weekday() >= 5 else 0)
