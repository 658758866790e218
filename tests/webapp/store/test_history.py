"""History: every change of a row is noted by itself; undo takes it back, and undo of the undo brings it again."""

import json
from datetime import UTC, date, datetime, timedelta, timezone
from fractions import Fraction

import pytest
from sqlalchemy import update
from sqlmodel import col, select

from domain.money import Money
from domain.shop import Shop
from store_builders import NOW, a_job, add_job, names
from webapp.store import history, rows, shop
from webapp.store import job as jobs
from webapp.store.database import Database
from webapp.store.history import CannotUndo
from webapp.store.rows import ChangedMeanwhile, Missing
from webapp.store.tables import (
    AnswerRow,
    ChangeRow,
    ClientRow,
    JobRow,
    PracticeRow,
    PriceRow,
    QuoteRow,
    StockRow,
    TaskRow,
)


def changes(database: Database) -> list[tuple[str, str, object, object]]:
    """Return what was noted: noun, id, and the name before and after."""
    with database.read() as db:
        return [
            (row.noun, row.row_id, named(row.before), named(row.after))
            for row in db.exec(select(ChangeRow).order_by(col(ChangeRow.id)))
        ]


def named(text: str | None) -> object:
    return json.loads(text).get("name") if text else None


def rename(database: Database, job_id: int, name: str) -> None:
    with database.write(f"renamed {name}", at=NOW, job_id=job_id) as db:
        version = rows.find(db, JobRow, job_id).version
        jobs.save_job(db, a_job(name, job_id=job_id, version=version))


def undo(database: Database, action_id: int) -> int:
    """Undo an action and return the id of the undoing."""
    with database.write("undo", at=NOW) as db:
        history.undo(db, action_id)
        undoing = history.last_action_id(db)
    assert undoing is not None
    return undoing


def test_adding_changing_and_removing_are_noted_with_before_and_after(database: Database) -> None:
    add_job(database)
    rename(database, 1, "Larder")
    with database.write("removed", at=NOW) as db:
        jobs.remove_job(db, 1, at=NOW)
    assert changes(database) == [
        ("client", "1", None, "A. Invented"),
        ("job", "1", None, "Pantry"),
        ("job", "1", "Pantry", "Larder"),
        ("job", "1", "Larder", "Larder"),
    ]


def test_a_deleted_row_is_noted_as_it_was_in_the_file(database: Database) -> None:
    with database.write("set", at=NOW) as db:
        db.add(PracticeRow(id="kerf", value=Fraction(1, 8)))
    with database.write("back to usual", at=NOW) as db:
        row = rows.find(db, PracticeRow, "kerf")
        row.value = Fraction(3)
        db.delete(row)
    with database.read() as db:
        last = db.exec(select(ChangeRow).order_by(col(ChangeRow.id).desc())).first()
    assert last is not None
    assert json.loads(last.before or "")["value"] == "1/8"
    assert last.after is None


def test_a_write_that_changes_nothing_is_no_action(database: Database) -> None:
    add_job(database)
    rename(database, 1, "Pantry")
    with database.read() as db:
        assert len(history.load_actions(db)) == 1
        assert rows.find(db, JobRow, 1).version == 1


def test_an_action_that_made_its_job_belongs_to_it(database: Database) -> None:
    with database.write("added", at=NOW) as db:
        history.of_job(db, jobs.add_job(db, a_job(), at=NOW))
    with database.write("added, the job named before any row", at=NOW) as db:
        history.of_job(db, 1)
        jobs.add_job(db, a_job("Larder"), at=NOW)
    with database.read() as db:
        assert [action.job_id for action in history.load_actions(db, job_id=1)] == [1, 1]


def test_undo_of_an_addition_hides_it_and_undo_of_that_brings_it_back(database: Database) -> None:
    add_job(database)
    taken_back = undo(database, 1)
    assert names(database) == []
    undo(database, taken_back)
    assert names(database) == ["Pantry"]


def test_undo_of_a_change_and_undo_of_that_and_so_on(database: Database) -> None:
    add_job(database)
    rename(database, 1, "Larder")
    action = 2
    for expected in ("Pantry", "Larder", "Pantry", "Larder"):
        action = undo(database, action)
        assert names(database) == [expected]


def test_an_action_whose_undo_was_undone_stands_and_can_be_undone_again(database: Database) -> None:
    add_job(database)
    rename(database, 1, "Larder")
    undo(database, undo(database, 2))
    assert stands(database) == {1: True, 2: True, 3: False, 4: True}
    undo(database, 2)
    assert names(database) == ["Pantry"]
    assert stands(database) == {1: True, 2: False, 3: False, 4: True, 5: True}


def stands(database: Database) -> dict[int, bool]:
    with database.read() as db:
        actions = history.load_actions(db)
        for action in actions:
            assert history.load_action(db, action.id) == action
            assert action.can_undo == (not action.undone)
    return {action.id: not action.undone for action in reversed(actions)}


def test_undo_of_a_removal_brings_the_row_back(database: Database) -> None:
    add_job(database)
    with database.write("removed", at=NOW) as db:
        jobs.remove_job(db, 1, at=NOW)
    undo(database, 2)
    assert names(database) == ["Pantry"]


def test_undo_of_a_deletion_and_of_an_addition_without_removal(database: Database) -> None:
    with database.write("set", at=NOW) as db:
        db.add(PracticeRow(id="kerf", value=Fraction(1, 8)))
    with database.write("back to usual", at=NOW) as db:
        db.delete(rows.find(db, PracticeRow, "kerf"))
    undo(database, 2)
    with database.read() as db:
        assert rows.find(db, PracticeRow, "kerf").value == Fraction(1, 8)
    undo(database, 3)
    undo(database, 4)
    undo(database, 1)
    with database.read() as db:
        assert db.get(PracticeRow, "kerf") is None


def test_the_shop_can_be_set_up_again_after_that_was_undone(database: Database) -> None:
    for _ in range(2):
        with database.write("set up", at=NOW) as db:
            shop.save_shop(db, Shop(name="Invented Joinery"), version=0)
            db.flush()
            action = history.last_action_id(db)
        with database.read() as db:
            assert shop.load_shop(db).name == "Invented Joinery"
        undo(database, action or 0)
        with database.read() as db:
            assert shop.load_shop(db) == Shop()


def test_an_action_of_several_rows_is_taken_back_whole_or_not_at_all(database: Database) -> None:
    add_job(database)
    with database.write("two", at=NOW) as db:
        rows.change(db, JobRow, 1, version=1, name="Larder")
        rows.change(db, ClientRow, 1, version=1, name="B. Invented")
    with database.write("one of them again", at=NOW) as db:
        rows.change(db, JobRow, 1, version=2, notes="dry")
    with pytest.raises(CannotUndo, match="changed again since"):
        undo(database, 2)
    with database.read() as db:
        assert rows.find(db, ClientRow, 1).name == "B. Invented"
    undo(database, 3)
    undo(database, 2)
    with database.read() as db:
        assert (rows.find(db, ClientRow, 1).name, rows.find(db, JobRow, 1).name) == ("A. Invented", "Pantry")


def test_a_row_changed_twice_in_one_action_comes_back_to_its_start(database: Database) -> None:
    add_job(database)
    with database.write("twice", at=NOW) as db:
        rows.change(db, JobRow, 1, version=1, name="Larder", notes="one")
        rows.change(db, JobRow, 1, version=2, name="Scullery")
    undo(database, 2)
    with database.read() as db:
        job = rows.find(db, JobRow, 1)
        assert (job.name, job.notes) == ("Pantry", "")


def test_what_was_undone_is_not_undone_twice(database: Database) -> None:
    add_job(database)
    undo(database, 1)
    with pytest.raises(CannotUndo, match="undone already"):
        undo(database, 1)
    with pytest.raises(Missing):
        undo(database, 99)


def test_every_kind_of_value_comes_back_as_it_was(database: Database) -> None:
    """Money, exact numbers, days, instants of another zone, nothing and yes or no."""
    add_job(database)
    there = datetime(2026, 6, 1, 9, 0, tzinfo=timezone(timedelta(hours=-5)))
    with database.write("rows", at=NOW) as db:
        db.add(PriceRow(material="oak", package="bf", package_quantity=Fraction(1, 3), price=Money(785),
                        priced_on=date(2026, 1, 2), taxed=False))  # fmt: skip
        db.add(StockRow(material="oak", quantity=3))  # type: ignore[arg-type]
        db.add(TaskRow(job_id=1, key="glue", started_at=there))
    with database.write("changed", at=NOW) as db:
        rows.change(db, PriceRow, 1, version=1, price=Money(799), package_quantity=Fraction(2), taxed=True)
        rows.change(db, StockRow, 1, version=1, quantity=Fraction(7, 2))
        rows.change(db, TaskRow, 1, version=1, started_at=None, minutes=5)
    undo(database, 3)
    with database.read() as db:
        price, stock, task = rows.find(db, PriceRow, 1), rows.find(db, StockRow, 1), rows.find(db, TaskRow, 1)
    assert (price.price, price.package_quantity, price.priced_on) == (Money(785), Fraction(1, 3), date(2026, 1, 2))
    assert price.taxed is False
    assert stock.quantity == Fraction(3)
    assert (task.started_at, task.minutes) == (datetime(2026, 6, 1, 14, 0, tzinfo=UTC), None)
    undo(database, 2)


def freeze(database: Database) -> None:
    with database.write("frozen", at=NOW, job_id=1) as db:
        db.add(
            QuoteRow(job_id=1, number="26-1", frozen_at=NOW, valid_until=date(2026, 7, 1), total=Money(5), frozen="{}")
        )


def test_a_frozen_quote_is_an_action_that_stays(database: Database) -> None:
    add_job(database)
    freeze(database)
    with database.write("accepted, and the job goes on", at=NOW) as db:
        rows.change(db, JobRow, 1, version=1, state="accepted")
        db.add(AnswerRow(quote_id=1, answer="accepted", answered_at=NOW))
    for action_id in (2, 3):
        with pytest.raises(CannotUndo, match="frozen quote"):
            undo(database, action_id)
    with database.read() as db:
        assert [action.can_undo for action in history.load_actions(db)] == [False, False, True]


def test_a_statement_over_many_rows_is_refused_because_history_would_miss_it(database: Database) -> None:
    add_job(database)
    with pytest.raises(TypeError, match="one by one"), database.write("all", at=NOW) as db:
        db.exec(update(JobRow).values(name="All the same"))
    assert names(database) == ["Pantry"]


def test_the_second_of_two_sessions_with_one_version_is_refused(database: Database) -> None:
    add_job(database)
    rename(database, 1, "Larder")
    with pytest.raises(ChangedMeanwhile) as caught, database.write("late", at=NOW) as db:
        rows.change(db, JobRow, 1, version=1, name="Scullery")
    assert caught.value.version == 2
    assert names(database) == ["Larder"]


def test_an_undo_counts_the_version_up_so_that_an_open_form_is_told(database: Database) -> None:
    add_job(database)
    rename(database, 1, "Larder")
    undo(database, 2)
    with database.read() as db:
        assert rows.find(db, JobRow, 1).version == 3


@pytest.mark.parametrize("number", [0, -1, 7, 2**63, 10**30])
def test_no_number_finds_a_row_that_is_not_there(database: Database, number: int) -> None:
    with database.read() as db, pytest.raises(Missing):
        rows.find(db, JobRow, number)
