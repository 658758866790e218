"""Who may ask: everybody on this machine; from the shop's network only a phone that was let in; else the pairing page.

What decides is the address that the other end of the connection has, never a header: headers are the sender's to write.
"""

import logging
from dataclasses import dataclass
from datetime import timedelta
from ipaddress import ip_address

from sqlalchemy.exc import SQLAlchemyError
from sqlmodel import Session
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import MutableHeaders, QueryParams
from starlette.requests import HTTPConnection, Request
from starlette.responses import RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from domain.device import Device
from webapp import desk
from webapp.errors import alone, trouble
from webapp.links import own_path
from webapp.store import device as store
from webapp.store.gate import Busy

log = logging.getLogger("benchday")

PAIR, FIRST, PHONE, DEVICES = "/pair", "/pair/first", "/phone", "/shop/devices"
OPEN_FILES = frozenset(
    ("/static/icon.svg", *(f"/static/css/{name}.css" for name in ("tokens", "base", "components", "device")))
)
"""What the pairing page itself needs."""
DESK_ONLY = (DEVICES, "/backups", "/export.zip", "/import")
"""Who is let in, the whole of the data as a file, and what replaces or adds to it unseen: decided at the desk. A phone
gets lost, and lies about unlocked at the bench; what it can do can be undone from History."""
AT_THE_DESK = (
    "Only at the desk",
    "This page lets phones in, or takes out or brings in data as files. Open it on the machine that Benchday runs on.",
)
YEAR = timedelta(days=365)
FEED = "feed"
"""The query of a calendar address that says which phone subscribed to it."""


@dataclass(frozen=True, slots=True)
class Caller:
    """Who asks from the network. device: the phone that was let in; renews: its cookie goes out again; reads_feed: a
    calendar program of such a phone, which has no cookie."""

    device: Device | None = None
    renews: bool = False
    reads_feed: bool = False


def is_loopback(scope: Scope) -> bool:
    """Whether the other end is on this machine, by its address."""
    host = (scope.get("client") or ("",))[0]
    try:
        return ip_address(host).is_loopback
    except ValueError:
        return False


def cookie_name(*, demo: bool) -> str:
    """Return the name of a phone's cookie: browsers keep one for all ports of a machine, and a demo is another shop."""
    return "benchday_demo_phone" if demo else "benchday_phone"


def hand_over(headers: MutableHeaders, token: str, *, demo: bool) -> None:
    """Give a phone what it holds from now on. Not `Secure`: the shop's own network is plain http."""
    seconds = YEAR // timedelta(seconds=1)
    headers.append(
        "Set-Cookie",
        f"{cookie_name(demo=demo)}={token}; HttpOnly; Max-Age={seconds}; Path=/; SameSite=Strict",
    )


def device_of(request: HTTPConnection) -> Device | None:
    """Return the phone that asks, None at the desk."""
    device: Device | None = getattr(request.state, "device", None)
    return device


def feed_address(request: HTTPConnection, path: str) -> str:
    """Return a calendar address to subscribe to, for the calendar program of the phone that asks; as it is at the desk.

    It stops answering when that phone is forgotten.
    """
    device = device_of(request)
    return path if device is None else f"{path}{'&' if '?' in path else '?'}{FEED}={device.feed_key}"


class Guard:
    """ASGI middleware: the rule at the top of this file."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] == "lifespan" or is_loopback(scope):
            await self.app(scope, receive, send)
        elif scope["type"] == "http":
            await self._from_the_network(scope, receive, send)

    async def _from_the_network(self, scope: Scope, receive: Receive, send: Send) -> None:
        request = Request(scope, receive)
        try:
            caller = await run_in_threadpool(_look_up, request)
        except (SQLAlchemyError, Busy) as error:
            log.error("a phone could not be looked up", exc_info=error)
            refusal = alone(503, "The data file is busy", "Nothing was changed. Wait a moment, then try again.")
            await refusal(scope, receive, send)
            return
        if caller.device is None:
            request.state.stranger = True
            await self.app(scope if caller.reads_feed else _asked_to_pair(request), receive, send)
        elif _is_under(scope["path"], DESK_ONLY):
            await (await run_in_threadpool(_desk_only, request))(scope, receive, send)
        else:
            request.state.device = caller.device
            await self.app(scope, receive, _renewing(request, send) if caller.renews else send)


class DeskOnly:
    """ASGI middleware for an app that knows no phones: it answers this machine alone."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] == "lifespan" or is_loopback(scope):
            await self.app(scope, receive, send)
        elif scope["type"] == "http":
            refusal = alone(403, "Go to the desk", "Benchday needs a decision on the machine that it runs on.")
            await refusal(scope, receive, send)


def _look_up(request: Request) -> Caller:
    """Return who asks. That a phone is in use is noted, and its cookie renewed, once an hour."""
    token, now = _token(request), desk.now(request)
    with desk.reading(request) as db:
        device = store.device_with_token(db, token)
        if device is None:
            return Caller(reads_feed=_asks_for_feed(request) and _has_feed_key(request, db))
    if not device.seen_is_due(now):
        return Caller(device)
    try:
        with desk.store(request).write("Phone seen", at=now) as db:
            store.note_seen(db, device.id, at=now)
    except SQLAlchemyError as error:  # a full disk is told by the write that somebody asked for
        log.error("it could not be noted that a phone is in use: %s", error)
    return Caller(device, renews=True)


def _asks_for_feed(request: Request) -> bool:
    return request.method in ("GET", "HEAD") and str(request.scope["path"]).endswith(".ics")


def _has_feed_key(request: Request, db: Session) -> bool:
    return store.device_with_feed_key(db, request.query_params.get(FEED, "")) is not None


def _asked_to_pair(request: Request) -> Scope:
    """Return the request of a phone that is not known as it is answered: the pairing page, what it asked for kept.

    A secret is all that the address of the pairing page may carry.
    """
    path, looks = request.scope["path"], request.method in ("GET", "HEAD")
    query = request.scope["query_string"].decode("latin-1") if looks else ""
    if looks and path in OPEN_FILES:
        return request.scope
    if path == PAIR and (looks or request.method == "POST"):
        kept = {"secret": request.query_params["secret"]} if "secret" in request.query_params else {}
        return {**request.scope, "query_string": str(QueryParams(kept)).encode()}
    if not path.startswith("/static/"):
        request.state.asked = own_path(path + (f"?{query}" if query else ""), "")
    method = request.method if looks or request.method == "POST" else "GET"
    return {**request.scope, "method": method, "path": FIRST, "raw_path": FIRST.encode(), "query_string": b""}


def _desk_only(request: Request) -> Response:
    if request.method in ("GET", "HEAD") and request.scope["path"] == DEVICES:
        return RedirectResponse(PHONE, status_code=303)
    return trouble(request, 403, *AT_THE_DESK)


def _renewing(request: Request, send: Send) -> Send:
    """Return how to send a reply that renews the phone's cookie as well."""

    async def send_renewed(message: Message) -> None:
        if message["type"] == "http.response.start":
            hand_over(MutableHeaders(scope=message), _token(request), demo=request.app.state.settings.demo)
        await send(message)

    return send_renewed


def _token(request: Request) -> str:
    return request.cookies.get(cookie_name(demo=request.app.state.settings.demo), "")


def _is_under(path: str, tops: tuple[str, ...]) -> bool:
    return any(path == top or path.startswith(f"{top}/") for top in tops)
