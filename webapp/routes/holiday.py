"""Public holidays of a region and year as a list to tick; nothing of it is kept before it is confirmed."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from domain.holiday import Holiday, Region, holidays_of, suggestions
from domain.problem import Problem
from domain.words import counted
from webapp import desk
from webapp.desk import Posted, reading, see_other, writing
from webapp.forms import holiday as forms
from webapp.render import page
from webapp.routes.hours.pages import HOME
from webapp.store import shop as store
from webapp.store.form_key import leads_to

router = APIRouter()

SUGGESTED = "/shop/holidays"


@dataclass(frozen=True)
class Offered:
    """A holiday with its tick. note: why it is not ticked, if it is not; can_close: it is not a closed day already."""

    holiday: Holiday
    field: str
    is_ticked: bool
    can_close: bool
    note: str


@dataclass(frozen=True)
class HolidaysPage:
    """region: None while none is said; offered: from today on; past: how many of the year are over."""

    region: Region | None
    year: int
    offered: tuple[Offered, ...]
    past: int

    @property
    def can_close(self) -> bool:
        return any(each.can_close for each in self.offered)


@router.get(SUGGESTED)
def suggest_holidays(request: Request) -> Response:
    query = request.query_params
    with reading(request) as db:
        shop = store.load_shop(db)
    typed = {"region": query.get("region", shop.region), "year": query.get("year", "")}
    return _page(request, typed)


@router.post(SUGGESTED)
def close_on_holidays(request: Request, posted: Posted) -> Response:
    """Add the ticked holidays as closed days, each under its name."""
    with reading(request) as db:
        today, closed = store.today(db, desk.now(request)), store.load_closed_days(db)
    asked, problems = forms.read(posted, today)
    if asked is None:
        return _page(request, posted, problems or [Problem("region", "Say the state or country first.")])
    region, year = asked
    chosen = [each for each in forms.ticked(posted, holidays_of(region.code, year)) if each.day not in closed]
    if not chosen:
        return _page(request, posted, [Problem("", "No day is ticked. Tick those on which the shop is closed.")])
    words = f"Closed on {counted(len(chosen), 'public holiday')} of {year}"
    with writing(request, words) as db:
        for each in chosen:
            store.add_closings(db, [each.day], each.name)
        leads_to(db, f"{HOME}#closed")
    return see_other(request, f"{HOME}#closed")


def _page(request: Request, typed: Mapping[str, str], problems: list[Problem] | None = None) -> Response:
    with reading(request) as db:
        today = store.today(db, desk.now(request))
        asked, wrong = forms.read(typed, today)
        region, year = asked or (None, today.year)
        shown = _holidays_page(db, region, year, today, typed if problems else None)
    problems = problems or wrong
    return page(
        request, "holidays", status=422 if problems else 200, page=shown, labels=forms.LABELS, problems=problems,
        typed={"region": region.name if region else typed.get("region", ""), "year": typed.get("year") or str(year)},
        suggestions=suggestions(),
    )  # fmt: skip


def _holidays_page(
    db: Session, region: Region | None, year: int, today: date, typed: Mapping[str, str] | None
) -> HolidaysPage:
    """Return the holidays to choose from. typed: ticks as posted, None for those suggested."""
    listed = holidays_of(region.code, year) if region else ()
    ahead = [each for each in listed if each.day >= today]
    calendar, closed = store.load_calendar(db), store.load_closed_days(db)
    idle = {each.day for each in ahead if calendar and not calendar.weekly[each.day.weekday()]}
    return HolidaysPage(region, year, tuple(_offered(ahead, closed, idle, typed)), len(listed) - len(ahead))


def _offered(
    ahead: Iterable[Holiday], closed: Mapping[date, str], idle: set[date], typed: Mapping[str, str] | None
) -> Iterable[Offered]:
    for each in ahead:
        field, is_closed = forms.field_of(each), each.day in closed
        note = "closed already" if is_closed else "no hours on that weekday" if each.day in idle else ""
        is_ticked = not note if typed is None else bool(typed.get(field)) and not is_closed
        yield Offered(each, field, is_ticked, not is_closed, note)
