"""What would help a plan: looked for when somebody asks, and carried out with one tap."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from domain.plan import Plan
from domain.plan.remedy import Remedy
from domain.plan.sooner import sooner
from domain.plan.tried import say
from domain.schedule.schedule import Aim
from webapp import desk
from webapp.desk import Posted, reading, see_other, version_of, writing
from webapp.forms import remedy as forms
from webapp.render import page
from webapp.routes.decision import asked_from, scuffs_of, way
from webapp.routes.task.pages import task_page
from webapp.store import shop as shop_store
from webapp.store.form_key import leads_to
from webapp.store.plan import PlanFacts, load_plan_facts
from webapp.store.remedy import carry_out
from webapp.store.rows import Missing

router = APIRouter()


@router.get("/jobs/{job_id}/plan/sooner")
def show_sooner(request: Request, job_id: int, key: str = "") -> Response:
    """Show what would bring a task forward: tried only when somebody asks, since each way takes a plan."""
    now = desk.now(request)
    with reading(request) as db:
        shown = task_page(db, job_id, key, now)
        known = load_plan_facts(db, now, job_id=job_id)
    plan, _ = known.plan()
    found = sooner(plan, asked_from(known, plan), shown.task.key) if plan and shown.task.key in plan.tasks else ()
    return page(request, "plan_sooner", job=shown.job, page=shown, found=tuple(map(way, found)))


@router.post("/jobs/{job_id}/plan/remedy")
def save_remedy(request: Request, job_id: int, posted: Posted) -> Response:
    """Carry out a remedy; one that is about something gone meanwhile is refused and says so."""
    now, url = desk.now(request), f"/jobs/{job_id}/plan"
    with reading(request) as db:
        known = load_plan_facts(db, now, job_id=job_id)
        plan, _ = known.plan()
        remedy = _posted(db, known, plan, job_id, posted, now) if plan else None
    if remedy is None or plan is None:
        raise Missing("this remedy: the plan has changed since it was offered")
    words = say(remedy, plan)
    with writing(request, words, job_id=job_id) as db:
        carry_out(db, remedy, now=now, why=f"For {known.jobs[job_id].job.name}")
        leads_to(db, url)
    return see_other(request, url)


def _posted(
    db: Session, known: PlanFacts, plan: Plan, job_id: int, posted: Mapping[str, str], now: datetime
) -> Remedy | None:
    return forms.read(posted, asked_from(known, plan), scuffs_of(db, known.jobs[job_id], now))


@router.post("/jobs/{job_id}/plan/aim")
def save_aim(request: Request, job_id: int, posted: Posted) -> Response:
    """Choose what plans are after once promises are kept."""
    aim = next((aim for aim in Aim if aim.value == posted.get("aim")), None)
    if aim is None:
        raise Missing("an aim of that name")
    url = f"/jobs/{job_id}/plan"
    with writing(request, f"Plans aim for: {aim.value}", job_id=job_id) as db:
        shop = shop_store.load_shop(db)
        shop_store.save_shop(db, replace(shop, aim=aim), version=version_of(posted))
        leads_to(db, url)
    return see_other(request, url)
