"""The plan as a calendar to subscribe to, of one job or of all that are open, and an alarm for one timer."""

from fastapi import APIRouter, Request, Response
from icalendar import Calendar
from sqlmodel import Session

from domain.plan import Plan
from domain.problem import Problem
from domain.task import key_of
from domain.today import todays_list
from webapp import desk
from webapp.calendar_file import alarm_file, calendar_file, stamp
from webapp.desk import reading
from webapp.errors import trouble
from webapp.store.plan import PlanFacts, load_plan_facts
from webapp.store.rows import Missing

router = APIRouter()

CALENDAR = "text/calendar; charset=utf-8"
READ = ["GET", "HEAD"]
"""A calendar program may ask for the headers alone."""


@router.api_route("/plan.ics", methods=READ)
def all_plans(request: Request) -> Response:
    with reading(request) as db:
        known = load_plan_facts(db, desk.now(request))
    plan, problems = known.plan()
    if plan is None:
        return _cannot(request, problems)
    name = f"Plans of {known.shop.name}" if known.shop.name else "Plans of all open jobs"
    return _file(request, calendar_file(plan, plan.tasks.values(), name=name, shop=_shop(request)), "plans")


@router.api_route("/jobs/{job_id}/plan.ics", methods=READ)
def job_plan(request: Request, job_id: int) -> Response:
    with reading(request) as db:
        known, plan, problems = _plan(request, db, job_id)
    if plan is None:
        return _cannot(request, problems)
    name = f"Plan of {known.jobs[job_id].job.name}"
    made = calendar_file(plan, plan.of_job(job_id), name=name, shop=_shop(request))
    return _file(request, made, f"plan-{job_id}")


@router.api_route("/people/{person_id}/plan.ics", methods=READ)
def person_plan(request: Request, person_id: int) -> Response:
    """Return what one person does, over all open jobs. Raises Missing for nobody of this id."""
    with reading(request) as db:
        known = load_plan_facts(db, desk.now(request))
    person = next((one for one in known.resources.people if one.id == person_id), None)
    if person is None:
        raise Missing(f"person {person_id}")
    plan, problems = known.plan()
    if plan is None:
        return _cannot(request, problems)
    theirs = [each for each in plan.tasks.values() if person_id in each.who]
    made = calendar_file(plan, theirs, name=f"Plan of {person.name}", shop=_shop(request))
    return _file(request, made, f"plan-person-{person_id}")


@router.api_route("/jobs/{job_id}/plan/alarm.ics", methods=READ)
def alarm(request: Request, job_id: int, key: str = "") -> Response:
    """Return one event that rings as a timer of today's list does. Raises Missing once it has rung."""
    with reading(request) as db:
        known, plan, _ = _plan(request, db, job_id)
    if plan is None or known.calendar is None:
        raise Missing(f"timer {key}")
    timers = todays_list(plan, known.now, known.calendar).timers
    timer = next((one for one in timers if one.planned.key == key_of(job_id, key)), None)
    if timer is None:
        raise Missing(f"timer {key} of job {job_id}")
    return _file(request, alarm_file(plan, timer, shop=_shop(request)), f"alarm-{job_id}")


def _plan(request: Request, db: Session, job_id: int) -> tuple[PlanFacts, Plan | None, tuple[Problem, ...]]:
    known = load_plan_facts(db, desk.now(request), job_id=job_id)
    plan, problems = known.plan()
    return known, plan, problems


def _shop(request: Request) -> str:
    """Return what tells the events of a demo from those of the shop in one calendar program."""
    return "demo.benchday" if request.app.state.settings.demo else "benchday"


def _cannot(request: Request, problems: tuple[Problem, ...]) -> Response:
    words = " ".join(problem.words for problem in problems)
    return trouble(request, 409, "No calendar yet", words or "Nothing can be planned yet.")


def _file(request: Request, made: Calendar, name: str) -> Response:
    """Return a calendar, or that nothing in it has changed since the program asked."""
    text = made.to_ical()
    tag = f'W/"{stamp(text)}"'
    headers = {
        "ETag": tag,
        "Cache-Control": "private, no-cache",
        "Content-Disposition": f'inline; filename="{name}.ics"',
    }
    if tag in request.headers.get("if-none-match", ""):
        return Response(status_code=304, headers=headers)
    return Response(text, headers=headers, media_type=CALENDAR)
