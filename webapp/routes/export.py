"""Everything of the shop in one zip of open formats: a job file for every job, the prices, a copy of the data."""

import sqlite3
from collections.abc import Iterator
from datetime import datetime
from io import RawIOBase
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

from fastapi import APIRouter, Request, Response
from starlette.responses import StreamingResponse

from webapp import csv_text, desk
from webapp.errors import trouble
from webapp.job_document import to_text
from webapp.routes.price import COLUMNS, csv_row
from webapp.store.check import CannotOpen
from webapp.store.database import Database
from webapp.store.job import search_jobs
from webapp.store.job_document import load_job_document
from webapp.store.price import load_price_book
from webapp.store.rows import Missing
from webapp.store.shop import load_shop

router = APIRouter()

EVERY_JOB = 1_000_000


@router.get("/export.zip")
def export(request: Request) -> Response:
    """Send the zip as it is made, job by job. The copy of the data is made first, so that a fault of it has a page."""
    database, now = desk.store(request), desk.now(request)
    folder = TemporaryDirectory()
    copy = Path(folder.name) / database.path.name
    try:
        database.copy_to(copy)
    except (OSError, sqlite3.Error, CannotOpen) as error:
        folder.cleanup()
        return trouble(request, 503, "The zip could not be made", f"{error}. Your data is as it was.")
    with desk.reading(request) as db:
        local = now.astimezone(load_shop(db).tz)
    return StreamingResponse(
        _zip(database, folder, copy, now, local),
        media_type="application/zip",
        headers={"Content-Disposition": f'attachment; filename="benchday-{local:%Y-%m-%d}.zip"'},
    )


class _Outgoing(RawIOBase):
    """What was written and not sent yet."""

    def __init__(self) -> None:
        self._written: list[bytes] = []

    def writable(self) -> bool:
        return True

    def write(self, data: Any) -> int:
        self._written.append(bytes(data))
        return len(data)

    def take(self) -> bytes:
        taken, self._written = b"".join(self._written), []
        return taken


def _zip(
    database: Database, folder: TemporaryDirectory[str], copy: Path, now: datetime, local: datetime
) -> Iterator[bytes]:
    """Yield the zip piece by piece. now: of the export; local: the same in the shop's zone, for the entries."""
    out = _Outgoing()
    with folder, ZipFile(out, "w", ZIP_DEFLATED) as made:
        with database.read() as db:
            jobs = search_jobs(db, most=EVERY_JOB)
            prices = csv_text.table(COLUMNS, (csv_row(price) for price in load_price_book(db).prices))
        made.writestr(_entry("prices.csv", local), prices.encode("utf-8-sig"))
        for job in reversed(jobs):
            with database.read() as db:
                text = _document(db, job.id, now)
            if text:
                made.writestr(_entry(f"jobs/job-{job.id}.json", local), text)
            yield out.take()
        made.writestr(_entry(copy.name, local), copy.read_bytes())
        yield out.take()
        made.close()
        yield out.take()


def _document(db: Any, job_id: int, now: datetime) -> str:
    """Return a job as a document; empty when it was removed since the zip was begun."""
    try:
        return to_text(load_job_document(db, job_id, at=now))
    except Missing:
        return ""


def _entry(name: str, local: datetime) -> ZipInfo:
    entry = ZipInfo(name, local.timetuple()[:6])
    entry.compress_type = ZIP_DEFLATED
    return entry
