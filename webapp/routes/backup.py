"""Backups: the last good one, all of them, one more now, taking one away as a file, and putting one back."""

import sqlite3
from dataclasses import dataclass
from datetime import datetime, timedelta, tzinfo
from fractions import Fraction
from urllib.parse import quote

from fastapi import APIRouter, Request, Response
from starlette.responses import FileResponse

from webapp import desk
from webapp.desk import Posted, reading, see_other, writing
from webapp.errors import trouble
from webapp.filters import decimal
from webapp.render import page
from webapp.store import backup as store
from webapp.store.backup import Aside, Backup
from webapp.store.check import CannotOpen
from webapp.store.form_key import leads_to
from webapp.store.rows import Missing
from webapp.store.shop import load_shop

router = APIRouter()

LATE = timedelta(days=7)
WHY = {
    store.DAILY: "the day's own",
    store.BY_HAND: "made by hand",
    store.BEFORE_UPGRADE: "before an upgrade",
    store.BEFORE_RESTORE: "what a restore replaced",
}


@dataclass(frozen=True)
class BackupRow:
    """A backup, or a damaged file kept aside, as the list shows it."""

    name: str
    when: str
    why: str
    size: str


@dataclass(frozen=True)
class BackupsPage:
    """rows: newest first; is_late: no good backup for a week; restored: the name of the one just put back."""

    folder: str
    rows: tuple[BackupRow, ...]
    asides: tuple[BackupRow, ...]
    is_late: bool
    restored: BackupRow | None


@router.get("/backups")
def backups(request: Request, restored: str = "") -> Response:
    return page(request, "backups", page=_backups_page(request, restored))


@router.post("/backups")
def back_up(request: Request, posted: Posted) -> Response:
    """Make one. The writing session is there for the form's key only, so that a second press makes no second one."""
    database = desk.store(request)
    try:
        with writing(request, "Backup made") as db:
            database.back_up(at=desk.now(request), why=store.BY_HAND)
            url = leads_to(db, "/backups")
    except (OSError, sqlite3.Error, CannotOpen) as error:
        words = f"{error}. Your data is as it was. Check that the disk is not full, then try again."
        return trouble(request, 503, "The backup could not be made", words)
    return see_other(request, url)


@router.get("/backups/{name}")
def download(request: Request, name: str) -> Response:
    file = store.file_of(desk.store(request).path, name)
    if file is None:
        raise Missing(name)
    return FileResponse(file, media_type="application/vnd.sqlite3", filename=file.name)


@router.post("/backups/{name}/restore")
def restore(request: Request, name: str, posted: Posted) -> Response:
    database = desk.store(request)
    copy = store.file_of(database.path, name)
    if copy is None:
        raise Missing(name)
    url = f"/backups?restored={quote(copy.name)}"
    try:
        database.restore(copy, at=desk.now(request), key=posted.get("form_key", ""), leads_to=url)
    except CannotOpen as error:
        return trouble(request, 503, "Nothing was restored", str(error))
    return see_other(request, url)


def shown(one: Backup | Aside, zone: tzinfo | None) -> BackupRow:
    """Return a file as the list shows it; the machine's own zone when the shop's is not known."""
    if isinstance(one, Backup):
        return BackupRow(one.name, _moment(one.made_at, zone), WHY.get(one.why, one.why), _size(one.bytes))
    return BackupRow(one.name, _moment(one.moved_at, zone), "damaged", _size(one.bytes))


def _backups_page(request: Request, restored: str) -> BackupsPage:
    path = desk.store(request).path
    found = store.listed(path)
    with reading(request) as db:
        zone = load_shop(db).tz
    rows = tuple(shown(one, zone) for one in found)
    return BackupsPage(
        folder=str(store.folder(path)),
        rows=rows,
        asides=tuple(shown(one, zone) for one in store.asides(path)),
        is_late=not found or desk.now(request) - found[0].made_at > LATE,
        restored=next((row for row in rows if row.name == restored), None),
    )


def _moment(at: datetime, zone: tzinfo | None) -> str:
    local = at.astimezone(zone)
    return f"{local:%a} {local.day} {local:%b %Y %H:%M}"


def _size(count: int) -> str:
    if count < 1_000_000:
        return f"{decimal(Fraction(count, 1000), 0)} kB"
    return f"{decimal(Fraction(count, 1_000_000), 1)} MB"
