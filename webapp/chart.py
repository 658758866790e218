"""The chart of a plan as lines and boxes on a sheet: where everything is drawn, for a template to print as SVG.

Hands-on work is hatched as with a pencil, waits are a row of dots, what a task may slip is a thin line to a stop.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from domain.plan import Bar, BarKind, Chart, ChartRow, TaskState
from domain.shop_calendar import ShopCalendar
from domain.when import MONTHS, day, when

SCREEN, PAPER = 1150, 680
"""Widths of a sheet [px]: a desk's screen, and what fits between the margins of letter or A4."""

HEAD, ROW, FOOT, BAR = 40, 24, 8, 11
LEAST_BAR, LETTER, LONGEST_LABEL = 3.0, 6.6, 46
LEAST_DAY, LEAST_DATE, LEAST_CLOSED = 26, 64, 3
"""Least room [px] for the number of a day, for a date, for shading the hours of a night."""


@dataclass(frozen=True, slots=True)
class Mark:
    """A line from top to bottom with words at its head. anchor: which end of the words stands at it."""

    x: float
    words: str
    anchor: str = "start"


@dataclass(frozen=True, slots=True)
class Tick:
    """The line a day, week or month begins at. words: empty where there is no room for them."""

    x: float
    words: str
    is_strong: bool


@dataclass(frozen=True, slots=True)
class Stretch:
    """Something drawn from x, so wide. kind: names its style; a moment has no width."""

    kind: str
    x: float
    width: float

    @property
    def end(self) -> float:
        return round(self.x + self.width, 1)


@dataclass(frozen=True, slots=True)
class DrawnRow:
    """A task's row. y: its middle; name: as written beside the bar, cut when long; sign: what is said before it.

    kind: names how its bars are drawn.
    """

    y: float
    name: str
    sign: str
    label_x: float
    anchor: str
    kind: str
    bars: tuple[Stretch, ...]
    slip: Stretch | None

    @property
    def top(self) -> float:
        return self.y - BAR / 2


@dataclass(frozen=True, slots=True)
class Drawing:
    """Everything on the sheet; words: what a person who cannot see it should know."""

    width: int
    height: int
    rows: tuple[DrawnRow, ...]
    ticks: tuple[Tick, ...]
    closed: tuple[Stretch, ...]
    now: Mark
    promise: Mark | None
    words: str
    head: int = HEAD
    bar: int = BAR


def draw(chart: Chart, calendar: ShopCalendar, promised_on: date | None, *, width: int = SCREEN) -> Drawing:
    """Return the drawing of a chart. promised_on: the day of the promise line, whose end keeps the promise."""
    promised_by = calendar.midnight(promised_on + timedelta(days=1)) if promised_on else None
    sheet = _Sheet(chart, calendar, width, promised_by)
    rows = tuple(sheet.row(number, row) for number, row in enumerate(chart.rows))
    return Drawing(
        width=width,
        height=HEAD + ROW * len(rows) + FOOT,
        rows=rows,
        ticks=tuple(sheet.ticks()),
        closed=tuple(sheet.closed()),
        now=sheet.mark(chart.now, f"now {when(chart.now, chart.now, calendar.tz)}"),
        promise=sheet.promise(promised_on, promised_by),
        words=_words(chart, calendar, promised_on),
    )


class _Sheet:
    """The scale of one drawing: instants to places across the sheet."""

    def __init__(self, chart: Chart, calendar: ShopCalendar, width: int, promised_by: datetime | None) -> None:
        self.chart, self.calendar, self.width = chart, calendar, width
        self.start, end = chart.start, chart.end
        if promised_by is not None and self.start < promised_by < self.start + 3 * (end - self.start):
            end = max(end, promised_by)
        self.end = end
        self.per_minute = width / ((end - self.start) / timedelta(minutes=1))
        self.day_width = self.per_minute * 1440
        self.today = calendar.local(chart.now).date()

    def x(self, instant: datetime) -> float:
        """Return the place of an instant, kept on the sheet."""
        place = (instant - self.start) / timedelta(minutes=1) * self.per_minute
        return round(min(max(place, 0.0), float(self.width)), 1)

    def row(self, number: int, row: ChartRow) -> DrawnRow:
        each = row.planned
        bars = tuple(self._bar(bar) for bar in row.bars)
        slip = self._bar(row.slip) if row.slip else None
        name = each.task.name
        name = name if len(name) <= LONGEST_LABEL else f"{name[: LONGEST_LABEL - 1].rstrip()}…"
        sign = _sign(row)
        label_x, anchor = self._label(bars[0].x, (slip or bars[-1]).end, f"{sign} {name}")
        kind = " ".join(_kinds(row))
        return DrawnRow(HEAD + ROW * number + ROW / 2, name, sign, label_x, anchor, kind, bars, slip)

    def _bar(self, bar: Bar) -> Stretch:
        start, end = self.x(bar.start), self.x(bar.end)
        if bar.start == bar.end:
            return Stretch("moment", start, 0)
        least = 0 if bar.kind is BarKind.SLIP else LEAST_BAR
        return Stretch(bar.kind.value, start, round(max(end - start, least), 1))

    def _label(self, start: float, end: float, words: str) -> tuple[float, str]:
        """Return where the name stands: after its bars, else before them, else over them."""
        room = len(words) * LETTER + 8
        if end + room <= self.width:
            return end + 7, "start"
        if start - room >= 0:
            return start - 7, "end"
        return (4.0, "start") if start < self.width - end else (self.width - 4.0, "end")

    def ticks(self) -> Iterator[Tick]:
        """Yield the lines of days, or of weeks or months when days stand too close."""
        first = self.calendar.local(self.start).date()
        for number in range((self.end - self.start) // timedelta(days=1) + 1):
            on = first + timedelta(days=number)
            begins, is_first = self.calendar.midnight(on), number == 0
            if begins >= self.end:
                return
            if self.day_width >= LEAST_DAY:
                yield Tick(self.x(begins), self._day_words(on, is_first=is_first), on.weekday() == 0)
            elif on.weekday() == 0 and 7 * self.day_width >= LEAST_DATE:
                yield Tick(self.x(begins), f"{on.day} {MONTHS[on.month - 1]}", on.day <= 7)
            elif on.day == 1 and 7 * self.day_width < LEAST_DATE:
                yield Tick(self.x(begins), self._month_words(on), on.month == 1)

    def _day_words(self, on: date, *, is_first: bool) -> str:
        if self.day_width >= LEAST_DATE:
            return day(on, self.today)
        return f"{on.day} {MONTHS[on.month - 1]}" if self.day_width >= 40 or is_first or on.day == 1 else str(on.day)

    def _month_words(self, on: date) -> str:
        if 30 * self.day_width >= LEAST_DATE / 2:
            return f"{MONTHS[on.month - 1]}" + (f" {on.year}" if on.month == 1 else "")
        return str(on.year) if on.month == 1 and 365 * self.day_width >= LEAST_DATE / 2 else ""

    def closed(self) -> Iterator[Stretch]:
        """Yield when the shop is closed, as far as that can be seen."""
        for start, end in self.calendar.closed_stretches(self.start, self.end):
            x, until = self.x(start), self.x(end)
            is_night = end - start < timedelta(hours=24)
            if until - x >= (LEAST_CLOSED if not is_night or self.day_width >= LEAST_DAY else self.width):
                yield Stretch("closed", x, round(until - x, 1))

    def mark(self, instant: datetime, words: str) -> Mark:
        """Return the line of an instant, its words on the side where there is room."""
        x = self.x(instant)
        return Mark(x, words, "end" if x + len(words) * LETTER > self.width else "start")

    def promise(self, on: date | None, by: datetime | None) -> Mark | None:
        """Return the line of the promise, none when it lies off the sheet."""
        if on is None or by is None or not self.start <= by <= self.end:
            return None
        return self.mark(by, f"promised {day(on, self.today)}")


def _sign(row: ChartRow) -> str:
    """Return the sign before a name: done, running, or setting the date."""
    if row.planned.is_over:
        return "✓"
    if row.planned.state is TaskState.RUNNING:
        return "▸●" if row.planned.sets_date else "▸"
    return "●" if row.planned.sets_date else ""


def _kinds(row: ChartRow) -> Iterator[str]:
    yield row.planned.state.name.lower()
    if row.planned.sets_date and not row.planned.is_over:
        yield "sets-date"


def _words(chart: Chart, calendar: ShopCalendar, promised_on: date | None) -> str:
    """Return the chart in a few sentences."""
    today = calendar.local(chart.now).date()
    first = calendar.local(chart.start).date()
    last = calendar.local(chart.end - timedelta(minutes=1)).date()
    states = [row.planned.state for row in chart.rows]
    counted = ", ".join(_counted(states, state) for state in TaskState if state in states)
    promise = f" The promise is {day(promised_on, today)}." if promised_on else ""
    return (
        f"A chart of {len(chart.rows)} tasks from {day(first, today)} to {day(last, today)}: {counted}.{promise} "
        "The list of tasks below says the same in words."
    )


def _counted(states: Sequence[TaskState], state: TaskState) -> str:
    return f"{states.count(state)} {state.value}"
