"""Phones at the desk: letting one in, naming, forgetting. Only this machine gets here (webapp/device.py)."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import timedelta

from fastapi import APIRouter, Request, Response

from domain.device import Device, last_seen
from domain.problem import Problem
from webapp import desk
from webapp.desk import Posted, reading, see_other, writing
from webapp.device import DEVICES, PAIR
from webapp.forms import device as forms
from webapp.pairing import Pairing
from webapp.qr import QrCode, qr_code
from webapp.render import page
from webapp.store import device as store
from webapp.store.shop import load_shop

router = APIRouter()

FORGOTTEN_SHOWN = timedelta(days=7)


@dataclass(frozen=True)
class Way:
    """A way in by one address of this machine."""

    address: str
    code: QrCode


@dataclass(frozen=True)
class InvitationPage:
    """What the desk shows while it lets a phone in. ways: one per address of this machine; code: empty when off."""

    ways: tuple[Way, ...]
    code: str
    until: str
    taken_by: str
    wrong_tries: int

    @property
    def is_waiting(self) -> bool:
        return not self.taken_by


@dataclass(frozen=True)
class DeviceRow:
    """A phone as the list shows it. typed: its name, or what was typed for it."""

    id: int
    field: str
    name: str
    typed: str
    words: str


@dataclass(frozen=True)
class DevicesPage:
    """addresses: where phones may ask, none when the maker has not turned that on."""

    addresses: tuple[str, ...]
    known: tuple[DeviceRow, ...]
    forgotten: tuple[DeviceRow, ...]


@router.get(DEVICES)
def show_devices(request: Request) -> Response:
    return _devices_page(request)


@router.post(f"{DEVICES}/invite")
def invite(request: Request, posted: Posted) -> Response:
    if request.app.state.settings.lan:
        _pairing(request).invite(desk.now(request))
    return see_other(request, f"{DEVICES}#invitation")


@router.post(f"{DEVICES}/stop")
def stop(request: Request, posted: Posted) -> Response:
    _pairing(request).stop()
    return see_other(request, DEVICES)


@router.get(f"{DEVICES}/waiting")
def waiting(request: Request) -> Response:
    """Return the line that says whether the phone has come, for the page that asks again by itself."""
    return page(request, "devices/waiting", invitation=_invitation(request))


@router.post(f"{DEVICES}/{{device_id}}/name")
def rename(request: Request, device_id: int, posted: Posted) -> Response:
    name, problems = forms.read_name(posted, forms.name_field(device_id))
    if problems:
        return _devices_page(request, posted, problems)
    with writing(request, "Phone named") as db:
        store.rename(db, device_id, name)
    return see_other(request, DEVICES)


@router.post(f"{DEVICES}/{{device_id}}/forget")
def forget(request: Request, device_id: int, posted: Posted) -> Response:
    with writing(request, "Phone forgotten") as db:
        store.forget(db, device_id, at=desk.now(request))
    return see_other(request, DEVICES)


@router.post(f"{DEVICES}/{{device_id}}/again")
def let_in_again(request: Request, device_id: int, posted: Posted) -> Response:
    with writing(request, "Phone let in again") as db:
        store.let_in_again(db, device_id)
    return see_other(request, DEVICES)


def _devices_page(
    request: Request, typed: Mapping[str, str] | None = None, problems: list[Problem] | None = None
) -> Response:
    now = desk.now(request)
    with reading(request) as db:
        zone = load_shop(db).tz
        known, forgotten = store.load_devices(db), store.load_forgotten(db, since=now - FORGOTTEN_SHOWN)

    def shown(device: Device) -> DeviceRow:
        field = forms.name_field(device.id)
        words = last_seen(device, now, zone)
        return DeviceRow(device.id, field, device.name, (typed or {}).get(field, device.name), words)

    shop_page = DevicesPage(
        addresses=_addresses(request),
        known=tuple(shown(device) for device in known),
        forgotten=tuple(shown(device) for device in forgotten),
    )
    return page(
        request, "devices", status=422 if problems else 200, page=shop_page, invitation=_invitation(request),
        problems=problems or [],
    )  # fmt: skip


def _invitation(request: Request) -> InvitationPage | None:
    """Return what the desk shows now, None when it lets nobody in."""
    now = desk.now(request)
    invitation = _pairing(request).standing(now)
    if invitation is None:
        return None
    with reading(request) as db:
        until = invitation.until.astimezone(load_shop(db).tz)
    ways = tuple(Way(one, qr_code(f"{one}{PAIR}?secret={invitation.secret}")) for one in _addresses(request))
    code = f"{invitation.code[:4]} {invitation.code[4:]}" if invitation.tries_left else ""
    return InvitationPage(ways, code, f"{until:%H:%M}", invitation.taken_by, invitation.wrong_tries)


def _addresses(request: Request) -> tuple[str, ...]:
    """Return where phones may ask: the addresses we listen on, at the port this very request came in."""
    port = (request.scope.get("server") or ("", None))[1]
    return tuple(f"http://{one}:{port}" for one in request.app.state.settings.lan)


def _pairing(request: Request) -> Pairing:
    pairing: Pairing = request.app.state.pairing
    return pairing
