"""What a chart of the plan shows: bars on a time line, what they may slip, and when the shop is closed."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import Enum

from domain.open_minutes import instant_of, minute_after, minute_at
from domain.plan.planned import Plan, PlannedTask
from domain.task import Clock


class BarKind(Enum):
    """What a bar shows; the value names it in a key and a style."""

    ATTENDED = "attended"
    ELAPSED = "elapsed"
    SLIP = "float"


@dataclass(frozen=True, slots=True)
class Bar:
    """A stretch of a row, in UTC; a milestone has no length."""

    kind: BarKind
    start: datetime
    end: datetime


@dataclass(frozen=True, slots=True)
class ChartRow:
    """One task. bars: hands-on work broken where the shop is closed, waits whole; slip: until its latest finish;
    closes: when its window does, if it has one and has not begun.
    """

    planned: PlannedTask
    bars: tuple[Bar, ...]
    slip: Bar | None
    closes: datetime | None = None


@dataclass(frozen=True, slots=True)
class Chart:
    """Rows on a time line from start to end. closed: when nobody works; now: where the line of today stands."""

    start: datetime
    end: datetime
    now: datetime
    rows: tuple[ChartRow, ...]
    closed: tuple[tuple[datetime, datetime], ...]


def chart(plan: Plan, rows: Sequence[PlannedTask]) -> Chart:
    """Return the chart of some tasks of a plan, in their order; whole days of the shop's zone, now among them."""
    made = tuple(_row(plan, each) for each in rows)
    ends = [each.end for row in made for each in (*row.bars, *((row.slip,) if row.slip else ()))]
    ends += [row.closes for row in made if row.closes is not None]
    starts = [bar.start for row in made for bar in row.bars]
    zone, midnight = plan.calendar.tz, plan.calendar.midnight
    start = midnight(min((*starts, plan.now)).astimezone(zone).date())
    end = midnight(max((*ends, plan.now)).astimezone(zone).date() + timedelta(days=1))
    return Chart(start, end, plan.now, made, plan.calendar.closed_stretches(start, end))


def _row(plan: Plan, each: PlannedTask) -> ChartRow:
    start, finish = each.start, each.finish
    if each.task.clock is Clock.ELAPSED or start == finish:
        kind = BarKind.ELAPSED if each.task.clock is Clock.ELAPSED else BarKind.ATTENDED
        bars: tuple[Bar, ...] = (Bar(kind, start, finish),)
    else:
        bars = _worked(plan, start, finish)
    slips = not each.is_over and each.latest_finish > finish
    closes = min((window.closes_at for window in plan.windows if window.after == each.key), default=None)
    closes = None if each.has_begun else closes
    return ChartRow(each, bars, Bar(BarKind.SLIP, finish, each.latest_finish) if slips else None, closes)


def _worked(plan: Plan, start: datetime, finish: datetime) -> tuple[Bar, ...]:
    """Return the bars of hands-on work: the open stretches, or all of it when it was done outside shop hours."""
    stretches = plan.calendar.minutes.open_between(minute_at(start), minute_after(finish))
    bars = tuple(Bar(BarKind.ATTENDED, instant_of(opens), instant_of(closes)) for opens, closes in stretches)
    return bars or (Bar(BarKind.ATTENDED, start, finish),)
