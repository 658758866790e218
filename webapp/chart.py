"""The chart of a plan as lines and boxes on a sheet: where everything is drawn, for a template to print as SVG.

Hands-on work is hatched as with a pencil, waits are a row of dots, what a task may slip is a thin line to a stop.
The sheet shows what is ahead: from a few days back to the finish; what leaves it does so with an open end.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from domain.plan import Bar, BarKind, Chart, ChartRow, TaskState
from domain.shop_calendar import ShopCalendar
from domain.when import MONTHS, day, when
from domain.words import counted

SCREEN, PAPER = 1150, 680
"""Widths of a sheet [px]: a desk's screen, and what fits between the margins of letter or A4."""

ROWS_ON_PAPER = 16
HEAD, ROW, FOOT, BAR = 40, 24, 8, 11
LEAST_BAR, LETTER, LONGEST_LABEL = 3.0, 6.6, 46
LEAST_DAY, LEAST_DATE, LEAST_CLOSED = 26, 64, 3
"""Least room [px] for the number of a day, for a date, for shading hours in which the shop is closed."""

LOOK_BACK = timedelta(days=2)
WEEK = timedelta(days=7)


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
    """Something drawn from x, so wide. kind: names its style, a moment has no width; opens, closes: whether its
    own start and end are on the sheet.
    """

    kind: str
    x: float
    width: float
    opens: bool = True
    closes: bool = True

    @property
    def end(self) -> float:
        return round(self.x + self.width, 1)


@dataclass(frozen=True, slots=True)
class DrawnRow:
    """A task's row. y: its middle; name: as written beside the bar, cut when long; sign: what is said before it.

    kind: names how its bars are drawn; closes: where its window does, None off the sheet;
    foot: where the line of what it may slip runs, under the name.
    """

    y: float
    name: str
    sign: str
    label_x: float
    anchor: str
    kind: str
    bars: tuple[Stretch, ...]
    slip: Stretch | None
    closes: float | None = None

    @property
    def top(self) -> float:
        return self.y - BAR / 2

    @property
    def foot(self) -> float:
        return self.y + BAR / 2 + 2


@dataclass(frozen=True, slots=True)
class Drawing:
    """Everything on the sheet; left_out: tasks that were over before it begins, in words;
    words: what a person who cannot see it should know.
    """

    width: int
    height: int
    rows: tuple[DrawnRow, ...]
    ticks: tuple[Tick, ...]
    closed: tuple[Stretch, ...]
    now: Mark
    promise: Mark | None
    left_out: str
    words: str
    head: int = HEAD
    bar: int = BAR


def draw(chart: Chart, calendar: ShopCalendar, promised_on: date | None, *, width: int = SCREEN) -> Drawing:
    """Return the drawing of a chart. promised_on: the day of the promise line, whose end keeps the promise."""
    return sheets(chart, calendar, promised_on, width=width, most=len(chart.rows) or 1)[0]


def sheets(
    chart: Chart, calendar: ShopCalendar, promised_on: date | None, *, width: int = PAPER, most: int = ROWS_ON_PAPER
) -> tuple[Drawing, ...]:
    """Return the drawing of a chart in pieces of so many rows at most, at least one, all on the same days."""
    start = _first_day(chart, calendar)
    shown = [row for row in chart.rows if not (row.planned.is_over and row.planned.finish < start)]
    promised_by = calendar.midnight(promised_on + timedelta(days=1)) if promised_on else None
    sheet = _Sheet(chart.now, calendar, start, _last_day(chart, calendar, shown, start, promised_by), width)
    gone = len(chart.rows) - len(shown)
    since = day(calendar.local(start).date(), sheet.today)
    left_out = f"{counted(gone, 'task')} done before {since} left out." if gone else ""
    words = _words(chart, sheet, promised_on)
    pieces = [shown[first : first + most] for first in range(0, len(shown), most)] or [[]]
    return tuple(
        Drawing(
            width=width,
            height=HEAD + ROW * len(piece) + FOOT,
            rows=tuple(sheet.row(number, row) for number, row in enumerate(piece)),
            ticks=tuple(sheet.ticks()),
            closed=tuple(sheet.closed()),
            now=sheet.mark(chart.now, f"now {when(chart.now, chart.now, calendar.tz)}"),
            promise=sheet.promise(promised_on, promised_by),
            left_out=left_out,
            words=words if len(pieces) == 1 else f"{words} Part {number} of {len(pieces)}.",
        )
        for number, piece in enumerate(pieces, start=1)
    )


def _first_day(chart: Chart, calendar: ShopCalendar) -> datetime:
    """Return the day the sheet begins: what is over goes a few days back, unless everything is over."""
    if all(row.planned.is_over for row in chart.rows):
        return chart.start
    earliest = min(bar.start for row in chart.rows for bar in row.bars)
    since = min(max(chart.now - LOOK_BACK, earliest), chart.now)
    return calendar.midnight(calendar.local(since).date())


def _last_day(
    chart: Chart, calendar: ShopCalendar, rows: Sequence[ChartRow], start: datetime, promised_by: datetime | None
) -> datetime:
    """Return the midnight the sheet ends: after the finish, after the promise too when that is not far."""
    finishes = [row.planned.finish for row in rows if not row.planned.task.trails]
    finish = max(*finishes, chart.now) if finishes else chart.now
    end = calendar.midnight(calendar.local(finish).date() + timedelta(days=1))
    if promised_by is not None and end < promised_by <= max(end + (end - start) / 2, start + WEEK):
        end = promised_by
    return end


class _Sheet:
    """The scale of one drawing: instants to places across the sheet."""

    def __init__(self, now: datetime, calendar: ShopCalendar, start: datetime, end: datetime, width: int) -> None:
        self.calendar, self.start, self.end, self.width = calendar, start, end, width
        self.per_minute = width / ((end - start) / timedelta(minutes=1))
        self.day_width = self.per_minute * 1440
        self.today = calendar.local(now).date()

    def x(self, instant: datetime) -> float:
        """Return the place of an instant, kept on the sheet."""
        place = (instant - self.start) / timedelta(minutes=1) * self.per_minute
        return round(min(max(place, 0.0), float(self.width)), 1)

    def row(self, number: int, row: ChartRow) -> DrawnRow:
        each = row.planned
        bars = tuple(self._bar(bar) for bar in row.bars if bar.end >= self.start) or (self._bar(row.bars[-1]),)
        slip = self._bar(row.slip) if row.slip else None
        name = each.task.name
        name = name if len(name) <= LONGEST_LABEL else f"{name[: LONGEST_LABEL - 1].rstrip()}…"
        sign = _sign(row)
        label_x, anchor = self._label(bars[0].x, bars[-1].end, f"{sign} {name}")
        kind = " ".join(_kinds(row))
        is_seen = row.closes is not None and self.start <= row.closes <= self.end
        closes = self.x(row.closes) if row.closes is not None and is_seen else None
        return DrawnRow(HEAD + ROW * number + ROW / 2, name, sign, label_x, anchor, kind, bars, slip, closes)

    def _bar(self, bar: Bar) -> Stretch:
        start, end = self.x(bar.start), self.x(bar.end)
        if bar.start == bar.end:
            return Stretch("moment", start, 0)
        least = 0 if bar.kind is BarKind.SLIP else LEAST_BAR
        width = round(max(end - start, least), 1)
        return Stretch(bar.kind.value, start, width, opens=bar.start >= self.start, closes=bar.end <= self.end)

    def _label(self, start: float, end: float, words: str) -> tuple[float, str]:
        """Return where the name stands: after its bars, over what they may slip, else before them, else over them."""
        room = len(words) * LETTER + 8
        if end + room <= self.width:
            return end + 7, "start"
        if start - room >= 0:
            return start - 7, "end"
        return (8.0, "start") if start < self.width - end else (self.width - 8.0, "end")

    def ticks(self) -> Iterator[Tick]:
        """Yield the lines of days, or of weeks or months when days stand too close; words that would meet are left."""
        free = 0.0
        for tick in self._lines():
            if tick.words and tick.x < free:
                yield replace(tick, words="")
                continue
            free = tick.x + len(tick.words) * LETTER if tick.words else free
            yield tick

    def _lines(self) -> Iterator[Tick]:
        first = self.calendar.local(self.start).date()
        for number in range((self.end - self.start) // timedelta(days=1) + 2):
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
            if until - x >= LEAST_CLOSED and (not is_night or self.day_width >= LEAST_DAY):
                yield Stretch("closed", x, round(until - x, 1))

    def mark(self, instant: datetime, words: str) -> Mark:
        """Return the line of an instant, its words on the side where there is room."""
        x = self.x(instant)
        return Mark(x, words, "end" if x + len(words) * LETTER > self.width else "start")

    def promise(self, on: date | None, by: datetime | None) -> Mark | None:
        """Return the line of the promise, at the edge of the sheet with an arrow when it lies beyond."""
        if on is None or by is None:
            return None
        words = f"promised {day(on, self.today)}"
        if by < self.start:
            return Mark(1.5, f"← {words}")
        return self.mark(by, words) if by <= self.end else Mark(self.width - 1.5, f"{words} →", "end")


def _sign(row: ChartRow) -> str:
    """Return the sign before a name: done, running, or setting the date."""
    if row.planned.is_over:
        return "✓"
    if row.planned.state is TaskState.RUNNING:
        return "▸●" if row.planned.sets_date else "▸"
    return "●" if row.planned.sets_date else ""


def _kinds(row: ChartRow) -> Iterator[str]:
    yield f"is-{row.planned.state.name.lower()}"
    if row.planned.sets_date and not row.planned.is_over:
        yield "sets-date"


def _words(chart: Chart, sheet: _Sheet, promised_on: date | None) -> str:
    """Return the chart in a few sentences."""
    first = sheet.calendar.local(sheet.start).date()
    last = sheet.calendar.local(sheet.end - timedelta(minutes=1)).date()
    states = [row.planned.state for row in chart.rows]
    by_state = ", ".join(f"{states.count(state)} {state.value}" for state in TaskState if state in states)
    span = counted((last - first).days + 1, "day")
    promise = f" The promise is {day(promised_on, sheet.today)}." if promised_on else ""
    return (
        f"A chart of {counted(len(states), 'task')}, {span} from {day(first, sheet.today)} to "
        f"{day(last, sheet.today)}: {by_state}.{promise} The list of tasks says the same in words."
    )
