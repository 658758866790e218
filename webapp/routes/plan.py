"""The plan of a job: its finish against its promise, its tasks as a chart and in words, on screen and paper."""

from fastapi import APIRouter, Request, Response

from domain.caution import GOVERNS
from domain.plan import Chart, chart
from webapp import desk
from webapp.chart import Drawing, draw, sheets
from webapp.desk import reading
from webapp.render import page
from webapp.routes.decision import decisions_of
from webapp.routes.plan_page import PlanPage, plan_page
from webapp.routes.solving import solving

router = APIRouter()


def _chart(shown: PlanPage, *, is_open: bool = False) -> Chart | None:
    """Return what the chart of a job's plan shows, None while nothing is planned. is_open: what is over is left out."""
    rows = [row.planned for row in shown.rows if row.planned is not None and not (is_open and row.is_over)]
    return chart(shown.plan, rows) if shown.plan and rows else None


@router.get("/jobs/{job_id}/plan")
def show_plan(request: Request, job_id: int) -> Response:
    with reading(request) as db:
        shown = plan_page(db, job_id, desk.now(request))
        decisions = decisions_of(db, desk.now(request), job_id)
    drawing = None
    if shown.plan and (known := _chart(shown)):
        drawing = draw(known, shown.plan.calendar, shown.job.promised_on)
    return page(
        request, "plan", job=shown.job, page=shown, drawing=drawing, governs=GOVERNS, decisions=decisions,
        solving=solving(request),
    )  # fmt: skip


@router.get("/jobs/{job_id}/plan/print")
def print_plan(request: Request, job_id: int) -> Response:
    with reading(request) as db:
        shown = plan_page(db, job_id, desk.now(request))
        decisions = decisions_of(db, desk.now(request), job_id)
    drawn: tuple[Drawing, ...] = ()
    if shown.plan and (known := _chart(shown, is_open=True)):
        drawn = sheets(known, shown.plan.calendar, shown.job.promised_on)
    return page(request, "plan_print", job=shown.job, page=shown, sheets=drawn, governs=GOVERNS, decisions=decisions)
