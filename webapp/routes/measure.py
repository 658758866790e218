"""Measure: the runs of a job, the size to cut for each, and the sheet to fill in by hand."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from urllib.parse import urlencode

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from domain import caution
from domain.figure import Figure
from domain.job import Job
from domain.length import Length
from domain.measure import COVER_PRACTICE, DEPTHS, HOW_TO_MEASURE, LABELS, WIDTHS, Cover, End, Fit, Run, fit
from domain.part import TaskKind
from domain.practice import ShopPractice
from domain.problem import Problem
from domain.shop import Shop
from webapp import desk
from webapp.conflict import conflict
from webapp.desk import Posted, reading, see_other, version_of, writing
from webapp.forms import measure as forms
from webapp.forms.field import size_text
from webapp.render import page
from webapp.store import measure as store
from webapp.store import shop as shop_store
from webapp.store.form_key import leads_to
from webapp.store.job import load_job
from webapp.store.rows import ChangedMeanwhile
from webapp.working import PAGES

router = APIRouter()

BLANK_SHEETS = 2
"""Runs on a sheet for a room that nobody has measured yet."""


@dataclass(frozen=True)
class MeasuredRun:
    """A run and what it comes to. top: the address that starts a top of the size to cut, empty without one."""

    run: Run
    fit: Fit
    top: str

    @property
    def is_measured(self) -> bool:
        return self.fit.width is not None or self.fit.depth is not None

    @property
    def gaps(self) -> tuple[tuple[str, str, Figure], ...]:
        """Return the gaps left: where, the name of its field, the widest there."""
        sides = (("left", "gap_left"), ("right", "gap_right"), ("back", "gap_back"))
        found = ((side, name, getattr(self.fit, name)) for side, name in sides)
        return tuple((side, name, gap) for side, name, gap in found if gap is not None)

    @property
    def measured(self) -> tuple[tuple[str, Length], ...]:
        """Return what was measured: its name and size."""
        found = ((label, getattr(self.run, name)) for name, label in LABELS.items())
        return tuple((label, size) for label, size in found if size is not None)

    @property
    def floor(self) -> tuple[tuple[str, Figure], ...]:
        found = ((name, getattr(self.fit, name)) for name in ("shim", "toe_kick"))
        return tuple((name, figure) for name, figure in found if figure is not None)


@dataclass(frozen=True)
class MeasurePage:
    job: Job
    runs: tuple[MeasuredRun, ...]


def measure_page(db: Session, job_id: int, now: datetime) -> MeasurePage:
    """Return the runs of a job with the size to cut for each. Raises Missing."""
    job, practice, shop = load_job(db, job_id), shop_store.load_practice(db), shop_store.load_shop(db)
    return MeasurePage(job, tuple(_measured(job_id, run, practice, shop) for run in store.load_runs(db, job_id)))


PAGES["measure"] = measure_page


def _measured(job_id: int, run: Run, practice: ShopPractice, shop: Shop) -> MeasuredRun:
    result = fit(run, practice, where=f"job:{job_id}:measure:{run.id}")
    return MeasuredRun(run, result, _top_address(job_id, run, result, shop))


def _top_address(job_id: int, run: Run, result: Fit, shop: Shop) -> str:
    """Return the address of a new top as wide and deep as the run; a top's length runs along the wall."""
    if result.width is None or result.width.value <= 0:
        return ""
    sizes = {"length": result.width, "depth": result.depth}
    typed = {name: _nearest_mark(figure.length, shop) for name, figure in sizes.items() if figure is not None}
    return f"/jobs/{job_id}/pieces/new/top?" + urlencode({"name": f"Top, {run.name}", **typed})


def _nearest_mark(size: Length, shop: Shop) -> str:
    """Return the size that the page shows, as typed: nobody cuts to less than a mark of the tape."""
    shown = size.tape(precision=shop.precision, unit=shop.unit).removeprefix("about ")
    return size_text(Length.parse(shown), shop.unit)


@router.get("/jobs/{job_id}/measure")
def show_measure(request: Request, job_id: int) -> Response:
    with reading(request) as db:
        shown = measure_page(db, job_id, desk.now(request))
    return page(request, "measure", job=shown.job, page=shown, labels=LABELS)


@router.get("/jobs/{job_id}/measure/print")
def print_measure(request: Request, job_id: int, blank: str = "") -> Response:
    with reading(request) as db:
        shown = measure_page(db, job_id, desk.now(request))
    runs: Sequence[MeasuredRun | None] = () if blank else shown.runs
    return page(
        request, "measure_print", job=shown.job, runs=runs or [None] * BLANK_SHEETS, labels=LABELS, ends=End,
        covers=tuple(cover for cover in Cover if cover is not Cover.NONE),
        how=HOW_TO_MEASURE, numbered=(*WIDTHS, *DEPTHS, *forms.FLOOR_AND_CORNER),
        cautions=caution.cautions_for([TaskKind.INSTALL]), governs=caution.GOVERNS,
    )  # fmt: skip


@router.get("/jobs/{job_id}/measure/new")
def new_run(request: Request, job_id: int) -> Response:
    return _form(request, job_id, forms.BLANK)


@router.post("/jobs/{job_id}/measure/new")
def add_run(request: Request, job_id: int, posted: Posted) -> Response:
    run, problems = forms.read(posted, _shop(request))
    if run is None:
        return _form(request, job_id, posted, problems)
    with writing(request, f"Run “{run.name}” added", job_id=job_id) as db:
        load_job(db, job_id)
        store.add_run(db, job_id, run)
        url = leads_to(db, f"/jobs/{job_id}/measure")
    return see_other(request, url)


@router.get("/jobs/{job_id}/measure/{run_id}")
def edit_run(request: Request, job_id: int, run_id: int) -> Response:
    with reading(request) as db:
        run, shop = store.load_run(db, job_id, run_id), shop_store.load_shop(db)
    return _form(request, job_id, forms.fill(run, shop), run=run)


@router.post("/jobs/{job_id}/measure/{run_id}")
def save_run(request: Request, job_id: int, run_id: int, posted: Posted) -> Response:
    shop = _shop(request)
    with reading(request) as db:
        saved = store.load_run(db, job_id, run_id)
    run, problems = forms.read(posted, shop, run_id=run_id, version=version_of(posted))
    if run is None:
        return _form(request, job_id, posted, problems, run=saved)
    url = f"/jobs/{job_id}/measure"
    try:
        with writing(request, f"Run “{run.name}” changed", job_id=job_id) as db:
            store.save_run(db, job_id, run)
            leads_to(db, url)
    except ChangedMeanwhile as changed:
        with reading(request) as db:
            stored = forms.fill(store.load_run(db, job_id, run_id), shop)
        return conflict(request, changed, labels=forms.ALL_LABELS, stored=stored, theirs=url)
    return see_other(request, url)


@router.post("/jobs/{job_id}/measure/{run_id}/remove")
def remove_run(request: Request, job_id: int, run_id: int, posted: Posted) -> Response:
    with reading(request) as db:
        run = store.load_run(db, job_id, run_id)
    with writing(request, f"Run “{run.name}” removed", job_id=job_id) as db:
        store.remove_run(db, job_id, run_id, at=desk.now(request))
        leads_to(db, f"/jobs/{job_id}/measure")
    return see_other(request, f"/jobs/{job_id}/measure")


def _shop(request: Request) -> Shop:
    with reading(request) as db:
        return shop_store.load_shop(db)


def _form(
    request: Request, job_id: int, typed: Mapping[str, str], problems: Sequence[Problem] = (), *, run: Run | None = None
) -> Response:
    with reading(request) as db:
        job, practice = load_job(db, job_id), shop_store.load_practice(db)
    shown = {**forms.BLANK, **typed}
    return page(
        request, "measure_form", status=422 if problems else 200, job=job, run=run, typed=shown, problems=problems,
        echo=forms.echoes(shown, _shop(request)), labels=forms.ALL_LABELS, how=HOW_TO_MEASURE, ends=forms.ENDS,
        covers=forms.COVERS, widths=WIDTHS, depths=DEPTHS, floor_and_corner=forms.FLOOR_AND_CORNER,
        usual={cover.value: practice.length(key) for cover, key in COVER_PRACTICE.items()},
        usual_clearance=practice.length("fitting_clearance"),
    )  # fmt: skip
