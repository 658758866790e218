"""Today, across all open jobs: what runs, what can start, what is late; starting and finishing with one tap."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta, tzinfo

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from domain.caution import Caution
from domain.figure import Figure
from domain.part import TaskKind
from domain.plan import JobPlan, Plan
from domain.problem import Problem
from domain.task import Clock, Task, TaskRecord
from domain.task_caution import task_cautions
from domain.task_mark import finished, mark_problems, marked_at, started, taken_back
from domain.today import Doable, Noted, Timer, Today, todays_list
from domain.when import span
from domain.words import sentence
from webapp import desk
from webapp.desk import Posted, is_htmx, reading, see_other, version_of, writing
from webapp.links import own_path
from webapp.render import fragments, page
from webapp.routes.task.pages import known_task, show
from webapp.store import task as store
from webapp.store.form_key import leads_to
from webapp.store.plan import PlanFacts, load_plan_facts
from webapp.store.rows import ChangedMeanwhile
from webapp.working import SHOP_PAGES

router = APIRouter()

HOME = "/today"
SHOWN_LARGE = 6


@dataclass(frozen=True)
class Item:
    """A task in one of today's lists. words: what there is to say of it; version: of what was recorded;
    takes: shown where somebody may begin it; at: where the page holds it; warning: what is short.
    """

    task: Task
    words: str
    version: int
    takes: Figure
    at: str = ""
    warning: str = ""
    cautions: tuple[Caution, ...] = ()

    @property
    def is_delivery(self) -> bool:
        return self.task.kind is TaskKind.DELIVERY


@dataclass(frozen=True)
class Ticking:
    """A timer. words: what rings when; left: how long until then; title: the task, unless the words name it;
    can_end: it is a wait that may be over before its time.
    """

    task: Task
    words: str
    left: str
    title: str
    version: int
    can_end: bool


@dataclass(frozen=True)
class TodayPage:
    """today: None while nothing can be planned; room: shop time until the next interruption;
    next_one: what comes next when nothing can start; late_jobs: whose promise does not hold.
    """

    on: date
    open_jobs: int
    today: Today | None
    problems: tuple[Problem, ...]
    is_open: bool = False
    room: timedelta = timedelta()
    running: tuple[Item, ...] = ()
    timers: tuple[Ticking, ...] = ()
    fits: tuple[Item, ...] = ()
    too_long: tuple[Item, ...] = ()
    late: tuple[Item, ...] = ()
    late_jobs: tuple[JobPlan, ...] = ()
    to_arrange: tuple[Item, ...] = ()
    blocked: tuple[Item, ...] = ()
    done: tuple[Item, ...] = ()
    next_one: str = ""

    @property
    def first(self) -> tuple[Item, ...]:
        """Return the most urgent of what fits, to be shown large."""
        return self.fits[:SHOWN_LARGE]

    @property
    def others(self) -> tuple[Item, ...]:
        return self.fits[SHOWN_LARGE:]


def today_page(db: Session, now: datetime) -> TodayPage:
    """Return what to do now, over all open jobs."""
    known = load_plan_facts(db, now)
    plan, problems = known.plan()
    on = known.shop.day_of(now)
    if plan is None or known.calendar is None:
        return TodayPage(on, len(known.jobs), None, problems)
    today = todays_list(plan, now, known.calendar)
    make = _Items(known, plan, store.load_versions(db, known.jobs))
    return TodayPage(
        on=on,
        open_jobs=len(known.jobs),
        today=today,
        problems=problems,
        is_open=known.calendar.is_open(now),
        room=known.calendar.between(today.starts_at, today.interrupted_at),
        running=make.noted(today.running),
        timers=tuple(make.ticking(timer) for timer in today.timers),
        fits=make.doable(today.fits, "fits"),
        too_long=make.doable(today.too_long, "too_long"),
        late=make.noted(today.late),
        late_jobs=tuple(job for job in plan.jobs.values() if job.is_late and not job.is_finished),
        to_arrange=make.noted(today.to_arrange),
        blocked=make.noted(today.blocked),
        done=make.done(on),
        next_one=make.next_one(),
    )


SHOP_PAGES["today"] = today_page


class _Items:
    """Tasks of a plan as items of today's lists."""

    def __init__(self, known: PlanFacts, plan: Plan, versions: Mapping[tuple[int, str], int]) -> None:
        self.known, self.plan, self.versions = known, plan, versions

    def doable(self, found: Iterable[Doable], name: str) -> tuple[Item, ...]:
        """Return what somebody may begin, with its cautions. name: of the page's list that holds it."""
        return tuple(self._doable(one, f"{name}.{place}") for place, one in enumerate(found))

    def _doable(self, one: Doable, at: str) -> Item:
        task, words = one.planned.task, sentence(one.why)
        cautions = task_cautions(task, self.known.jobs[task.job_id].needs)
        return Item(task, words, self._version(task), task.takes, at, one.warning, cautions)

    def noted(self, found: Iterable[Noted]) -> tuple[Item, ...]:
        return tuple(self._noted(one.planned.task, one.words) for one in found)

    def _noted(self, task: Task, words: str) -> Item:
        return Item(task, words, self._version(task), task.takes)

    def ticking(self, timer: Timer) -> Ticking:
        task = timer.planned.task
        title = "" if task.name in timer.words else task.name
        left = f"in {span(timer.at - self.plan.now)}" if timer.at > self.plan.now else "now"
        can_end = task.clock is Clock.ELAPSED and timer.planned.has_begun and task.kind is not TaskKind.DELIVERY
        return Ticking(task, timer.words, left, title, self._version(task), can_end)

    def done(self, on: date) -> tuple[Item, ...]:
        """Return what was finished today, the last first."""
        over = [
            (each.task.finished_at, each)
            for each in self.plan.tasks.values()
            if each.task.finished_at and self.known.shop.day_of(each.task.finished_at) == on
        ]
        over.sort(key=lambda pair: pair[0], reverse=True)
        return tuple(self._noted(each.task, f"Finished {self.plan.say(at)}.") for at, each in over)

    def next_one(self) -> str:
        """Return what hands can begin next, in words; nothing when nothing is left to do."""
        ahead = [
            each
            for each in self.plan.tasks.values()
            if each.task.clock is Clock.ATTENDED and not each.has_begun and each.earliest_start > self.plan.now
        ]
        if not ahead:
            return ""
        first = min(ahead, key=lambda each: each.earliest_start)
        return f"{first.task.name} ({first.task.job_name}) from {self.plan.say(first.earliest_start)}"

    def _version(self, task: Task) -> int:
        return self.versions.get((task.job_id, task.part), 0)


@router.get(HOME)
def show_today(request: Request) -> Response:
    return _today(request)


@router.get(f"{HOME}/lists")
def show_lists(request: Request) -> Response:
    """Return today's lists alone, for a page that was left open."""
    with reading(request) as db:
        shown = today_page(db, desk.now(request))
    return page(request, "today/lists", page=shown, told="", focus="")


@router.post("/jobs/{job_id}/plan/start")
def start_task(request: Request, job_id: int, posted: Posted) -> Response:
    return _mark(request, job_id, posted, started, focus=f"{job_id}/{posted.get('key', '')}")


@router.post("/jobs/{job_id}/plan/finish")
def finish_task(request: Request, job_id: int, posted: Posted) -> Response:
    return _mark(request, job_id, posted, finished)


@router.post("/jobs/{job_id}/plan/take-back")
def take_task_back(request: Request, job_id: int, posted: Posted) -> Response:
    """Take back that a task was finished, or else that it was started."""
    return _mark(request, job_id, posted, lambda record, _: taken_back(record))


Change = Callable[[TaskRecord, datetime], TaskRecord]


def _mark(
    request: Request, job_id: int, posted: Mapping[str, str], change: Change, *, focus: str = "can-start"
) -> Response:
    """Record that a task was started or finished now, or take that back; the plan follows. focus: where to go on."""
    key, now = posted.get("key", ""), desk.now(request)
    url = own_path(posted.get("back", ""), HOME)
    with reading(request) as db:
        task, record, shop = known_task(db, job_id, key, now)
    marked = change(record, marked_at(now))
    if problems := list(mark_problems(marked, now, shop.tz)):
        return _refused(request, task, problems, url, status=422)
    try:
        with writing(request, _done_words(task, record, marked, shop.tz), job_id=job_id) as db:
            store.save_record(db, job_id, marked, version=version_of(posted))
            leads_to(db, url)
    except ChangedMeanwhile:
        words = f"“{task.name}” was changed elsewhere meanwhile, so nothing was recorded. This is how it stands now."
        return _refused(request, task, [Problem("", words)], url, status=409)
    return _lists(request, focus=focus) if is_htmx(request) else see_other(request, url)


def _done_words(task: Task, before: TaskRecord, after: TaskRecord, zone: tzinfo) -> str:
    """Return what was done, for the history."""
    for verb, was, now_is in (
        ("finished", before.finished_at, after.finished_at),
        ("started", before.started_at, after.started_at),
    ):
        if now_is and now_is != was:
            return f"“{task.name}” {verb} {now_is.astimezone(zone):%H:%M}"
        if was and not now_is:
            return f"“{task.name}” not {verb} after all"
    return f"“{task.name}” left as it was"


def _refused(request: Request, task: Task, problems: Sequence[Problem], url: str, *, status: int) -> Response:
    """Return the page the tap came from, with what is wrong."""
    words = " ".join(problem.words for problem in problems)
    if is_htmx(request):
        return _lists(request, told=words, status=status)
    if url.startswith(HOME):
        return _today(request, told=words, status=status)
    plain = [Problem("", problem.words) for problem in problems]
    return show(request, task.job_id, task.part, problems=plain, status=status)


def _today(request: Request, *, told: str = "", status: int = 200) -> Response:
    with reading(request) as db:
        shown = today_page(db, desk.now(request))
    return page(request, "today", status=status, page=shown, told=told, focus="")


def _lists(request: Request, *, told: str = "", focus: str = "", status: int = 200) -> Response:
    """Return the lists in the place of those on the page. focus: of which task the keyboard goes on."""
    with reading(request) as db:
        shown = today_page(db, desk.now(request))
    return fragments(request, "today", "lists", status=status, page=shown, told=told, focus=focus)
