"""Error pages: what went wrong, what was kept, what to do; never a traceback."""

import logging
import sqlite3
from collections.abc import Mapping
from http import HTTPStatus
from secrets import token_hex
from typing import Any
from urllib.parse import urlsplit

from fastapi import FastAPI, Request, Response
from fastapi.exceptions import RequestValidationError
from sqlalchemy.exc import DatabaseError
from sqlalchemy.exc import TimeoutError as PoolTimeout
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import Headers
from starlette.exceptions import HTTPException
from starlette.responses import HTMLResponse, RedirectResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from webapp import desk, render
from webapp.links import own_path
from webapp.store.check import DISK_FAULTS, NOT_DAMAGE, code_of
from webapp.store.form_key import AlreadyDone
from webapp.store.gate import Busy
from webapp.store.history import CannotUndo
from webapp.store.rows import ChangedMeanwhile, Missing

log = logging.getLogger("benchday")

DAMAGE = (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB)
BAD_TEXT = "Could not decode to UTF-8"
"""What Python says of a text that was damaged; SQLite itself does not look into texts."""
LONGEST_READ_ON = 200_000_000
PLAIN_WORDS = {
    400: (
        "The form did not arrive as it should",
        "Nothing was changed. Go back and send it again, in smaller pieces if it is long.",
    ),
    404: ("Not there", "There is nothing at this address. It may have been removed: History can bring it back."),
    405: ("Not there", "This address is not for that. Nothing was changed. Go on from Jobs or Today."),
    413: ("Too much at once", "That is more than one form can hold (2 MB). Send it in smaller pieces."),
}


def register(app: FastAPI) -> None:
    app.add_exception_handler(Missing, _missing)
    app.add_exception_handler(AlreadyDone, _already_done)
    app.add_exception_handler(ChangedMeanwhile, _changed_meanwhile)
    app.add_exception_handler(CannotUndo, _cannot_undo)
    app.add_exception_handler(HTTPException, _http)
    app.add_exception_handler(RequestValidationError, _missing)
    app.add_exception_handler(OverflowError, _too_large_a_number)
    app.add_exception_handler(DatabaseError, _store_refused)
    app.add_exception_handler(PoolTimeout, _store_is_busy)
    app.add_exception_handler(Busy, _store_is_busy)
    app.add_exception_handler(Exception, _unexpected)


def trouble(request: Request, status: int, title: str, words: str, *, code: str = "") -> Response:
    """Return the error page; what was posted is shown so that it can be copied.

    On a page that htmx is changing only the line at its top says so, and what was typed stays where it is.
    """
    values: dict[str, Any] = {"title": title, "words": words, "code": code}
    if desk.is_htmx(request):
        line = render.ENVIRONMENT.get_template("shared/trouble_line.html").render(**values)
        return HTMLResponse(line, status_code=status, headers={"HX-Reswap": "none"})
    posted = _posted(request)
    if getattr(request.state, "stranger", False):
        return alone(status, title, words, posted=posted)
    try:
        return render.page(request, "trouble", status=status, posted=posted, **values)
    except Exception as error:
        log.error("the page of an error could not be made as usual", exc_info=error)
        return alone(status, title, words, posted=posted)


def alone(status: int, title: str, words: str, *, posted: Mapping[str, str] | None = None) -> Response:
    """Return an error page that needs neither store nor request."""
    template = render.ENVIRONMENT.get_template("trouble_alone.html")
    return HTMLResponse(template.render(title=title, words=words, posted=posted or {}), status_code=status)


def _posted(request: Request) -> dict[str, str]:
    posted: Mapping[str, str] = getattr(request.state, "posted", {})
    return {name: text for name, text in posted.items() if name not in ("form_key", "version")}


def _missing(request: Request, _: Exception) -> Response:
    """Say that there is nothing here. A page that an undo has just taken away gives way to the one above it."""
    above, slash, last = request.url.path.rstrip("/").rpartition("/")
    if request.method == "GET" and slash and last and "done" in request.query_params:
        return RedirectResponse(f"{own_path(above, '/')}?{request.url.query}", status_code=303)
    return trouble(request, 404, *PLAIN_WORDS[404])


class TooLarge:
    """ASGI middleware: the bare refusal of a body over the limit becomes a page, once the browser has sent it all."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        refused = False

        async def watch(message: Message) -> None:
            nonlocal refused
            if message["type"] == "http.response.start" and message["status"] == 413:
                refused = Headers(raw=message["headers"]).get("content-type", "").startswith("text/plain")
            if not refused:
                await send(message)

        await self.app(scope, receive, watch)
        if refused:
            await _read_on(receive)
            page = await run_in_threadpool(trouble, Request(scope), 413, *PLAIN_WORDS[413])
            await page(scope, receive, send)


async def _read_on(receive: Receive) -> None:
    """Read what is still being sent, in reason: a browser that cannot finish sending shows no reply."""
    read = 0
    while read < LONGEST_READ_ON:
        message = await receive()
        if message["type"] != "http.request" or not message.get("more_body"):
            return
        read += len(message.get("body", b""))


def _already_done(request: Request, error: Exception) -> Response:
    """A second press leads where the first one led; a second htmx press has nothing to show."""
    assert isinstance(error, AlreadyDone)
    if desk.is_htmx(request) or not error.led_to:
        return Response(status_code=204)
    return RedirectResponse(error.led_to, status_code=303)


def _changed_meanwhile(request: Request, error: Exception) -> Response:
    """Say so on a page that lets the person save again; a route that knows the fields shows both values beside."""
    assert isinstance(error, ChangedMeanwhile)
    if desk.is_htmx(request):
        return trouble(request, 409, "Not saved", "Somebody changed this while you were typing. Open the page again.")
    return render.page(
        request,
        "changed_meanwhile",
        status=409,
        version=error.version,
        posted=dict(getattr(request.state, "posted", {})),
        differences=(),
        theirs=urlsplit(request.headers.get("referer", "")).path or "/",
    )


def _cannot_undo(request: Request, error: Exception) -> Response:
    return trouble(request, 409, "This cannot be undone", str(error))


def _http(request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)
    if error.status_code == 404:
        return _missing(request, error)
    phrase = HTTPStatus(error.status_code).phrase
    return trouble(request, error.status_code, *PLAIN_WORDS.get(error.status_code, (phrase, str(error.detail))))


def _too_large_a_number(request: Request, error: Exception) -> Response:
    """A number in an address that is larger than any id names nothing."""
    return _missing(request, error) if "SQLite INTEGER" in str(error) else _unexpected(request, error)


def _store_refused(request: Request, error: Exception) -> Response:
    """Locked, read-only, full or damaged: say so plainly. What else SQL refuses is our own fault."""
    said = getattr(error, "orig", None)
    code = code_of(said)
    if code in DAMAGE or getattr(said, "sqlite_errorcode", 0) in DISK_FAULTS or BAD_TEXT in str(said):
        title = "The data file is damaged"
        words = (
            f"The database says “{said}”, so this was not saved. Stop Benchday and start it again: it keeps the "
            "damaged file and shows the backups to choose from."
        )
    elif code in NOT_DAMAGE:
        title = "The data file cannot be used"
        words = (
            f"Nothing was saved: the database says “{said}”. "
            "Check that the disk is not full and the file not read-only, then send it again."
        )
    else:
        return _unexpected(request, error)
    log.error("the store refused: %s", said)
    return trouble(request, 503, title, words)


def _store_is_busy(request: Request, _: Exception) -> Response:
    log.error("the store was busy for too long")
    return trouble(request, 503, "The data file is busy", "Nothing was saved. Wait a moment, then send it again.")


def _unexpected(request: Request, error: Exception) -> Response:
    code = token_hex(4)
    log.error("unexpected error %s at %s %s", code, request.method, request.url.path, exc_info=error)
    return trouble(
        request, 500, "Something went wrong here",
        "This is a fault in Benchday, not in what you typed. Nothing was half-saved. "
        f"The log has the details under code {code}.",
        code=code,
    )  # fmt: skip
