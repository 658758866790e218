"""When a task was started and finished: at another time than now."""

from collections.abc import Mapping, Sequence

from fastapi import APIRouter, Request, Response

from domain.problem import Problem
from webapp import desk
from webapp.conflict import conflict
from webapp.desk import Posted, reading, see_other, version_of, writing
from webapp.forms import task as forms
from webapp.links import own_path
from webapp.render import page
from webapp.routes.task.pages import address, known_task, task_page
from webapp.store import task as store
from webapp.store.form_key import leads_to
from webapp.store.rows import ChangedMeanwhile
from webapp.store.shop import load_shop

router = APIRouter()


@router.get("/jobs/{job_id}/plan/when")
def ask_when(request: Request, job_id: int, key: str = "", back: str = "") -> Response:
    with reading(request) as db:
        _, record, shop = known_task(db, job_id, key, desk.now(request))
    return _when(request, job_id, key, forms.fill_marks(record, shop.tz), back=back)


@router.post("/jobs/{job_id}/plan/when")
def save_when(request: Request, job_id: int, posted: Posted) -> Response:
    """Record when a task was started and finished: at another time than now."""
    key, now = posted.get("key", ""), desk.now(request)
    with reading(request) as db:
        task, record, shop = known_task(db, job_id, key, now)
    marked, problems = forms.read_marks(posted, record, zone=shop.tz, now=now)
    if marked is None:
        return _when(request, job_id, key, posted, problems, back=posted.get("back", ""))
    url = own_path(posted.get("back", ""), address(job_id, key))
    try:
        with writing(request, f"Times of “{task.name}” recorded", job_id=job_id) as db:
            store.save_record(db, job_id, marked, version=version_of(posted))
            leads_to(db, url)
    except ChangedMeanwhile as changed:
        with reading(request) as db:
            stored = forms.fill_marks(store.load_record(db, job_id, key)[0], shop.tz)
        return conflict(request, changed, labels=forms.MARK_LABELS, stored=stored, theirs=url)
    return see_other(request, url)


def _when(
    request: Request, job_id: int, key: str, typed: Mapping[str, str], problems: Sequence[Problem] = (), *, back: str
) -> Response:
    now = desk.now(request)
    with reading(request) as db:
        shown = task_page(db, job_id, key, now)
        zone = load_shop(db).tz
    return page(
        request, "task_when", status=422 if problems else 200, job=shown.job, page=shown, typed=dict(typed),
        problems=problems, labels=forms.MARK_LABELS, back=own_path(back, address(job_id, key)),
        zone_name=zone.key,
    )  # fmt: skip
