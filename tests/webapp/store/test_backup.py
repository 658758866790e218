"""Backups are whole, dated and thinned out; a restore keeps what it replaced, and is whole after any crash."""

import os
import shutil
import sqlite3
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path
from threading import Event, Thread
from typing import Any

import pytest

from store_builders import NOW, add_job, ask, damage, names
from webapp.store import backup, schema
from webapp.store.check import CannotOpen, Damaged, InUse, check
from webapp.store.database import Database
from webapp.store.form_key import AlreadyDone

Reopen = Callable[[], Database]


def test_a_backup_is_one_whole_file_with_what_was_saved(database: Database, path: Path) -> None:
    add_job(database)
    copy = database.back_up(at=NOW, why=backup.BY_HAND)
    assert copy.name == "benchday-20260601T140000000000Z-by-hand.sqlite"
    check(copy)
    assert ask(copy, "SELECT name FROM job") == [("Pantry",)]
    assert [file.name for file in copy.parent.iterdir()] == [copy.name]
    (listed,) = backup.listed(path)
    assert (listed.name, listed.made_at, listed.why) == (copy.name, NOW, "by-hand")
    assert listed.bytes == copy.stat().st_size


def test_two_backups_of_one_moment_are_two_files(database: Database, path: Path) -> None:
    for _ in range(2):
        database.back_up(at=NOW, why=backup.BY_HAND)
    assert len(backup.listed(path)) == 2


def test_backups_made_while_others_write_are_whole(database: Database, path: Path) -> None:
    """Each holds the jobs up to some moment: never one without its client, its history or its form key."""
    stop = Event()

    def write() -> None:
        number = 0
        while not stop.is_set():
            number += 1
            add_job(database, f"{number:05}", key=f"key {number}")

    writer = Thread(target=write)
    writer.start()
    try:
        copies = [database.back_up(at=NOW, why=backup.BY_HAND) for _ in range(8)]
    finally:
        stop.set()
        writer.join()
    counts = []
    for copy in copies:
        check(copy)
        ((jobs, latest),) = ask(copy, "SELECT count(*), coalesce(max(name), '00000') FROM job")
        assert jobs == int(str(latest))
        for table in ("client", "action", "form_key"):
            assert ask(copy, f"SELECT count(*) FROM {table}") == [(jobs,)]  # noqa: S608
        counts.append(jobs)
    assert counts == sorted(counts)
    assert counts[0] != counts[-1]


def test_a_backup_that_turns_out_broken_is_not_kept(
    database: Database, path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(path: Path) -> None:
        raise Damaged("not whole")

    monkeypatch.setattr(backup, "check", broken)
    with pytest.raises(Damaged):
        database.back_up(at=NOW, why=backup.BY_HAND)
    assert list(backup.folder(path).iterdir()) == []


def test_what_a_killed_process_left_of_a_backup_goes_at_the_next_start(
    database: Database, path: Path, reopened: Reopen
) -> None:
    copy = database.back_up(at=NOW, why=backup.BY_HAND)
    database.close()
    left = copy.with_suffix(".unchecked")
    left.write_bytes(copy.read_bytes()[:8192])
    assert len(backup.listed(path)) == 1
    reopened()
    assert not left.exists()


@pytest.mark.parametrize(
    "name",
    [
        "benchday-yesterday.sqlite",
        "benchday-.sqlite",
        "benchday-20269901T140000000000Z-by-hand.sqlite",
        "demo-20260601T140000000000Z-by-hand.sqlite",
        "notes.txt",
    ],
)
def test_other_files_in_the_folder_are_passed_over(database: Database, path: Path, name: str) -> None:
    backup.folder(path).mkdir()
    (backup.folder(path) / name).write_text("something else")
    assert backup.listed(path) == ()
    assert backup.file_of(path, name) is None


def test_only_the_name_of_a_listed_backup_leads_to_a_file(database: Database, path: Path) -> None:
    copy = database.back_up(at=NOW, why=backup.BY_HAND)
    assert backup.file_of(path, copy.name) == copy
    for name in ("", "..", "../benchday.sqlite", str(copy), f"./{copy.name}", copy.name.upper()):
        assert backup.file_of(path, name) is None


def test_a_day_has_one_daily_backup(database: Database, path: Path) -> None:
    assert database.back_up_daily(at=NOW)
    assert database.back_up_daily(at=NOW + timedelta(hours=23)) is None
    assert database.back_up_daily(at=NOW + timedelta(hours=24))
    database.back_up(at=NOW, why=backup.BY_HAND)
    assert [one.why for one in backup.listed(path)] == ["daily", "daily", "by-hand"]


def test_a_daily_backup_from_the_future_does_not_stop_those_of_today(database: Database) -> None:
    """A clock was wrong once."""
    assert database.back_up_daily(at=NOW + timedelta(days=4000))
    assert database.back_up_daily(at=NOW)
    assert database.back_up_daily(at=NOW) is None


def test_daily_backups_thin_out_to_7_days_4_weeks_and_12_months(path: Path) -> None:
    """Two years of them, one a day, and some for other reasons, which stay."""
    backup.folder(path).mkdir()
    for days in range(730):
        moment = NOW - timedelta(days=days)
        _claim(path, moment.strftime("%Y%m%dT%H%M%S%fZ") + "-daily")
    for why in ("by-hand", "before-upgrade", "before-restore"):
        _claim(path, f"20240101T000000000000Z-{why}")
    backup.thin_out(path)
    kept = backup.listed(path)
    daily = [(NOW - one.made_at).days for one in kept if one.why == "daily"]
    assert len(kept) - len(daily) == 3
    assert daily[:7] == [0, 1, 2, 3, 4, 5, 6]
    weeks = {(NOW - timedelta(days=days)).strftime("%G-%V") for days in daily}
    months = {(NOW - timedelta(days=days)).strftime("%Y-%m") for days in daily}
    assert {(NOW - timedelta(weeks=week)).strftime("%G-%V") for week in range(4)} <= weeks
    assert len(months) == 12
    assert len(daily) <= 7 + 3 + 11
    before = [one.name for one in kept]
    backup.thin_out(path)
    assert [one.name for one in backup.listed(path)] == before


def _claim(path: Path, name: str) -> None:
    (backup.folder(path) / f"benchday-{name}.sqlite").touch()


def test_a_restore_puts_back_and_keeps_what_was_there(database: Database, path: Path) -> None:
    add_job(database)
    copy = database.back_up(at=NOW, why=backup.BY_HAND)
    add_job(database, "Larder")
    kept = database.restore(copy, at=NOW + timedelta(hours=1))
    assert names(database) == ["Pantry"]
    newest, *_ = backup.listed(path)
    assert kept == backup.folder(path) / newest.name
    assert newest.why == "before-restore"
    database.restore(kept, at=NOW + timedelta(hours=2))
    assert names(database) == ["Pantry", "Larder"]
    assert add_job(database, "Scullery") == 3


def test_a_restored_file_writes_its_log_like_any_other(database: Database) -> None:
    database.restore(database.back_up(at=NOW, why=backup.BY_HAND), at=NOW)
    with database.read() as db:
        assert db.connection().exec_driver_sql("PRAGMA journal_mode").scalar_one() == "wal"


def test_a_write_that_comes_while_a_restore_is_under_way_waits_and_goes_into_the_restored_file(
    database: Database, monkeypatch: pytest.MonkeyPatch
) -> None:
    copy, put_back, late = database.back_up(at=NOW, why=backup.BY_HAND), backup.put_back, []

    def put_back_while_somebody_writes(*args: Any, **keywords: Any) -> Path | None:
        late.append(Thread(target=add_job, args=(database, "Late")))
        late[0].start()
        late[0].join(timeout=0.2)
        return put_back(*args, **keywords)

    monkeypatch.setattr(backup, "put_back", put_back_while_somebody_writes)
    add_job(database)
    database.restore(copy, at=NOW)
    late[0].join()
    assert names(database) == ["Late"]


def test_restores_while_three_people_write_lose_none(database: Database) -> None:
    """Each answered write is in the file or in a kept one."""
    copy = database.back_up(at=NOW, why=backup.BY_HAND)
    answered: list[str] = []
    stop = Event()

    def write(person: int) -> None:
        number = 0
        while not stop.is_set():
            number += 1
            add_job(database, f"{person}-{number}")
            answered.append(f"{person}-{number}")
            names(database)

    people = [Thread(target=write, args=(person,)) for person in range(3)]
    for person in people:
        person.start()
    try:
        kept = [database.restore(copy, at=NOW + timedelta(minutes=minute)) for minute in range(8)]
    finally:
        stop.set()
        for person in people:
            person.join()
    saved = set(names(database))
    for file in kept:
        assert file is not None
        check(file)
        saved |= {str(name) for (name,) in ask(file, "SELECT name FROM job")}
    assert set(answered) <= saved
    assert answered


def test_a_form_that_restores_counts_once(database: Database, path: Path) -> None:
    copy = database.back_up(at=NOW, why=backup.BY_HAND)
    database.restore(copy, at=NOW, key="k", leads_to="/backups")
    with pytest.raises(AlreadyDone) as caught:
        database.restore(copy, at=NOW, key="k", leads_to="/backups")
    assert caught.value.led_to == "/backups"
    assert len(backup.listed(path)) == 2


@pytest.mark.parametrize("harm", ["damaged", "empty", "newer", "foreign", "gone"])
def test_a_backup_that_is_no_good_is_refused_and_nothing_changes(database: Database, path: Path, harm: str) -> None:
    add_job(database)
    copy = database.back_up(at=NOW, why=backup.BY_HAND)
    add_job(database, "Larder")
    match harm:
        case "damaged":
            damage(copy)
        case "empty":
            copy.write_bytes(b"")
        case "newer":
            _change(copy, "UPDATE alembic_version SET version_num = 'of_tomorrow'")
        case "foreign":
            copy.unlink()
            _change(copy, "CREATE TABLE recipe (name TEXT)")
        case "gone":
            copy.unlink()
    with pytest.raises(CannotOpen):
        database.restore(copy, at=NOW)
    assert names(database) == ["Pantry", "Larder"]
    assert not [file for file in path.parent.iterdir() if file.suffix in (".unready", ".arriving")]
    assert [one.why for one in backup.listed(path)] == (["by-hand"] if copy.exists() else [])


def _change(path: Path, sql: str) -> None:
    connection = sqlite3.connect(path)
    connection.execute(sql)
    connection.commit()
    connection.close()


def test_a_file_in_use_is_not_replaced_from_outside(database: Database, path: Path) -> None:
    copy = database.back_up(at=NOW, why=backup.BY_HAND)
    with pytest.raises(InUse):
        Database.put_back(path, copy, at=NOW)


def test_a_damaged_file_is_replaced_and_kept_byte_for_byte(database: Database, path: Path, reopened: Reopen) -> None:
    add_job(database)
    copy = database.back_up(at=NOW, why=backup.BY_HAND)
    database.close()
    content = damage(path)
    kept = Database.put_back(path, copy, at=NOW)
    assert kept is not None
    assert kept.name == "benchday-20260601T140000000000Z-damaged.sqlite"
    assert kept.read_bytes() == content
    assert [aside.name for aside in backup.asides(path)] == [kept.name]
    assert names(reopened()) == ["Pantry"]


def test_a_file_that_is_gone_is_brought_back(database: Database, path: Path, reopened: Reopen) -> None:
    add_job(database)
    copy = database.back_up(at=NOW, why=backup.BY_HAND)
    database.close()
    path.unlink()
    assert Database.put_back(path, copy, at=NOW) is None
    assert names(reopened()) == ["Pantry"]


@pytest.mark.parametrize("damaged", [False, True])
def test_a_stale_log_of_the_old_file_does_not_get_into_the_restored_one(
    database: Database, path: Path, reopened: Reopen, tmp_path: Path, damaged: bool
) -> None:
    """The process was killed, so its log lies beside the file; replayed into the restored one it would damage that."""
    add_job(database)
    copy = database.back_up(at=NOW, why=backup.BY_HAND)
    for number in range(30):
        add_job(database, f"Later {number}")
    killed = {ending: path.with_name(path.name + ending).read_bytes() for ending in ("", "-wal")}
    database.close()
    for ending, content in killed.items():
        path.with_name(path.name + ending).write_bytes(content)
    log = path.with_name(path.name + "-wal")
    assert log.stat().st_size > 50_000
    if damaged:
        damage(path, page=10, pages=20)
    kept = Database.put_back(path, copy, at=NOW)
    assert not log.exists()
    check(path)
    assert names(reopened()) == ["Pantry"]
    assert kept is not None
    if damaged:
        assert kept.with_name(kept.name + "-wal").read_bytes() == killed["-wal"]
    else:
        assert len(ask(kept, "SELECT 1 FROM job")) == 31


def test_a_restore_cut_off_at_any_step_is_finished_or_never_begun(
    database: Database, path: Path, tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Before each change of a name in the folder the folder is copied, as a kill would leave it, and opened."""
    add_job(database)
    copy = database.back_up(at=NOW, why=backup.BY_HAND)
    add_job(database, "Larder")
    database.close()
    seen: list[list[str]] = []
    is_looking = False

    def look() -> None:
        nonlocal is_looking
        is_looking = True
        place = tmp_path_factory.mktemp("cut") / "data"
        shutil.copytree(path.parent, place)
        opened = Database(place / path.name, at=NOW)
        seen.append(names(opened))
        opened.close()
        is_looking = False

    def looking_before(change: Callable[..., None]) -> Callable[..., None]:
        def changed(*args: Any, **keywords: Any) -> None:
            if not is_looking:
                look()
            change(*args, **keywords)

        return changed

    with monkeypatch.context() as patched:
        for name in ("replace", "rename", "unlink"):
            patched.setattr(os, name, looking_before(getattr(os, name)))
        Database.put_back(path, copy, at=NOW)
    look()
    begun = seen.index(["Pantry"])
    assert begun >= 3
    assert seen == [["Pantry", "Larder"]] * begun + [["Pantry"]] * (len(seen) - begun)
    assert len(seen) - begun >= 4


def test_an_older_backup_is_brought_up_to_date_before_it_takes_the_place(
    database: Database, path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """So that no failing upgrade can leave the app with a file it cannot use."""
    copy = database.back_up(at=NOW, why=backup.BY_HAND)
    add_job(database)

    def fail(path: Path) -> None:
        raise CannotOpen("cannot be upgraded")

    monkeypatch.setattr(schema, "upgrade", fail)
    with pytest.raises(CannotOpen, match="cannot be upgraded"):
        database.restore(copy, at=NOW)
    assert names(database) == ["Pantry"]
