"""Wood choice: two to six woods side by side, by what one asks before choosing."""

from collections.abc import Mapping
from dataclasses import dataclass
from urllib.parse import urlencode

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from domain.figure import typed
from domain.job import Job
from domain.wood import species_names
from domain.wood_choice import WATER, WoodChoice, sources, wood_choice
from domain.words import first_lower
from webapp.desk import reading
from webapp.forms import wood_choice as forms
from webapp.links import anchor
from webapp.render import page
from webapp.routes.handbook import fine
from webapp.routes.working import show_figure
from webapp.store.job import load_job
from webapp.store.price import load_price_book
from webapp.store.rows import Missing
from webapp.store.shop import load_practice, load_shop

router = APIRouter()

HOME = "/wood-choice"


@dataclass(frozen=True)
class WoodChoicePage:
    """choice: None until woods are asked about; sources: each with the woods it speaks for."""

    choice: WoodChoice | None = None
    sources: tuple[tuple[str, str], ...] = ()


def wood_choice_page(db: Session, asked: forms.Asked | None) -> WoodChoicePage:
    """Return the woods asked about side by side."""
    if asked is None:
        return WoodChoicePage()
    width = typed(forms.LABELS["width"], asked.width)
    choice = wood_choice(asked.woods, width, load_practice(db).seasons, load_price_book(db))
    return WoodChoicePage(choice, tuple(sources(choice.woods)))


@router.get(HOME)
def show_wood_choice(request: Request) -> Response:
    query = request.query_params
    with reading(request) as db:
        unit = load_shop(db).unit
        asked, problems = forms.read(query, unit) if forms.is_asked(query) else (None, [])
        shown, job = wood_choice_page(db, asked), _job(db, forms.job_of(query))
    return page(
        request, "wood_choice", status=422 if problems else 200, page=shown, typed=forms.typed(query, unit),
        problems=problems, labels=forms.LABELS, fields=forms.FIELDS, question=_question(query), water=WATER,
        woods=(("", "none"), *((name, name) for name in species_names())), anchor=anchor,
        fine=lambda figure: fine(figure, unit), for_job=job, as_option=lambda name: _as_option(job, name),
    )  # fmt: skip


@router.get(f"{HOME}/working/{{at:path}}")
def show_wood_working(request: Request, at: str) -> Response:
    """Show how a figure came about, for the woods and the width in the query."""
    with reading(request) as db:
        asked, _ = forms.read(request.query_params, load_shop(db).unit)
        if asked is None:
            raise Missing(at)
        shown = wood_choice_page(db, asked)
    return show_figure(request, shown, at, f"{HOME}?{_question(request.query_params)}")


def _job(db: Session, job_id: int) -> Job | None:
    """Return the job woods are looked at for; None for none, or one that is gone."""
    try:
        return load_job(db, job_id) if job_id else None
    except Missing:
        return None


def _as_option(job: Job | None, wood: str) -> str:
    """Return the address of a new option of a job: the whole of it in another wood."""
    begun = urlencode({"name": f"In {first_lower(wood)}", "other_wood": wood})
    return f"/jobs/{job.id}/options/new?{begun}" if job else ""


def _question(query: Mapping[str, str]) -> str:
    """Return the woods and the width as a query, for the links of the figures."""
    return urlencode({name: query[name] for name in forms.LABELS if query.get(name, "").strip()})
