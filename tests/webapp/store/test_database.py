"""The database file: opened by one process, checked, whole when closed, and never written by a reader."""

import os
import random
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager, suppress
from pathlib import Path
from threading import Thread

import pytest
from sqlalchemy.exc import DatabaseError, IntegrityError, OperationalError

from store_builders import NOW, add_job, ask, damage, names
from webapp.store import backup, schema
from webapp.store.check import CannotOpen, Damaged, InUse, check
from webapp.store.database import Database
from webapp.store.gate import Busy, Gate
from webapp.store.lock import network_file_system
from webapp.store.tables import JobRow

Reopen = Callable[[], Database]


def test_a_second_process_is_told_that_the_file_is_in_use(database: Database, path: Path) -> None:
    second = subprocess.run(
        [sys.executable, "-m", "webapp", "--port", "0", "--data", str(path.parent)], capture_output=True, text=True
    )
    assert second.returncode == 1
    assert "already open in another Benchday" in second.stderr
    assert "Traceback" not in second.stderr
    with pytest.raises(InUse):
        Database(path, at=NOW)


def test_the_file_can_be_opened_again_once_it_is_closed_or_its_opening_failed(path: Path, reopened: Reopen) -> None:
    path.write_text("not a database at all, " * 400)
    with pytest.raises(Damaged):
        Database(path, at=NOW)
    path.unlink()
    assert names(reopened()) == []


def test_closing_leaves_one_whole_file_and_closing_again_does_nothing(database: Database, path: Path) -> None:
    add_job(database)
    assert path.with_name(path.name + "-wal").stat().st_size > 0
    database.close()
    database.close()
    assert {file.name for file in path.parent.iterdir()} == {path.name, f"{path.name}.lock"}
    assert ask(path, "SELECT name FROM job") == [("Pantry",)]


def test_what_the_connections_promise_is_on(database: Database) -> None:
    for session in (database.read(), database.write("look", at=NOW)):
        with session as db:
            said = {
                pragma: db.connection().exec_driver_sql(f"PRAGMA {pragma}").scalar_one()
                for pragma in ("journal_mode", "synchronous", "foreign_keys", "wal_autocheckpoint")
            }
            assert said == {"journal_mode": "wal", "synchronous": 2, "foreign_keys": 1, "wal_autocheckpoint": 1000}


def test_a_reader_cannot_write(database: Database) -> None:
    add_job(database)
    with database.read() as db:
        job = db.get(JobRow, 1)
        assert job is not None
        job.name = "Changed by a page that should only look"
        with pytest.raises(OperationalError, match="readonly"):
            db.flush()
    assert names(database) == ["Pantry"]


def test_a_reader_sees_one_moment_while_others_write(database: Database) -> None:
    add_job(database)
    with database.read() as db:
        assert db.get(JobRow, 2) is None
        add_job(database, "Larder")
        assert db.get(JobRow, 2) is None
    assert names(database) == ["Pantry", "Larder"]


def test_a_page_that_reads_inside_a_read_never_waits_for_itself(database: Database) -> None:
    """Every thread of the app holds one reader and asks for a second."""
    done: list[int] = []

    def page() -> None:
        for _ in range(20):
            with database.read() as outer, database.read() as inner:
                done.append(len(outer.connection().exec_driver_sql("SELECT 1").all()))
                inner.connection().exec_driver_sql("SELECT 1")

    threads = [Thread(target=page) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(timeout=20)
    assert len(done) == 8 * 20


def test_a_write_that_fails_in_the_middle_leaves_nothing(database: Database) -> None:
    def fail_halfway() -> None:
        with database.write("two jobs", at=NOW, key="k") as db:
            db.add(JobRow(client_id=1, name="Second", created_at=NOW))
            db.flush()
            raise RuntimeError("the power of thought")

    add_job(database)
    with pytest.raises(RuntimeError):
        fail_halfway()
    assert names(database) == ["Pantry"]
    with database.read() as db:
        assert db.connection().exec_driver_sql("SELECT count(*) FROM form_key").scalar_one() == 0
        assert db.connection().exec_driver_sql("SELECT count(*) FROM action").scalar_one() == 1


def test_a_row_cannot_refer_to_one_that_is_not_there(database: Database) -> None:
    with pytest.raises(IntegrityError, match="FOREIGN KEY"), database.write("orphan", at=NOW) as db:
        db.add(JobRow(client_id=77, name="Orphan", created_at=NOW))


@pytest.mark.parametrize(
    ("table", "values"),
    [
        ("job", "(1, 1, 'one', 'Pantry', '', 'enquiry', '', 0, '2026-06-01')"),
        ("job", "(1, 1, 1, x'00', '', 'enquiry', '', 0, '2026-06-01')"),
        ("job", "(1, 1, 1, 'Pantry', '', 'enquiry', '', 'maybe', '2026-06-01')"),
        ("job", "(1, 1, 1, 'Pantry', '', 'somewhere', '', 0, '2026-06-01')"),
        ("job", "(1, 1, 1, '', '', 'enquiry', '', 0, '2026-06-01')"),
    ],
)
def test_a_strict_table_refuses_a_wrong_type_and_a_broken_rule(
    database: Database, path: Path, table: str, values: str
) -> None:
    columns = "(id, version, client_id, name, site, state, notes, invented, created_at)"
    database.close()
    ask(path, "SELECT 1")
    connection = sqlite3.connect(path)
    connection.execute("INSERT INTO client (id, version, name, address, phone, email) VALUES (1, 1, 'A', '', '', '')")
    with pytest.raises(sqlite3.IntegrityError):
        connection.execute(f"INSERT INTO {table} {columns} VALUES {values}")  # noqa: S608
    connection.close()


def test_every_table_of_ours_is_strict(database: Database, path: Path) -> None:
    database.close()
    loose = ask(
        path,
        "SELECT name FROM pragma_table_list WHERE type = 'table' AND strict = 0 "
        "AND name NOT LIKE 'sqlite_%' AND name <> 'alembic_version'",
    )
    assert loose == []


@pytest.mark.parametrize("table", ["quote", "answer"])
@pytest.mark.parametrize("change", ["UPDATE {} SET id = id + 1", "DELETE FROM {}"])
def test_a_frozen_row_can_be_neither_changed_nor_deleted(
    database: Database, path: Path, table: str, change: str
) -> None:
    add_job(database)
    database.close()
    connection = sqlite3.connect(path)
    connection.executescript(
        "INSERT INTO quote (id, job_id, number, frozen_at, valid_until, total, frozen) "
        "VALUES (1, 1, '26-1', '2026-06-01', '2026-07-01', 5, '{}');"
        "INSERT INTO answer (quote_id, answer, option, answered_at, note) VALUES (1, 'accepted', '', '2026-06-02', '');"
    )
    with pytest.raises(sqlite3.IntegrityError, match=f"a {table} is frozen"):
        connection.execute(change.format(table))
    connection.close()


def test_the_number_of_a_deleted_row_is_not_given_again(database: Database) -> None:
    add_job(database)
    with database.write("gone", at=NOW) as db:
        db.add(JobRow(client_id=1, name="Larder", created_at=NOW))
        db.flush()
        db.delete(db.get(JobRow, 2))
    assert add_job(database, "Scullery") == 3


def test_a_read_only_file_or_folder_is_said_so(path: Path, database: Database) -> None:
    database.close()
    content = path.read_bytes()
    with without_privileges(), tempfile.TemporaryDirectory(dir="/tmp") as name:
        place = Path(name)
        file = place / path.name
        file.write_bytes(content)
        file.chmod(0o444)
        with pytest.raises(CannotOpen, match=r"benchday\.sqlite is read-only"):
            Database(file, at=NOW)
        file.chmod(0o644)
        place.chmod(0o555)
        with pytest.raises(CannotOpen, match=r"is read-only.*--data"):
            Database(file, at=NOW)
        with pytest.raises(CannotOpen, match="Cannot write in"):
            Database(place / "deeper" / path.name, at=NOW)
        place.chmod(0o755)
        Database(file, at=NOW).close()


def test_a_file_where_the_folder_should_be_is_said_so(path: Path) -> None:
    path.write_text("a file")
    with pytest.raises(CannotOpen, match="Choose another folder"):
        Database(path / "benchday.sqlite", at=NOW)


@contextmanager
def without_privileges() -> Iterator[None]:
    """Be nobody for a while when running as root, whom no permission stops."""
    if os.geteuid() != 0:
        yield
        return
    os.seteuid(65534)
    try:
        yield
    finally:
        os.seteuid(0)


MOUNTS = r"""
overlay / fuse.fuse-overlayfs rw 0 0
proc /proc proc rw 0 0
/dev/sda2 /home ext4 rw 0 0
server:/shop /home/shop/share nfs4 rw 0 0
//server/old /home/shop/old\040papers cifs rw 0 0
me@host:/ /home/shop/far fuse.sshfs rw 0 0
/dev/sdb1 /media/stick fuseblk rw 0 0
host /mnt/c 9p rw 0 0
/dev/sda3 /home/shop/share/local ext4 rw 0 0
"""


@pytest.mark.parametrize(
    ("file", "system"),
    [
        ("/home/shop/benchday.sqlite", ""),
        ("/home/shop/share/data/benchday.sqlite", "nfs4"),
        ("/home/shop/shared/benchday.sqlite", ""),
        ("/home/shop/share/local/benchday.sqlite", ""),
        ("/home/shop/old papers/benchday.sqlite", "cifs"),
        ("/home/shop/far/benchday.sqlite", "fuse.sshfs"),
        ("/media/stick/benchday.sqlite", ""),
        ("/mnt/c/benchday.sqlite", "9p"),
        ("/srv/benchday.sqlite", ""),
    ],
)
def test_a_network_drive_is_told_from_a_disk_of_this_machine(file: str, system: str) -> None:
    assert network_file_system(Path(file), MOUNTS) == system


def test_a_database_on_a_network_drive_is_refused_before_anything_is_made(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("webapp.store.lock.network_file_system", lambda path, mounts: "nfs4")
    with pytest.raises(CannotOpen, match=r"network drive \(nfs4\)"):
        Database(path, at=NOW)
    assert list(path.parent.iterdir()) == []


@pytest.mark.parametrize("harm", ["pages", "start", "half", "text"])
def test_a_damaged_file_is_refused_and_kept_as_it_is(database: Database, path: Path, harm: str) -> None:
    add_job(database)
    database.close()
    content = path.read_bytes()
    match harm:
        case "pages":
            content = damage(path)
        case "start":
            content = b"\0" * 100 + content[100:]
        case "half":
            content = content[: len(content) // 2]
        case "text":
            content = b"Dear diary, " * 1000
    path.write_bytes(content)
    with pytest.raises(Damaged, match="restore a backup"):
        Database(path, at=NOW)
    assert path.read_bytes() == content


def test_flipped_bytes_are_found_or_harmless_and_never_end_otherwise(database: Database, path: Path) -> None:
    """A changed letter inside a text cannot be found; a broken page, index, check or reference is."""
    for number in range(30):
        add_job(database, f"Job {number}")
    database.close()
    whole, found = path.read_bytes(), 0
    randomly = random.Random(4)
    for _ in range(60):
        content = bytearray(whole)
        for _ in range(randomly.choice((1, 8, 200))):
            content[randomly.randrange(len(content))] ^= 1 << randomly.randrange(8)
        path.write_bytes(content)
        try:
            opened = Database(path, at=NOW)
        except CannotOpen:
            found += 1
            assert path.read_bytes() == content
        else:
            with closing(opened), suppress(DatabaseError, ValueError):  # a text or a word that is none any more
                assert len(names(opened)) == 30
    assert found > 20


def test_a_lost_reference_counts_as_damage(database: Database, path: Path) -> None:
    add_job(database)
    database.close()
    connection = sqlite3.connect(path)
    connection.execute("DELETE FROM client")
    connection.commit()
    connection.close()
    with pytest.raises(Damaged, match="refers to another that is not there"):
        check(path)


def test_a_file_that_somebody_else_has_locked_is_not_called_damaged(
    database: Database, path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    database.close()
    monkeypatch.setattr("webapp.store.check.BUSY_SECONDS", 0.05)
    holder = sqlite3.connect(path)
    holder.execute("PRAGMA journal_mode=DELETE")
    holder.execute("BEGIN EXCLUSIVE")
    with pytest.raises(CannotOpen, match="Close other programs") as caught:
        Database(path, at=NOW)
    assert not isinstance(caught.value, Damaged)
    holder.close()


@pytest.mark.parametrize("left", [None, b""])
def test_a_file_that_is_gone_or_empty_though_it_has_backups_is_not_made_anew(
    database: Database, path: Path, left: bytes | None
) -> None:
    database.back_up(at=NOW, why=backup.BY_HAND)
    database.close()
    path.unlink()
    if left is not None:
        path.write_bytes(left)
    with pytest.raises(Damaged, match="though there are backups"):
        Database(path, at=NOW)
    assert not path.exists() or path.stat().st_size == 0


def test_a_database_of_something_else_is_left_alone(path: Path) -> None:
    connection = sqlite3.connect(path)
    connection.execute("CREATE TABLE recipe (name TEXT)")
    connection.close()
    before = path.read_bytes()
    with pytest.raises(CannotOpen, match="not one of Benchday's"):
        Database(path, at=NOW)
    assert path.read_bytes() == before


def test_a_file_of_a_newer_benchday_is_refused_with_both_versions(database: Database, path: Path) -> None:
    database.close()
    connection = sqlite3.connect(path)
    connection.execute("UPDATE alembic_version SET version_num = 'of_tomorrow'")
    connection.commit()
    connection.close()
    with pytest.raises(CannotOpen, match=f"of_tomorrow; this one knows up to {schema.newest_revision()}") as caught:
        Database(path, at=NOW)
    assert not isinstance(caught.value, Damaged)
    assert backup.listed(path) == ()


def test_a_full_disk_is_said_so_and_loses_nothing(database: Database, path: Path) -> None:
    """The page limit makes SQLite answer as on a full disk; a real one is in the next test."""
    add_job(database)
    with database.write("limit", at=NOW) as db:
        pages = db.connection().exec_driver_sql("PRAGMA page_count").scalar_one()
        db.connection().exec_driver_sql(f"PRAGMA max_page_count = {pages}")
    with pytest.raises(DatabaseError, match="full"):
        add_job(database, "x" * 20_000)
    assert names(database) == ["Pantry"]
    add_job(database, "fits in what is left")


def test_on_a_disk_that_is_full_nothing_is_lost_and_all_goes_on_once_there_is_room(tmp_path: Path) -> None:
    if os.geteuid() != 0:
        pytest.skip("only root can make a small disk")
    disk = tmp_path / "disk"
    disk.mkdir()
    made = subprocess.run(["mount", "-t", "tmpfs", "-o", "size=2m", "none", str(disk)], capture_output=True, text=True)
    if made.returncode:
        pytest.skip(f"no small disk could be made: {made.stderr.strip()}")
    try:
        _fill_a_disk(disk)
    finally:
        subprocess.run(["umount", "-l", str(disk)], check=True)


def _fill_a_disk(disk: Path) -> None:
    path = disk / "benchday.sqlite"
    database = Database(path, at=NOW)
    add_job(database)
    fill(disk)
    with pytest.raises(DatabaseError, match="full"):
        add_job(database, "x" * 500_000)
    with pytest.raises((sqlite3.Error, OSError)):
        database.back_up(at=NOW, why=backup.BY_HAND)
    assert backup.listed(path) == ()
    before = names(database)
    database.close()
    fill(disk)
    with pytest.raises(CannotOpen, match="disk is not full") as caught:
        Database(path, at=NOW)
    assert not isinstance(caught.value, Damaged)
    for filler in disk.glob("filler*"):
        filler.unlink()
    again = Database(path, at=NOW)
    add_job(again, "room again")
    assert names(again) == [*before, "room again"]
    again.close()


def fill(disk: Path) -> None:
    """Leave no room at all."""
    with (
        tempfile.NamedTemporaryFile("wb", dir=disk, prefix="filler", buffering=0, delete=False) as file,
        suppress(OSError),
    ):
        while True:
            file.write(b"x" * 4096)


def test_a_path_with_odd_letters_is_a_path(tmp_path: Path) -> None:
    path = tmp_path / "Müller & Söhne #1? 100%" / "benchday.sqlite"
    database = Database(path, at=NOW)
    add_job(database)
    database.back_up(at=NOW, why=backup.BY_HAND)
    database.close()
    again = Database(path, at=NOW)
    assert names(again) == ["Pantry"]
    again.close()


def test_one_alone_waits_for_all_others_and_keeps_them_out() -> None:
    gate = Gate()
    with gate.shared(), gate.shared(), pytest.raises(Busy), gate.alone(seconds=0.01):
        pass
    log: list[str] = []
    with gate.alone(seconds=1):
        other = Thread(target=lambda: _enter(gate, log))
        other.start()
        other.join(timeout=0.05)
        assert log == []
    other.join()
    assert log == ["in"]


def _enter(gate: Gate, log: list[str]) -> None:
    with gate.shared():
        log.append("in")
