"""What was typed about the people of the shop, and when they are away -> domain values, or problems."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from domain.person import Absence, Person, Skill, away_between
from domain.problem import Problem
from webapp.forms.field import Fields

SKILLS: Mapping[str, Skill] = {f"skill_{skill.name.lower()}": skill for skill in Skill}
"""The tick of each skill, by its field."""

LABELS = {
    "name": "Name",
    **{field: skill.value.capitalize() for field, skill in SKILLS.items()},
    "helps_only": "Lends a hand, never works alone",
}
AWAY_LABELS = {
    "first": "Away from",
    "from_noon": "Only from noon on that day",
    "last": "Last day",
    "until_noon": "Only until noon on that day",
    "why": "Why",
}
LONGEST_AWAY = 400
"""Days that somebody may be away at a stretch; more is a slip of the pen."""

BLANK: Mapping[str, str] = dict.fromkeys((*LABELS, *AWAY_LABELS), "")


def fill(person: Person) -> dict[str, str]:
    """Return a person as the form shows them."""
    ticks = {field: "yes" if skill in person.skills else "" for field, skill in SKILLS.items()}
    return {"name": person.name, **ticks, "helps_only": "yes" if person.helps_only else ""}


def read(posted: Mapping[str, str], old: Person, others: tuple[Person, ...]) -> tuple[Person | None, list[Problem]]:
    """Return the person as typed, of whom the rest stays, or None and every problem.

    others: the people of the shop; two of the same name could not be told apart.
    """
    fields = Fields(posted)
    name = fields.text("name", LABELS["name"], needed=True, most=60)
    if name and any(name.casefold() == one.name.casefold() for one in others if one.id != old.id):
        fields.problem("name", f"There is a “{name}” already. Add a letter, so that the plan can tell them apart.")
    skills = frozenset(skill for field, skill in SKILLS.items() if fields.tick(field))
    if fields.problems:
        return None, fields.problems
    return replace(old, name=name, skills=skills, helps_only=fields.tick("helps_only")), []


def read_away(posted: Mapping[str, str], person: Person, *, zone: ZoneInfo) -> tuple[Absence | None, list[Problem]]:
    """Return when somebody is away, or None and every problem."""
    fields = Fields(posted)
    first = fields.day("first", AWAY_LABELS["first"], needed=True)
    last = fields.day("last", AWAY_LABELS["last"]) or first
    why = fields.text("why", AWAY_LABELS["why"])
    if first is None or last is None or fields.problems:
        return None, fields.problems
    halves = {name: fields.tick(name) for name in ("from_noon", "until_noon")}
    starts, ends = away_between(first, last, from_noon=halves["from_noon"], until_noon=halves["until_noon"], zone=zone)
    if last < first:
        words = f"{AWAY_LABELS['last']} “{fields.raw('last')}” is before {first.isoformat()}. Leave it empty for a day."
        fields.problem("last", words)
    elif ends <= starts:
        fields.problem("until_noon", "From noon until noon of the same day is no time. Leave one of the two unticked.")
    elif (last - first).days >= LONGEST_AWAY:
        words = f"That is {(last - first).days + 1} days. At most {LONGEST_AWAY}: take the person off the list instead."
        fields.problem("last", words)
    if fields.problems:
        return None, fields.problems
    return Absence(0, person.id, starts, ends, why), []


def read_ill(
    posted: Mapping[str, str], person: Person, *, today: date, now: datetime, zone: ZoneInfo
) -> tuple[Absence | None, list[Problem]]:
    """Return that somebody is ill on a day, today from now on, or None and the problem."""
    fields = Fields(posted)
    day = fields.day("day", "Ill on", needed=True)
    if day and not today <= day <= today + timedelta(days=LONGEST_AWAY):
        fields.problem("day", f"{day.isoformat()} is over. Look again: the page was open since then.")
    if day is None or fields.problems:
        return None, fields.problems
    starts, ends = away_between(day, day, from_noon=False, until_noon=False, zone=zone)
    begins = max(starts, now.replace(second=0, microsecond=0))
    return Absence(0, person.id, begins, ends, "ill"), []
