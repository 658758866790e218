"""What the plan keeps busy over time: people, clamps, benches, places to dry, beside how much there is."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise

from domain.open_minutes import instant_of, minute_at
from domain.plan.held import HeldBy
from domain.plan.holding import holdings, kinds
from domain.plan.planned import Plan
from domain.shop_calendar import ShopCalendar
from domain.task import Clock

Step = tuple[datetime, datetime, int]
"""From one instant to another, so many."""

NAMES = {HeldBy.CLAMPS: "clamps", HeldBy.BENCH: "benches", HeldBy.DRYING: "places to dry"}


@dataclass(frozen=True, slots=True)
class Load:
    """How many of something are in use. steps: where any is, earliest first, none overlapping; there: how many."""

    name: str
    there: int
    steps: tuple[Step, ...]

    @property
    def most(self) -> int:
        return max((count for _, _, count in self.steps), default=0)


def loads(plan: Plan, start: datetime, end: datetime) -> tuple[Load, ...]:
    """Return the loads of a plan between two instants; people work in shop hours, all else is held day and night."""
    tasks = [each.task for each in plan.tasks.values()]
    these = kinds(tasks, plan.resources)
    uses: list[list[Step]] = [[] for _ in these]
    for each in holdings(tasks, these):
        first, last = plan.tasks[each.first], plan.tasks[each.last]
        until = instant_of(minute_at(last.finish) + each.minutes)
        if not (last.is_over and until <= plan.now):
            uses[each.kind].append((first.start, until, each.amount))
    found = [Load("people at work", plan.resources.pairs_of_hands, _stacked(_hands(plan), start, end))]
    for kind, used in zip(these, uses, strict=True):
        name = NAMES[kind.held_by] + (f" of {kind.length.tape()} or more" if kind.length else "")
        found.append(Load(name, kind.there, _stacked(used, start, end)))
    return tuple(found)


def _hands(plan: Plan) -> list[Step]:
    return [
        (start, end, each.task.crew)
        for each in plan.tasks.values()
        if each.task.clock is Clock.ATTENDED and not each.is_over
        for start, end in worked(plan.calendar, each.start, each.finish)
    ]


def worked(calendar: ShopCalendar, start: datetime, end: datetime) -> Iterator[tuple[datetime, datetime]]:
    """Yield the stretches of hands-on work: where the shop is open, or all of it when it is done outside its hours."""
    stretches = calendar.minutes.open_between(minute_at(start), minute_at(end))
    if not stretches and start < end:
        yield start, end
    for opens, closes in stretches:
        yield instant_of(opens), instant_of(closes)


def _stacked(used: list[Step], start: datetime, end: datetime) -> tuple[Step, ...]:
    """Return how many are in use from edge to edge, cut off at both ends; nothing where none is."""
    cut = [(max(since, start), min(until, end), count) for since, until, count in used]
    cut = [(since, until, count) for since, until, count in cut if since < until]
    change: dict[datetime, int] = {}
    for since, until, count in cut:
        change[since] = change.get(since, 0) + count
        change[until] = change.get(until, 0) - count
    steps: list[Step] = []
    busy = 0
    for since, until in pairwise(sorted(change)):
        busy += change[since]
        if steps and steps[-1][2] == busy and steps[-1][1] == since:
            steps[-1] = (steps[-1][0], until, busy)
        elif busy:
            steps.append((since, until, busy))
    return tuple(steps)
