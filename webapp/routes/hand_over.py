"""The hand-over note for the client of a job, on screen and on paper."""

from dataclasses import dataclass
from datetime import date, datetime

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from domain import hand_over as rules
from domain.hand_over import HandOver
from domain.job import Job
from domain.movement import movements
from webapp import desk
from webapp.desk import reading
from webapp.render import page
from webapp.store.plan import load_plan_facts
from webapp.store.shop import load_practice
from webapp.working import PAGES

router = APIRouter()


@dataclass(frozen=True)
class HandOverPage:
    """on: today in the shop's zone; is_planned: whether there are dates at all."""

    job: Job
    on: date
    note: HandOver
    is_planned: bool


def hand_over_page(db: Session, job_id: int, now: datetime) -> HandOverPage:
    """Return the note as the plan and the records stand now. Raises Missing."""
    known, practice = load_plan_facts(db, now, job_id=job_id), load_practice(db)
    plan, _ = known.plan()
    facts = known.jobs[job_id]
    planned = {each.key: each for each in plan.of_job(job_id)} if plan and job_id in plan.jobs else {}
    moves = movements(facts.needs.pieces, (), practice, known.shop)
    note = rules.hand_over(job_id, facts.needs, planned, moves, practice, known.shop)
    return HandOverPage(facts.job, known.shop.day_of(now), note, bool(planned))


PAGES["hand-over"] = hand_over_page

WORDS = {
    "until_cured": rules.UNTIL_CURED, "care": rules.CARE, "first_months": rules.FIRST_MONTHS, "gaps": rules.GAPS,
    "damage": rules.DAMAGE, "label": rules.LABEL, "source": rules.SOURCE,
}  # fmt: skip


@router.get("/jobs/{job_id}/hand-over")
def show_hand_over(request: Request, job_id: int) -> Response:
    return _page(request, "hand_over", job_id)


@router.get("/jobs/{job_id}/hand-over/print")
def print_hand_over(request: Request, job_id: int) -> Response:
    return _page(request, "hand_over_print", job_id)


def _page(request: Request, name: str, job_id: int) -> Response:
    with reading(request) as db:
        shown = hand_over_page(db, job_id, desk.now(request))
    return page(request, name, job=shown.job, page=shown, note=shown.note, words=WORDS)
