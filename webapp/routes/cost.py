"""Other costs of a job: added, changed and removed on its price page."""

from fastapi import APIRouter, Request, Response
from starlette.responses import RedirectResponse

from webapp import desk
from webapp.desk import Posted, reading, see_other, version_of, writing
from webapp.forms import cost as forms
from webapp.routes.estimate_page import clashed, cost_slot, refused, saved, show
from webapp.store import cost as store
from webapp.store.form_key import leads_to
from webapp.store.job import load_job
from webapp.store.rows import ChangedMeanwhile

router = APIRouter()


@router.get("/costs/{cost_id}")
def show_cost(request: Request, cost_id: int) -> Response:
    """Lead to where a cost is typed; figures know it by its id alone."""
    with reading(request) as db:
        job_id = store.job_of(db, cost_id)
    return RedirectResponse(f"/jobs/{job_id}/price#{cost_slot(cost_id)}", status_code=303)


@router.post("/jobs/{job_id}/costs")
def add_cost(request: Request, job_id: int, posted: Posted) -> Response:
    with reading(request) as db:
        load_job(db, job_id)
    cost, problems = forms.read(posted)
    if cost is None:
        blank = forms.named(dict.fromkeys(forms.LABELS, ""), 0)
        return show(request, job_id, typed={**blank, **posted}, problems=problems)
    url = f"/jobs/{job_id}/price#costs"
    with writing(request, f"Cost “{cost.description}” added", job_id=job_id) as db:
        store.add_cost(db, job_id, cost)
        leads_to(db, url)
    return see_other(request, url)


@router.post("/jobs/{job_id}/costs/{cost_id}")
def save_cost(request: Request, job_id: int, cost_id: int, posted: Posted) -> Response:
    slot = cost_slot(cost_id)
    url = f"/jobs/{job_id}/price#{slot}"
    with reading(request) as db:
        store.load_cost(db, job_id, cost_id)
    cost, problems = forms.read(posted, cost_id=cost_id, version=version_of(posted))
    if cost is None:
        blank = forms.named(dict.fromkeys(forms.LABELS, ""), cost_id)
        return refused(request, job_id, slot, {**blank, **posted}, problems)
    try:
        with writing(request, f"Cost “{cost.description}” changed", job_id=job_id) as db:
            store.save_cost(db, job_id, cost)
            leads_to(db, url)
    except ChangedMeanwhile as changed:
        with reading(request) as db:
            stored = forms.named(forms.fill(store.load_cost(db, job_id, cost_id)), cost_id)
        labels = forms.named(forms.LABELS, cost_id)
        return clashed(request, job_id, slot, changed, labels=labels, stored=stored, theirs=url)
    return saved(request, job_id, slot, url)


@router.post("/jobs/{job_id}/costs/{cost_id}/remove")
def remove_cost(request: Request, job_id: int, cost_id: int, posted: Posted) -> Response:
    with reading(request) as db:
        cost = store.load_cost(db, job_id, cost_id)
    url = f"/jobs/{job_id}/price#costs"
    with writing(request, f"Cost “{cost.description}” removed", job_id=job_id) as db:
        store.remove_cost(db, job_id, cost_id, at=desk.now(request))
        leads_to(db, url)
    return see_other(request, url)
