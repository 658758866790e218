"""Shop hours of the week; with the extra hours and closed days beside them they make up the shop calendar."""

from collections.abc import Mapping

from fastapi import APIRouter, Request, Response

from domain.hours import OpenHours, overlap, usual_week
from domain.problem import Problem
from webapp import desk
from webapp.conflict import conflict
from webapp.desk import Posted, reading, see_other, version_of, writing
from webapp.forms import hours as forms
from webapp.routes.hours import closed, extra
from webapp.routes.hours.pages import HOME, show_form, show_page
from webapp.store import shop as store
from webapp.store.form_key import leads_to
from webapp.store.rows import ChangedMeanwhile

router = APIRouter()
for part in (closed, extra):
    router.include_router(part.router)


@router.get(HOME)
def show_hours(request: Request) -> Response:
    return show_page(request)


@router.post(HOME)
def add_hours(request: Request, posted: Posted) -> Response:
    found, problems = forms.read(posted)
    if not problems:
        with reading(request) as db:
            there = store.load_hours(db)
        problems = [problem for one in found if (problem := overlap(one, there))]
    if problems:
        return show_page(request, posted, problems)
    days = ", ".join(one.day for one in found)
    with writing(request, f"Shop hours {found[0].words} added on {days}") as db:
        store.add_hours(db, found)
        leads_to(db, HOME)
    return see_other(request, HOME)


@router.post("/shop/hours/usual")
def add_usual_hours(request: Request, posted: Posted) -> Response:
    with writing(request, "Shop hours set, Monday to Friday 8 to 12 and 13 to 17") as db:
        there = store.load_hours(db)
        store.add_hours(db, [one for one in usual_week() if overlap(one, there) is None])
        leads_to(db, HOME)
    return see_other(request, HOME)


@router.get("/shop/hours/{hours_id}")
def edit_hours(request: Request, hours_id: int) -> Response:
    with reading(request) as db:
        hours = store.load_one_hours(db, hours_id)
    return _hours_form(request, hours, forms.fill(hours))


@router.post("/shop/hours/{hours_id}")
def save_hours(request: Request, hours_id: int, posted: Posted) -> Response:
    with reading(request) as db:
        old, there = store.load_one_hours(db, hours_id), store.load_hours(db)
    hours, problems = forms.read_one(posted, old, version=version_of(posted))
    if hours and (problem := overlap(hours, there)):
        problems = [problem]
    if hours is None or problems:
        return _hours_form(request, old, posted, problems)
    try:
        with writing(request, f"{hours.day} is now open {hours.words}") as db:
            store.save_hours(db, hours)
            leads_to(db, HOME)
    except ChangedMeanwhile as changed:
        return conflict(request, changed, labels=forms.LABELS, stored=forms.fill(old), theirs=request.url.path)
    return see_other(request, HOME)


@router.post("/shop/hours/{hours_id}/remove")
def remove_hours(request: Request, hours_id: int, posted: Posted) -> Response:
    with reading(request) as db:
        hours = store.load_one_hours(db, hours_id)
    with writing(request, f"{hours.day} {hours.words} removed from the shop hours") as db:
        store.remove_hours(db, hours_id, at=desk.now(request))
        leads_to(db, HOME)
    return see_other(request, HOME)


def _hours_form(
    request: Request, hours: OpenHours, typed: Mapping[str, str], problems: list[Problem] | None = None
) -> Response:
    return show_form(
        request, typed, problems, title=f"{hours.day}, {hours.words}", version=hours.version,
        fields=(("starts", "time"), ("ends", "time")), remove="Remove these hours",
    )  # fmt: skip
