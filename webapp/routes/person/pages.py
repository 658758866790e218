"""The people of the shop as a page, and one of them."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from fractions import Fraction

from fastapi import Request, Response
from sqlmodel import Session

from domain.hours import OpenHours
from domain.person import Absence, Person, away_words, can_do, stretches_of, unled
from domain.problem import Problem
from domain.shop_calendar import DAYS, ShopCalendar
from domain.when import DAYS as SHORT_DAYS
from webapp import desk
from webapp.desk import reading
from webapp.filters import hours as in_hours
from webapp.forms import hours as hours_forms
from webapp.forms import person as forms
from webapp.render import page
from webapp.store import person as store
from webapp.store import shop as shop_store

HOME = "/shop/people"
SOON = 7
"""Days in which the next day that the shop is open is looked for."""


@dataclass(frozen=True)
class Away:
    """When somebody is away, in words. has_begun: they are away now."""

    absence: Absence
    words: str
    has_begun: bool


@dataclass(frozen=True)
class PersonShown:
    """A person in words. stretches: own hours, none while they keep those of the shop."""

    person: Person
    can_do: str
    hours: str
    stretches: tuple[OpenHours, ...]
    away: tuple[Away, ...]

    def of_day(self, weekday: int) -> tuple[OpenHours, ...]:
        """Return the own hours of a weekday, 0 is Monday."""
        return tuple(one for one in self.stretches if one.weekday == weekday)


@dataclass(frozen=True)
class IllDay:
    """A day on which one tap says that somebody is ill."""

    day: date
    words: str


@dataclass(frozen=True)
class PeoplePage:
    """people: in their order; unled: what nobody can do alone; ill_days: today, and the next day that is open."""

    people: tuple[PersonShown, ...]
    unled: tuple[str, ...]
    ill_days: tuple[IllDay, ...]
    has_shop_hours: bool

    def one(self, person_id: int) -> PersonShown | None:
        return next((each for each in self.people if each.person.id == person_id), None)


def people_page(db: Session, now: datetime) -> PeoplePage:
    """Return the people of the shop, and when they are away from now on."""
    shop, calendar = shop_store.load_shop(db), shop_store.load_calendar(db)
    people, absences = store.load_people(db), store.load_absences(db, now)
    today = shop.day_of(now)
    away: dict[int, list[Away]] = {person.id: [] for person in people}
    for absence in absences:
        if absence.person_id in away:
            words = away_words(absence, today, shop.tz)
            away[absence.person_id].append(Away(absence, words, absence.starts_at <= now))
    shown = tuple(_shown(person, tuple(away[person.id])) for person in people)
    missing = tuple(skill.value for skill in unled(people))
    return PeoplePage(shown, missing, _ill_days(today, calendar), calendar is not None)


def _shown(person: Person, away: tuple[Away, ...]) -> PersonShown:
    stretches = stretches_of(person.weekly or ())
    minutes = sum((one.length for one in stretches), timedelta()) // timedelta(minutes=1)
    own = f"Own hours, {in_hours(Fraction(minutes))} a week" if minutes else "No hours at all: nothing is planned"
    return PersonShown(person, can_do(person), own if person.weekly is not None else "Shop hours", stretches, away)


def _ill_days(today: date, calendar: ShopCalendar | None) -> tuple[IllDay, ...]:
    """Return today and tomorrow, or instead of tomorrow the next day on which the shop is open."""
    ahead = [today + timedelta(days=days) for days in range(1, SOON + 1)]
    following = next((day for day in ahead if calendar is None or calendar.hours(day)), ahead[0])
    is_tomorrow = following == ahead[0]
    words = "Ill tomorrow" if is_tomorrow else f"Ill on {SHORT_DAYS[following.weekday()]}"
    return IllDay(today, "Ill today"), IllDay(following, words)


def show_people(
    request: Request, typed: Mapping[str, str] | None = None, problems: list[Problem] | None = None
) -> Response:
    """Return the page of all people, with what was typed of a new one."""
    with reading(request) as db:
        shown = people_page(db, desk.now(request))
    return page(
        request, "people", status=422 if problems else 200, page=shown, typed={**forms.BLANK, **(typed or {})},
        problems=problems or [], labels=forms.LABELS, skills=tuple(forms.SKILLS),
    )  # fmt: skip


def show_person(
    request: Request, person_id: int, typed: Mapping[str, str] | None = None, problems: list[Problem] | None = None
) -> Response:
    """Return the page of one person, with what was typed on it. Raises Missing."""
    with reading(request) as db:
        person = store.load_person(db, person_id)
        shown = people_page(db, desk.now(request))
    hours = dict.fromkeys((*hours_forms.LABELS, *(f"day_{day}" for day in range(len(DAYS)))), "")
    as_is = {**forms.BLANK, **hours, **forms.fill(person)}
    if typed and "name" in typed:  # ticks that were taken away are not among what was posted
        as_is.update(dict.fromkeys(forms.LABELS, ""))
    return page(
        request, "person_form", status=422 if problems else 200, page=shown, each=shown.one(person_id), days=DAYS,
        typed={**as_is, **(typed or {})}, problems=problems or [], labels=forms.LABELS, skills=tuple(forms.SKILLS),
        away_labels=forms.AWAY_LABELS, hours_labels=hours_forms.LABELS,
    )  # fmt: skip
