"""Error pages: what went wrong, what was kept, what to do; never a traceback."""

import logging
from http import HTTPStatus
from secrets import token_hex

from fastapi import FastAPI, Request, Response
from fastapi.exceptions import RequestValidationError
from sqlalchemy.exc import OperationalError
from sqlalchemy.exc import TimeoutError as PoolTimeout
from starlette.exceptions import HTTPException
from starlette.responses import PlainTextResponse, RedirectResponse

from webapp import desk, render
from webapp.store.form_key import AlreadyDone
from webapp.store.history import CannotUndo
from webapp.store.rows import ChangedMeanwhile, Missing

log = logging.getLogger("benchday")


def register(app: FastAPI) -> None:
    app.add_exception_handler(Missing, _missing)
    app.add_exception_handler(AlreadyDone, _already_done)
    app.add_exception_handler(ChangedMeanwhile, _changed_meanwhile)
    app.add_exception_handler(CannotUndo, _cannot_undo)
    app.add_exception_handler(HTTPException, _http)
    app.add_exception_handler(RequestValidationError, _bad_address)
    app.add_exception_handler(OperationalError, _store_refused)
    app.add_exception_handler(PoolTimeout, _store_refused)
    app.add_exception_handler(Exception, _unexpected)


def trouble(request: Request, status: int, title: str, words: str, *, code: str = "") -> Response:
    """Return the error page; what was posted is shown so that it can be copied."""
    posted = {
        name: text for name, text in getattr(request.state, "posted", {}).items() if name not in ("form_key", "version")
    }
    return render.page(request, "trouble", status=status, title=title, words=words, code=code, posted=posted)


def _missing(request: Request, _: Exception) -> Response:
    return trouble(
        request,
        404,
        "Not there",
        "There is nothing at this address. It may have been removed: History can bring it back.",
    )


def _already_done(request: Request, error: Exception) -> Response:
    """A second press leads where the first one led; a second htmx press has nothing to show."""
    assert isinstance(error, AlreadyDone)
    if desk.is_htmx(request) or not error.led_to:
        return Response(status_code=204)
    return RedirectResponse(error.led_to, status_code=303)


def _changed_meanwhile(request: Request, error: Exception) -> Response:
    assert isinstance(error, ChangedMeanwhile)
    return render.page(
        request,
        "changed_meanwhile",
        status=409,
        version=error.version,
        posted=dict(getattr(request.state, "posted", {})),
        differences=(),
        theirs=request.headers.get("referer", "/"),
    )


def _cannot_undo(request: Request, error: Exception) -> Response:
    return trouble(request, 409, "This cannot be undone", str(error))


def _http(request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)
    if error.status_code == 404:
        return _missing(request, error)
    if error.status_code == 413:
        return trouble(
            request,
            413,
            "Too much at once",
            "That is more than one form can hold (2 MB). Send it in smaller pieces.",
        )
    return trouble(request, error.status_code, HTTPStatus(error.status_code).phrase, str(error.detail))


def _bad_address(request: Request, error: Exception) -> Response:
    return trouble(request, 404, "Not there", "This address does not name anything here. Go on from Jobs or Today.")


def _store_refused(request: Request, error: Exception) -> Response:
    """Locked, read-only or full: say so plainly; the reply may not need the store to be made."""
    log.error("the store refused: %s", error)
    said = str(getattr(error, "orig", error))
    words = (
        f"Nothing was saved: the database file says “{said}”. "
        "Check that the disk is not full and the file not read-only, then send it again."
    )
    try:
        return trouble(request, 503, "The data file cannot be written", words)
    except (OperationalError, PoolTimeout):
        return PlainTextResponse(words, status_code=503)


def _unexpected(request: Request, error: Exception) -> Response:
    code = token_hex(4)
    log.error("unexpected error %s at %s %s", code, request.method, request.url.path, exc_info=error)
    return trouble(
        request, 500, "Something went wrong here",
        "This is a fault in Benchday, not in what you typed. Nothing was half-saved. "
        f"What you typed is below. The log has the details under code {code}.",
        code=code,
    )  # fmt: skip
