"""One task of a plan: what holds it, what was recorded of it, what it waits for; and the page that shows it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from urllib.parse import quote

from fastapi import Request, Response
from sqlmodel import Session

from domain.caution import GOVERNS, Caution
from domain.job import Job
from domain.part import TaskKind
from domain.plan import PlannedTask, Window
from domain.problem import Problem
from domain.shop import Shop
from domain.task import Clock, Link, Task, TaskRecord, key_of
from domain.task_caution import task_cautions
from domain.task_link import link_words
from domain.task_pin import pin_warning
from webapp import desk
from webapp.desk import reading
from webapp.forms import link as link_forms
from webapp.forms import task as forms
from webapp.render import page
from webapp.routes.plan_page import PlanPage, Row, plan_page
from webapp.store import task as store
from webapp.store.person import load_people
from webapp.store.plan import JobFacts, load_job_facts
from webapp.store.rows import Missing
from webapp.store.shop import load_calendar, load_shop


@dataclass(frozen=True)
class Wait:
    """What a task waits for: the other task, and the link between them."""

    task: Task
    planned: PlannedTask | None
    link: Link

    @property
    def words(self) -> str:
        """Return how long it waits, for which end and why."""
        return ": ".join(words for words in (link_words(self.link), self.link.why) if words)


@dataclass(frozen=True)
class TaskPage:
    """followers: what waits for this task; others: what it could wait for; pin_warning: what is odd about the time it
    is pinned to; given_to: names.
    """

    plan: PlanPage
    row: Row
    record: TaskRecord
    waits: tuple[Wait, ...]
    followers: tuple[Task, ...]
    others: tuple[tuple[str, str], ...]
    windows: tuple[Window, ...]
    cautions: tuple[Caution, ...]
    pin_warning: str
    given_to: tuple[str, ...]

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
    calendar = load_calendar(db)
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
        pin_warning=pin_warning(row.task, calendar, now) if calendar else "",
        given_to=tuple(person.name for person in load_people(db) if person.id in row.task.who),
    )


def address(job_id: int, key: str) -> str:
    """Return the address of a task's page."""
    return f"/jobs/{job_id}/plan/task?key={quote(key)}"


def in_list(job_id: int, key: str) -> str:
    """Return the address of a task's place in the list of its plan."""
    return f"/jobs/{job_id}/plan#{quote(key)}"


def known_task(db: Session, job_id: int, key: str, now: datetime) -> tuple[Task, TaskRecord, Shop]:
    """Return a task of this job that can be recorded, what was, and the shop. Raises Missing for any other."""
    task = task_of(load_job_facts(db, now, job_id), key)
    if task.kind is TaskKind.DELIVERY:
        raise Missing(f"delivery {key} is recorded with its order")
    return task, store.load_record(db, job_id, key)[0], load_shop(db)


def task_of(facts: JobFacts, key: str) -> Task:
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
        zone, people = load_shop(db).tz, load_people(db)
    ticks = {forms.who_field(person): person.name for person in people}
    as_is = {**forms.fill(shown.record, zone, people), **link_forms.BLANK}
    if typed and "crew" in typed:  # ticks that were taken away are not among what was posted
        as_is.update(dict.fromkeys(ticks, ""))
    return page(
        request, "task", status=status if problems else 200, job=shown.job, page=shown, governs=GOVERNS,
        typed={**as_is, **(typed or {})}, problems=problems, labels=forms.LABELS, link_labels=link_forms.LABELS,
        kinds=forms.kinds(), ends=link_forms.END_WORDS, clocks=link_forms.CLOCK_WORDS, people=ticks,
    )  # fmt: skip
