"""create_app(settings): the store, the routes, the guards and the error pages."""

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

from fastapi import FastAPI
from starlette.middleware.trustedhost import TrustedHostMiddleware
from starlette.staticfiles import StaticFiles

from webapp import errors
from webapp.places import STATIC
from webapp.routes import ROUTERS
from webapp.same_site import SameSite
from webapp.settings import Settings
from webapp.store import backup
from webapp.store.database import Database

LARGEST_FORM = 2_000_000
"""Bytes of one posted form or file; a 500-part list is well under a tenth of it."""


def create_app(settings: Settings) -> FastAPI:
    """Return the app on its opened database. Raises CannotOpen, worded for a person, when the file cannot be used."""
    database = Database(settings.file, at=settings.now())
    backup.daily(database.path, at=settings.now())

    @asynccontextmanager
    async def lifespan(_: FastAPI) -> AsyncIterator[None]:
        yield
        database.close()

    app = FastAPI(
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
    app.add_middleware(SameSite)
    app.add_middleware(TrustedHostMiddleware, allowed_hosts=list(settings.hosts), www_redirect=False)
    app.mount("/static", StaticFiles(directory=STATIC), name="static")
    for router in ROUTERS:
        app.include_router(router)
    errors.register(app)
    return app
