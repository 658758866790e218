"""Seven days of the plan for the wall: who does what on which day, and what passes by itself and calls."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from domain.part import TaskKind
from domain.plan.loads import Load, loads, worked
from domain.plan.planned import Plan, PlannedTask
from domain.task import Clock

CALLS = {
    TaskKind.CLAMP: "clamps off",
    TaskKind.DELIVERY: "comes",
    TaskKind.DRY: "dry",
    TaskKind.CURE: "cured",
    TaskKind.ACCLIMATE: "used to the shop",
}
"""What is said of the end of a wait."""


@dataclass(frozen=True, slots=True)
class Spell:
    """Hands-on work of one person on one day. goes_on: it is taken up again later; mates: names of the others on it."""

    planned: PlannedTask
    start: datetime
    end: datetime
    goes_on: bool
    mates: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Call:
    """Something that happens by itself at an instant: clamps may come off, goods come, a window closes."""

    planned: PlannedTask
    at: datetime
    words: str


@dataclass(frozen=True, slots=True)
class Row:
    """What one person does. id: of a person with a name, 0 without; days: spells of each day of the week."""

    id: int
    name: str
    days: tuple[tuple[Spell, ...], ...]


@dataclass(frozen=True, slots=True)
class Week:
    """Seven days. closed: why the shop is closed, by day, empty while it is open; calls: by day."""

    first: date
    days: tuple[date, ...]
    closed: tuple[str, ...]
    rows: tuple[Row, ...]
    calls: tuple[tuple[Call, ...], ...]
    loads: tuple[Load, ...]
    start: datetime
    end: datetime


def week(plan: Plan, first: date) -> Week:
    """Return seven days of the plan from one on, all open jobs together."""
    days = tuple(first + timedelta(days=number) for number in range(7))
    start, end = plan.calendar.midnight(first), plan.calendar.midnight(first + timedelta(days=7))
    people = plan.resources.people
    names = [person.name for person in people] or [f"Person {place + 1}" for place in range(plan.resources.hands)]
    ids = [person.id for person in people] or [0] * len(names)
    spells: list[list[list[Spell]]] = [[[] for _ in days] for _ in names]
    for each in plan.tasks.values():
        if each.task.clock is Clock.ATTENDED and not each.is_over and each.start < end and each.finish > start:
            for place in each.places:
                for spell in _spells(plan, each, [names[other] for other in each.places if other != place]):
                    on = (plan.calendar.local(spell.start).date() - first).days
                    if 0 <= on < len(days):
                        spells[place][on].append(spell)
    return Week(
        first=first,
        days=days,
        closed=tuple(_closed(plan, day) for day in days),
        rows=tuple(
            Row(person_id, name, tuple(tuple(sorted(one, key=lambda spell: spell.start)) for one in theirs))
            for person_id, name, theirs in zip(ids, names, spells, strict=True)
        ),
        calls=_by_day(plan, first, sorted(_calls(plan, start, end), key=lambda call: call.at)),
        loads=loads(plan, start, end),
        start=start,
        end=end,
    )


def _spells(plan: Plan, each: PlannedTask, mates: list[str]) -> Iterator[Spell]:
    """Yield a person's work on a task day by day, lunch left in."""
    found: list[tuple[datetime, datetime]] = []
    for start, end in worked(plan.calendar, each.start, each.finish):
        if found and plan.calendar.local(found[-1][0]).date() == plan.calendar.local(start).date():
            found[-1] = (found[-1][0], end)
        else:
            found.append((start, end))
    for number, (start, end) in enumerate(found, start=1):
        yield Spell(each, start, end, number < len(found), tuple(mates))


def _closed(plan: Plan, day: date) -> str:
    """Return why nobody works on a day, nothing when somebody does."""
    if plan.calendar.hours(day):
        return ""
    return plan.calendar.closed.get(day) or "closed"


def _calls(plan: Plan, start: datetime, end: datetime) -> Iterator[Call]:
    for each in plan.tasks.values():
        words = CALLS.get(each.task.kind)
        if words and not each.is_over and start <= each.finish < end and not each.task.trails:
            yield Call(each, each.finish, words)
    for window in plan.windows:
        then = plan.tasks[window.after]
        if not then.has_begun and start <= window.closes_at < end:
            words = "window closes" if window.is_met else "window closes before it is done"
            yield Call(then, window.closes_at, words)


def _by_day(plan: Plan, first: date, calls: list[Call]) -> tuple[tuple[Call, ...], ...]:
    days: list[list[Call]] = [[] for _ in range(7)]
    for call in calls:
        days[(plan.calendar.local(call.at).date() - first).days].append(call)
    return tuple(tuple(one) for one in days)
