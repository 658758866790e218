"""One task of a plan: its page, and everything a maker can change about it."""

from collections.abc import Mapping, Sequence

from fastapi import APIRouter, Request, Response

from domain.part import TaskKind
from domain.problem import Problem
from domain.task import TaskRecord
from webapp import desk
from webapp.conflict import conflict
from webapp.desk import Posted, reading, see_other, version_of, writing
from webapp.forms import task as forms
from webapp.render import page
from webapp.routes.task import link, place, times
from webapp.routes.task.pages import address, known_task, show
from webapp.store import task as store
from webapp.store.form_key import leads_to
from webapp.store.job import load_job
from webapp.store.person import load_people
from webapp.store.rows import ChangedMeanwhile
from webapp.store.shop import load_shop

router = APIRouter()
for part in (place, link, times):
    router.include_router(part.router)


@router.get("/jobs/{job_id}/plan/task")
def show_task(request: Request, job_id: int, key: str = "") -> Response:
    if not key:
        return see_other(request, f"/jobs/{job_id}/plan?{request.url.query}")
    return show(request, job_id, key)


@router.post("/jobs/{job_id}/plan/task")
def save_task(request: Request, job_id: int, posted: Posted) -> Response:
    """Save the name, the time, the crew and the hold of a task; what is left empty is as usual."""
    key, now = posted.get("key", ""), desk.now(request)
    with reading(request) as db:
        task, record, shop = known_task(db, job_id, key, now)
        people = load_people(db)
    worked_out = task.duration if record.minutes is None and not record.own else None
    saved, problems = forms.read(
        posted, record, kind=task.kind, zone=shop.tz, now=now, people=people, worked_out=worked_out
    )
    if saved is None:
        return show(request, job_id, key, typed=posted, problems=problems)
    try:
        with writing(request, f"“{saved.name or task.name}” changed", job_id=job_id) as db:
            store.save_record(db, job_id, saved, version=version_of(posted))
            leads_to(db, address(job_id, key))
    except ChangedMeanwhile as changed:
        with reading(request) as db:
            stored = forms.fill(store.load_record(db, job_id, key)[0], shop.tz, people)
        labels = forms.labels_of(people)
        return conflict(request, changed, labels=labels, stored=stored, theirs=address(job_id, key))
    return see_other(request, address(job_id, key))


@router.get("/jobs/{job_id}/plan/new")
def new_task(request: Request, job_id: int) -> Response:
    return _new(request, job_id, forms.BLANK)


@router.post("/jobs/{job_id}/plan/new")
def add_task(request: Request, job_id: int, posted: Posted) -> Response:
    now = desk.now(request)
    with reading(request) as db:
        load_job(db, job_id)
        zone, people = load_shop(db).tz, load_people(db)
    blank = TaskRecord("", own=True)
    record, problems = forms.read(posted, blank, kind=TaskKind.OTHER, zone=zone, now=now, people=people)
    if record is None:
        return _new(request, job_id, posted, problems)
    with writing(request, f"“{record.name}” added to the plan", job_id=job_id) as db:
        key = store.add_own_task(db, job_id, record)
        url = leads_to(db, address(job_id, key))
    return see_other(request, url)


def _new(request: Request, job_id: int, typed: Mapping[str, str], problems: Sequence[Problem] = ()) -> Response:
    with reading(request) as db:
        job, people = load_job(db, job_id), load_people(db)
    ticks = {forms.who_field(person): person.name for person in people}
    return page(
        request, "task_new", status=422 if problems else 200, job=job, problems=problems, labels=forms.LABELS,
        typed={**forms.BLANK, **dict.fromkeys(ticks, ""), **typed}, kinds=forms.kinds(), people=ticks,
    )  # fmt: skip
