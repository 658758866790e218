"""Days on which the shop is closed."""

from collections.abc import Mapping
from datetime import date

from fastapi import APIRouter, Request, Response

from domain.hours import ClosedDay
from domain.problem import Problem
from webapp import desk
from webapp.conflict import conflict
from webapp.desk import Posted, reading, see_other, version_of, writing
from webapp.forms import hours as forms
from webapp.routes.hours.pages import HOME, show_form, show_page
from webapp.store import shop as store
from webapp.store.form_key import leads_to
from webapp.store.rows import ChangedMeanwhile

router = APIRouter()


@router.post("/shop/closed")
def add_closed_days(request: Request, posted: Posted) -> Response:
    days, why, problems = forms.read_closing(posted)
    with reading(request) as db:
        closed = store.load_closed_days(db)
    new = [day for day in days if day not in closed]
    if days and not new:
        problems = [Problem("day", f"{days[0].isoformat()} is closed already. Change it in the list, or add another.")]
    if problems:
        return show_page(request, posted, problems)
    with writing(request, f"Shop closed {_span(new)}") as db:
        store.add_closings(db, new, why)
        leads_to(db, HOME)
    return see_other(request, HOME)


@router.get("/shop/closed/{closed_id}")
def edit_closed_day(request: Request, closed_id: int) -> Response:
    with reading(request) as db:
        closed = store.load_closing(db, closed_id)
    return _closed_form(request, closed, forms.fill_closing(closed))


@router.post("/shop/closed/{closed_id}")
def save_closed_day(request: Request, closed_id: int, posted: Posted) -> Response:
    closed, problems = forms.read_one_closing(posted, closed_id, version=version_of(posted))
    with reading(request) as db:
        old, there = store.load_closing(db, closed_id), store.load_closings(db)
    if closed and any(other.day == closed.day and other.id != closed_id for other in there):
        problems = [Problem("day", f"{closed.day.isoformat()} is closed already, by another line of the list.")]
    if closed is None or problems:
        return _closed_form(request, old, posted, problems)
    try:
        with writing(request, f"Closed day {closed.day.isoformat()} changed") as db:
            store.save_closing(db, closed)
            leads_to(db, HOME)
    except ChangedMeanwhile as changed:
        return conflict(request, changed, labels=forms.LABELS, stored=forms.fill_closing(old), theirs=request.url.path)
    return see_other(request, HOME)


@router.post("/shop/closed/{closed_id}/remove")
def remove_closed_day(request: Request, closed_id: int, posted: Posted) -> Response:
    with reading(request) as db:
        closed = store.load_closing(db, closed_id)
    with writing(request, f"{closed.day.isoformat()} is no longer closed") as db:
        store.remove_closing(db, closed_id, at=desk.now(request))
        leads_to(db, HOME)
    return see_other(request, HOME)


def _closed_form(
    request: Request, closed: ClosedDay, typed: Mapping[str, str], problems: list[Problem] | None = None
) -> Response:
    return show_form(
        request, typed, problems, title=f"Closed on {closed.day:%A} {closed.day.isoformat()}", version=closed.version,
        fields=(("day", "date"), ("why", "text")), remove="Open the shop on this day",
    )  # fmt: skip


def _span(days: list[date]) -> str:
    first, last = days[0].isoformat(), days[-1].isoformat()
    return f"on {first}" if len(days) == 1 else f"from {first} to {last}"
