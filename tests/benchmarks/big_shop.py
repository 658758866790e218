"""A shop with 500 stored jobs for benchmarks: the invented demo and copies of its rows, most of them closed."""

import sqlite3
from collections.abc import Iterator, Mapping
from contextlib import closing
from pathlib import Path
from typing import Any

from benchmarks.big_job import NOW
from domain.job import JobState
from webapp.app import create_app
from webapp.demo import fill_when_empty
from webapp.settings import Settings
from webapp.store.database import Database

JOBS = 500
OPEN, ENQUIRIES = 5, 20
"""So many of the copies are worked on or asked for, in a shop of two."""

FINISHED, IN_HAND, ENQUIRY = 1, 2, 3
"""Ids of the demo's own jobs."""

HANG_ON = {
    "run": ("job_id", "job"),
    "piece": ("job_id", "job"),
    "option": ("job_id", "job"),
    "cost": ("job_id", "job"),
    "task": ("job_id", "job"),
    "quote": ("job_id", "job"),
    "answer": ("quote_id", "quote"),
    "purchase": ("job_id", "job"),
    "purchase_line": ("order_id", "purchase"),
    "receipt": ("line_id", "purchase_line"),
}
"""Tables whose rows are copied with a job, and by which column they hang on which other."""


def a_big_shop(folder: Path) -> Settings:
    """Fill a folder with the shop and return the settings that open it."""
    settings = Settings(folder=folder, demo=True, now=lambda: NOW)
    database: Database = create_app(settings).state.database
    fill_when_empty(database, at=NOW)
    database.close()
    with closing(sqlite3.connect(settings.file)) as db:
        db.row_factory = sqlite3.Row
        db.execute("PRAGMA foreign_keys = ON")
        copies = JOBS - db.execute("SELECT count(*) FROM job").fetchone()[0]
        for number, (model, state) in enumerate(_kinds(copies)):
            _copy(db, model, f"{state.value.capitalize()} job {number}", state)
        db.commit()
    return settings


def _kinds(copies: int) -> Iterator[tuple[int, JobState]]:
    """Yield of which job each copy is made and its state: what was done long ago first."""
    for left in range(copies, 0, -1):
        if left <= OPEN:
            yield IN_HAND, JobState.IN_PROGRESS
        elif left <= OPEN + ENQUIRIES:
            yield ENQUIRY, JobState.ENQUIRY
        else:
            yield FINISHED, JobState.CLOSED


def _copy(db: sqlite3.Connection, job_id: int, name: str, state: JobState) -> None:
    """Copy a job with all that hangs on it; under numbers of its own."""
    job = db.execute("SELECT * FROM job WHERE id = ?", (job_id,)).fetchone()
    new = {("job", job_id): _insert(db, "job", {**job, "name": name, "state": state.value})}
    added = "INSERT INTO action (at, words, job_id, undoable) SELECT at, ?, ?, 1 FROM action LIMIT 1"
    db.execute(added, (f"Job “{name}” added", new["job", job_id]))
    for table, (column, parent) in HANG_ON.items():
        olds = [old for where, old in new if where == parent]
        marks = ", ".join("?" * len(olds))
        for row in db.execute(f"SELECT * FROM {table} WHERE {column} IN ({marks}) ORDER BY id", olds).fetchall():  # noqa: S608
            values = {**row, column: new[parent, row[column]]}
            if table == "piece":
                values["belongs_to"] = new.get(("piece", row["belongs_to"]))
            if "number" in values:
                values["number"] = f"{row['number']}-{new['job', job_id]}"
            new[table, row["id"]] = _insert(db, table, values)


def _insert(db: sqlite3.Connection, table: str, row: Mapping[str, Any]) -> int:
    """Insert a row without its id and return the new one."""
    values = {name: value for name, value in row.items() if name != "id"}
    names, marks = ", ".join(f'"{name}"' for name in values), ", ".join("?" * len(values))
    found = db.execute(f"INSERT INTO {table} ({names}) VALUES ({marks})", list(values.values()))  # noqa: S608
    assert found.lastrowid
    return found.lastrowid
