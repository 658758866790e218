"""Jobs: the list and its search, one job's overview, adding, changing, copying and removing."""

from collections.abc import Mapping
from dataclasses import dataclass

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from domain.job import Job, JobState, Matters, promise_over
from domain.problem import Problem
from webapp import desk
from webapp.conflict import conflict
from webapp.desk import Posted, reading, see_other, version_of, writing
from webapp.forms import job as forms
from webapp.render import page
from webapp.store import history
from webapp.store import job as store
from webapp.store.form_key import leads_to
from webapp.store.rows import ChangedMeanwhile
from webapp.store.shop import today

router = APIRouter()


@dataclass(frozen=True)
class JobsPage:
    """jobs: those found; counts: of all jobs by state; words and state: what was asked."""

    jobs: tuple[Job, ...]
    counts: Mapping[JobState, int]
    words: str
    state: JobState | None

    @property
    def is_empty_shop(self) -> bool:
        return not any(self.counts.values())


@router.get("/")
def jobs(request: Request, words: str = "", state: str = "") -> Response:
    known = {one.value: one for one in JobState}
    with reading(request) as db:
        asked = known.get(state)
        shown = JobsPage(store.search_jobs(db, words[:200], state=asked), store.count_jobs(db), words[:200], asked)
    return page(request, "jobs", page=shown, states=tuple(JobState))


@router.get("/jobs/new")
def new_job(request: Request) -> Response:
    return _form(request, forms.BLANK, title="New job", action="/jobs/new")


@router.post("/jobs/new")
def add_job(request: Request, posted: Posted) -> Response:
    job, problems = forms.read(posted)
    if job is None:
        return _form(request, posted, problems, title="New job", action="/jobs/new")
    with writing(request, f"Job “{job.name}” added") as db:
        job_id = store.add_job(db, job, at=desk.now(request))
        history.of_job(db, job_id)
        url = leads_to(db, f"/jobs/{job_id}")
    return see_other(request, url)


@router.get("/jobs/{job_id}")
def show_job(request: Request, job_id: int) -> Response:
    with reading(request) as db:
        job = store.load_job(db, job_id)
        steps = store.load_progress(db, job_id)
        actions = history.load_actions(db, job_id=job_id, most=5)
        over = promise_over(job, today(db, desk.now(request)))
    return page(
        request, "job", job=job, steps=steps, actions=actions, states=tuple(JobState), promise_over=over
    )  # fmt: skip


@router.get("/jobs/{job_id}/edit")
def edit_job(request: Request, job_id: int) -> Response:
    with reading(request) as db:
        job = store.load_job(db, job_id)
    return _form(request, forms.fill(job), title=f"Change {job.name}", action=f"/jobs/{job_id}/edit", job=job)


@router.post("/jobs/{job_id}/edit")
def save_job(request: Request, job_id: int, posted: Posted) -> Response:
    job, problems = forms.read(posted, job_id=job_id, version=version_of(posted))
    if job is None:
        with reading(request) as db:
            saved = store.load_job(db, job_id)
        return _form(request, posted, problems, title=f"Change {saved.name}", action=f"/jobs/{job_id}/edit", job=saved)
    try:
        with writing(request, f"Job “{job.name}” changed", job_id=job_id) as db:
            store.save_job(db, job)
            leads_to(db, f"/jobs/{job_id}")
    except ChangedMeanwhile as changed:
        with reading(request) as db:
            saved = store.load_job(db, job_id)
        return conflict(request, changed, labels=forms.LABELS, stored=forms.fill(saved), theirs=f"/jobs/{job_id}")
    return see_other(request, f"/jobs/{job_id}")


@router.post("/jobs/{job_id}/copy")
def copy_job(request: Request, job_id: int, posted: Posted) -> Response:
    with reading(request) as db:
        job = store.load_job(db, job_id)
    with writing(request, f"Job “{job.name}” copied") as db:
        new_id = store.copy_job(db, job_id, name=f"{job.name} (copy)", at=desk.now(request))
        history.of_job(db, new_id)
        url = leads_to(db, f"/jobs/{new_id}/edit")
    return see_other(request, url)


@router.post("/jobs/{job_id}/remove")
def remove_job(request: Request, job_id: int, posted: Posted) -> Response:
    with reading(request) as db:
        job = store.load_job(db, job_id)
    with writing(request, f"Job “{job.name}” removed", job_id=job_id) as db:
        store.remove_job(db, job_id, at=desk.now(request))
        leads_to(db, "/")
    return see_other(request, "/")


def _form(request: Request, typed: Mapping[str, str], problems: list[Problem] | None = None, *, title: str, action: str,
          job: Job | None = None) -> Response:  # fmt: skip
    with reading(request) as db:
        clients, over = _client_names(db), promise_over(job, today(db, desk.now(request))) if job else ""
    return page(
        request, "job_form", status=422 if problems else 200, typed=forms.BLANK | dict(typed), problems=problems or [],
        title=title, action=action, job=job, clients=clients, states=tuple(JobState), labels=forms.LABELS,
        matters=tuple((each.value, each.value) for each in Matters), promise_over=over,
    )  # fmt: skip


def _client_names(db: Session) -> tuple[str, ...]:
    return tuple(sorted({client.name for client in store.load_clients(db)}))
