"""What stands on the plan of a job: its finish against its promise, its tasks, what has moved, what needs care."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from urllib.parse import quote

from sqlmodel import Session

from domain.caution import Caution
from domain.figure import Figure
from domain.job import Job
from domain.part import TaskKind
from domain.plan import JobPlan, Overload, Plan, PlannedTask, Window, explain
from domain.plan.moved import Moved, MovedJob, moved
from domain.plan.slack import plan_slip, total_float
from domain.plan.standing import PROVED, Standing, standings
from domain.plan.why import names_of
from domain.problem import Problem
from domain.schedule.schedule import Aim
from domain.take_off import TakeOff
from domain.task import Clock, OwnLink, Task
from domain.task_caution import job_cautions
from domain.when import day, from_to
from domain.words import listing
from webapp.links import link
from webapp.store import shop as shop_store
from webapp.store import task as task_store
from webapp.store.plan import PlanFacts, load_plan_facts
from webapp.working import PAGES

OPERATION, MATERIAL = "operation:", "material:"
FEW = 5
"""Fewer rows than this are not folded away."""
FAR = timedelta(days=8)
"""What is planned farther ahead is folded away."""
AIM_WORDS = {
    Aim.SOONEST: "Promised dates first; then every job is finished as soon as it can be.",
    Aim.CALM: "Promised dates first; then people stay with one job, with few gaps, even if it is finished later.",
}


@dataclass(frozen=True)
class Row:
    """A task in the list, at its place. planned: None while nothing can be planned; times: from when to when it
    is planned or was done; latest: so that the promise holds; who: the names of those planned for it; why: what holds
    it where it stands; waits_for: what is not over yet, in words; dates_others: other jobs whose finish it sets, by
    name; slip: what it may slip and move nothing else; version: of what was recorded of it.
    """

    place: int
    task: Task
    version: int
    takes: Figure
    planned: PlannedTask | None = None
    times: str = ""
    latest: str = ""
    who: str = ""
    why: str = ""
    waits_for: str = ""
    dates_others: str = ""
    total_float: Figure | None = None
    slip: Figure | None = None

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
    own_links: the maker's; needs: the take-off; aim: what the plan is after once promises are kept;
    shop_version: of the row that says so; standing: how its finish stands against what no plan can beat;
    moved: what stands elsewhere than in the plan that was kept.
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
    aim: Aim
    shop_version: int
    moved: Moved
    standing: Standing | None

    @property
    def aim_words(self) -> str:
        return AIM_WORDS[self.aim]

    @property
    def other_aim(self) -> Aim:
        return Aim.CALM if self.aim is Aim.SOONEST else Aim.SOONEST

    @property
    def proved(self) -> str:
        """Return what a search has proved of the plan, in words."""
        return PROVED[self.plan.proof] if self.plan else ""

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
        """Return the tasks that set the date, first to last; some may be those of other jobs."""
        return tuple(self.plan.tasks[key] for key in self.finish.chain) if self.plan and self.finish else ()

    def say_moved(self, one: MovedJob) -> str:
        """Return on which day a job is finished, the old beside the new."""
        return f"{one.name} is finished {day(one.will, self.on)} instead of {day(one.was, self.on)}."

    def times_of(self, each: PlannedTask) -> str:
        """Return from when to when a task is planned."""
        return from_to(each.start, each.finish, self.plan.now, self.plan.calendar.tz) if self.plan else ""

    @property
    def hangs_on(self) -> str:
        """Return why the first task that sets the date stands where it does."""
        return explain(self.plan, self.chain[0].key) if self.plan and self.chain else ""

    @property
    def is_not_agreed(self) -> bool:
        """Whether the client has not said yes, so that the plan says how it would go."""
        return not self.job.state.is_open and not (self.finish and self.finish.is_finished)

    @property
    def open_rows(self) -> tuple[Row, ...]:
        return tuple(row for row in self.rows if not row.is_over)

    @property
    def near_rows(self) -> tuple[Row, ...]:
        """Return what is open in the days ahead, all of it when that is not much shorter."""
        near = tuple(row for row in self.open_rows if not self._is_far(row))
        return near if len(near) + FEW < len(self.open_rows) and near else self.open_rows

    @property
    def far_rows(self) -> tuple[Row, ...]:
        near = {row.place for row in self.near_rows}
        return tuple(row for row in self.open_rows if row.place not in near)

    def _is_far(self, row: Row) -> bool:
        return row.planned is not None and self.plan is not None and row.planned.start > self.plan.now + FAR

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
    said = known.once(("why", job_id), lambda: _said(plan, job_id)) if plan else {}
    own = (problem for problem in problems if problem.field in ("shop:hours", f"job:{job_id}:plan"))
    return PlanPage(
        job=facts.job,
        on=known.shop.day_of(now),
        plan=plan,
        finish=plan.jobs[job_id] if plan else None,
        rows=tuple(
            _row(place, task, plan, versions.get((job_id, task.part), 0), *said.get(task.key, ("", None)))
            for place, task in enumerate(facts.tasks)
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
        aim=known.shop.aim,
        shop_version=shop_store.load_version(db),
        moved=_moved(plan, known, job_id),
        standing=standings(plan).get(job_id) if plan else None,
    )


def _moved(plan: Plan | None, known: PlanFacts, job_id: int) -> Moved:
    """Return what of a job stands elsewhere than in the plan that was kept, and which jobs are finished another day."""
    if plan is None or known.kept is None:
        return Moved()
    found = moved({key: (each.start, each.finish) for key, each in known.kept.tasks.items()}, plan)
    own = tuple(task for task in found.tasks if plan.tasks[task.key].task.job_id == job_id)
    return Moved(own, found.jobs)


PAGES["plan"] = plan_page


def _said(plan: Plan, job_id: int) -> dict[str, tuple[str, Figure | None]]:
    """Return of each task of a job why it stands where it does, and how far it can slip, by its key."""
    return {
        each.key: (explain(plan, each.key), None if each.is_over else plan_slip(plan, each))
        for each in plan.of_job(job_id)
    }


def _row(place: int, task: Task, plan: Plan | None, version: int, why: str, slip: Figure | None) -> Row:
    if plan is None:
        return Row(place, task, version, task.takes)
    each, zone = of_its_job(plan, plan.tasks[task.key]), plan.calendar.tz
    others = [job for job in plan.jobs.values() if job.job_id != task.job_id]
    waits = [f"“{plan.tasks[key].task.name}”" for key in each.waits_for]
    names = [name for name in waits if name not in why]
    is_unset = task.kind is TaskKind.MILESTONE and not each.has_begun and task.not_before is None and not task.pinned_at
    finish_by = f"finish {plan.say(each.latest_finish)}"
    return Row(
        place=place,
        task=task,
        version=version,
        takes=task.takes,
        planned=each,
        times="no day set" if is_unset else from_to(each.start, each.finish, plan.now, zone),
        latest=finish_by if each.has_begun else from_to(each.latest_start, each.latest_finish, plan.now, zone),
        who=listing(names_of(plan, each.who)),
        why=why,
        waits_for=listing(names) if len(waits) > 1 and names else "",
        dates_others=listing([job.name for job in others if each.key in job.chain]),
        total_float=total_float(plan, each),
        slip=slip,
    )


def of_its_job(plan: Plan, each: PlannedTask) -> PlannedTask:
    """Return a task as its own job sees it: it sets the date if that job's finish hangs on it, not that of another."""
    return replace(each, sets_date=each.key in plan.jobs[each.task.job_id].chain)


def _soonest(windows: Iterable[Window]) -> Iterator[Window]:
    """Yield of each task the window that closes first, and every one that it misses."""
    seen: set[str] = set()
    for window in windows:
        if not window.is_met or window.after not in seen:
            seen.add(window.after)
            yield window
