"""A power cut at any moment loses no answered write.

The server runs under strace, and its writes, syncs and replies are replayed onto a model of a disk. At every write
and at every reply the power is cut: once with nothing unsynced on the disk, once with a random half of it. Each such
disk is opened; it must be whole and hold every write that had been answered.

The idea of holding writes back until a sync is that of SQLite's own crash tests (test6.c in its source).

What the model leaves out: writes are lost whole, never torn; a sync does what it promises, so a disk that lies about it
is not modelled; the making and removing of a file is on the disk at once. The control, synchronous=NORMAL, must lose
writes, else this test could not tell good from bad.
"""

import os
import re
import shutil
import signal
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path
from random import Random

import httpx
import pytest

from durability.disk import TRACED, Call, Disk, calls
from store_builders import NOW
from webapp.store.database import Database

HERE = Path(__file__).parent
JOBS = 12
USUAL, SMALL = 1000, 16
"""Pages in the log before it is moved into the file: the app's, and few, so that it happens within the test."""


@dataclass
class Outcome:
    """How many cuts there were, how many lost answered writes or left a broken file, how much the worst lost."""

    cuts: int = 0
    losing: int = 0
    broken: int = 0
    worst: int = 0


@pytest.mark.parametrize("pages", [USUAL, SMALL])
def test_a_power_cut_loses_no_answered_write(tmp_path: Path, pages: int) -> None:
    outcome = cut_everywhere(tmp_path, "FULL", pages)
    assert (outcome.losing, outcome.broken, outcome.worst) == (0, 0, 0)
    assert outcome.cuts > 20 * JOBS


def test_the_control_loses_answered_writes_as_it_must(tmp_path: Path) -> None:
    outcome = cut_everywhere(tmp_path, "NORMAL", USUAL)
    assert outcome.losing > outcome.cuts / 2
    assert outcome.worst >= JOBS
    assert outcome.broken == 0


def cut_everywhere(tmp_path: Path, synchronous: str, pages: int) -> Outcome:
    folder = tmp_path / "data"
    Database(folder / "benchday.sqlite", at=NOW).close()
    disk = Disk({"benchday.sqlite": (folder / "benchday.sqlite").read_bytes()})
    trace = tmp_path / "trace"
    work_under_strace(trace, folder, synchronous, pages)
    outcome, answered, seed = Outcome(), 0, Random(7)
    looked_at: dict[str, tuple[dict[str, bytes], set[int] | None]] = {}
    for call in calls(trace, folder):
        disk.do(call)
        if call.name == "sendto":
            answered = max(answered, action_of(call))
        if call.name in ("pwrite64", "sendto"):
            for landed, files in (("nothing", disk.after_a_cut()), ("half", disk.after_a_cut(seed))):
                if looked_at.get(landed, ({}, None))[0] != files:
                    looked_at[landed] = files, actions_in(files)
                note(outcome, looked_at[landed][1], answered)
    assert answered == 2 * JOBS, "the trace does not hold every reply"
    return outcome


def work_under_strace(trace: Path, folder: Path, synchronous: str, pages: int) -> None:
    """Serve, add and change jobs, and stop the server as a person would."""
    server = [sys.executable, str(HERE / "served.py"), str(folder), synchronous, str(pages)]
    with traced(trace, server) as (process_id, address), httpx.Client(base_url=address, timeout=30) as client:
        for number in range(JOBS):
            data = {"name": f"Job {number}", "client_name": f"Client {number}", "form_key": f"new {number}"}
            added = client.post("/jobs/new", data=data)
            assert added.status_code == 303, added.text
            job = added.headers["location"].split("?")[0]
            notes = {"notes": "n" * 400 * (number + 1), "version": "1", "form_key": f"change {number}"}
            assert client.post(f"{job}/edit", data=data | notes).status_code == 303
        client.close()
        os.kill(process_id, signal.SIGTERM)


@contextmanager
def traced(trace: Path, command: list[str]) -> Iterator[tuple[int, str]]:
    """Run a server under strace; give its process id and address. Skipped without strace, which CI promises."""
    if not shutil.which("strace"):
        if os.environ.get("CI") == "true":
            pytest.fail("strace is not installed, and CI promises it")
        pytest.skip("strace is not installed: apt install strace")
    strace = ["strace", "-f", "-qq", "--seccomp-bpf", "-y", "-xx", "-s", "1000000", "-e", f"trace={','.join(TRACED)}"]
    environment = os.environ | {"PYTHONPATH": str(HERE.parent.parent)}
    process = subprocess.Popen(
        [*strace, "-o", str(trace), *command], stdout=subprocess.PIPE, text=True, env=environment
    )
    assert process.stdout is not None
    with process.stdout:
        process_id, address = process.stdout.readline().split()
        try:
            yield int(process_id), address
            process.wait(timeout=30)
        finally:
            if process.poll() is None:
                os.kill(int(process_id), signal.SIGKILL)
                process.wait()


def action_of(reply: Call) -> int:
    """Return the action that a reply says was done, 0 for any other reply."""
    found = re.search(rb"\blocation: /jobs/\d+\?done=(\d+)", reply.content)
    return int(found[1]) if found else 0


def note(outcome: Outcome, found: set[int] | None, answered: int) -> None:
    """Count what a cut lost of the actions answered, numbered from 1. found: those on its disk."""
    outcome.cuts += 1
    if found is None:
        outcome.broken += 1
    elif lost := set(range(1, answered + 1)) - found:
        outcome.losing += 1
        outcome.worst = max(outcome.worst, len(lost))


def actions_in(files: dict[str, bytes]) -> set[int] | None:
    """Open a disk and return the actions on it, None when it is broken or one of them is only half there."""
    with tempfile.TemporaryDirectory(dir=memory()) as name:
        for file, content in files.items():
            (Path(name) / file).write_bytes(content)
        try:
            with closing(sqlite3.connect(Path(name) / "benchday.sqlite")) as connection:
                return _whole_actions(connection)
        except sqlite3.DatabaseError:
            return None


def _whole_actions(connection: sqlite3.Connection) -> set[int] | None:
    whole = connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
    whole = whole and not connection.execute("PRAGMA foreign_key_check").fetchall()
    actions = {action for (action,) in connection.execute("SELECT id FROM action")}
    changed = {action for (action,) in connection.execute("SELECT DISTINCT action_id FROM change")}
    forms = connection.execute("SELECT count(*) FROM form_key").fetchone()
    jobs = connection.execute("SELECT count(*) FROM job JOIN client ON client.id = client_id").fetchone()
    clients = connection.execute("SELECT count(*) FROM client").fetchone()
    return actions if whole and actions == changed and forms == (len(actions),) and jobs == clients else None


def memory() -> str | None:
    """Return a folder in memory where the system has one."""
    return "/dev/shm" if os.access("/dev/shm", os.W_OK) else None
