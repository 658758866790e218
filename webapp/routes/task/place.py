"""Where a task stands in the plan: dropped, brought back, removed, held back, moved up or down."""

from collections.abc import Mapping
from dataclasses import replace

from fastapi import APIRouter, Request, Response

from domain.task_record import swapped
from domain.when import when
from webapp import desk
from webapp.desk import Posted, reading, see_other, writing
from webapp.forms import task as forms
from webapp.routes.plan_page import plan_page
from webapp.routes.task.pages import in_list, known_task, show
from webapp.store import task as store
from webapp.store.form_key import leads_to
from webapp.store.plan import load_job_facts
from webapp.store.rows import Missing

router = APIRouter()


@router.post("/jobs/{job_id}/plan/drop")
def drop_task(request: Request, job_id: int, posted: Posted) -> Response:
    """Leave a task out of the plan; what waited for it then waits for what it waited for."""
    return _dropped(request, job_id, posted, dropped=True)


@router.post("/jobs/{job_id}/plan/bring-back")
def bring_task_back(request: Request, job_id: int, posted: Posted) -> Response:
    return _dropped(request, job_id, posted, dropped=False)


def _dropped(request: Request, job_id: int, posted: Mapping[str, str], *, dropped: bool) -> Response:
    key = posted.get("key", "")
    with reading(request) as db:
        facts = load_job_facts(db, desk.now(request), job_id)
        record, version = store.load_record(db, job_id, key)
    task = next((task for task in (*facts.tasks, *facts.made.dropped) if task.part == key), None)
    if task is None:
        raise Missing(f"task {key} of job {job_id}")
    url = f"/jobs/{job_id}/plan" if dropped else in_list(job_id, key)
    words = f"“{task.name}” {'dropped from' if dropped else 'brought back to'} the plan"
    with writing(request, words, job_id=job_id) as db:
        store.save_record(db, job_id, replace(record, dropped=dropped), version=version)
        leads_to(db, url)
    return see_other(request, url)


@router.post("/jobs/{job_id}/plan/remove")
def remove_task(request: Request, job_id: int, posted: Posted) -> Response:
    """Remove a task the maker added, with its links."""
    key = posted.get("key", "")
    with reading(request) as db:
        record, version = store.load_record(db, job_id, key)
    with writing(request, f"“{record.name}” removed from the plan", job_id=job_id) as db:
        store.remove_own_task(db, job_id, key, version=version, at=desk.now(request))
        leads_to(db, f"/jobs/{job_id}/plan")
    return see_other(request, f"/jobs/{job_id}/plan")


@router.post("/jobs/{job_id}/plan/hold")
def hold_task(request: Request, job_id: int, posted: Posted) -> Response:
    """Hold a task back until a time, so that the window of the next one is met."""
    key, now = posted.get("key", ""), desk.now(request)
    with reading(request) as db:
        task, record, shop = known_task(db, job_id, key, now)
        version = store.load_record(db, job_id, key)[1]
    until, problems = forms.read_hold(posted, zone=shop.tz, now=now)
    if until is None:
        return show(request, job_id, key, typed=posted, problems=problems)
    words = f"“{task.name}” held back until {when(until, now, shop.tz)}"
    with writing(request, words, job_id=job_id) as db:
        store.save_record(db, job_id, replace(record, not_before=until), version=version)
        leads_to(db, in_list(job_id, key))
    return see_other(request, in_list(job_id, key))


@router.post("/jobs/{job_id}/plan/move")
def move_task(request: Request, job_id: int, posted: Posted) -> Response:
    """Move a task one place up or down in the list of those that are open, or of those that are done."""
    key, by = posted.get("key", ""), -1 if posted.get("by") == "-1" else 1
    with reading(request) as db:
        shown = plan_page(db, job_id, desk.now(request))
    row = shown.row(key)
    if row is None:
        raise Missing(f"task {key} of job {job_id}")
    beside = [each.task for each in (shown.done_rows if row.is_over else shown.open_rows)]
    there = beside.index(row.task) + by
    neighbour = beside[there] if 0 <= there < len(beside) else row.task
    with writing(request, f"“{row.task.name}” moved {'up' if by < 0 else 'down'} in the plan", job_id=job_id) as db:
        store.save_positions(db, job_id, swapped([each.task for each in shown.rows], row.task, neighbour))
        leads_to(db, in_list(job_id, key))
    return see_other(request, in_list(job_id, key))
