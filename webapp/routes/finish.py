"""Finish: what each piece gets, coat by coat, in whole cans with what is left over."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from domain.cans import Cans, cans
from domain.caution import GOVERNS, Caution, cautions_for
from domain.estimate import Estimate
from domain.finish_balance import one_sided
from domain.finish_plan import FinishPlan, finish_plans
from domain.job import Job
from domain.material import MaterialKind
from domain.part import TaskKind
from domain.problem import Problem
from webapp import desk
from webapp.desk import reading
from webapp.render import page
from webapp.store.estimate import load_facts
from webapp.store.job import load_job
from webapp.working import PAGES

router = APIRouter()


@dataclass(frozen=True)
class FinishPage:
    """cans: of each finish that has a price; unpriced: names of those that have none; one_sided: see finish_balance;
    always_scuffed: the shop scuffs before every coat.
    """

    job: Job
    finishes: tuple[FinishPlan, ...]
    cans: tuple[Cans, ...]
    unpriced: tuple[str, ...]
    one_sided: tuple[Problem, ...]
    cautions: tuple[Caution, ...]
    always_scuffed: bool


def finish_page(db: Session, job_id: int, now: datetime) -> FinishPage:
    """Return the finishes of a job. Raises Missing."""
    job, facts = load_job(db, job_id), load_facts(db, job_id, now)
    found, practice = facts.estimate(), facts.practice
    needed = found.take_off
    finishing = [line.material for line in needed.lines if line.material.kind is MaterialKind.FINISH]
    bought = tuple(_cans(found))
    priced = {one.material for one in bought}
    return FinishPage(
        job=job,
        finishes=finish_plans(needed, practice),
        cans=bought,
        unpriced=tuple(material.name for material in finishing if material not in priced),
        one_sided=one_sided(needed.pieces, practice),
        cautions=cautions_for([TaskKind.COAT], finishing),
        always_scuffed=bool(practice.value("scuff_between_coats")),
    )


PAGES["finish"] = finish_page


def _cans(found: Estimate) -> Iterator[Cans]:
    for line in found.materials:
        if line.line.material.kind is MaterialKind.FINISH and line.packages:
            yield cans(line.line.material, line.line.needed, line.packages)


@router.get("/jobs/{job_id}/finish")
def show_finish(request: Request, job_id: int) -> Response:
    with reading(request) as db:
        shown = finish_page(db, job_id, desk.now(request))
    return page(request, "finish", job=shown.job, page=shown, governs=GOVERNS)
