"""What a phone sees of being let in: the page it asks with, what waited meanwhile, and what it knows of itself."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated

from fastapi import APIRouter, Depends, Request, Response
from starlette.responses import RedirectResponse

from domain.problem import Problem
from webapp import desk
from webapp.desk import Posted
from webapp.device import DEVICES, FIRST, PAIR, PHONE, device_of, feed_address, hand_over
from webapp.forms import device as forms
from webapp.links import own_path
from webapp.pairing import TRIES, Pairing, Refusal
from webapp.render import page
from webapp.store import device as store
from webapp.store.person import load_people

router = APIRouter()

KEPT = "kept:"
"""Before the name of a field that waits on the pairing page to be sent again."""
LOOKS = ["GET", "HEAD"]
REFUSED = {
    Refusal.NOTHING_SHOWN: "The desk shows no code now, or this one is used up or older than ten minutes. "
    "Press “Let a phone in” at the desk and use what it then shows.",
    Refusal.WRONG: "That is not the code that the desk shows. Look again and type its eight digits.",
    Refusal.CODE_OFF: f"A wrong code came {TRIES} times, so this code is off. "
    "Press “Let a phone in” at the desk for a new one.",
}


@dataclass(frozen=True)
class Feed:
    """A calendar to subscribe to. subscribe: the same address for what the phone has for calendars."""

    name: str
    address: str
    subscribe: str


async def read_kept(request: Request, _: Posted) -> list[tuple[str, str]]:
    """Return every posted text field, repeated ones too, without NULs."""
    form = await request.form()
    return [(name, text.replace("\0", "")) for name, text in form.multi_items() if isinstance(text, str)]


Kept = Annotated[list[tuple[str, str]], Depends(read_kept)]


@router.api_route(PHONE, methods=LOOKS)
def show_phone(request: Request) -> Response:
    device = device_of(request)
    if device is None:
        return RedirectResponse(DEVICES, status_code=303)
    with desk.reading(request) as db:
        people = load_people(db)
    whose = [("Everybody", "/plan.ics"), *((one.name, f"/people/{one.id}/plan.ics") for one in people)]
    return page(request, "phone", device=device, feeds=[_feed(request, name, path) for name, path in whose])


@router.api_route(PAIR, methods=LOOKS)
def show_pair(request: Request, secret: str = "") -> Response:
    if not _is_stranger(request):
        return RedirectResponse(PHONE, status_code=303)
    if secret and not _pairing(request).fits(secret, desk.now(request)):
        return _pair_page(request, problems=[Problem("", REFUSED[Refusal.NOTHING_SHOWN])])
    return _pair_page(request, {"secret": secret})


@router.post(PAIR)
def pair(request: Request, posted: Posted, kept: Kept) -> Response:
    if not _is_stranger(request):
        return RedirectResponse(PHONE, status_code=303)
    again = [(name.removeprefix(KEPT), text) for name, text in kept if name.startswith(KEPT)]
    asked, problems = forms.read(posted)
    if asked is None:
        return _pair_page(request, posted, again, problems, status=422)
    token = _pairing(request).answer(
        desk.now(request), secret=asked.secret, code=asked.code, form_key=posted.get("form_key", ""), name=asked.name
    )
    if isinstance(token, Refusal):
        typed = {**posted, "secret": "", "code": ""}
        return _pair_page(request, typed, again, [Problem("code", REFUSED[token])], status=422)
    with desk.store(request).write("Phone let in", at=desk.now(request)) as db:
        store.let_in(db, asked.name, token=token, at=desk.now(request))
    leads_to = own_path(posted.get("then", ""), PHONE)
    reply: Response
    if posted.get("was_post"):
        told = {name: text for name, text in again if text and name not in ("form_key", "version", "back")}
        reply = page(request, "paired", action=leads_to, kept=again, posted=told)
    else:
        reply = RedirectResponse(leads_to, status_code=303)
    hand_over(reply.headers, token, demo=request.app.state.settings.demo)
    return reply


@router.api_route(FIRST, methods=LOOKS)
def asked_to_pair(request: Request) -> Response:
    """Answer whatever a phone that is not known looks at."""
    if not _is_stranger(request):
        return RedirectResponse(PHONE, status_code=303)
    return _first(request, [])


@router.post(FIRST)
def asked_to_pair_before_sending(request: Request, kept: Kept) -> Response:
    """Answer whatever a phone that is not known sends, with that kept."""
    if not _is_stranger(request):
        return RedirectResponse(PHONE, status_code=303)
    return _first(request, kept, was_post=True)


def _feed(request: Request, name: str, path: str) -> Feed:
    """Return a calendar as the phone that asks may subscribe to it, at the address it came by."""
    host = f"{request.url.netloc}{feed_address(request, path)}"
    return Feed(name, f"http://{host}", f"webcal://{host}")


def _first(request: Request, kept: list[tuple[str, str]], *, was_post: bool = False) -> Response:
    if desk.is_htmx(request):
        return page(request, "pair/line", status=403, headers={"HX-Reswap": "none"}, sends=was_post)
    typed = {"then": getattr(request.state, "asked", ""), "was_post": "yes" if was_post else ""}
    return _pair_page(request, typed, kept, status=403)


def _pair_page(
    request: Request,
    typed: Mapping[str, str] | None = None,
    kept: list[tuple[str, str]] | None = None,
    problems: list[Problem] | None = None,
    *,
    status: int = 200,
) -> Response:
    blank = dict.fromkeys(("name", "secret", "code", "then", "was_post"), "")
    return page(
        request, "pair", status=status, typed=blank | dict(typed or {}), kept=kept or [], problems=problems or [],
        labels=forms.LABELS, usual_name=forms.USUAL_NAME, prefix=KEPT,
    )  # fmt: skip


def _pairing(request: Request) -> Pairing:
    pairing: Pairing = request.app.state.pairing
    return pairing


def _is_stranger(request: Request) -> bool:
    return getattr(request.state, "stranger", False)
