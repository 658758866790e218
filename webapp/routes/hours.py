"""Shop hours of the week, and closed days: what makes up the shop calendar."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from fractions import Fraction

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from domain.hours import ClosedDay, OpenHours, overlap, usual_week
from domain.problem import Problem
from domain.shop_calendar import DAYS
from webapp import desk
from webapp.conflict import conflict
from webapp.desk import Posted, reading, see_other, version_of, writing
from webapp.filters import hours as in_hours
from webapp.forms import hours as forms
from webapp.render import page
from webapp.store import shop as store
from webapp.store.form_key import leads_to
from webapp.store.rows import ChangedMeanwhile

router = APIRouter()

HOME = "/shop/hours"


@dataclass(frozen=True)
class DayHours:
    name: str
    hours: tuple[OpenHours, ...]


@dataclass(frozen=True)
class HoursPage:
    """week: Monday to Sunday; weekly: hours of a week, in words; closings: from today on; past: how many before."""

    week: tuple[DayHours, ...]
    weekly: str
    closings: tuple[ClosedDay, ...]
    past: int

    @property
    def is_empty(self) -> bool:
        return not any(day.hours for day in self.week)


def hours_page(db: Session, now: datetime) -> HoursPage:
    """Return the page of the shop's hours. now: an instant, whose day in the shop's zone is today."""
    hours, closings = store.load_hours(db), store.load_closings(db)
    today = store.today(db, now)
    week = tuple(DayHours(name, tuple(one for one in hours if one.weekday == day)) for day, name in enumerate(DAYS))
    ahead = tuple(closed for closed in closings if closed.day >= today)
    minutes = sum((one.length for one in hours), timedelta()) // timedelta(minutes=1)
    return HoursPage(week, in_hours(Fraction(minutes)), ahead, len(closings) - len(ahead))


@router.get(HOME)
def show_hours(request: Request) -> Response:
    return _page(request, {})


@router.post(HOME)
def add_hours(request: Request, posted: Posted) -> Response:
    found, problems = forms.read(posted)
    if not problems:
        with reading(request) as db:
            there = store.load_hours(db)
        problems = [problem for one in found if (problem := overlap(one, there))]
    if problems:
        return _page(request, posted, problems)
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


@router.post("/shop/closed")
def add_closed_days(request: Request, posted: Posted) -> Response:
    days, why, problems = forms.read_closing(posted)
    with reading(request) as db:
        closed = store.load_closed_days(db)
    new = [day for day in days if day not in closed]
    if days and not new:
        problems = [Problem("day", f"{days[0].isoformat()} is closed already. Change it in the list, or add another.")]
    if problems:
        return _page(request, posted, problems)
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


def _page(request: Request, typed: Mapping[str, str], problems: list[Problem] | None = None) -> Response:
    blank = dict.fromkeys(("starts", "ends", "day", "until", "why", *(f"day_{day}" for day in range(7))), "")
    with reading(request) as db:
        shown = hours_page(db, desk.now(request))
    return page(
        request, "shop_hours", status=422 if problems else 200, page=shown, typed=blank | dict(typed),
        problems=problems or [], labels=forms.LABELS, days=DAYS,
    )  # fmt: skip


def _hours_form(
    request: Request, hours: OpenHours, typed: Mapping[str, str], problems: list[Problem] | None = None
) -> Response:
    return _form(
        request, typed, problems, title=f"{hours.day}, {hours.words}", version=hours.version,
        fields=(("starts", "time"), ("ends", "time")), remove="Remove these hours",
    )  # fmt: skip


def _closed_form(
    request: Request, closed: ClosedDay, typed: Mapping[str, str], problems: list[Problem] | None = None
) -> Response:
    return _form(
        request, typed, problems, title=f"Closed on {closed.day:%A} {closed.day.isoformat()}", version=closed.version,
        fields=(("day", "date"), ("why", "text")), remove="Open the shop on this day",
    )  # fmt: skip


def _form(request: Request, typed: Mapping[str, str], problems: list[Problem] | None, *, title: str, version: int,
          fields: tuple[tuple[str, str], ...], remove: str) -> Response:  # fmt: skip
    return page(
        request, "shop_hours_form", status=422 if problems else 200, title=title, version=version, fields=fields,
        typed={name: typed.get(name, "") for name, _ in fields}, problems=problems or [], labels=forms.LABELS,
        remove=remove,
    )  # fmt: skip


def _span(days: list[date]) -> str:
    first, last = days[0].isoformat(), days[-1].isoformat()
    return f"on {first}" if len(days) == 1 else f"from {first} to {last}"
