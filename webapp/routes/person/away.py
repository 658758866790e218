"""When somebody is away: for days to come, ill from now on, and back before it was said."""

from dataclasses import replace

from fastapi import APIRouter, Request, Response

from domain.person import Absence, Person, away_words
from domain.problem import Problem
from webapp import desk
from webapp.desk import Posted, reading, see_other, writing
from webapp.forms import person as forms
from webapp.links import own_path
from webapp.routes.person.pages import HOME, show_people, show_person
from webapp.store import person as store
from webapp.store.form_key import leads_to
from webapp.store.shop import load_shop

router = APIRouter()


@router.post("/shop/people/{person_id}/away")
def add_absence(request: Request, person_id: int, posted: Posted) -> Response:
    with reading(request) as db:
        person, zone = store.load_person(db, person_id), load_shop(db).tz
    absence, problems = forms.read_away(posted, person, zone=zone)
    if absence and (there := _there(request, absence)):
        problems = [Problem("first", f"{person.name} is away then already: {there}.")]
    if absence is None or problems:
        return show_person(request, person_id, posted, problems)
    return _added(request, person, absence, f"{HOME}/{person_id}")


@router.post("/shop/people/{person_id}/ill")
def add_illness(request: Request, person_id: int, posted: Posted) -> Response:
    """Say with one tap that somebody is ill on a day."""
    now = desk.now(request)
    with reading(request) as db:
        person, shop = store.load_person(db, person_id), load_shop(db)
    absence, problems = forms.read_ill(posted, person, today=shop.day_of(now), now=now, zone=shop.tz)
    if absence and (there := _there(request, absence)):
        problems = [Problem("", f"{person.name} is away then already: {there}.")]
    if absence is None or problems:
        return show_people(request, problems=[replace(problem, field="") for problem in problems])
    return _added(request, person, absence, own_path(posted.get("back", ""), HOME))


@router.post("/shop/people/away/{absence_id}/back")
def end_absence(request: Request, absence_id: int, posted: Posted) -> Response:
    """Say that somebody is back: from now on, or after all when they had not gone yet."""
    now = desk.now(request).replace(second=0, microsecond=0)
    with reading(request) as db:
        absence = store.load_absence(db, absence_id)
        person = store.load_person(db, absence.person_id)
    has_begun = absence.starts_at < now < absence.ends_at
    words = f"{person.name} is back" if has_begun else f"{person.name} is there after all"
    with writing(request, words) as db:
        if has_begun:
            store.save_absence(db, replace(absence, ends_at=now))
        else:
            store.remove_absence(db, absence_id, at=now)
        url = leads_to(db, own_path(posted.get("back", ""), HOME))
    return see_other(request, url)


def _added(request: Request, person: Person, absence: Absence, url: str) -> Response:
    with reading(request) as db:
        shop = load_shop(db)
    words = away_words(absence, shop.day_of(desk.now(request)), shop.tz)
    with writing(request, f"{person.name} away {words}") as db:
        store.add_absence(db, absence)
        leads_to(db, url)
    return see_other(request, url)


def _there(request: Request, absence: Absence) -> str:
    """Return in words an absence that holds all of this one, if there is one."""
    with reading(request) as db:
        shop, known = load_shop(db), store.load_absences(db, absence.starts_at)
    today = shop.day_of(desk.now(request))
    held = (
        each for each in known if each.person_id == absence.person_id and each.holds(absence.starts_at, absence.ends_at)
    )
    return next((away_words(each, today, shop.tz) for each in held), "")
