"""Movement: what the wide parts of a job do from season to season, on screen."""

from dataclasses import dataclass
from datetime import datetime

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from domain.cross_grain import cross_grain
from domain.figure import Figure
from domain.job import Job
from domain.length import Unit as LengthUnit
from domain.measure import fit
from domain.movement import Movement, movements
from domain.practice import ShopPractice
from domain.problem import Problem
from domain.season import Seasons, ready_to_mill
from domain.tape import at_least, near
from domain.wall_gap import MeasuredRun
from domain.wide_part import WIDE
from webapp import desk
from webapp.desk import reading
from webapp.filters import MINUS
from webapp.render import page
from webapp.routes.handbook import fine
from webapp.store.job import load_job
from webapp.store.measure import load_runs
from webapp.store.shop import load_practice, load_shop
from webapp.store.take_off import load_take_off
from webapp.working import PAGES

router = APIRouter()


@dataclass(frozen=True)
class MovementPage:
    """called_out: where wood that moves is held by something that does not; mill_from, mill_to: what a meter should
    read before boards are milled.
    """

    job: Job
    seasons: Seasons
    mill_from: Figure
    mill_to: Figure
    parts: tuple[Movement, ...]
    called_out: tuple[Problem, ...]
    has_runs: bool


def movement_page(db: Session, job_id: int, now: datetime) -> MovementPage:
    """Return what moves in a job and how far. Raises Missing."""
    job, practice, shop = load_job(db, job_id), load_practice(db), load_shop(db)
    pieces, runs = load_take_off(db, job_id).pieces, measured_runs(db, job_id, practice)
    parts = movements(pieces, runs, practice, shop)
    mill_from, mill_to = ready_to_mill(practice.seasons, practice.figure("moisture_within"))
    called_out = cross_grain(pieces, parts, practice, shop)
    return MovementPage(job, practice.seasons, mill_from, mill_to, parts, called_out, bool(runs))


def measured_runs(db: Session, job_id: int, practice: ShopPractice) -> tuple[MeasuredRun, ...]:
    """Return the runs of a job with what they come to."""
    addressed = ((run, f"job:{job_id}:measure:{run.id}") for run in load_runs(db, job_id))
    return tuple(MeasuredRun(run, fit(run, practice, where=where), where) for run, where in addressed)


PAGES["movement"] = movement_page


@router.get("/jobs/{job_id}/movement")
def show_movement(request: Request, job_id: int) -> Response:
    with reading(request) as db:
        shown, shop = movement_page(db, job_id, desk.now(request)), load_shop(db)
    return page(
        request, "movement", job=shown.job, page=shown, wide=WIDE,
        signed=lambda change: signed(change, shop.unit), fine=lambda size: fine(size, shop.unit),
        at_least=lambda size: at_least(size.value, shop), near=lambda size: near(size.value, shop),
    )  # fmt: skip


def signed(change: Figure, unit: LengthUnit) -> str:
    """Return a change of size finer than a tape shows it: `+0.270 in`, `−0.168 in`."""
    sign = "+" if change.value > 0 else MINUS if change.value else ""
    return f"{sign}{fine(change, unit)}"
