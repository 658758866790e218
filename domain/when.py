"""Instants and durations in words, in the shop's zone."""

from datetime import date, datetime, timedelta, tzinfo
from fractions import Fraction
from math import ceil, floor

DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def when(instant: datetime, now: datetime, zone: tzinfo) -> str:
    """Return an instant as near as it needs to be: `14:20`, `tomorrow 09:40`, `Tue 09:40`, `Tue 9 Jun 09:40`."""
    local, today = instant.astimezone(zone), now.astimezone(zone).date()
    clock = f"{local.hour:02}:{local.minute:02}"
    distance = (local.date() - today).days
    if distance == 0:
        return clock
    if distance in (1, -1):
        return f"{'tomorrow' if distance == 1 else 'yesterday'} {clock}"
    if 1 < distance < 7:
        return f"{DAYS[local.weekday()]} {clock}"
    return f"{day(local.date(), today)} {clock}"


def from_to(start: datetime, end: datetime, now: datetime, zone: tzinfo) -> str:
    """Return a stretch of time, the day said once when it is one: `Tue 09:40 to 11:00`."""
    same_day = start.astimezone(zone).date() == end.astimezone(zone).date()
    until = when(end, end if same_day else now, zone)
    return f"{when(start, now, zone)} to {until}"


def day(value: date, today: date) -> str:
    """Return a date with its weekday, the year only when it is another one: `Tue 9 Jun`."""
    year = "" if value.year == today.year else f" {value.year}"
    return f"{DAYS[value.weekday()]} {value.day} {MONTHS[value.month - 1]}{year}"


def span(duration: timedelta) -> str:
    """Return a duration as a person says it, its sign left off: `25 min`, `2 h 40 min`, `3 days 4 h`."""
    minutes = abs(duration) // timedelta(minutes=1)
    hours, minutes = divmod(minutes, 60)
    if hours >= 48:
        days, hours = divmod(hours, 24)
        return f"{days} days" + (f" {hours} h" if hours else "")
    if not hours:
        return f"{minutes} min"
    return f"{hours} h" + (f" {minutes} min" if minutes else "")


def clock(minutes: Fraction) -> str:
    """Return minutes as a clock with a second hand counts them, time running out rounded up: `2 min 15 s`."""
    return _clocked(ceil(minutes * 60) if minutes >= 0 else -floor(minutes * 60), minutes)


def clock_left(minutes: Fraction) -> str:
    """Return minutes that are left as a clock counts them, rounded down: with clock() they make up the whole."""
    return _clocked(floor(minutes * 60), minutes)


def _clocked(seconds: int, minutes: Fraction) -> str:
    whole, rest = divmod(seconds, 60)
    words = f"{whole} min {rest} s" if whole and rest else f"{whole} min" if whole else f"{rest} s"
    return f"\N{MINUS SIGN}{words}" if minutes < 0 else words
