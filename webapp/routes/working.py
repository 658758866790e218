"""The working of a figure: alone for the panel of a page, or as a page of its own."""

from urllib.parse import urlsplit

from fastapi import APIRouter, Request, Response

from webapp import desk
from webapp.desk import reading
from webapp.render import page
from webapp.store.job import load_job
from webapp.store.rows import Missing
from webapp.working import PAGES, SHOP_PAGES, find, is_long

router = APIRouter()

BACK = {"piece": "pieces", "quote": "quotes"}
"""Where a noun's pages are called otherwise."""


@router.get("/jobs/{job_id}/working/{noun}/{at:path}")
def show_working(request: Request, job_id: int, noun: str, at: str) -> Response:
    if noun not in PAGES:
        raise Missing(noun)
    with reading(request) as db:
        load_job(db, job_id)
        shown = PAGES[noun](db, job_id, desk.now(request))
    return show_figure(request, shown, at, f"/jobs/{job_id}/{BACK.get(noun, noun)}")


@router.get("/working/{noun}/{at:path}")
def show_shop_working(request: Request, noun: str, at: str) -> Response:
    if noun not in SHOP_PAGES:
        raise Missing(noun)
    with reading(request) as db:
        shown = SHOP_PAGES[noun](db, desk.now(request))
    return show_figure(request, shown, at, f"/{BACK.get(noun, noun)}")


def show_figure(request: Request, shown: object, at: str, home: str) -> Response:
    """Return the working for the panel when htmx asks, else a page with a way back."""
    figure = find(shown, at)
    if figure is None:
        raise Missing(at)
    name, here = "shared/working" if desk.is_htmx(request) else "working", request.url.path
    up, _, _ = here.rpartition(".came_from.")
    back, at = _came_from(request) or home, here if is_long(figure) else ""
    return page(request, name, figure=figure, back=back, at=at, up=up)


def _came_from(request: Request) -> str:
    """Return the path of our own page that linked here, empty when there is none to go back to."""
    came_from = urlsplit(request.headers.get("referer", ""))
    if came_from.netloc != request.headers.get("host") or "/working/" in came_from.path:
        return ""
    return came_from.path
