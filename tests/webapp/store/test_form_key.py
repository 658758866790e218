"""A form counts once, however often it is pressed."""

from datetime import timedelta
from threading import Barrier, Thread

import pytest

from store_builders import NOW, a_job, add_job, ask, names
from webapp.store import form_key
from webapp.store import job as jobs
from webapp.store.database import Database
from webapp.store.form_key import AlreadyDone


def test_a_second_press_is_told_where_the_first_one_led(database: Database) -> None:
    with database.write("added", at=NOW, key="k") as db:
        jobs.add_job(db, a_job(), at=NOW)
        form_key.leads_to(db, "/jobs/1")
    with pytest.raises(AlreadyDone) as caught:
        add_job(database, key="k")
    assert caught.value.led_to == "/jobs/1"
    assert names(database) == ["Pantry"]


def test_without_a_key_every_press_counts(database: Database) -> None:
    add_job(database)
    add_job(database)
    assert names(database) == ["Pantry", "Pantry"]


def test_presses_at_the_same_instant_save_once(database: Database) -> None:
    together, told = Barrier(4), []

    def press() -> None:
        together.wait()
        try:
            add_job(database, key="k")
        except AlreadyDone:
            told.append("already done")

    presses = [Thread(target=press) for _ in range(4)]
    for one in presses:
        one.start()
    for one in presses:
        one.join()
    assert names(database) == ["Pantry"]
    assert told == ["already done"] * 3


def test_a_write_that_failed_can_be_pressed_again(database: Database) -> None:
    with pytest.raises(RuntimeError), database.write("fails", at=NOW, key="k"):
        raise RuntimeError
    add_job(database, key="k")
    assert names(database) == ["Pantry"]


def test_keys_are_forgotten_after_a_week(database: Database) -> None:
    add_job(database, key="old")
    with database.write("later", at=NOW + timedelta(days=7, seconds=1), key="new"):
        pass
    assert ask(database.path, "SELECT id FROM form_key") == [("new",)]


def test_a_key_of_any_length_is_a_key(database: Database) -> None:
    add_job(database, key="x" * 10_000)
    with pytest.raises(AlreadyDone):
        add_job(database, key="x" * 10_000)


def test_no_two_forms_get_the_same_key() -> None:
    assert len({form_key.new_key() for _ in range(10_000)}) == 10_000
