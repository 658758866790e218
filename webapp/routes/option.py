"""Options: the job beside itself in another wood, another finish or without a piece, each with its price."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from domain.estimate import Estimate
from domain.figure import Figure, Rule, Unit
from domain.finish import finish_families
from domain.job import Job
from domain.lumber import grade_names
from domain.option import Option, option_problems, usual_words
from domain.pieces.ask import NONE
from domain.pieces.choices import colours, sheets
from domain.pieces.piece import PlacedPiece
from domain.problem import Problem
from domain.wood import species_names
from webapp import desk
from webapp.conflict import conflict
from webapp.desk import Posted, reading, see_other, version_of, writing
from webapp.forms import option as forms
from webapp.render import page
from webapp.store import option as store
from webapp.store.estimate import load_facts
from webapp.store.form_key import leads_to
from webapp.store.job import load_job
from webapp.store.piece import load_pieces
from webapp.store.rows import ChangedMeanwhile
from webapp.working import PAGES

router = APIRouter()


@dataclass(frozen=True)
class PricedOption:
    """An option beside the job. difference [$]: its total less the job's; problems: what its total leaves out."""

    option: Option
    words: str
    estimate: Estimate
    difference: Figure
    problems: tuple[Problem, ...]


@dataclass(frozen=True)
class OptionsPage:
    job: Job
    estimate: Estimate
    options: tuple[PricedOption, ...]
    placed: tuple[PlacedPiece, ...]

    @property
    def working(self) -> str:
        return f"/jobs/{self.job.id}/working/options"


def options_page(db: Session, job_id: int, now: datetime) -> OptionsPage:
    """Return the job's options, each priced for the whole job. Raises Missing."""
    job, facts = load_job(db, job_id), load_facts(db, job_id, now)
    estimate = facts.estimate()
    options = (
        _priced(option, facts.placed, facts.estimate(option), estimate) for option in store.load_options(db, job_id)
    )
    return OptionsPage(job, estimate, tuple(options), facts.placed)


PAGES["options"] = options_page


def _priced(option: Option, placed: Sequence[PlacedPiece], priced: Estimate, base: Estimate) -> PricedOption:
    value = priced.total.value - base.total.value
    rule = Rule("the option's total less the job's")
    difference = Figure("Difference", value, Unit.DOLLAR, rule, (priced.total, base.total))
    problems = (*option_problems(option, placed), *priced.problems)
    return PricedOption(option, usual_words(option, placed), priced, difference, problems)


@router.get("/jobs/{job_id}/options")
def show_options(request: Request, job_id: int) -> Response:
    with reading(request) as db:
        shown = options_page(db, job_id, desk.now(request))
    return page(request, "options", job=shown.job, page=shown)


@router.get("/jobs/{job_id}/options/new")
def new_option(request: Request, job_id: int) -> Response:
    """Show an empty form, or one begun by a link: the wood choice page names the other wood."""
    return _form(request, job_id, {name: request.query_params.get(name, "") for name in forms.LABELS})


@router.post("/jobs/{job_id}/options")
def add_option(request: Request, job_id: int, posted: Posted) -> Response:
    option, problems = forms.read(posted, *_beside(request, job_id))
    if option is None:
        return _form(request, job_id, posted, problems)
    with writing(request, f"Option “{option.name}” added", job_id=job_id) as db:
        store.add_option(db, job_id, option)
        url = leads_to(db, f"/jobs/{job_id}/options")
    return see_other(request, url)


@router.get("/jobs/{job_id}/options/{option_id}")
def edit_option(request: Request, job_id: int, option_id: int) -> Response:
    with reading(request) as db:
        option = store.load_option(db, job_id, option_id)
    return _form(request, job_id, forms.fill(option), option=option)


@router.post("/jobs/{job_id}/options/{option_id}")
def save_option(request: Request, job_id: int, option_id: int, posted: Posted) -> Response:
    placed, others = _beside(request, job_id)
    with reading(request) as db:
        saved = store.load_option(db, job_id, option_id)
    option, problems = forms.read(posted, placed, others, option_id=option_id, version=version_of(posted))
    if option is None:
        return _form(request, job_id, posted, problems, option=saved)
    url = f"/jobs/{job_id}/options"
    try:
        with writing(request, f"Option “{option.name}” changed", job_id=job_id) as db:
            store.save_option(db, job_id, option)
            leads_to(db, url)
    except ChangedMeanwhile as changed:
        with reading(request) as db:
            stored = forms.fill(store.load_option(db, job_id, option_id))
        return conflict(request, changed, labels=forms.labels(placed), stored=stored, theirs=url)
    return see_other(request, url)


@router.post("/jobs/{job_id}/options/{option_id}/take")
def take_option(request: Request, job_id: int, option_id: int, posted: Posted) -> Response:
    """Change the job's pieces to an option, which then is no option any more; undone as one step."""
    with reading(request) as db:
        option = store.load_option(db, job_id, option_id)
    url = f"/jobs/{job_id}/pieces"
    with writing(request, f"“{option.name}” made the job", job_id=job_id) as db:
        store.take_option(db, job_id, option, at=desk.now(request))
        leads_to(db, url)
    return see_other(request, url)


@router.post("/jobs/{job_id}/options/{option_id}/remove")
def remove_option(request: Request, job_id: int, option_id: int, posted: Posted) -> Response:
    with reading(request) as db:
        option = store.load_option(db, job_id, option_id)
    url = f"/jobs/{job_id}/options"
    with writing(request, f"Option “{option.name}” removed", job_id=job_id) as db:
        store.remove_option(db, job_id, option_id, at=desk.now(request))
        leads_to(db, url)
    return see_other(request, url)


def _beside(request: Request, job_id: int) -> tuple[tuple[PlacedPiece, ...], tuple[Option, ...]]:
    """Return what an option of the job is read beside: its pieces and its options."""
    with reading(request) as db:
        load_job(db, job_id)
        return load_pieces(db, job_id), store.load_options(db, job_id)


def _form(
    request: Request, job_id: int, typed: Mapping[str, str], problems: Sequence[Problem] = (), *,
    option: Option | None = None,
) -> Response:  # fmt: skip
    with reading(request) as db:
        job, placed = load_job(db, job_id), load_pieces(db, job_id)
    return page(
        request, "option_form", status=422 if problems else 200, job=job, option=option, placed=placed,
        typed=forms.BLANK | dict(typed), problems=problems, ask=forms, woods=_used(placed, "species"),
        all_woods=species_names(), grades=grade_names(), sheets=_used(placed, "sheet"), all_sheets=sheets(),
        finishes=_used(placed, "finish"), all_finishes=finish_families(), colours=colours(),
    )  # fmt: skip


def _used(placed: Sequence[PlacedPiece], name: str) -> tuple[str, ...]:
    """Return what the pieces of a job are made of or finished with, each once."""
    found = (getattr(piece.piece, name, "") for piece in placed)
    return tuple(dict.fromkeys(each for each in found if each and each != NONE))
