"""The promise of a job: by when it is finished in so many cases, what moves that, and what to hold back for it."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from fractions import Fraction
from math import floor

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from domain.figure import Figure, Rule, Unit
from domain.job import Job
from domain.problem import Problem
from domain.promise import Promise, Swing, learnt, promise, sources
from domain.promise.contingency import Contingency, contingency
from domain.shop_calendar import ShopCalendar
from domain.when import day
from webapp import desk
from webapp.desk import reading
from webapp.promise_chart import PromiseDrawing, draw_promise
from webapp.render import page
from webapp.store import shop as shop_store
from webapp.store.estimate import load_facts
from webapp.store.finished import load_finished_tasks
from webapp.store.plan import load_plan_facts
from webapp.working import PAGES

router = APIRouter()

SEVERAL = (Fraction(1, 10), Fraction(1, 2), Fraction(8, 10), Fraction(9, 10), Fraction(95, 100))
"""Shares of cases a day is named for."""


@dataclass(frozen=True)
class Chance:
    """A day, and in how many of 100 cases the job is finished by its end."""

    on: date
    by: Figure
    words: str


@dataclass(frozen=True)
class PromisePage:
    """found: None while nothing can be said, then problems say why; suggested: the day to promise;
    holds: in how many of 100 cases what is promised holds, None where nothing is.
    """

    job: Job
    on: date
    problems: tuple[Problem, ...]
    found: Promise | None = None
    chances: tuple[Chance, ...] = ()
    suggested: date | None = None
    share: Figure | None = None
    holds: Figure | None = None
    swings: tuple[tuple[Swing, Figure], ...] = ()
    sources: Mapping[str, int] | None = None
    covers: Contingency | None = None
    is_finished: bool = False


def promise_page(db: Session, job_id: int, now: datetime) -> PromisePage:
    """Return how sure the finish of a job is, planned among all open jobs. Raises Missing."""
    known = load_plan_facts(db, now, job_id=job_id)
    plan, problems = known.plan()
    job, on = known.jobs[job_id].job, known.shop.day_of(now)
    if plan is None or known.calendar is None or job_id not in plan.jobs:
        return PromisePage(job, on, problems)
    practice = shop_store.load_practice(db)
    taught = learnt(load_finished_tasks(db, now), known.calendar, practice)
    found = promise(plan, job_id, taught)
    if found is None:
        return PromisePage(job, on, problems, is_finished=plan.jobs[job_id].is_finished)
    share = practice.figure("promise_share")
    facts = load_facts(db, job_id, now)
    return PromisePage(
        job=job,
        on=on,
        problems=problems,
        found=found,
        chances=tuple(_chances(found, on)),
        suggested=working_day(found.on(float(share.value)).on, known.calendar),
        share=share,
        holds=None if job.promised_on is None else _of_100(found, job.promised_on),
        swings=tuple((swing, _swing(swing)) for swing in found.swings),
        sources=sources(plan, job_id, taught),
        covers=contingency(found, facts.estimate(), facts.terms, facts.practice),
    )


PAGES["promise"] = promise_page


def working_day(on: date, calendar: ShopCalendar) -> date:
    """Return the first day from one on at which the shop works: nobody hands over on a closed one."""
    while not calendar.hours(on):
        on += timedelta(days=1)
    return on


def _chances(found: Promise, today: date) -> list[Chance]:
    chances: dict[date, Chance] = {}
    for share in SEVERAL:
        on = found.on(float(share)).on
        chances.setdefault(on, Chance(on, _of_100(found, on), day(on, today)))
    return list(chances.values())


def _of_100(found: Promise, on: date) -> Figure:
    """Return in what share of the cases a job is finished by the end of a day; never said to be certain."""
    share = Fraction(min(floor(found.share_by(on) * 100), 99), 100)
    words = f"cases finished by the end of that day, of {found.replays} played through the plan; 99 % at most"
    return Figure("Finished by then", share, Unit.SHARE, Rule(words, "Monte Carlo, the plan's people and hours kept"))


def _swing(swing: Swing) -> Figure:
    words = "how far the finish moves, usually, when this task takes a standard deviation longer"
    rule = Rule(words, "least squares over the same cases", f"job:{swing.planned.task.job_id}:plan")
    return Figure(swing.planned.task.name, Fraction(swing.minutes, 60), Unit.HOUR, rule)


def drawing_of(shown: PromisePage) -> PromiseDrawing | None:
    """Return the drawing of the days the job may be finished on."""
    if shown.found is None or shown.suggested is None:
        return None
    marks = [(shown.found.planned_on, "as planned", "plan"), (shown.suggested, "to promise", "suggested")]
    if shown.job.promised_on is not None and abs((shown.job.promised_on - shown.suggested).days) < 120:
        marks.append((shown.job.promised_on, "promised", "promise"))
    return draw_promise(shown.found.days, marks, shown.on)


@router.get("/jobs/{job_id}/promise")
def show_promise(request: Request, job_id: int) -> Response:
    with reading(request) as db:
        shown = promise_page(db, job_id, desk.now(request))
    return page(request, "promise", job=shown.job, page=shown, drawing=drawing_of(shown))
