"""What was typed about shop hours and closed days -> domain values, or problems."""

from collections.abc import Mapping
from datetime import date

from domain.hours import LONGEST_CLOSING, ClosedDay, OpenHours, days_between
from domain.problem import Problem
from domain.shop_calendar import DAYS
from webapp.forms.field import Fields

LABELS = {
    "starts": "From",
    "ends": "To",
    "day": "Closed on",
    "until": "Until",
    "why": "Why",
}


def fill(hours: OpenHours) -> dict[str, str]:
    return {"starts": f"{hours.starts:%H:%M}", "ends": f"{hours.ends:%H:%M}"}


def fill_closing(closed: ClosedDay) -> dict[str, str]:
    return {"day": closed.day.isoformat(), "why": closed.why}


def read(posted: Mapping[str, str]) -> tuple[tuple[OpenHours, ...], list[Problem]]:
    """Return the hours typed for every weekday that is ticked, or none and every problem."""
    fields = Fields(posted)
    ticked = [weekday for weekday in range(len(DAYS)) if fields.tick(f"day_{weekday}")]
    if not ticked:
        fields.problem("day_0", "No day is ticked. Tick the days that these hours are for.")
    found = tuple(one for weekday in ticked or [0] if (one := _hours(fields, weekday)))
    return ((), _once(fields.problems)) if fields.problems else (found, [])


def read_one(posted: Mapping[str, str], old: OpenHours, *, version: int) -> tuple[OpenHours | None, list[Problem]]:
    """Return a stretch with the hours typed for it, or None and every problem."""
    fields = Fields(posted)
    hours = _hours(fields, old.weekday, hours_id=old.id, version=version)
    return hours, fields.problems


def read_closing(posted: Mapping[str, str]) -> tuple[tuple[date, ...], str, list[Problem]]:
    """Return the days typed as closed and why, or none and every problem."""
    fields = Fields(posted)
    first = fields.day("day", LABELS["day"], needed=True)
    last = fields.day("until", LABELS["until"]) or first
    why = fields.text("why", LABELS["why"])
    if first and last and last < first:
        fields.problem(
            "until", f"Until “{fields.raw('until')}” is before {first.isoformat()}. Leave it empty for a day."
        )
    elif first and last and (last - first).days >= LONGEST_CLOSING:
        fields.problem("until", f"That closes the shop for {(last - first).days + 1} days. At most {LONGEST_CLOSING}.")
    if fields.problems or first is None or last is None:
        return (), why, fields.problems
    return tuple(days_between(first, last)), why, []


def read_one_closing(
    posted: Mapping[str, str], closed_id: int, *, version: int
) -> tuple[ClosedDay | None, list[Problem]]:
    """Return one closed day as typed, or None and every problem."""
    fields = Fields(posted)
    day = fields.day("day", LABELS["day"], needed=True)
    why = fields.text("why", LABELS["why"])
    if fields.problems or day is None:
        return None, fields.problems
    return ClosedDay(closed_id, day, why, version), []


def _hours(fields: Fields, weekday: int, *, hours_id: int = 0, version: int = 1) -> OpenHours | None:
    starts = fields.clock("starts", LABELS["starts"])
    ends = fields.clock("ends", LABELS["ends"])
    if starts is None or ends is None:
        return None
    if ends <= starts:
        words = f"To {ends:%H:%M} is not after {starts:%H:%M}. "
        later = f"{ends.hour + 12}:{ends:%M}" if ends.hour < 12 and ends.hour + 12 > starts.hour else "23:59 at most"
        fields.problem("ends", f"{words}Try {later}; hours past midnight begin again on the next day.")
        return None
    return OpenHours(hours_id, weekday, starts, ends, version)


def _once(problems: list[Problem]) -> list[Problem]:
    return list(dict.fromkeys(problems))
