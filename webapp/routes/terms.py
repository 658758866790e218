"""The money terms of one job, changed on its price page."""

from fastapi import APIRouter, Request, Response
from starlette.responses import RedirectResponse

from webapp.desk import Posted, reading, see_other, version_of, writing
from webapp.forms import terms as forms
from webapp.routes.estimate_page import clashed, refused, saved
from webapp.store import terms as store
from webapp.store.form_key import leads_to
from webapp.store.job import load_job
from webapp.store.rows import ChangedMeanwhile

router = APIRouter()


@router.get("/jobs/{job_id}/terms")
def show_terms(request: Request, job_id: int) -> Response:
    """Lead to where the terms are typed; the browser keeps the field it was sent to."""
    with reading(request) as db:
        load_job(db, job_id)
    return RedirectResponse(f"/jobs/{job_id}/price", status_code=303)


@router.post("/jobs/{job_id}/terms")
def save_terms(request: Request, job_id: int, posted: Posted) -> Response:
    url = f"/jobs/{job_id}/price#terms"
    with reading(request) as db:
        load_job(db, job_id)
    terms, problems = forms.read(posted)
    if terms is None:
        return refused(request, job_id, "terms", forms.typed_again(posted), problems)
    try:
        with writing(request, "Terms of this job changed", job_id=job_id) as db:
            store.save_terms(db, job_id, terms, version=version_of(posted))
            leads_to(db, url)
    except ChangedMeanwhile as changed:
        with reading(request) as db:
            stored = forms.fill(store.load_terms(db, job_id))
        return clashed(request, job_id, "terms", changed, labels=forms.ALL_LABELS, stored=stored, theirs=url)
    return saved(request, job_id, "terms", url)


@router.post("/jobs/{job_id}/terms/shop")
def follow_the_shop(request: Request, job_id: int, posted: Posted) -> Response:
    """Drop the job's own terms, so that it follows the shop's again."""
    url = f"/jobs/{job_id}/price#terms"
    with writing(request, "The shop's own terms used again", job_id=job_id) as db:
        store.save_terms(db, job_id, None, version=version_of(posted))
        leads_to(db, url)
    return see_other(request, url)
