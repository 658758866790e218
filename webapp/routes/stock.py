"""Stock: what lies in the shop, counted by hand, and what is set aside for a job."""

from collections.abc import Mapping
from dataclasses import dataclass

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from domain.job import JobState
from domain.material import MaterialKind
from domain.problem import Problem
from domain.stock import StockItem
from webapp import desk
from webapp.conflict import conflict
from webapp.desk import Posted, is_htmx, reading, see_other, version_of, writing
from webapp.forms import material as material_forms
from webapp.forms import stock as forms
from webapp.forms.number import as_typed
from webapp.links import own_path
from webapp.render import fragments, page
from webapp.store import stock as store
from webapp.store.form_key import leads_to
from webapp.store.job import search_jobs
from webapp.store.rows import ChangedMeanwhile

router = APIRouter()

HOME = "/stock"


@dataclass(frozen=True)
class StockLine:
    """One thing in stock as its row shows it. job: the name of the one that has it, empty for none."""

    item: StockItem
    field: str
    typed: str
    unit: str
    job: str


@dataclass(frozen=True)
class StockKind:
    title: str
    lines: tuple[StockLine, ...]


def stock_page(db: Session) -> tuple[StockKind, ...]:
    """Return what lies in the shop, by kind."""
    items, jobs = store.load_stock(db), _job_names(db)
    return tuple(
        StockKind(ask.title, lines)
        for kind, ask in material_forms.asks().items()
        if (lines := tuple(_line(item, jobs) for item in items if item.material.kind is kind))
    )


def _line(item: StockItem, jobs: Mapping[int, str]) -> StockLine:
    job = "" if item.set_aside_for is None else jobs.get(item.set_aside_for, "a job that is closed or removed")
    unit = material_forms.asks()[item.material.kind].unit
    return StockLine(item, forms.quantity_name(item), as_typed(item.quantity), unit, job)


def _job_names(db: Session) -> dict[int, str]:
    """Return the jobs that stock can be set aside for, newest first."""
    found = search_jobs(db, most=500)
    return {job.id: f"{job.name}, {job.client.name}" for job in found if job.state is not JobState.CLOSED}


@router.get(HOME)
def show_stock(request: Request) -> Response:
    return _page(request)


@router.get(f"{HOME}/new")
def new_item(request: Request, material: str = "", kind: str = "", back: str = "") -> Response:
    """Ask for the kind first, then for the rest; a material in the address is ready to be counted."""
    wanted = material_forms.known_material(material)
    chosen = wanted.kind if wanted else material_forms.known_kind(kind)
    if chosen is None:
        return page(request, "stock_kinds", asks=tuple(material_forms.asks().values()), back=own_path(back, ""))
    typed = forms.blank(chosen) | (material_forms.fill(wanted) if wanted else {}) | {"back": back}
    return _form(request, typed, kind=chosen)


@router.post(f"{HOME}/new")
def add_item(request: Request, posted: Posted) -> Response:
    with reading(request) as db:
        jobs = _job_names(db)
    item, problems = forms.read(posted, jobs)
    if item is None:
        return _form(request, posted, problems, kind=material_forms.known_kind(posted.get("kind", "")))
    with writing(request, f"Stock of “{item.material.title}” added") as db:
        store.add_stock_item(db, item)
        url = leads_to(db, own_path(posted.get("back", ""), HOME))
    return see_other(request, url)


@router.get(f"{HOME}/{{item_id}}")
def edit_item(request: Request, item_id: int) -> Response:
    with reading(request) as db:
        item = store.load_stock_item(db, item_id)
    return _form(request, forms.fill(item), item=item)


@router.post(f"{HOME}/{{item_id}}")
def save_item(request: Request, item_id: int, posted: Posted) -> Response:
    with reading(request) as db:
        old, jobs = store.load_stock_item(db, item_id), _jobs_for(db, store.load_stock_item(db, item_id))
    typed = dict(posted) | {"kind": old.material.kind.value}
    item, problems = forms.read(typed, jobs, item_id=item_id, version=version_of(posted))
    if item is None:
        return _form(request, typed, problems, item=old)
    try:
        with writing(request, f"Stock of “{item.material.title}” changed") as db:
            store.save_stock_item(db, item)
            leads_to(db, HOME)
    except ChangedMeanwhile as changed:
        return conflict(request, changed, labels=forms.LABELS, stored=forms.fill(old), theirs=request.url.path)
    return see_other(request, HOME)


@router.post(f"{HOME}/{{item_id}}/quantity")
def save_quantity(request: Request, item_id: int, posted: Posted) -> Response:
    """Save how much there is of one thing, where it stands in the list."""
    with reading(request) as db:
        old = store.load_stock_item(db, item_id)
    item, problems = forms.read_quantity(posted, old, version=version_of(posted))
    if item is None:
        return _row(request, old, "", problems, status=422) if is_htmx(request) else _page(request, posted, problems)
    try:
        with writing(request, f"Stock of “{item.material.title}” is now {as_typed(item.quantity)}") as db:
            store.save_stock_item(db, item)
            leads_to(db, HOME)
    except ChangedMeanwhile as changed:
        name = forms.quantity_name(old)
        if is_htmx(request):
            return _row(request, old, "changed", typed=posted.get(name, ""), status=409)
        labels, stored = {name: forms.LABELS["quantity"]}, {name: as_typed(old.quantity)}
        return conflict(request, changed, labels=labels, stored=stored, theirs=HOME)
    return _row(request, old, "saved") if is_htmx(request) else see_other(request, HOME)


@router.post(f"{HOME}/{{item_id}}/remove")
def remove_item(request: Request, item_id: int, posted: Posted) -> Response:
    with reading(request) as db:
        item = store.load_stock_item(db, item_id)
    with writing(request, f"“{item.material.title}” removed from stock") as db:
        store.remove_stock_item(db, item_id, at=desk.now(request))
        leads_to(db, HOME)
    return see_other(request, HOME)


def _jobs_for(db: Session, item: StockItem | None) -> dict[int, str]:
    """Return the jobs to choose from, the one that has it now among them even when it is closed."""
    jobs = _job_names(db)
    if item and item.set_aside_for is not None:
        jobs.setdefault(item.set_aside_for, "a job that is closed or removed")
    return jobs


def _row(request: Request, item: StockItem, outcome: str, problems: list[Problem] | None = None, *,
         typed: str = "", status: int = 200) -> Response:  # fmt: skip
    """Return what changes beside a quantity. outcome: saved, changed (meanwhile), or empty."""
    with reading(request) as db:
        line = _line(store.load_stock_item(db, item.id), _job_names(db))
    return fragments(
        request, "stock", "state", "hidden", status=status, line=line, outcome=outcome, problems=problems or [],
        typed=typed,
    )  # fmt: skip


def _page(request: Request, kept: Mapping[str, str] | None = None, problems: list[Problem] | None = None) -> Response:
    with reading(request) as db:
        kinds = stock_page(db)
    return page(
        request, "stock", status=422 if problems else 200, kinds=kinds, kept=kept or {}, problems=problems or [],
        outcome="", typed="",
    )  # fmt: skip


def _form(request: Request, typed: Mapping[str, str], problems: list[Problem] | None = None, *,
          kind: MaterialKind | None = None, item: StockItem | None = None) -> Response:  # fmt: skip
    kind = item.material.kind if item else kind or MaterialKind.OTHER
    with reading(request) as db:
        jobs = _jobs_for(db, item)
    kept = forms.blank(kind) | {"back": ""} | dict(typed)
    return page(
        request, "stock_form", status=422 if problems else 200, typed=kept | {"back": own_path(kept["back"], "")},
        problems=problems or [], item=item, ask=material_forms.asks()[kind], labels=forms.LABELS,
        jobs=(("", "any job"), *((str(job_id), name) for job_id, name in jobs.items())),
    )  # fmt: skip
