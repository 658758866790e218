"""Finish: what each piece gets, coat by coat, in whole cans with what is left over."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from domain.cans import Cans, cans
from domain.caution import GOVERNS, Caution, cautions_for
from domain.estimate import Estimate
from domain.figure import Figure, Unit, add_up
from domain.finish import coat_gallons, full_cure, recoat_closes, recoat_opens
from domain.finish_balance import one_sided
from domain.job import Job
from domain.job_steps import ORDINALS, named_finishes
from domain.material import MaterialKind
from domain.part import Face, FinishChoice, TaskKind
from domain.practice import ShopPractice
from domain.problem import Problem
from domain.take_off import FinishArea, TakeOff
from webapp import desk
from webapp.desk import reading
from webapp.render import page
from webapp.store.estimate import load_facts
from webapp.store.job import load_job
from webapp.working import PAGES

router = APIRouter()


@dataclass(frozen=True)
class PieceFaces:
    """What of one piece gets the finish. area [ft²]."""

    piece_id: int
    piece: str
    faces: tuple[Face, ...]
    area: Figure


@dataclass(frozen=True)
class Coat:
    """One coat. opens: not before so long after the one before it; closes: without scuffing until; None: does not
    apply.
    """

    name: str
    family: str
    takes: Figure
    opens: Figure | None = None
    closes: Figure | None = None
    is_colour: bool = False


@dataclass(frozen=True)
class FinishPlan:
    """One finish on everything that gets it. cure: until it is fully cured, None for one that never is."""

    choice: FinishChoice
    area: Figure
    pieces: tuple[PieceFaces, ...]
    coats: tuple[Coat, ...]
    cure: Figure | None


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
        finishes=tuple(_plan(area, needed, practice) for area in named_finishes(needed).values()),
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


def _plan(area: FinishArea, needed: TakeOff, practice: ShopPractice) -> FinishPlan:
    choice = area.choice
    pieces = []
    for built in needed.pieces:
        own = tuple(face for face in built.faces if face.finish == choice)
        if own:
            summed = add_up(f"{built.placed.name}, to finish", (face.area for face in own), Unit.SQUARE_FOOT)
            pieces.append(PieceFaces(built.placed.id, built.placed.name, own, summed))
    coats = tuple(_coats(area, practice))
    return FinishPlan(choice, area.area, tuple(pieces), coats, full_cure(choice.family, practice))


def _coats(area: FinishArea, practice: ShopPractice) -> Iterator[Coat]:
    choice = area.choice
    if choice.colour:
        takes = coat_gallons(area.area, 1, choice.colour, practice)
        yield Coat("Colour", choice.colour, takes, is_colour=True)
    for number in range(1, choice.coats + 1):
        opens = recoat_opens(choice.family, practice) if number > 1 else None
        if number == 1 and choice.colour:
            opens = recoat_opens(choice.colour, practice, under=choice.family)
        closes = recoat_closes(choice.family, practice) if number > 1 else None
        name = ORDINALS[number - 1] if number <= len(ORDINALS) else f"{number}th"
        yield Coat(name, choice.family, coat_gallons(area.area, number, choice.family, practice), opens, closes)


@router.get("/jobs/{job_id}/finish")
def show_finish(request: Request, job_id: int) -> Response:
    with reading(request) as db:
        shown = finish_page(db, job_id, desk.now(request))
    return page(request, "finish", job=shown.job, page=shown, governs=GOVERNS)
