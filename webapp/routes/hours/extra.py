"""Hours worked on one day beside those of the week: a Saturday before an install."""

from collections.abc import Mapping

from fastapi import APIRouter, Request, Response

from domain.hours import ExtraHours, extra_overlap
from domain.problem import Problem
from domain.shop_calendar import DAYS
from webapp import desk
from webapp.conflict import conflict
from webapp.desk import Posted, reading, see_other, version_of, writing
from webapp.forms import hours as forms
from webapp.links import own_path
from webapp.routes.hours.pages import HOME, show_form, show_page
from webapp.store import shop as store
from webapp.store.form_key import leads_to
from webapp.store.rows import ChangedMeanwhile

router = APIRouter()


@router.post("/shop/extra")
def add_extra_hours(request: Request, posted: Posted) -> Response:
    extra, problems = forms.read_extra(posted)
    if extra and not problems:
        problems = _overlapping(request, extra)
    if extra is None or problems:
        return show_page(request, posted, problems)
    with writing(request, f"Extra hours {extra.words} {_on(extra)}") as db:
        store.add_extra_hours(db, extra)
        url = leads_to(db, own_path(posted.get("back", ""), f"{HOME}#extra"))
    return see_other(request, url)


@router.get("/shop/extra/{extra_id}")
def edit_extra_hours(request: Request, extra_id: int) -> Response:
    with reading(request) as db:
        extra = store.load_one_extra(db, extra_id)
    return _form(request, extra, forms.fill_extra(extra))


@router.post("/shop/extra/{extra_id}")
def save_extra_hours(request: Request, extra_id: int, posted: Posted) -> Response:
    with reading(request) as db:
        old = store.load_one_extra(db, extra_id)
    extra, problems = forms.read_extra(posted, extra_id=extra_id, version=version_of(posted))
    if extra and not problems:
        problems = _overlapping(request, extra)
    if extra is None or problems:
        return _form(request, old, posted, problems)
    try:
        with writing(request, f"Extra hours are now {extra.words} {_on(extra)}") as db:
            store.save_extra_hours(db, extra)
            leads_to(db, HOME)
    except ChangedMeanwhile as changed:
        return conflict(request, changed, labels=forms.LABELS, stored=forms.fill_extra(old), theirs=request.url.path)
    return see_other(request, HOME)


@router.post("/shop/extra/{extra_id}/remove")
def remove_extra_hours(request: Request, extra_id: int, posted: Posted) -> Response:
    with reading(request) as db:
        extra = store.load_one_extra(db, extra_id)
    with writing(request, f"No extra hours {_on(extra)}") as db:
        store.remove_extra_hours(db, extra_id, at=desk.now(request))
        leads_to(db, HOME)
    return see_other(request, HOME)


def _overlapping(request: Request, extra: ExtraHours) -> list[Problem]:
    with reading(request) as db:
        others, weekly, closed = store.load_extra_hours(db), store.load_hours(db), store.load_closed_days(db)
    problem = extra_overlap(extra, others, weekly, closed)
    return [problem] if problem else []


def _form(
    request: Request, extra: ExtraHours, typed: Mapping[str, str], problems: list[Problem] | None = None
) -> Response:
    return show_form(
        request, typed, problems, title=f"Extra hours {_on(extra)}", version=extra.version,
        fields=(("extra_day", "date"), ("extra_starts", "time"), ("extra_ends", "time"), ("extra_why", "text")),
        remove="Remove these extra hours",
    )  # fmt: skip


def _on(extra: ExtraHours) -> str:
    return f"on {DAYS[extra.day.weekday()]} {extra.day.isoformat()}"
