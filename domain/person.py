"""The people of the shop: what they can do, when they work, when they are away."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from enum import Enum

from domain.hours import OpenHours
from domain.part import TaskKind
from domain.shop_calendar import DAYS, Hours
from domain.when import day as day_words
from domain.words import listing

NOON = time(12)
"""Where half a day away begins or ends. Source: common practice, no source."""


class Skill(Enum):
    """What a kind of work asks of whoever leads it; the value is what the database holds and a person reads."""

    MACHINES = "machines"
    BENCH = "bench work"
    FINISHING = "finishing"
    INSTALLING = "installing"


SKILL_OF: Mapping[TaskKind, Skill] = {
    TaskKind.MILL: Skill.MACHINES,
    TaskKind.CUT: Skill.MACHINES,
    TaskKind.GLUE_UP: Skill.BENCH,
    TaskKind.UNCLAMP: Skill.BENCH,
    TaskKind.ASSEMBLE: Skill.BENCH,
    TaskKind.SAND: Skill.FINISHING,
    TaskKind.COAT: Skill.FINISHING,
    TaskKind.INSTALL: Skill.INSTALLING,
}
"""The skill a kind of work asks for; a kind that is not here, anybody can do."""


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody who works in the shop. skills: empty means all of them; helps_only: lends a hand, never works alone;
    weekly: own hours of Monday to Sunday, None: those of the shop. Nobody works on a day the shop is closed.
    """

    id: int
    name: str
    skills: frozenset[Skill] = frozenset()
    helps_only: bool = False
    weekly: tuple[Hours, ...] | None = None
    version: int = 1

    def __post_init__(self) -> None:
        if self.weekly is not None and len(self.weekly) != 7:
            raise ValueError(f"a week has 7 days of hours, not {len(self.weekly)}")

    def can_lead(self, kind: TaskKind) -> bool:
        """Whether this person can do a kind of work, alone or with others."""
        skill = SKILL_OF.get(kind)
        return not self.helps_only and (not self.skills or skill is None or skill in self.skills)


@dataclass(frozen=True, slots=True)
class Absence:
    """A person is away from one instant to another. Raises ValueError when it does not end after it starts."""

    id: int
    person_id: int
    starts_at: datetime
    ends_at: datetime
    why: str = ""
    version: int = 1

    def __post_init__(self) -> None:
        if self.ends_at <= self.starts_at:
            raise ValueError(f"an absence ends after it starts, not {self.starts_at} to {self.ends_at}")

    def holds(self, start: datetime, end: datetime) -> bool:
        """Whether the person is away all the time from one instant to another."""
        return self.starts_at <= start and end <= self.ends_at


def can_do(person: Person) -> str:
    """Return in words what somebody can do: `Machines and finishing`."""
    if person.helps_only:
        return "Lends a hand, never works alone"
    skills = [skill.value for skill in Skill if skill in person.skills]
    return listing(skills).capitalize() if skills else "Everything"


def unled(people: Iterable[Person]) -> tuple[Skill, ...]:
    """Return what none of these people can do alone; of nobody, nothing, since then hands are counted."""
    there = tuple(people)
    leads = [person for person in there if not person.helps_only]
    return tuple(skill for skill in Skill if there and not any(_has(person, skill) for person in leads))


def stretches_of(weekly: Iterable[Hours]) -> tuple[OpenHours, ...]:
    """Return own hours of a week as stretches, numbered from 1, Monday first."""
    found = [(weekday, starts, ends) for weekday, hours in enumerate(weekly) for starts, ends in sorted(hours)]
    return tuple(OpenHours(number, *each) for number, each in enumerate(found, start=1))


def week_of(stretches: Iterable[OpenHours]) -> tuple[Hours, ...]:
    """Return stretches as the own hours of Monday to Sunday."""
    kept = sorted((one.weekday, one.starts, one.ends) for one in stretches)
    return tuple(tuple((starts, ends) for on, starts, ends in kept if on == weekday) for weekday in range(len(DAYS)))


def away_between(
    first: date, last: date, *, from_noon: bool, until_noon: bool, zone: tzinfo
) -> tuple[datetime, datetime]:
    """Return from when to when [UTC] somebody is away who is away on these days, both among them."""
    starts = datetime.combine(first, NOON if from_noon else time(0), zone)
    ends = datetime.combine(*((last, NOON) if until_noon else (last + timedelta(days=1), time(0))), zone)
    return starts.astimezone(UTC), ends.astimezone(UTC)


def away_words(absence: Absence, today: date, zone: tzinfo) -> str:
    """Return when somebody is away: `Tue 9 Jun`, `Tue 9 Jun from noon`, `Tue 9 Jun to Thu 11 Jun until noon`."""
    start, end = absence.starts_at.astimezone(zone), absence.ends_at.astimezone(zone)
    is_whole = end.time() == time(0)
    last = end.date() - timedelta(days=1) if is_whole else end.date()
    begins = "" if start.time() == time(0) else f" from {_clock(start)}"
    over = "" if is_whole else f" until {_clock(end)}"
    days = day_words(start.date(), today) + begins
    return days + over if last == start.date() else f"{days} to {day_words(last, today)}{over}"


def _has(person: Person, skill: Skill) -> bool:
    return not person.skills or skill in person.skills


def _clock(local: datetime) -> str:
    return "noon" if local.time() == NOON else f"{local:%H:%M}"
