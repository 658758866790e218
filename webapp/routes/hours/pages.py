"""The shop's hours as a page: the week, extra hours, closed days; and the form that changes one of them."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from fractions import Fraction

from fastapi import Request, Response
from sqlmodel import Session

from domain.hours import ClosedDay, ExtraHours, OpenHours
from domain.problem import Problem
from domain.shop_calendar import DAYS
from webapp import desk
from webapp.desk import reading
from webapp.filters import hours as in_hours
from webapp.forms import hours as forms
from webapp.render import page
from webapp.store import shop as store

HOME = "/shop/hours"


@dataclass(frozen=True)
class DayHours:
    name: str
    hours: tuple[OpenHours, ...]


@dataclass(frozen=True)
class HoursPage:
    """week: Monday to Sunday; weekly: hours of a week, in words; extra, closings: from today on; past: how many closed
    days before.
    """

    week: tuple[DayHours, ...]
    weekly: str
    extra: tuple[ExtraHours, ...]
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
    extra = tuple(one for one in store.load_extra_hours(db) if one.day >= today)
    return HoursPage(week, in_hours(Fraction(minutes)), extra, ahead, len(closings) - len(ahead))


def show_page(
    request: Request, typed: Mapping[str, str] | None = None, problems: list[Problem] | None = None
) -> Response:
    """Return the page of the shop's hours, with what was typed on it."""
    blank = dict.fromkeys((*forms.LABELS, *(f"day_{day}" for day in range(7))), "")
    with reading(request) as db:
        shown, region = hours_page(db, desk.now(request)), store.load_shop(db).region
    return page(
        request, "shop_hours", status=422 if problems else 200, page=shown, typed=blank | dict(typed or {}),
        problems=problems or [], labels=forms.LABELS, days=DAYS, region=region,
    )  # fmt: skip


def show_form(
    request: Request,
    typed: Mapping[str, str],
    problems: list[Problem] | None,
    *,
    title: str,
    version: int,
    fields: tuple[tuple[str, str], ...],
    remove: str,
) -> Response:
    """Return the form that changes or removes one thing of the hours. fields: name and type of each input."""
    return page(
        request, "shop_hours_form", status=422 if problems else 200, title=title, version=version, fields=fields,
        typed={name: typed.get(name, "") for name, _ in fields}, problems=problems or [], labels=forms.LABELS,
        remove=remove,
    )  # fmt: skip
