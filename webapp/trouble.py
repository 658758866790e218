"""Trouble mode: the data is damaged or gone, so a small app in its place says so and offers the backups."""

from asyncio import Lock
from collections.abc import Callable
from importlib.metadata import version

from starlette.applications import Starlette
from starlette.background import BackgroundTask
from starlette.concurrency import run_in_threadpool
from starlette.middleware.trustedhost import TrustedHostMiddleware
from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, RedirectResponse, Response
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles
from starlette.types import ASGIApp

from webapp.device import DeskOnly
from webapp.places import STATIC
from webapp.render import ENVIRONMENT
from webapp.routes.backup import shown
from webapp.same_site import SameSite
from webapp.settings import Settings
from webapp.store import backup
from webapp.store.database import CannotOpen, Database

RESTORE = "/restore-in-trouble"


def create_app(settings: Settings, words: str, *, restored: Callable[[], None]) -> ASGIApp:
    """Return the small app. words: what is wrong; restored: called once a backup is in place and the reply is sent."""
    one_at_a_time, is_done = Lock(), False

    def page(_: Request, problem: str = "") -> Response:
        if is_done:
            return HTMLResponse(ENVIRONMENT.get_template("trouble_over.html").render())
        rows = tuple(shown(one, None) for one in backup.listed(settings.file))
        template = ENVIRONMENT.get_template("trouble_start.html")
        html = template.render(
            title="The data cannot be opened", words=words, problem=problem, action=RESTORE, rows=rows,
            folder=backup.folder(settings.file),
        )  # fmt: skip
        return HTMLResponse(html, status_code=503)

    async def restore(request: Request) -> Response:
        nonlocal is_done
        async with request.form(max_files=0, max_fields=10) as form:
            copy = backup.file_of(settings.file, str(form.get("name", "")))
        async with one_at_a_time:
            if is_done:
                return RedirectResponse("/", status_code=303)
            if copy is None:
                return page(request, "That backup is not there any more. Choose another.")
            try:
                await run_in_threadpool(Database.put_back, settings.file, copy, at=settings.now())
            except CannotOpen as error:
                return page(request, f"Nothing was restored. {error}")
            is_done = True
            return RedirectResponse("/", status_code=303, background=BackgroundTask(restored))

    def health(_: Request) -> Response:
        status = "starting" if is_done else "damaged"
        return JSONResponse({"status": status, "version": version("benchday"), "schema": ""}, status_code=503)

    app = Starlette(
        routes=[
            Mount("/static", StaticFiles(directory=STATIC)),
            Route("/health", health),
            Route(RESTORE, restore, methods=["POST"]),
            Route("/{anywhere:path}", page, methods=["GET", "POST"]),
        ],
        max_body_size=100_000,
    )
    return SameSite(TrustedHostMiddleware(DeskOnly(app), settings.answers_to, www_redirect=False))
