"""The people of the shop: who they are, what they can do, when they work and when they are away."""

from fastapi import APIRouter, Request, Response

from domain.person import Person
from webapp import desk
from webapp.conflict import conflict
from webapp.desk import Posted, reading, see_other, version_of, writing
from webapp.forms import person as forms
from webapp.routes.person import away, hours
from webapp.routes.person.pages import HOME, show_people, show_person
from webapp.store import person as store
from webapp.store.form_key import leads_to
from webapp.store.rows import ChangedMeanwhile

router = APIRouter()
for part in (away, hours):
    router.include_router(part.router)


@router.get(HOME)
def people(request: Request) -> Response:
    return show_people(request)


@router.post(HOME)
def add_person(request: Request, posted: Posted) -> Response:
    with reading(request) as db:
        there = store.load_people(db)
    person, problems = forms.read(posted, Person(0, ""), there)
    if person is None:
        return show_people(request, posted, problems)
    with writing(request, f"{person.name} added to the people of the shop") as db:
        store.add_person(db, person)
        leads_to(db, HOME)
    return see_other(request, HOME)


@router.get("/shop/people/{person_id}")
def one_person(request: Request, person_id: int) -> Response:
    return show_person(request, person_id)


@router.post("/shop/people/{person_id}")
def save_person(request: Request, person_id: int, posted: Posted) -> Response:
    with reading(request) as db:
        old, there = store.load_person(db, person_id), store.load_people(db)
    person, problems = forms.read(posted, old, there)
    if person is None:
        return show_person(request, person_id, posted, problems)
    seen = Person(person.id, person.name, person.skills, person.helps_only, person.weekly, version_of(posted))
    try:
        with writing(request, f"{person.name} changed") as db:
            store.save_person(db, seen)
            leads_to(db, HOME)
    except ChangedMeanwhile as changed:
        return conflict(request, changed, labels=forms.LABELS, stored=forms.fill(old), theirs=request.url.path)
    return see_other(request, HOME)


@router.post("/shop/people/{person_id}/remove")
def remove_person(request: Request, person_id: int, posted: Posted) -> Response:
    with reading(request) as db:
        person = store.load_person(db, person_id)
    with writing(request, f"{person.name} taken off the people of the shop") as db:
        store.remove_person(db, person_id, at=desk.now(request))
        leads_to(db, HOME)
    return see_other(request, HOME)
