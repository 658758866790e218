"""Today, across all open jobs: what runs, what can start, what is late; starting and finishing with one tap."""

from collections.abc import Callable, Mapping, Sequence
from datetime import datetime, tzinfo
from urllib.parse import parse_qs, urlsplit

from fastapi import APIRouter, Request, Response

from domain.plan.asked import asked_of
from domain.plan.late import late
from domain.problem import Problem
from domain.task import Task, TaskRecord
from domain.task_mark import finished, mark_problems, marked_at, started, taken_back
from webapp import desk
from webapp.desk import Posted, is_htmx, reading, see_other, version_of, writing
from webapp.links import own_path
from webapp.render import fragments, page
from webapp.routes.task.pages import known_task, show
from webapp.routes.today_page import TodayPage, today_page
from webapp.store import task as store
from webapp.store.form_key import leads_to
from webapp.store.plan import load_plan_facts
from webapp.store.rows import ChangedMeanwhile

router = APIRouter()

HOME = "/today"


@router.get(HOME)
def show_today(request: Request, person: str = "") -> Response:
    """Show the whole shop's day, or one person's: an address that a phone can keep."""
    return _today(request, person)


@router.get(f"{HOME}/lists")
def show_lists(request: Request, person: str = "") -> Response:
    """Return today's lists alone, for a page that was left open."""
    shown, told = _page_of(request, person)
    return page(request, "today/lists", page=shown, told=told, focus="")


@router.get(f"{HOME}/late/{{job_id}}")
def show_late(request: Request, job_id: int) -> Response:
    """Show what would finish a late job sooner: tried only when somebody asks, since each takes a plan."""
    with reading(request) as db:
        known = load_plan_facts(db, desk.now(request), job_id=job_id)
    plan, _ = known.plan()
    found = late(plan, asked_of(plan, kept=known.kept), job_id=job_id) if plan else ()
    return page(request, "today_late", job=known.jobs[job_id].job, late=found[0] if found else None)


@router.post("/jobs/{job_id}/plan/start")
def start_task(request: Request, job_id: int, posted: Posted) -> Response:
    who = _who(posted.get("who", ""))
    focus = f"{job_id}/{posted.get('key', '')}"
    return _mark(request, job_id, posted, lambda record, at: started(record, at, who), focus=focus)


@router.post("/jobs/{job_id}/plan/finish")
def finish_task(request: Request, job_id: int, posted: Posted) -> Response:
    return _mark(request, job_id, posted, finished)


@router.post("/jobs/{job_id}/plan/take-back")
def take_task_back(request: Request, job_id: int, posted: Posted) -> Response:
    """Take back that a task was finished, or else that it was started."""
    return _mark(request, job_id, posted, lambda record, _: taken_back(record))


Change = Callable[[TaskRecord, datetime], TaskRecord]


def _mark(request: Request, job_id: int, posted: Mapping[str, str], change: Change, *, focus: str = "next") -> Response:
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
    return _lists(request, _person(url), focus=focus) if is_htmx(request) else see_other(request, url)


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
        return _lists(request, _person(url), told=words, status=status)
    if url.startswith(HOME):
        return _today(request, _person(url), told=words, status=status)
    plain = [Problem("", problem.words) for problem in problems]
    return show(request, task.job_id, task.part, problems=plain, status=status)


def _who(text: str) -> tuple[int, ...]:
    """Return the ids of the people in whose turn a task was begun, as their page wrote them."""
    return tuple(int(one) for one in text.split() if one.isascii() and one.isdigit() and len(one) < 10)


def _person(url: str) -> str:
    """Return whose page an address leads to."""
    return next(iter(parse_qs(urlsplit(url).query).get("person", [])), "")


def _page_of(request: Request, person: str) -> tuple[TodayPage, str]:
    """Return the page of a person, by number, or of the whole shop, and what to tell when there is nobody by it."""
    with reading(request) as db:
        shown = today_page(db, desk.now(request))
    if not person:
        return shown, ""
    number = next(iter(_who(person)), 0)
    if shown.today and number not in dict(shown.people):
        return shown, "That person is not in the shop any more, or never was. This is the list of the whole shop."
    return shown.of(number), ""


def _today(request: Request, person: str, *, told: str = "", status: int = 200) -> Response:
    shown, nobody = _page_of(request, person)
    return page(request, "today", status=status, page=shown, told=told or nobody, focus="")


def _lists(request: Request, person: str, *, told: str = "", focus: str = "", status: int = 200) -> Response:
    """Return the lists in the place of those on the page. focus: of which task the keyboard goes on."""
    shown, _ = _page_of(request, person)
    return fragments(request, "today", "lists", status=status, page=shown, told=told, focus=focus)
