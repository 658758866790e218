"""The next seven days: who does what on which day, over all open jobs, on screen and on one sheet for the wall."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from domain.plan import Plan
from domain.plan.week import Row, Spell, Week, week
from domain.problem import Problem
from domain.when import DAYS, when
from webapp import desk
from webapp.desk import reading
from webapp.render import page
from webapp.store.plan import load_plan_facts
from webapp.week_chart import WeekDrawing, draw_week, spell_words

router = APIRouter()

MOST_LINES = 14
FARTHEST = timedelta(days=366 * 2)


@dataclass(frozen=True)
class Line:
    """A piece of somebody's work on a day, in words."""

    name: str
    job_id: int
    job_name: str
    part: str
    times: str
    with_whom: str
    goes_on: bool
    sets_date: bool
    is_running: bool


@dataclass(frozen=True)
class Cell:
    """What a person does on a day."""

    on: date
    closed: str
    lines: tuple[Line, ...]


@dataclass(frozen=True)
class PersonRow:
    id: int
    name: str
    cells: tuple[Cell, ...]


@dataclass(frozen=True)
class CallLine:
    time: str
    name: str
    job_name: str
    words: str


@dataclass(frozen=True)
class WeekPage:
    """shown: None while nothing can be planned; rows: of those days on which somebody works; days: all seven, with why
    the shop is closed and what happens by itself.
    """

    on: date
    first: date
    problems: tuple[Problem, ...]
    shown: Week | None = None
    drawing: WeekDrawing | None = None
    rows: tuple[PersonRow, ...] = ()
    days: tuple[tuple[date, str, tuple[CallLine, ...]], ...] = ()

    @property
    def columns(self) -> tuple[tuple[date, tuple[tuple[str, CallLine], ...]], ...]:
        """Return the days somebody works, each with what happens by itself until the next one, other days named."""
        on = [cell.on for cell in self.rows[0].cells] if self.rows else []
        found: dict[date, list[tuple[str, CallLine]]] = {each: [] for each in on}
        for each, _, calls in self.days:
            column = max((one for one in on if one <= each), default=on[0] if on else each)
            name = "" if column == each else f"{DAYS[each.weekday()]} "
            found.setdefault(column, []).extend((name, call) for call in calls)
        return tuple((each, tuple(calls)) for each, calls in found.items())

    @property
    def is_dense(self) -> bool:
        """Whether the sheet for the wall needs a smaller hand to stay one page."""
        return sum(max((len(cell.lines) for cell in row.cells), default=0) for row in self.rows) > MOST_LINES

    @property
    def before(self) -> date:
        return self.first - timedelta(days=7)

    @property
    def after(self) -> date:
        return self.first + timedelta(days=7)


def week_page(db: Session, now: datetime, asked: str = "") -> WeekPage:
    """Return seven days of the plan. asked: the first, `2026-06-01`; else, and for what is no day, today."""
    known = load_plan_facts(db, now)
    plan, problems = known.plan()
    on = known.shop.day_of(now)
    first = _day(asked, on)
    if plan is None:
        return WeekPage(on, first, problems)
    shown = week(plan, first)
    worked = [n for n in range(7) if any(row.days[n] for row in shown.rows)] or [0]
    rows = tuple(PersonRow(row.id, row.name, tuple(_cells(plan, shown, row, worked))) for row in shown.rows)
    days = tuple((shown.days[n], shown.closed[n], _calls(plan, shown, n)) for n in range(7))
    return WeekPage(on, first, problems, shown, draw_week(plan, shown), rows, days)


def _day(asked: str, on: date) -> date:
    try:
        found = date.fromisoformat(asked)
    except ValueError:
        return on
    return found if abs(found - on) <= FARTHEST else on


def _lines(plan: Plan, spells: tuple[Spell, ...]) -> tuple[Line, ...]:
    return tuple(
        Line(
            name=spell.planned.task.name, job_id=spell.planned.task.job_id, job_name=spell.planned.task.job_name,
            part=spell.planned.task.part, times=spell_words(plan, spell), with_whom=" and ".join(spell.mates),
            goes_on=spell.goes_on, sets_date=spell.planned.sets_date, is_running=spell.planned.has_begun,
        )
        for spell in spells
    )  # fmt: skip


def _cells(plan: Plan, shown: Week, row: Row, days: list[int]) -> Iterator[Cell]:
    for number in days:
        yield Cell(shown.days[number], shown.closed[number], _lines(plan, row.days[number]))


def _calls(plan: Plan, shown: Week, number: int) -> tuple[CallLine, ...]:
    found = ((when(call.at, call.at, plan.calendar.tz), call.planned.task, call.words) for call in shown.calls[number])
    return tuple(CallLine(time, task.name, task.job_name, words) for time, task, words in found)


@router.get("/week")
def show_week(request: Request) -> Response:
    with reading(request) as db:
        shown = week_page(db, desk.now(request), request.query_params.get("day", ""))
    return page(request, "week", page=shown)


@router.get("/week/print")
def print_week(request: Request) -> Response:
    with reading(request) as db:
        shown = week_page(db, desk.now(request), request.query_params.get("day", ""))
    return page(request, "week_print", page=shown)
