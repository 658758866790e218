"""What was typed about shop hours and closed days -> domain values, or problems."""

from collections.abc import Mapping
from datetime import date, time

from domain.hours import LONGEST_CLOSING, ClosedDay, ExtraHours, OpenHours, days_between
from domain.problem import Problem
from domain.shop_calendar import DAYS
from webapp.forms.field import Fields

LABELS = {
    "starts": "From",
    "ends": "To",
    "day": "Closed on",
    "until": "Until",
    "why": "Why",
    "extra_day": "Work on",
    "extra_starts": "From",
    "extra_ends": "To",
    "extra_why": "Why",
}


def fill(hours: OpenHours) -> dict[str, str]:
    return {"starts": f"{hours.starts:%H:%M}", "ends": f"{hours.ends:%H:%M}"}


def fill_closing(closed: ClosedDay) -> dict[str, str]:
    return {"day": closed.day.isoformat(), "why": closed.why}


def fill_extra(extra: ExtraHours) -> dict[str, str]:
    return {
        "extra_day": extra.day.isoformat(),
        "extra_starts": f"{extra.starts:%H:%M}",
        "extra_ends": f"{extra.ends:%H:%M}",
        "extra_why": extra.why,
    }


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


def read_extra(
    posted: Mapping[str, str], *, extra_id: int = 0, version: int = 1
) -> tuple[ExtraHours | None, list[Problem]]:
    """Return hours worked on one day beside the usual ones, or None and every problem."""
    fields = Fields(posted)
    day = fields.day("extra_day", LABELS["extra_day"], needed=True)
    stretch = _stretch(fields, "extra_starts", "extra_ends")
    why = fields.text("extra_why", LABELS["extra_why"])
    if fields.problems or day is None or stretch is None:
        return None, fields.problems
    return ExtraHours(extra_id, day, *stretch, why, version), []


def _hours(fields: Fields, weekday: int, *, hours_id: int = 0, version: int = 1) -> OpenHours | None:
    stretch = _stretch(fields, "starts", "ends")
    return OpenHours(hours_id, weekday, *stretch, version) if stretch else None


def _stretch(fields: Fields, begins: str, over: str) -> tuple[time, time] | None:
    starts = fields.clock(begins, LABELS[begins])
    ends = fields.clock(over, LABELS[over])
    if starts is None or ends is None:
        return None
    if ends <= starts:
        words = f"To {ends:%H:%M} is not after {starts:%H:%M}. "
        later = f"{ends.hour + 12}:{ends:%M}" if ends.hour < 12 and ends.hour + 12 > starts.hour else "23:59 at most"
        fields.problem(over, f"{words}Try {later}; hours past midnight begin again on the next day.")
        return None
    return starts, ends


def _once(problems: list[Problem]) -> list[Problem]:
    return list(dict.fromkeys(problems))
