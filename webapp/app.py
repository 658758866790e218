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
from webapp.routes import ROUTERS
from webapp.same_site import SameSite
from webapp.search import Searcher
from webapp.settings import Settings
from webapp.store.database import READERS, CannotOpen, Database

log = logging.getLogger("benchday")

LARGEST_FORM = 2_000_000
"""Bytes of one posted form or file; a 500-part list is well under a tenth of it."""
BACKUP_LOOK = 15 * 60
"""Seconds between looks whether the day has its backup, for an app that runs for weeks."""


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
        await _back_up_today(database, settings)
        daily = asyncio.create_task(_back_up_daily(database, settings))
        yield
        daily.cancel()
        with suppress(asyncio.CancelledError):
            await daily
        await run_in_threadpool(app.state.searcher.close)
        database.close()

    app = Benchday(
        title="Benchday",
        lifespan=lifespan,
        docs_url=None,
        redoc_url=None,
        openapi_url=None,
        max_body_size=LARGEST_FORM,
        telemetry={"tracing": False, "metrics": False, "logs": False},
    )
    app.state.database = database
    app.state.settings = settings
    app.state.pairing = Pairing()
    app.state.searcher = Searcher(database, settings.now)
    app.mount("/static", StaticFiles(directory=STATIC), name="static")
    for router in ROUTERS:
        app.include_router(router)
    errors.register(app)
    return app


async def _back_up_daily(database: Database, settings: Settings) -> None:
    while True:
        await asyncio.sleep(BACKUP_LOOK)
        await _back_up_today(database, settings)


async def _back_up_today(database: Database, settings: Settings) -> None:
    """Make the day's backup unless there is one. A demo needs none: it can be made again."""
    if settings.demo:
        return
    try:
        await run_in_threadpool(database.back_up_daily, at=settings.now())
    except (OSError, sqlite3.Error, CannotOpen) as error:
        log.error("the daily backup could not be made: %s", error)
