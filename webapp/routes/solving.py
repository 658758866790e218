"""The search for a better plan: started, looked at and stopped from a job's plan."""

from dataclasses import dataclass

from fastapi import APIRouter, Request, Response
from starlette.responses import RedirectResponse

from domain.plan.search import PlanSearch
from domain.schedule.prove import is_there
from webapp.desk import Posted, is_htmx, reading
from webapp.planner import Planner
from webapp.render import fragments
from webapp.store.job import load_job

router = APIRouter()


def planner(request: Request) -> Planner:
    found: Planner = request.app.state.planner
    return found


@dataclass(frozen=True)
class Solving:
    """search: what is told of it, None before the first; has_solver: whether plans can be proved the best."""

    search: PlanSearch | None
    has_solver: bool


def solving(request: Request) -> Solving:
    """Return what the fragment of the search shows."""
    return Solving(planner(request).told, is_there())


@router.post("/jobs/{job_id}/plan/search")
def look(request: Request, job_id: int, posted: Posted) -> Response:
    with reading(request) as db:
        load_job(db, job_id)
    planner(request).ask()
    return RedirectResponse(f"/jobs/{job_id}/plan#solving", status_code=303)


@router.post("/jobs/{job_id}/plan/search/stop")
def stop(request: Request, job_id: int, posted: Posted) -> Response:
    planner(request).stop()
    return RedirectResponse(f"/jobs/{job_id}/plan#solving", status_code=303)


@router.post("/jobs/{job_id}/plan/search/back")
def back(request: Request, job_id: int, posted: Posted) -> Response:
    planner(request).back()
    return RedirectResponse(f"/jobs/{job_id}/plan#solving", status_code=303)


@router.get("/jobs/{job_id}/plan/search")
def show(request: Request, job_id: int) -> Response:
    """Say how far the search is; without scripts, on the page of the plan."""
    if not is_htmx(request):
        return RedirectResponse(f"/jobs/{job_id}/plan#solving", status_code=303)
    with reading(request) as db:
        job = load_job(db, job_id)
    return fragments(request, "plan", "solving", job=job, solving=solving(request))
