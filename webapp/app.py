"""create_app(settings): the store, the routes, the guards and the error pages."""

import asyncio
import logging
import sqlite3
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager, suppress

from anyio.to_thread import current_default_thread_limiter
from fastapi import FastAPI
from starlette.concurrency import run_in_threadpool
from starlette.middleware.trustedhost import TrustedHostMiddleware
from starlette.staticfiles import StaticFiles
from starlette.types import ASGIApp

from webapp import errors
from webapp.device import Guard
from webapp.pairing import Pairing
from webapp.places import STATIC
from webapp.planner import Planner
from webapp.routes import ROUTERS
from webapp.same_site import SameSite
from webapp.search import Searcher
from webapp.settings import Settings
from webapp.store.database import READERS, CannotOpen, Database

log = logging.getLogger("benchday")

LARGEST_FORM = 2_000_000
"""Bytes of one posted form or file; a 500-part list is well under a tenth of it."""
DAY_LOOK = 15 * 60
"""Seconds between looks whether the day has its backup and its plan, for an app that runs for weeks."""


class Benchday(FastAPI):
    """The app, with its guards around everything, the last resort of error pages included."""

    def build_middleware_stack(self) -> ASGIApp:
        guarded = Guard(errors.TooLarge(super().build_middleware_stack()))
        return SameSite(TrustedHostMiddleware(guarded, self.state.settings.answers_to, www_redirect=False))


def create_app(settings: Settings, *, open_database: Callable[..., Database] = Database) -> FastAPI:
    """Return the app on its opened database. Raises CannotOpen, worded for a person, when the file cannot be used.

    open_database: other than usual only in tests that cut the power.
    """
    database = open_database(settings.file, at=settings.now())

    @asynccontextmanager
    async def lifespan(_: FastAPI) -> AsyncIterator[None]:
        current_default_thread_limiter().total_tokens = READERS // 2
        await _today(database, settings, app.state.planner)
        daily = asyncio.create_task(_daily(database, settings, app.state.planner))
        yield
        daily.cancel()
        with suppress(asyncio.CancelledError):
            await daily
        await run_in_threadpool(app.state.searcher.close)
        await run_in_threadpool(app.state.planner.close)
        database.close()

    app = Benchday(
        title="Benchday",
        lifespan=lifespan,
        docs_url=None,
        redoc_url=None,
        openapi_url=None,
        routes=[route for router in ROUTERS for route in router.routes],  # as they are: included, each app copies them
        max_body_size=LARGEST_FORM,
        telemetry={"tracing": False, "metrics": False, "logs": False},
    )
    app.state.database = database
    app.state.settings = settings
    app.state.pairing = Pairing()
    app.state.searcher = Searcher(database, settings.now)
    app.state.planner = Planner(database, settings.now)
    app.mount("/static", StaticFiles(directory=STATIC), name="static")
    errors.register(app)
    return app


async def _daily(database: Database, settings: Settings, planner: Planner) -> None:
    while True:
        await asyncio.sleep(DAY_LOOK)
        await _today(database, settings, planner)


async def _today(database: Database, settings: Settings, planner: Planner) -> None:
    """Do what is done once a day, unless it is done: the backup, and the plan that what moves is told against."""
    await _back_up_today(database, settings)
    try:
        await run_in_threadpool(planner.keep_daily)
    except Exception as error:  # the plan can be made anew on any page, and the app must start
        log.error("the plan of the day could not be kept", exc_info=error)


async def _back_up_today(database: Database, settings: Settings) -> None:
    """Make the day's backup unless there is one. A demo needs none: it can be made again."""
    if settings.demo:
        return
    try:
        await run_in_threadpool(database.back_up_daily, at=settings.now())
    except (OSError, sqlite3.Error, CannotOpen) as error:
        log.error("the daily backup could not be made: %s", error)
