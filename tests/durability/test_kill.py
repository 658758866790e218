"""Killing the server in the middle of writes loses nothing that was answered and leaves nothing half-done.

A kill shows that transactions and recovery hold; the kernel keeps what was written, so it shows nothing about a power
cut: that is test_power_cut.py.
"""

import random
import shutil
import sqlite3
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from threading import Thread
from uuid import UUID

import httpx

from server import Server, start

KILLS, PEOPLE = 20, 3
MOST_ANSWERS, LONGEST_WAIT = 40, 0.02
"""A kill comes after a random number of answers and then a random fraction of a second."""


@dataclass(frozen=True)
class Post:
    """One form as it was sent. job_name: of the job it makes or changes; notes: what it then says."""

    path: str
    job_name: str
    notes: str
    key: str
    version: int = 0

    @property
    def data(self) -> dict[str, str]:
        return {
            "name": self.job_name,
            "client_name": f"Client of {self.job_name}",
            "notes": self.notes,
            "form_key": self.key,
            "version": str(self.version),
        }


@dataclass
class Record:
    """What everybody sent: answered in order, and the last of each, of which nobody knows."""

    answered: list[Post] = field(default_factory=list)
    doubtful: list[Post] = field(default_factory=list)
    backups: int = 0


class Person(Thread):
    """Adds jobs and changes them until the server no longer answers."""

    def __init__(self, server: Server, name: str, seed: random.Random, record: Record) -> None:
        super().__init__()
        self.address, self.call, self.seed, self.record = server.address, name, seed, record

    def run(self) -> None:
        with httpx.Client(base_url=self.address, timeout=10) as client:
            for number in range(10_000):
                name = f"{self.call} {number}"
                if not (made := self.send(client, Post("/jobs/new", name, "new", self.key()))):
                    return
                job = made.headers["location"].split("?")[0]
                for version in (1, 2):
                    post = Post(f"{job}/edit", name, f"changed {version}", self.key(), version)
                    if not self.send(client, post):
                        return

    def key(self) -> str:
        return str(UUID(int=self.seed.getrandbits(128)))

    def send(self, client: httpx.Client, post: Post) -> httpx.Response | None:
        """Return the reply; None when there was none."""
        try:
            reply = client.post(post.path, data=post.data)
        except httpx.TransportError:
            self.record.doubtful.append(post)
            return None
        assert reply.status_code == 303, f"{post}: {reply.status_code}\n{reply.text}"
        self.record.answered.append(post)
        return reply


class Keeper(Thread):
    """Makes backups meanwhile."""

    def __init__(self, server: Server, record: Record) -> None:
        super().__init__()
        self.address, self.record = server.address, record

    def run(self) -> None:
        with httpx.Client(base_url=self.address, timeout=10) as client:
            try:
                while client.post("/backups").status_code == 303:
                    self.record.backups += 1
                    time.sleep(0.05)
            except httpx.TransportError:
                return


def test_twenty_kills_lose_nothing_answered_and_a_repeated_form_counts_once(tmp_path: Path) -> None:
    seed, record = random.Random(2026), Record()
    unsure: list[Post] = []
    for kill in range(KILLS):
        server = start(tmp_path / "data", ready=True)
        press_again(server, unsure + seed.sample(record.answered, min(5, len(record.answered))))
        record.answered += unsure
        record.doubtful.clear()
        write_until_killed(server, f"kill {kill}", seed, record)
        unsure = list(record.doubtful)
        check_whole(tmp_path, record)
        check_backups(tmp_path / "data" / "backups")
    server = start(tmp_path / "data", ready=True)
    press_again(server, unsure)
    record.answered += unsure
    record.doubtful.clear()
    server.process.terminate()
    assert server.process.wait(timeout=20) == 0
    close(server)
    check_whole(tmp_path, record)
    assert len(record.answered) > 10 * KILLS
    assert record.backups > KILLS


def write_until_killed(server: Server, name: str, seed: random.Random, record: Record) -> None:
    people: list[Thread] = [
        Person(server, f"{name} person {number}", random.Random(seed.random()), record) for number in range(PEOPLE)
    ]
    people.append(Keeper(server, record))
    for person in people:
        person.start()
    wanted = len(record.answered) + seed.randrange(MOST_ANSWERS)
    while len(record.answered) < wanted and any(person.is_alive() for person in people[:PEOPLE]):
        time.sleep(0.001)
    time.sleep(seed.uniform(0, LONGEST_WAIT))
    server.process.kill()
    server.process.wait()
    close(server)
    for person in people:
        person.join(timeout=20)
        assert not person.is_alive()


def close(server: Server) -> None:
    if server.process.stdout:
        server.process.stdout.close()


def press_again(server: Server, posts: list[Post]) -> None:
    """Send forms once more under the keys they had, as a browser does that got no answer."""
    with httpx.Client(base_url=server.address, timeout=10) as client:
        for post in posts:
            assert client.post(post.path, data=post.data).status_code == 303


def check_whole(tmp_path: Path, record: Record) -> None:
    with as_left(tmp_path) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        assert connection.execute("PRAGMA foreign_key_check").fetchall() == []
        check_answered(connection, record)
        check_none_half_done(connection)


@contextmanager
def as_left(tmp_path: Path) -> Iterator[sqlite3.Connection]:
    """Open a copy of the file with its log, so that the server itself finds both as the kill left them."""
    copy = tmp_path / "copy"
    shutil.rmtree(copy, ignore_errors=True)
    copy.mkdir()
    for name in ("benchday.sqlite", "benchday.sqlite-wal"):
        if (tmp_path / "data" / name).exists():
            shutil.copyfile(tmp_path / "data" / name, copy / name)
    with closing(sqlite3.connect(copy / "benchday.sqlite")) as connection:
        yield connection


def check_answered(connection: sqlite3.Connection, record: Record) -> None:
    """Every answered form is in the file, once; of a doubtful one all or nothing."""
    found = connection.execute("SELECT name, notes FROM job").fetchall()
    assert max(Counter(name for name, _ in found).values(), default=1) == 1
    notes = dict(found)
    expected = {post.job_name: post.notes for post in record.answered}
    maybe = {post.job_name: post.notes for post in record.doubtful}
    for name, answered in expected.items():
        assert notes.get(name) in (answered, maybe.get(name, answered)), f"{name}: {answered} was answered"
    assert notes.keys() <= expected.keys() | maybe.keys()
    keys = {key for (key,) in connection.execute("SELECT id FROM form_key")}
    assert {post.key for post in record.answered} <= keys


def check_none_half_done(connection: sqlite3.Connection) -> None:
    """A job has its client; a form its one action; an action its rows; a version its changes."""
    changes = connection.execute("SELECT noun, row_id, action_id FROM change").fetchall()
    versions = Counter((noun, int(row_id)) for noun, row_id, _ in changes)
    jobs = connection.execute("SELECT id, client_id, version FROM job").fetchall()
    clients = connection.execute("SELECT id, version FROM client").fetchall()
    assert {("job", job): version for job, _, version in jobs} | {
        ("client", client): version for client, version in clients
    } == versions
    assert sorted(client for _, client, _ in jobs) == sorted(client for client, _ in clients)
    actions = {action for (action,) in connection.execute("SELECT id FROM action")}
    assert actions == {action for _, _, action in changes}
    assert connection.execute("SELECT count(*) FROM form_key").fetchone() == (len(actions),)


def check_backups(folder: Path) -> None:
    """Each listed backup is whole, even one that was being made."""
    for copy in folder.glob("*.sqlite"):
        with closing(sqlite3.connect(copy)) as connection:
            assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)], copy.name
            check_none_half_done(connection)
        copy.unlink()
