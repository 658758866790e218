"""Durations and instants as they are typed -> timedelta and datetime, and back to text."""

import re
from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from fractions import Fraction
from zoneinfo import ZoneInfo

from domain.task import Clock
from domain.words import cut_short
from webapp.forms.field import Fields

LONGEST_WORK, LONGEST_WAIT = timedelta(hours=500), timedelta(days=400)
_DURATION = re.compile(
    r"(?:(?P<days>\d{1,4}(?:\.\d{1,3})?) ?d(?:ays?)?)? ?"
    r"(?:(?P<hours>\d{1,4}(?:\.\d{1,3})?) ?h(?:(?:ou)?rs?)?)? ?"
    r"(?:(?P<minutes>\d{1,6}) ?(?:m|min|minutes?)?)?",
    re.ASCII | re.IGNORECASE,
)
_CLOCK = re.compile(r"(?P<hours>\d{1,3}):(?P<minutes>[0-5]\d)", re.ASCII)


def read_duration(fields: Fields, name: str, label: str, clock: Clock) -> timedelta | None:
    """Return a duration typed as `45`, `45 min`, `2 h 40 min`, `1:30`, or in days when it passes day and night."""
    text = fields.raw(name)
    if not text:
        return None
    attended = clock is Clock.ATTENDED
    found = _CLOCK.fullmatch(text) or _DURATION.fullmatch(text)
    said = {part: Fraction(number) for part, number in found.groupdict().items() if number} if found else {}
    if not said:
        hint = "45 min, 2 h 40 min or 1:30" if attended else "45 min, 6 h, 1:30 or 3 days"
        fields.problem(name, f"{label} “{cut_short(text)}” is not a length of time. Try {hint}.")
    elif attended and said.get("days"):
        words = "A day of hands-on work is as long as your shop hours: say it in hours, for instance 16 h."
        fields.problem(name, f"{label} “{cut_short(text)}”: {words}")
    else:
        return _within(fields, name, label, said, LONGEST_WORK if attended else LONGEST_WAIT)
    return None


def _within(fields: Fields, name: str, label: str, said: Mapping[str, Fraction], most: timedelta) -> timedelta | None:
    """Return so many days, hours and minutes in whole minutes, parts of one rounded up."""
    minutes = sum(said.get(part, 0) * per for part, per in (("days", 1440), ("hours", 60), ("minutes", 1)))
    taken = timedelta(minutes=-(-minutes // 1))
    if taken > most:
        limit = f"{most // timedelta(hours=1)} h" if most < timedelta(days=100) else f"{most.days} days"
        fields.problem(name, f"{label} “{fields.raw(name)}” is longer than {limit}. Was it mistyped?")
        return None
    return taken


def read_instant(fields: Fields, name: str, label: str, zone: ZoneInfo) -> datetime | None:
    """Return the instant [UTC] of a time typed in the shop's zone, None when empty.

    Of a time that comes twice, as the clocks go back, the first; one that the clocks skip is a problem.
    """
    local = fields.instant(name, label, needed=False)
    if local is None:
        return None
    instant = local.replace(tzinfo=zone).astimezone(UTC)
    if instant.astimezone(zone).replace(tzinfo=None) != local:
        there = instant.astimezone(zone)
        words = f"the clocks went forward past it that day. Try {there:%Y-%m-%d %H:%M}."
        fields.problem(name, f"{label} “{cut_short(fields.raw(name))}” was no time in {zone.key}: {words}")
        return None
    return instant


def instant_text(instant: datetime | None, zone: ZoneInfo) -> str:
    """Return an instant as a browser's date-and-time field takes it, in the shop's zone; seconds are left off."""
    return "" if instant is None else f"{instant.astimezone(zone):%Y-%m-%dT%H:%M}"


def duration_text(duration: timedelta) -> str:
    """Return a duration as a person would type it, exactly: `45 min`, `2 h 40 min`, `72 h`."""
    hours, minutes = divmod(duration // timedelta(minutes=1), 60)
    if not hours:
        return f"{minutes} min"
    return f"{hours} h" + (f" {minutes} min" if minutes else "")
