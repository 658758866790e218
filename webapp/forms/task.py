"""What was typed about a task -> a TaskRecord, or problems."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from domain.part import TaskKind
from domain.person import Person
from domain.problem import Problem
from domain.task import Clock, TaskRecord, clock_of
from domain.task_mark import mark_problems
from webapp.forms.duration import duration_text, instant_text, read_duration, read_instant
from webapp.forms.field import Fields

LABELS = {
    "name": "Task",
    "kind": "Kind of work",
    "takes": "How long it takes",
    "best": "When all goes well",
    "worst": "When it does not",
    "crew": "People at once",
    "not_before": "Not before",
    "pinned_at": "Pinned to",
}
MARK_LABELS = {"started_at": "Started", "finished_at": "Finished"}

OWN_KINDS = tuple(kind for kind in TaskKind if kind is not TaskKind.DELIVERY)
"""Kinds of a task that a maker can add; goods on order come from the order pages."""

FARTHEST = timedelta(days=730)
MOST_CREW = 20

BLANK: Mapping[str, str] = {**dict.fromkeys(LABELS, ""), "kind": TaskKind.OTHER.value, "crew": "1"}


def kinds() -> tuple[tuple[str, str], ...]:
    """Return the kinds a maker can choose, with the clock each runs on, in words."""
    return tuple((kind.value, f"{kind.value} ({_clock_words(kind)})") for kind in OWN_KINDS)


def _clock_words(kind: TaskKind) -> str:
    if kind is TaskKind.MILESTONE:
        return "a moment"
    return "hands-on, in shop hours" if clock_of(kind) is Clock.ATTENDED else "passes by itself, day and night"


def who_field(person: Person) -> str:
    """Return the field of the tick that gives a task to a person."""
    return f"who_{person.id}"


def labels_of(people: Iterable[Person]) -> dict[str, str]:
    """Return the labels of all fields, those that give the task to a person among them."""
    return LABELS | {who_field(person): f"Given to {person.name}" for person in people}


def fill(record: TaskRecord, zone: ZoneInfo, people: Iterable[Person] = ()) -> dict[str, str]:
    """Return what was recorded as the form shows it; what nobody changed is empty."""
    return {
        "name": record.name or "",
        "kind": (record.kind or TaskKind.OTHER).value,
        "takes": _minutes_text(record.minutes),
        "best": _minutes_text(record.best),
        "worst": _minutes_text(record.worst),
        "crew": "" if record.crew is None else str(record.crew),
        "not_before": instant_text(record.not_before, zone),
        "pinned_at": instant_text(record.pinned_at, zone),
        **{who_field(person): "yes" if person.id in record.who else "" for person in people},
    }


def _minutes_text(minutes: int | None) -> str:
    return "" if minutes is None else duration_text(timedelta(minutes=minutes))


def fill_marks(record: TaskRecord, zone: ZoneInfo) -> dict[str, str]:
    """Return when a task was started and finished as the form shows it."""
    return {name: instant_text(getattr(record, name), zone) for name in MARK_LABELS}


def read(
    posted: Mapping[str, str],
    old: TaskRecord,
    *,
    kind: TaskKind,
    zone: ZoneInfo,
    now: datetime,
    people: Iterable[Person] = (),
    worked_out: timedelta | None = None,
) -> tuple[TaskRecord | None, list[Problem]]:
    """Return the record with what was typed of a task, or None and every problem.

    old: what is recorded, of which the rest stays; kind: of a task that was not added by the maker; people: to whom it
    can be given; worked_out: how long it takes when nothing is typed, None where nobody knows.
    """
    fields = Fields(posted)
    name = fields.text("name", LABELS["name"], needed=old.own)
    chosen = fields.choice("kind", LABELS["kind"], TaskKind, usual=TaskKind.OTHER) if old.own else kind
    if old.own and chosen is TaskKind.DELIVERY:
        fields.problem("kind", "Goods on order come from the order page. Choose another kind.")
    takes, best, worst = _three(fields, clock_of(chosen or TaskKind.OTHER), worked_out)
    crew = fields.whole("crew", LABELS["crew"], needed=False, least=1, most=MOST_CREW)
    not_before, pinned_at = _hold(fields, zone, now), _instant(fields, "pinned_at", zone, now)
    if not_before and pinned_at and pinned_at < not_before:
        words = f"{LABELS['pinned_at']} “{fields.raw('pinned_at')}” is earlier than “Not before”. Empty one of the two."
        fields.problem("pinned_at", words)
    if fields.problems:
        return None, fields.problems
    who = tuple(person.id for person in people if fields.tick(who_field(person)))
    said = replace(
        old, name=name or None, minutes=_minutes(takes), best=_minutes(best), worst=_minutes(worst), crew=crew,
        not_before=not_before, pinned_at=pinned_at, who=who,
    )  # fmt: skip
    return replace(said, kind=chosen) if old.own else said, []


Three = tuple[timedelta | None, timedelta | None, timedelta | None]


def _three(fields: Fields, clock: Clock, worked_out: timedelta | None) -> Three:
    """Return how long a task takes as a rule, when all goes well and when it does not, in the order of length."""
    takes, best, worst = (read_duration(fields, name, LABELS[name], clock) for name in ("takes", "best", "worst"))
    if any(problem.field in ("takes", "best", "worst") for problem in fields.problems):
        return None, None, None
    usual = takes if takes is not None else worked_out
    if usual is None and (best is not None or worst is not None):
        fields.problem("takes", f"{LABELS['takes']} is empty. Say how long it takes as a rule, too.")
    elif best is not None and usual is not None and best > usual:
        words = f"{LABELS['best']}: “{fields.raw('best')}” is longer than it usually takes, {duration_text(usual)}."
        fields.problem("best", f"{words} Make it shorter, or empty it.")
    if worst is not None and usual is not None and worst < usual:
        words = f"{LABELS['worst']}: “{fields.raw('worst')}” is less than it usually takes, {duration_text(usual)}."
        fields.problem("worst", f"{words} Make it longer, or empty it.")
    return takes, best, worst


def _minutes(duration: timedelta | None) -> int | None:
    return None if duration is None else duration // timedelta(minutes=1)


def read_hold(posted: Mapping[str, str], *, zone: ZoneInfo, now: datetime) -> tuple[datetime | None, list[Problem]]:
    """Return the instant that a task is held back to, or None and the problem."""
    fields = Fields(posted)
    until = _hold(fields, zone, now)
    if until is None and not fields.problems:
        fields.problem("not_before", f"{LABELS['not_before']} is empty. Try 2026-06-04 08:00.")
    return (None if fields.problems else until), fields.problems


def _hold(fields: Fields, zone: ZoneInfo, now: datetime) -> datetime | None:
    """Return the instant a task is held back to, None when empty."""
    return _instant(fields, "not_before", zone, now)


def _instant(fields: Fields, name: str, zone: ZoneInfo, now: datetime) -> datetime | None:
    """Return an instant that is no slip of the pen, None when empty."""
    instant = read_instant(fields, name, LABELS[name], zone)
    if instant and abs(instant - now) > FARTHEST:
        fields.problem(name, f"{LABELS[name]} “{fields.raw(name)}” is more than two years away.")
    return instant


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
