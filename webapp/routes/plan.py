"""The plan of a job: its finish against its promise, its tasks as a chart and in words, on screen and paper."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime
from urllib.parse import quote

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from domain.caution import GOVERNS, Caution
from domain.figure import Figure
from domain.job import Job
from domain.plan import Chart, JobPlan, Overload, Plan, PlannedTask, Window, chart, explain
from domain.plan.slack import free_float, total_float
from domain.problem import Problem
from domain.take_off import TakeOff
from domain.task import Clock, OwnLink, Task
from domain.task_caution import job_cautions
from domain.when import from_to
from domain.words import listing
from webapp import desk
from webapp.chart import Drawing, draw, sheets
from webapp.desk import reading
from webapp.forms.duration import instant_text
from webapp.links import link
from webapp.render import page
from webapp.store import task as task_store
from webapp.store.plan import load_plan_facts
from webapp.working import PAGES

router = APIRouter()

OPERATION, MATERIAL = "operation:", "material:"


@dataclass(frozen=True)
class Row:
    """A task in the list, at its place. planned: None while nothing can be planned; earliest: from when to when it
    is planned or was done; latest: so that the promise holds; why: what holds it where it stands;
    waits_for: what is not over yet, in words; version: of what was recorded of it.
    """

    place: int
    task: Task
    version: int
    takes: Figure
    planned: PlannedTask | None = None
    earliest: str = ""
    latest: str = ""
    why: str = ""
    waits_for: str = ""
    total_float: Figure | None = None
    free_float: Figure | None = None

    @property
    def is_attended(self) -> bool:
        return self.task.clock is Clock.ATTENDED

    @property
    def is_over(self) -> bool:
        return self.planned is not None and self.planned.is_over

    @property
    def is_too_late(self) -> bool:
        """Whether the promise is lost as it stands."""
        return self.total_float is not None and self.total_float.value < 0


@dataclass(frozen=True)
class PlanPage:
    """on: today in the shop's zone; finish: None while nothing can be planned; untimed: operations nobody has given
    a time; unpriced: materials nobody can be asked for; missed: windows that will be missed; windows: the others;
    own_links: the maker's; needs: the take-off.
    """

    job: Job
    on: date
    plan: Plan | None
    finish: JobPlan | None
    rows: tuple[Row, ...]
    problems: tuple[Problem, ...]
    untimed: tuple[Problem, ...]
    unpriced: tuple[Problem, ...]
    missed: tuple[Window, ...]
    windows: tuple[Window, ...]
    overloads: tuple[Overload, ...]
    dropped: tuple[Task, ...]
    own_links: tuple[OwnLink, ...]
    cautions: tuple[Caution, ...]
    needs: TakeOff

    @property
    def lost_links(self) -> tuple[tuple[Problem, OwnLink], ...]:
        """Return the maker's links that were left out, and why."""
        by_field = {f"link:{link.before}:{link.after}": link for link in self.own_links}
        found = ((problem, by_field.get(problem.field)) for problem in self.problems)
        return tuple((problem, link) for problem, link in found if link is not None)

    @property
    def other_problems(self) -> tuple[tuple[Problem, str, str], ...]:
        """Return every other problem, the address where it is put right, if anywhere, and what is done there."""
        lost = {problem for problem, _ in self.lost_links}
        return tuple((problem, *self._way_out(problem)) for problem in self.problems if problem not in lost)

    def _way_out(self, problem: Problem) -> tuple[str, str]:
        kind, _, key = problem.field.partition(":")
        if kind == "task":
            return f"/jobs/{self.job.id}/plan/task?key={quote(key)}", "Say how long"
        if kind == "job":
            return "", ""
        return link(problem.field), "Set the shop hours" if problem.field == "shop:hours" else "Set it"

    @property
    def chain(self) -> tuple[PlannedTask, ...]:
        """Return the tasks that set the date, first to last."""
        return tuple(self.plan.tasks[key] for key in self.finish.chain) if self.plan and self.finish else ()

    @property
    def hangs_on(self) -> str:
        """Return why the first task that sets the date stands where it does."""
        return explain(self.plan, self.chain[0].key) if self.plan and self.chain else ""

    @property
    def is_not_agreed(self) -> bool:
        """Whether the client has not said yes, so that the plan says how it would go."""
        return not self.job.state.is_open and not (self.finish and self.finish.is_finished)

    def hold_until(self, window: Window) -> str:
        """Return the time to hold a task back to, as a form sends it."""
        return instant_text(window.hold_until, self.plan.calendar.tz) if self.plan else ""

    @property
    def open_rows(self) -> tuple[Row, ...]:
        return tuple(row for row in self.rows if not row.is_over)

    @property
    def done_rows(self) -> tuple[Row, ...]:
        return tuple(row for row in self.rows if row.is_over)

    def row(self, key: str) -> Row | None:
        """Return a task's row by its key within the job, None when the job has no such task."""
        return next((row for row in self.rows if row.task.part == key), None)


def plan_page(db: Session, job_id: int, now: datetime) -> PlanPage:
    """Return the plan of a job among all open jobs, which share hands, clamps and benches. Raises Missing."""
    known = load_plan_facts(db, now, job_id=job_id)
    plan, problems = known.plan()
    facts = known.jobs[job_id]
    plan = plan if plan and job_id in plan.jobs else None
    versions = task_store.load_versions(db, [job_id])
    tasks = {task.key for task in facts.tasks}
    windows = list(_soonest(window for window in plan.windows if window.after in tasks)) if plan else []
    own = (problem for problem in problems if problem.field in ("shop:hours", f"job:{job_id}:plan"))
    return PlanPage(
        job=facts.job,
        on=known.shop.day_of(now),
        plan=plan,
        finish=plan.jobs[job_id] if plan else None,
        rows=tuple(
            _row(place, task, plan, versions.get((job_id, task.part), 0)) for place, task in enumerate(facts.tasks)
        ),
        problems=(
            *own,
            *(problem for problem in facts.problems if not problem.field.startswith((OPERATION, MATERIAL))),
        ),
        untimed=tuple(problem for problem in facts.problems if problem.field.startswith(OPERATION)),
        unpriced=tuple(problem for problem in facts.problems if problem.field.startswith(MATERIAL)),
        missed=tuple(window for window in windows if not window.is_met),
        windows=tuple(window for window in windows if window.is_met),
        overloads=tuple(load for load in plan.overloads if tasks.intersection(load.tasks)) if plan else (),
        dropped=facts.made.dropped,
        own_links=facts.links,
        cautions=job_cautions(facts.tasks, facts.needs),
        needs=facts.needs,
    )


PAGES["plan"] = plan_page


def _row(place: int, task: Task, plan: Plan | None, version: int) -> Row:
    if plan is None:
        return Row(place, task, version, task.takes)
    each, zone = plan.tasks[task.key], plan.calendar.tz
    names = [f"“{plan.tasks[key].task.name}”" for key in each.waits_for]
    finish_by = f"finish {plan.say(each.latest_finish)}"
    return Row(
        place=place,
        task=task,
        version=version,
        takes=task.takes,
        planned=each,
        earliest=from_to(each.earliest_start, each.earliest_finish, plan.now, zone),
        latest=finish_by if each.has_begun else from_to(each.latest_start, each.latest_finish, plan.now, zone),
        why=explain(plan, task.key),
        waits_for=listing(names) if len(names) > 1 else "",
        total_float=total_float(plan, each),
        free_float=free_float(plan, each),
    )


def _soonest(windows: Iterable[Window]) -> Iterator[Window]:
    """Yield of each task the window that closes first, and every one that it misses."""
    seen: set[str] = set()
    for window in windows:
        if not window.is_met or window.after not in seen:
            seen.add(window.after)
            yield window


def _chart(shown: PlanPage) -> Chart | None:
    """Return what the chart of a job's plan shows, None while nothing is planned."""
    rows = [row.planned for row in shown.rows if row.planned is not None]
    return chart(shown.plan, rows) if shown.plan and rows else None


@router.get("/jobs/{job_id}/plan")
def show_plan(request: Request, job_id: int) -> Response:
    with reading(request) as db:
        shown = plan_page(db, job_id, desk.now(request))
    drawing = None
    if shown.plan and (known := _chart(shown)):
        drawing = draw(known, shown.plan.calendar, shown.job.promised_on)
    return page(request, "plan", job=shown.job, page=shown, drawing=drawing, governs=GOVERNS)


@router.get("/jobs/{job_id}/plan/print")
def print_plan(request: Request, job_id: int) -> Response:
    with reading(request) as db:
        shown = plan_page(db, job_id, desk.now(request))
    drawn: tuple[Drawing, ...] = ()
    if shown.plan and (known := _chart(shown)):
        drawn = sheets(known, shown.plan.calendar, shown.job.promised_on)
    return page(request, "plan_print", job=shown.job, page=shown, sheets=drawn, governs=GOVERNS)
