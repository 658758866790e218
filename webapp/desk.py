"""What every handler has at hand: the store, what was posted, the time, and the way on."""

from collections.abc import Iterator, Mapping
from contextlib import AbstractContextManager, contextmanager
from datetime import datetime
from typing import Annotated
from urllib.parse import urlencode, urlsplit, urlunsplit

from fastapi import Depends, Request
from sqlmodel import Session
from starlette.responses import RedirectResponse

from webapp.store import history
from webapp.store.database import Database


async def read_posted(request: Request) -> Mapping[str, str]:
    """Return the posted fields as text, without NULs; of a repeated field the last one."""
    form = await request.form()
    posted = {name: value.replace("\0", "") for name, value in form.multi_items() if isinstance(value, str)}
    request.state.posted = posted
    return posted


Posted = Annotated[Mapping[str, str], Depends(read_posted)]


def store(request: Request) -> Database:
    database: Database = request.app.state.database
    return database


def now(request: Request) -> datetime:
    at: datetime = request.app.state.settings.now()
    return at


def reading(request: Request) -> AbstractContextManager[Session]:
    return store(request).read()


@contextmanager
def writing(request: Request, words: str, *, job_id: int | None = None) -> Iterator[Session]:
    """Give the writing session for this form; words: what is done, for the history and the undo line."""
    key = getattr(request.state, "posted", {}).get("form_key", "")
    with store(request).write(words, at=now(request), job_id=job_id, key=key) as db:
        yield db
        db.flush()
        request.state.action_id = history.last_action_id(db)


def version_of(posted: Mapping[str, str]) -> int:
    """Return the version of the row that the person saw; 0, which is none, when the form did not say."""
    text = posted.get("version", "")
    return int(text) if text.isascii() and text.isdigit() and len(text) < 10 else 0


def see_other(request: Request, url: str) -> RedirectResponse:
    """Send the browser on after a write, with what was done in the address so that the page can offer undo."""
    parts = urlsplit(url)
    action_id = getattr(request.state, "action_id", None)
    query = (
        parts.query + ("&" if parts.query and action_id else "") + (urlencode({"done": action_id}) if action_id else "")
    )
    return RedirectResponse(urlunsplit(parts._replace(query=query)), status_code=303)


def is_htmx(request: Request) -> bool:
    return request.headers.get("hx-request") == "true"
