"""What the plan is made from is remembered between pages, and nothing written is ever missed for it."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import date, datetime, time, timedelta
from fractions import Fraction

import pytest
from fastapi.testclient import TestClient
from sqlalchemy import Engine, event
from sqlmodel import Session

from conftest import Clock
from domain.hours import OpenHours
from domain.job import JobState
from domain.material import Material, MaterialKind
from domain.money import Money
from domain.order import Order, OrderLine
from domain.person import Absence, Person
from domain.pieces.piece import PlacedPiece
from domain.pieces.top import Top
from domain.stock import StockItem
from plan_shop import HTMX, NOW, a_job, form_of, price_of_lumber, reading, record, set_up, writing
from webapp.store import job as job_store
from webapp.store import order as order_store
from webapp.store import person as person_store
from webapp.store import piece as piece_store
from webapp.store import shop as shop_store
from webapp.store import stock as stock_store
from webapp.store import task as task_store
from webapp.store.plan import PlanFacts, load_plan_facts
from webapp.store.plan_read import READ_ANEW, read_open
from webapp.store.written import Written

WALNUT = Material(MaterialKind.LUMBER, "Black walnut", "4/4", "FAS")


@pytest.fixture
def shop(client: TestClient, clock: Clock) -> TestClient:
    clock.at = NOW
    set_up(client)
    a_job(client)
    price_of_lumber(client, "Black walnut", "4/4", days=3)
    return client


def remembered(client: TestClient) -> PlanFacts:
    with reading(client) as db:
        return load_plan_facts(db, NOW)


def read_anew(client: TestClient) -> PlanFacts:
    """Return the facts as a session that writes reads them, which has no memory."""
    with writing(client, "Look") as db:
        return load_plan_facts(db, NOW)


@contextmanager
def statements() -> Iterator[list[str]]:
    """Give the list of what is asked of the file meanwhile, each without quotes and with a space at its end."""
    asked: list[str] = []

    def note(_connection: object, _cursor: object, statement: str, *_: object) -> None:
        asked.append(" ".join(statement.replace('"', "").split()) + " ")

    event.listen(Engine, "before_cursor_execute", note)
    try:
        yield asked
    finally:
        event.remove(Engine, "before_cursor_execute", note)


def a_state(db: Session) -> None:
    job_store.set_state(db, 1, JobState.QUOTED)


def a_piece(db: Session) -> None:
    piece_store.add_piece(db, 1, PlacedPiece(0, "Another top", 1, Top()))


def fewer_clamps(db: Session) -> None:
    shop_store.save_shop(db, replace(shop_store.load_shop(db), clamps=4), version=shop_store.load_version(db))


def saturdays(db: Session) -> None:
    shop_store.add_hours(db, [OpenHours(0, 5, time(8), time(12))])


def a_closed_day(db: Session) -> None:
    shop_store.add_closings(db, [date(2026, 6, 3)], "an invented fair")


def a_person(db: Session) -> None:
    person_store.add_person(db, Person(0, "Invented"))


def somebody_away(db: Session) -> None:
    person_id = person_store.add_person(db, Person(0, "Invented"))
    person_store.add_absence(db, Absence(0, person_id, NOW, NOW + timedelta(days=1), "ill"))


def stock(db: Session) -> None:
    stock_store.add_stock_item(
        db, StockItem(0, load_plan_facts(db, NOW).jobs[1].needs.lines[0].material, Fraction(400))
    )


def an_order(db: Session) -> None:
    line = OrderLine(0, WALNUT, "", "board foot", Fraction(1), Fraction(40), Money(700))
    order_store.add_order(db, Order(0, 1, "P1", "Invented yard", (line,), ordered_at=NOW))


def a_time(db: Session) -> None:
    old, version = task_store.load_record(db, 1, "p1.mill")
    task_store.save_record(db, 1, replace(old, started_at=NOW), version=version)


@pytest.mark.parametrize(
    "write",
    [a_state, a_piece, fewer_clamps, saturdays, a_closed_day, a_person, somebody_away, stock, an_order, a_time],
)
def test_what_is_written_is_in_the_plan_at_once(shop: TestClient, write: Callable[[Session], None]) -> None:
    before = remembered(shop)
    with writing(shop) as db:
        write(db)
    after = remembered(shop)
    assert after != before
    assert after == read_anew(shop)


def test_nothing_is_remembered_that_a_tap_or_a_search_writes(shop: TestClient) -> None:
    """What is read for good must not come from the tables whose writes do not count."""
    with writing(shop) as db:
        a_piece(db)
    with statements() as asked, reading(shop) as db:
        read_open(db)
    assert any("FROM piece" in one for one in asked)
    for table in READ_ANEW:
        assert not any(f"FROM {table} " in one or f"JOIN {table} " in one for one in asked), table


def test_a_tap_reads_what_is_recorded_anew_and_nothing_else_of_the_jobs(shop: TestClient) -> None:
    form = form_of(shop, "/today", "/jobs/1/plan/start", "p1.mill")
    with statements() as asked:
        assert shop.post("/jobs/1/plan/start", data=form, headers=HTMX).status_code == 200
    assert any("UPDATE task" in one or "INSERT INTO task" in one for one in asked)
    for table in ("piece", "price", "purchase", "rack_piece", "operation", "hours"):
        assert not any(f"FROM {table} " in one for one in asked), table


def test_a_tap_is_seen_by_the_next_page_though_most_is_remembered(shop: TestClient) -> None:
    assert not remembered(shop).jobs[1].tasks[0].started_at
    record(shop, 1, remembered(shop).jobs[1].tasks[0].part, started_at=NOW)
    assert remembered(shop).jobs[1].tasks[0].started_at == NOW


def test_writes_are_counted_by_their_tables_and_one_of_unknown_tables_counts_always() -> None:
    seen = Written().and_then(frozenset({"task"})).and_then(frozenset({"task", "piece"})).and_then(frozenset({"*"}))
    assert seen.count() == 3
    assert seen.count(beside=frozenset({"task"})) == 2
    assert seen.count(beside=frozenset({"task", "piece"})) == 1
    assert Written().and_then(frozenset()).count(beside=frozenset({"task"})) == 1


def test_a_statement_nobody_can_read_counts_as_a_write_of_anything(shop: TestClient) -> None:
    with reading(shop) as db:
        before = read_open(db)
    with writing(shop) as db:
        db.connection().exec_driver_sql("WITH one AS (SELECT 1 AS id) UPDATE job SET notes = 'x' WHERE id IN one")
    with reading(shop) as db:
        assert read_open(db) is not before
        assert read_open(db).own[1].job.notes == "x"


def test_a_day_later_the_memory_says_what_is_so_then(shop: TestClient) -> None:
    with writing(shop) as db:
        somebody_away(db)

    def away(at: datetime) -> int:
        with reading(shop) as db:
            return len(load_plan_facts(db, at).absences)

    assert (away(NOW), away(NOW + timedelta(days=2)), away(NOW)) == (1, 0, 1)
