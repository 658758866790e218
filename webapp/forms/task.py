"""What was typed about a task -> a TaskRecord or an OwnLink, or problems."""

import re
from collections.abc import Mapping
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from fractions import Fraction
from zoneinfo import ZoneInfo

from domain.part import TaskKind
from domain.problem import Problem
from domain.task import Clock, OwnLink, TaskRecord, clock_of
from domain.task_mark import mark_problems
from domain.words import cut_short
from webapp.forms.field import Fields

LABELS = {
    "name": "Task",
    "kind": "Kind of work",
    "takes": "How long it takes",
    "crew": "People at once",
    "not_before": "Not before",
}
MARK_LABELS = {"started_at": "Started", "finished_at": "Finished"}
LINK_LABELS = {"before": "Waits for", "at_least": "At least so long after", "at_most": "At most so long after"}

OWN_KINDS = tuple(kind for kind in TaskKind if kind is not TaskKind.DELIVERY)
"""Kinds of a task that a maker can add; goods on order come from the order pages."""

LONGEST_WORK, LONGEST_WAIT = timedelta(hours=500), timedelta(days=400)
FARTHEST = timedelta(days=730)
MOST_CREW = 20
_DURATION = re.compile(
    r"(?:(?P<days>\d{1,4}(?:\.\d{1,3})?) ?d(?:ays?)?)? ?"
    r"(?:(?P<hours>\d{1,4}(?:\.\d{1,3})?) ?h(?:(?:ou)?rs?)?)? ?"
    r"(?:(?P<minutes>\d{1,6}) ?(?:m|min|minutes?)?)?",
    re.ASCII | re.IGNORECASE,
)
_CLOCK = re.compile(r"(?P<hours>\d{1,3}):(?P<minutes>[0-5]\d)", re.ASCII)

BLANK: Mapping[str, str] = {**dict.fromkeys(LABELS, ""), "kind": TaskKind.OTHER.value, "crew": "1"}


def kinds() -> tuple[tuple[str, str], ...]:
    """Return the kinds a maker can choose, with the clock each runs on, in words."""
    return tuple((kind.value, f"{kind.value} ({_clock_words(kind)})") for kind in OWN_KINDS)


def _clock_words(kind: TaskKind) -> str:
    if kind is TaskKind.MILESTONE:
        return "a moment"
    return "hands-on, in shop hours" if clock_of(kind) is Clock.ATTENDED else "passes by itself, day and night"


def fill(record: TaskRecord, zone: ZoneInfo) -> dict[str, str]:
    """Return what was recorded as the form shows it; what nobody changed is empty."""
    return {
        "name": record.name or "",
        "kind": (record.kind or TaskKind.OTHER).value,
        "takes": "" if record.minutes is None else duration_text(timedelta(minutes=record.minutes)),
        "crew": "" if record.crew is None else str(record.crew),
        "not_before": instant_text(record.not_before, zone),
    }


def fill_marks(record: TaskRecord, zone: ZoneInfo) -> dict[str, str]:
    """Return when a task was started and finished as the form shows it."""
    return {name: instant_text(getattr(record, name), zone) for name in MARK_LABELS}


def read(
    posted: Mapping[str, str], old: TaskRecord, *, kind: TaskKind, zone: ZoneInfo, now: datetime
) -> tuple[TaskRecord | None, list[Problem]]:
    """Return the record with what was typed of a task, or None and every problem.

    old: what is recorded, of which the rest stays; kind: of a task that was not added by the maker.
    """
    fields = Fields(posted)
    name = fields.text("name", LABELS["name"], needed=old.own)
    chosen = fields.choice("kind", LABELS["kind"], TaskKind, usual=TaskKind.OTHER) if old.own else kind
    if old.own and chosen is TaskKind.DELIVERY:
        fields.problem("kind", "Goods on order come from the order page. Choose another kind.")
    takes = read_duration(fields, "takes", LABELS["takes"], kind=chosen or TaskKind.OTHER)
    crew = fields.whole("crew", LABELS["crew"], needed=False, least=1, most=MOST_CREW)
    not_before = _hold(fields, zone, now)
    if fields.problems:
        return None, fields.problems
    minutes = None if takes is None else takes // timedelta(minutes=1)
    said = replace(old, name=name or None, minutes=minutes, crew=crew, not_before=not_before)
    return replace(said, kind=chosen) if old.own else said, []


def read_hold(posted: Mapping[str, str], *, zone: ZoneInfo, now: datetime) -> tuple[datetime | None, list[Problem]]:
    """Return the instant that a task is held back to, or None and the problem."""
    fields = Fields(posted)
    until = _hold(fields, zone, now)
    if until is None and not fields.problems:
        fields.problem("not_before", f"{LABELS['not_before']} is empty. Try 2026-06-04 08:00.")
    return (None if fields.problems else until), fields.problems


def _hold(fields: Fields, zone: ZoneInfo, now: datetime) -> datetime | None:
    """Return the instant a task is held back to, None when empty."""
    until = read_instant(fields, "not_before", LABELS["not_before"], zone)
    if until and abs(until - now) > FARTHEST:
        fields.problem(
            "not_before", f"{LABELS['not_before']} “{fields.raw('not_before')}” is more than two years away."
        )
    return until


def read_marks(
    posted: Mapping[str, str], old: TaskRecord, *, zone: ZoneInfo, now: datetime
) -> tuple[TaskRecord | None, list[Problem]]:
    """Return the record with when a task was started and finished, or None and every problem; empty: not yet."""
    fields = Fields(posted)
    shown = fill_marks(old, zone)
    begun, over = (
        getattr(old, name) if fields.raw(name) == shown[name] else read_instant(fields, name, label, zone)
        for name, label in MARK_LABELS.items()
    )
    marked = replace(old, started_at=begun, finished_at=over)
    problems = fields.problems or list(mark_problems(marked, now, zone))
    return (None if problems else marked), problems


def read_link(posted: Mapping[str, str], after: str) -> tuple[OwnLink | None, list[Problem]]:
    """Return a link by which task `after` waits for the chosen one, or None and every problem."""
    fields = Fields(posted)
    before = fields.text("before", LINK_LABELS["before"])
    if not before:
        fields.problem("before", "Choose the task that it waits for.")
    least = read_duration(fields, "at_least", LINK_LABELS["at_least"], kind=TaskKind.CURE)
    most = read_duration(fields, "at_most", LINK_LABELS["at_most"], kind=TaskKind.CURE)
    if least is not None and most is not None and most < least:
        words = f"At most “{fields.raw('at_most')}” is less than at least “{fields.raw('at_least')}”. Make it longer."
        fields.problem("at_most", words)
    if fields.problems:
        return None, fields.problems
    return OwnLink(before, after, least or timedelta(), most), []


def read_duration(fields: Fields, name: str, label: str, *, kind: TaskKind) -> timedelta | None:
    """Return a duration typed as `45`, `45 min`, `2 h 40 min`, `1:30`, or in days when it passes day and night."""
    text = fields.raw(name)
    if not text:
        return None
    attended = clock_of(kind) is Clock.ATTENDED
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
