"""The chart of a week by person, and the loads under it: where everything is drawn, for a template to print as SVG."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

from domain.plan import Plan
from domain.plan.loads import Load
from domain.plan.week import Spell, Week
from domain.when import day, when
from domain.words import counted, listing

SCREEN, LEFT = 1150, 118
"""Width of the sheet and of the names before it [px]."""
HEAD, ROW, LANE, LOAD, GAP = 40, 46, 34, 40, 12
LETTER = 6.4


@dataclass(frozen=True, slots=True)
class Box:
    """A stretch of somebody's time. kind: names its style; lines: its words, as far as there is room for them."""

    kind: str
    x: float
    y: float
    width: float
    height: float
    lines: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class DrawnLoad:
    """A load as a stepped outline on its own ground line. cap: where all there are would be in use; full: it is met."""

    name: str
    y: float
    base: float
    cap: float
    path: str
    words: str
    full: bool


@dataclass(frozen=True, slots=True)
class DrawnRow:
    name: str
    y: float
    boxes: tuple[Box, ...]


@dataclass(frozen=True, slots=True)
class WeekDrawing:
    """words: what a person who cannot see it should know."""

    width: int
    height: float
    head: int
    left: int
    days: tuple[tuple[float, str], ...]
    closed: tuple[Box, ...]
    rows: tuple[DrawnRow, ...]
    loads: tuple[DrawnLoad, ...]
    now: float | None
    words: str


def draw_week(plan: Plan, shown: Week) -> WeekDrawing:
    """Return the drawing of a week, by person, with the loads under it; hours nobody works are narrow."""
    return _Sheet(plan, shown).drawing()


class _Sheet:
    """The scale of one week: each day as wide as another, its first and last open hour at its edges."""

    def __init__(self, plan: Plan, shown: Week) -> None:
        self.plan, self.shown = plan, shown
        self.day_width = (SCREEN - LEFT) / len(shown.days)
        opens, closes = [], []
        for on in shown.days:
            for start, end in plan.calendar.open_stretches(on):
                since = plan.calendar.midnight(on)
                opens.append(start - since)
                closes.append(end - since)
        self.first = min(opens, default=timedelta(hours=8))
        self.last = max(closes, default=timedelta(hours=17))
        self.height = HEAD + ROW * len(shown.rows) + GAP + (LOAD + GAP) * len(shown.loads)

    def x(self, at: datetime) -> float:
        """Return the place of an instant; the night lies between two days' edges."""
        on = self.plan.calendar.local(at).date()
        number = (on - self.shown.first).days
        if number < 0:
            return LEFT
        if number >= len(self.shown.days):
            return SCREEN
        since = at - self.plan.calendar.midnight(on)
        part = (since - self.first) / (self.last - self.first)
        return round(LEFT + self.day_width * (number + min(max(part, 0.0), 1.0)), 1)

    def drawing(self) -> WeekDrawing:
        shown, today = self.shown, self.plan.calendar.local(self.plan.now).date()
        days = tuple((round(LEFT + self.day_width * number, 1), day(on, today)) for number, on in enumerate(shown.days))
        is_now = shown.start <= self.plan.now < shown.end
        return WeekDrawing(
            width=SCREEN,
            height=self.height,
            head=HEAD,
            left=LEFT,
            days=days,
            closed=tuple(self._closed()),
            rows=tuple(self._row(number) for number in range(len(shown.rows))),
            loads=tuple(self._load(number, load) for number, load in enumerate(shown.loads)),
            now=self.x(self.plan.now) if is_now else None,
            words=self._words(),
        )

    def _closed(self) -> Iterator[Box]:
        for number, on in enumerate(self.shown.days):
            left, right = LEFT + self.day_width * number, LEFT + self.day_width * (number + 1)
            edges = [left]
            for start, end in self.plan.calendar.open_stretches(on):
                edges += [self.x(start), self.x(end) if self.plan.calendar.local(end).date() == on else right]
            edges.append(right)
            for since, until in zip(edges[::2], edges[1::2], strict=True):
                if until - since > 1:
                    height = self.height - HEAD
                    yield Box("closed", round(since, 1), HEAD, round(until - since, 1), height)

    def _row(self, number: int) -> DrawnRow:
        row, top = self.shown.rows[number], HEAD + ROW * number + (ROW - LANE) / 2
        boxes = tuple(self._box(spell, top) for spells in row.days for spell in spells)
        return DrawnRow(row.name, HEAD + ROW * number + ROW / 2 + 4, boxes)

    def _box(self, spell: Spell, top: float) -> Box:
        x, end = self.x(spell.start), self.x(spell.end)
        width = max(round(end - x, 1), 2.0)
        letters = int((width - 8) / LETTER)
        each = spell.planned
        lines = tuple(line for line in (_cut(each.task.name, letters), _cut(each.task.job_name, letters)) if line)
        kind = "running" if each.has_begun else "sets-date" if each.sets_date else "attended"
        return Box(kind, x, top, width, LANE, lines)

    def _load(self, number: int, load: Load) -> DrawnLoad:
        base = HEAD + ROW * len(self.shown.rows) + GAP + (LOAD + GAP) * (number + 1)
        scale = LOAD / max(load.there, load.most, 1)
        path = []
        for start, end, count in load.steps:
            x, until = self.x(start), self.x(end)
            if until > x:
                path.append(f"M{x} {base} V{round(base - count * scale, 1)} H{until} V{base}")
        cap = round(base - load.there * scale, 1)
        words = f"{load.name}: most {load.most} of {load.there}"
        return DrawnLoad(load.name, base - LOAD / 2 + 4, base, cap, " ".join(path), words, load.most >= load.there)

    def _words(self) -> str:
        today = self.plan.calendar.local(self.plan.now).date()
        spells = {row.name: sum(len(one) for one in row.days) for row in self.shown.rows}
        busy = listing([f"{name} {counted(count, 'piece')} of work" for name, count in spells.items()])
        peaks = "; ".join(f"{load.name} at most {load.most} of {load.there}" for load in self.shown.loads)
        return f"Seven days from {day(self.shown.first, today)}: {busy}. In use: {peaks}. The lists below say the same."


def _cut(words: str, letters: int) -> str:
    """Return words cut to so many letters, nothing when there is hardly room for any."""
    if letters < 4:
        return ""
    return words if len(words) <= letters else f"{words[: letters - 1].rstrip()}…"


def spell_words(plan: Plan, spell: Spell) -> str:
    """Return when somebody is at work on something: `08:00 to 11:25`."""
    start, end = (plan.calendar.local(at) for at in (spell.start, spell.end))
    until = when(spell.end, spell.end, plan.calendar.tz) if start.date() == end.date() else plan.say(spell.end)
    return f"{when(spell.start, spell.start, plan.calendar.tz)} to {until}"
