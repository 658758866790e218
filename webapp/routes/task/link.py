"""What a task waits for because the maker says so."""

from fastapi import APIRouter, Request, Response

from domain.problem import Problem
from domain.task_times import check_link
from webapp import desk
from webapp.desk import Posted, reading, see_other, writing
from webapp.forms import link as forms
from webapp.routes.task.pages import address, show, task_of
from webapp.store import task as store
from webapp.store.form_key import leads_to
from webapp.store.plan import load_job_facts

router = APIRouter()


@router.post("/jobs/{job_id}/plan/link")
def add_link(request: Request, job_id: int, posted: Posted) -> Response:
    """Let a task wait for another one; a ring of waits is refused by the names of its tasks."""
    key, now = posted.get("key", ""), desk.now(request)
    with reading(request) as db:
        facts = load_job_facts(db, now, job_id)
    task = task_of(facts, key)
    link, problems = forms.read(posted, key)
    if link is not None:
        before = task_of(facts, link.before)
        if ring := check_link(facts.tasks, before=before.key, after=task.key):
            problems = [Problem("before", ring)]
    if link is None or problems:
        return show(request, job_id, key, typed=posted, problems=problems)
    with writing(request, f"“{task.name}” waits for “{before.name}”", job_id=job_id) as db:
        store.save_link(db, job_id, link)
        url = leads_to(db, f"{address(job_id, key)}#waits")
    return see_other(request, url)


@router.post("/jobs/{job_id}/plan/unlink")
def remove_link(request: Request, job_id: int, posted: Posted) -> Response:
    """Remove a link the maker added, also one that leads to a task that is gone."""
    key, before = posted.get("key", ""), posted.get("before", "")
    with reading(request) as db:
        facts = load_job_facts(db, desk.now(request), job_id)
    is_there = any(task.part == key for task in facts.tasks)
    url = f"{address(job_id, key)}#waits" if is_there else f"/jobs/{job_id}/plan"
    with writing(request, "A link of the plan removed", job_id=job_id) as db:
        store.remove_link(db, job_id, before=before, after=key, at=desk.now(request))
        leads_to(db, url)
    return see_other(request, url)
