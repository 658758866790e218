"""A person's own hours of the week, typed as the shop's are."""

from collections.abc import Iterable
from dataclasses import replace

from fastapi import APIRouter, Request, Response

from domain.hours import OpenHours, overlap
from domain.person import Person, stretches_of, week_of
from domain.shop_calendar import Hours
from webapp.conflict import conflict
from webapp.desk import Posted, reading, see_other, version_of, writing
from webapp.forms import hours as forms
from webapp.routes.person.pages import HOME, show_person
from webapp.store import person as store
from webapp.store.form_key import leads_to
from webapp.store.rows import ChangedMeanwhile, Missing
from webapp.store.shop import load_hours

router = APIRouter()


@router.post("/shop/people/{person_id}/hours")
def add_own_hours(request: Request, person_id: int, posted: Posted) -> Response:
    """Add hours of a person's own; from the first of them on, those of the shop no longer count for them."""
    found, problems = forms.read(posted)
    with reading(request) as db:
        person = store.load_person(db, person_id)
    there = stretches_of(person.weekly or ())
    problems = problems or [problem for one in found if (problem := overlap(one, there))]
    if problems:
        return show_person(request, person_id, posted, problems)
    days = ", ".join(one.day for one in found)
    return _save(request, posted, person, (*there, *found), f"{person.name} works {found[0].words} on {days}")


@router.post("/shop/people/{person_id}/hours/copy")
def begin_own_hours(request: Request, person_id: int, posted: Posted) -> Response:
    """Begin a person's own hours with those of the shop."""
    with reading(request) as db:
        person, shop_hours = store.load_person(db, person_id), load_hours(db)
    return _save(request, posted, person, shop_hours, f"{person.name} has hours of their own, to begin with the shop's")


@router.post("/shop/people/{person_id}/hours/shop")
def keep_shop_hours(request: Request, person_id: int, posted: Posted) -> Response:
    with reading(request) as db:
        person = store.load_person(db, person_id)
    return _save(request, posted, person, None, f"{person.name} keeps the shop's hours")


@router.post("/shop/people/{person_id}/hours/{number}/remove")
def remove_own_hours(request: Request, person_id: int, number: int, posted: Posted) -> Response:
    with reading(request) as db:
        person = store.load_person(db, person_id)
    there = stretches_of(person.weekly or ())
    gone = next((one for one in there if one.id == number), None)
    if gone is None:
        raise Missing(f"own hours {number} of person {person_id}")
    left = [one for one in there if one is not gone]
    return _save(request, posted, person, left, f"{gone.day} {gone.words} removed from the hours of {person.name}")


def _save(request: Request, posted: Posted, person: Person, hours: Iterable[OpenHours] | None, words: str) -> Response:
    """Save hours of a person's own, None for those of the shop."""
    weekly: tuple[Hours, ...] | None = None if hours is None else week_of(hours)
    url = f"{HOME}/{person.id}#hours"
    try:
        with writing(request, words) as db:
            store.save_person(db, replace(person, weekly=weekly, version=version_of(posted)))
            leads_to(db, url)
    except ChangedMeanwhile as changed:
        return conflict(request, changed, labels={}, stored={}, theirs=url)
    return see_other(request, url)
