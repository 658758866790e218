"""One task of a plan: what holds it, what was recorded of it, and everything a maker can change about it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from urllib.parse import quote

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from domain.caution import GOVERNS, Caution
from domain.job import Job
from domain.part import TaskKind
from domain.plan import PlannedTask, Window
from domain.problem import Problem
from domain.shop import Shop
from domain.task import Clock, Link, Task, TaskRecord, key_of
from domain.task_caution import task_cautions
from domain.task_times import check_link
from domain.when import when
from webapp import desk
from webapp.conflict import conflict
from webapp.desk import Posted, reading, see_other, version_of, writing
from webapp.forms import task as forms
from webapp.links import own_path
from webapp.render import page
from webapp.routes.plan import PlanPage, Row, plan_page
from webapp.store import task as store
from webapp.store.form_key import leads_to
from webapp.store.job import load_job
from webapp.store.plan import JobFacts, load_job_facts
from webapp.store.rows import ChangedMeanwhile, Missing
from webapp.store.shop import load_shop

router = APIRouter()


@dataclass(frozen=True)
class Wait:
    """What a task waits for: the other task, and the link between them."""

    task: Task
    planned: PlannedTask | None
    link: Link


@dataclass(frozen=True)
class TaskPage:
    """followers: what waits for this task; others: what it could wait for."""

    plan: PlanPage
    row: Row
    record: TaskRecord
    waits: tuple[Wait, ...]
    followers: tuple[Task, ...]
    others: tuple[tuple[str, str], ...]
    windows: tuple[Window, ...]
    cautions: tuple[Caution, ...]

    @property
    def job(self) -> Job:
        return self.plan.job

    @property
    def task(self) -> Task:
        return self.row.task

    @property
    def is_attended(self) -> bool:
        return self.task.clock is Clock.ATTENDED

    @property
    def is_delivery(self) -> bool:
        """Whether it comes from an order, where it is ordered and received."""
        return self.task.kind is TaskKind.DELIVERY

    @property
    def is_moment(self) -> bool:
        return self.task.kind is TaskKind.MILESTONE

    @property
    def can_start(self) -> bool:
        return not (self.is_delivery or self.is_moment or self.record.started_at or self._has_begun)

    @property
    def can_finish(self) -> bool:
        return not (self.is_delivery or self.record.finished_at or self.row.is_over)

    @property
    def _has_begun(self) -> bool:
        return self.row.planned is not None and self.row.planned.has_begun


def task_page(db: Session, job_id: int, key: str, now: datetime) -> TaskPage:
    """Return everything about one task of a job. Raises Missing, also for a task of another job."""
    shown = plan_page(db, job_id, now)
    row = shown.row(key)
    if row is None:
        raise Missing(f"task {key} of job {job_id}")
    by_key = {each.task.key: each for each in shown.rows}
    waits = [(by_key[link.before], link) for link in row.task.links if link.before in by_key]
    windows = shown.missed + shown.windows
    return TaskPage(
        plan=shown,
        row=row,
        record=store.load_record(db, job_id, key)[0],
        waits=tuple(Wait(before.task, before.planned, link) for before, link in waits),
        followers=tuple(
            each.task for each in shown.rows if any(link.before == row.task.key for link in each.task.links)
        ),
        others=tuple((each.task.part, each.task.name) for each in shown.rows if each is not row),
        windows=tuple(window for window in windows if row.task.key in (window.before, window.after)),
        cautions=task_cautions(row.task, shown.needs),
    )


def address(job_id: int, key: str) -> str:
    """Return the address of a task's page."""
    return f"/jobs/{job_id}/plan/task?key={quote(key)}"


def in_list(job_id: int, key: str) -> str:
    """Return the address of a task's place in the list of its plan."""
    return f"/jobs/{job_id}/plan#{quote(key)}"


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
    saved, problems = forms.read(posted, record, kind=task.kind, zone=shop.tz, now=now)
    if saved is None:
        return show(request, job_id, key, typed=posted, problems=problems)
    try:
        with writing(request, f"“{saved.name or task.name}” changed", job_id=job_id) as db:
            store.save_record(db, job_id, saved, version=version_of(posted))
            leads_to(db, address(job_id, key))
    except ChangedMeanwhile as changed:
        with reading(request) as db:
            stored = forms.fill(store.load_record(db, job_id, key)[0], shop.tz)
        return conflict(request, changed, labels=forms.LABELS, stored=stored, theirs=address(job_id, key))
    return see_other(request, address(job_id, key))


@router.get("/jobs/{job_id}/plan/new")
def new_task(request: Request, job_id: int) -> Response:
    return _new(request, job_id, forms.BLANK)


@router.post("/jobs/{job_id}/plan/new")
def add_task(request: Request, job_id: int, posted: Posted) -> Response:
    now = desk.now(request)
    with reading(request) as db:
        load_job(db, job_id)
        zone = load_shop(db).tz
    record, problems = forms.read(posted, TaskRecord("", own=True), kind=TaskKind.OTHER, zone=zone, now=now)
    if record is None:
        return _new(request, job_id, posted, problems)
    with writing(request, f"“{record.name}” added to the plan", job_id=job_id) as db:
        key = store.add_own_task(db, job_id, record)
        url = leads_to(db, address(job_id, key))
    return see_other(request, url)


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
        store.save_positions(db, job_id, _swapped([each.task for each in shown.rows], row.task, neighbour))
        leads_to(db, in_list(job_id, key))
    return see_other(request, in_list(job_id, key))


def _swapped(tasks: Sequence[Task], one: Task, other: Task) -> Mapping[str, int]:
    """Return the places that change when two tasks change places, by key within the job."""
    if one is other:
        return {}
    if one.position != other.position:
        return {one.part: other.position, other.part: one.position}
    order = [other if task is one else one if task is other else task for task in tasks]
    return {each.part: 100 * place for place, each in enumerate(order, start=1) if each.position != 100 * place}


@router.post("/jobs/{job_id}/plan/link")
def add_link(request: Request, job_id: int, posted: Posted) -> Response:
    """Let a task wait for another one; a ring of waits is refused by the names of its tasks."""
    key, now = posted.get("key", ""), desk.now(request)
    with reading(request) as db:
        facts = load_job_facts(db, now, job_id)
    task = _task_of(facts, key)
    link, problems = forms.read_link(posted, key)
    if link is not None:
        before = _task_of(facts, link.before)
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


def known_task(db: Session, job_id: int, key: str, now: datetime) -> tuple[Task, TaskRecord, Shop]:
    """Return a task of this job that can be recorded, what was, and the shop. Raises Missing for any other."""
    task = _task_of(load_job_facts(db, now, job_id), key)
    if task.kind is TaskKind.DELIVERY:
        raise Missing(f"delivery {key} is recorded with its order")
    return task, store.load_record(db, job_id, key)[0], load_shop(db)


def _task_of(facts: JobFacts, key: str) -> Task:
    """Return the task of a job by its key within it. Raises Missing."""
    whole = key_of(facts.job.id, key)
    task = next((task for task in facts.tasks if task.key == whole), None)
    if task is None:
        raise Missing(f"task {whole}")
    return task


def show(
    request: Request,
    job_id: int,
    key: str,
    *,
    typed: Mapping[str, str] | None = None,
    problems: Sequence[Problem] = (),
    status: int = 422,
) -> Response:
    """Return the page of a task, with what was typed and this status when there are problems."""
    now = desk.now(request)
    with reading(request) as db:
        shown = task_page(db, job_id, key, now)
        zone = load_shop(db).tz
    links = dict.fromkeys(forms.LINK_LABELS, "")
    return page(
        request, "task", status=status if problems else 200, job=shown.job, page=shown, governs=GOVERNS,
        typed={**forms.fill(shown.record, zone), **links, **(typed or {})}, problems=problems,
        labels=forms.LABELS, link_labels=forms.LINK_LABELS, kinds=forms.kinds(),
    )  # fmt: skip


def _new(request: Request, job_id: int, typed: Mapping[str, str], problems: Sequence[Problem] = ()) -> Response:
    with reading(request) as db:
        job = load_job(db, job_id)
    return page(
        request, "task_new", status=422 if problems else 200, job=job, typed={**forms.BLANK, **typed},
        problems=problems, labels=forms.LABELS, kinds=forms.kinds(),
    )  # fmt: skip


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
