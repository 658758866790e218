"""Databases with something in them, and damage done to their files."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from datetime import UTC, datetime
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from sqlalchemy import Engine, event

from domain.job import Client, Job, JobState
from webapp.store import job as jobs
from webapp.store.database import Database

NOW = datetime(2026, 6, 1, 14, 0, tzinfo=UTC)


@cache
def empty_file() -> bytes:
    """Return a file of an empty shop as the migrations make it: they run once for all tests that are not theirs."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "empty.sqlite"
        Database(path, at=NOW).close()
        return path.read_bytes()


def migrated(path: Path) -> Path:
    """Put the file of an empty shop at a path, and return that."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(empty_file())
    return path


def a_job(name: str = "Pantry", *, version: int = 0, job_id: int = 0, notes: str = "") -> Job:
    client = Client(0, "A. Invented", "", "", "")
    return Job(job_id, name, client, "", None, JobState.ENQUIRY, notes, version=version)


def add_job(database: Database, name: str = "Pantry", *, key: str = "") -> int:
    """Add a job as a person would, and return its id."""
    with database.write(f"Job “{name}” added", at=NOW, key=key) as db:
        return jobs.add_job(db, a_job(name), at=NOW)


def names(database: Database) -> list[str]:
    """Return the names of the jobs, oldest first."""
    with database.read() as db:
        return [job.name for job in reversed(jobs.search_jobs(db))]


def ask(path: Path, sql: str) -> list[tuple[object, ...]]:
    """Ask a file directly, past the app."""
    with closing(sqlite3.connect(path)) as connection:
        return connection.execute(sql).fetchall()


@contextmanager
def statements() -> Iterator[list[str]]:
    """Give a list that fills with every statement that is sent to any file meanwhile."""
    said: list[str] = []

    def note(_connection: Any, _cursor: Any, statement: str, *_: Any) -> None:
        said.append(statement)

    event.listen(Engine, "before_cursor_execute", note)
    try:
        yield said
    finally:
        event.remove(Engine, "before_cursor_execute", note)


def damage(path: Path, *, page: int = 3, pages: int = 4) -> bytes:
    """Overwrite some pages in the middle of a closed file, and return what it then holds."""
    content = bytearray(path.read_bytes())
    start, end = page * 4096, (page + pages) * 4096
    assert len(content) > end
    content[start:end] = b"\x5a" * (end - start)
    path.write_bytes(content)
    return bytes(content)
