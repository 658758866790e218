"""Orders: what is lacking, written, sent, received, late, on paper and as CSV read back by the standard library."""

import csv
from collections.abc import Mapping
from datetime import UTC, date, datetime, timedelta
from fractions import Fraction
from io import StringIO
from typing import Any

import pytest
from fastapi.testclient import TestClient

from conftest import Clock, page_of
from domain.answer import Answer, AnswerKind
from domain.hours import usual_week
from domain.length import Length
from domain.material import Material, MaterialKind
from domain.money import Money
from domain.option import Option, OtherSheet, apply
from domain.order import Order
from domain.pieces.base_cabinet import BaseCabinet
from domain.pieces.piece import PlacedPiece
from domain.plan import latest_order_day
from domain.price import Price
from domain.quote import FrozenQuote, Party, Payment, QuotedOption, QuoteLine
from domain.stock import StockItem
from webapp.store import order as store
from webapp.store.database import Database
from webapp.store.job import load_job, set_state
from webapp.store.option import add_option, load_options
from webapp.store.piece import add_piece, load_pieces, save_piece
from webapp.store.plan import load_plan_facts
from webapp.store.price import add_price, load_price, save_price
from webapp.store.quote import add_answer, add_quote
from webapp.store.shop import add_hours
from webapp.store.stock import add_stock_item, load_stock
from webapp.store.take_off import load_take_off

YARD = "Hill Yard"
LEAD = timedelta(days=5)
JOB = {"name": "Pantry", "client_name": "A. Invented", "promised_on": "2026-07-31", "state": "accepted"}


def database(client: TestClient) -> Database:
    found: Database = client.app.state.database  # type: ignore[attr-defined]
    return found


@pytest.fixture
def pantry(client: TestClient, clock: Clock) -> TestClient:
    """An accepted job of eight cabinets in a shop open on weekdays; all they take is in the price book."""
    client.post("/jobs/new", data=JOB)
    with database(client).write("Set up", at=clock.at) as db:
        add_hours(db, usual_week())
        add_piece(db, 1, PlacedPiece(0, "Base", 8, BaseCabinet(width=Length.of(30))))
        for place, line in enumerate(load_take_off(db, 1).lines):
            add_price(db, a_price(line.material, 1000 + 10 * place))
    return client


def a_price(material: Material, cents: int, *, supplier: str = "") -> Price:
    """Return a price; sheets come from the yard, everything else from a shop for fittings."""
    supplier = supplier or (YARD if material.kind is MaterialKind.SHEET else "=Fittings & co")
    holds = Fraction(1) if material.kind is MaterialKind.SHEET else Fraction(50)
    return Price(0, material, material.title, supplier, "package", holds, Money(cents), date(2026, 5, 1), LEAD)


def form_of(client: TestClient, address: str, action: str, *, number: int = 0) -> dict[str, str]:
    """Return what a browser would post from a form of a page, untouched."""
    form = page_of(client.get(address)).css(f'form[action="{action}"]')[number]
    posted = {}
    for node in form.css("input, textarea"):
        named: Mapping[str, Any] = node.attributes
        if named.get("type") != "checkbox" or "checked" in named:
            posted[named["name"]] = node.text() if node.tag == "textarea" else named.get("value") or ""
    return posted


def write_order(client: TestClient, supplier: str = YARD, **changes: str) -> str:
    """Make the order of a supplier as it is offered, with changes, and return its address."""
    reply = client.post("/jobs/1/orders", data=supplier_form(client, supplier) | changes)
    assert reply.status_code == 303, reply.text
    return reply.headers["location"].partition("?")[0]


def supplier_form(client: TestClient, supplier: str) -> dict[str, str]:
    forms = page_of(client.get("/jobs/1/order")).css('form[action="/jobs/1/orders"]')
    found = [number for number, form in enumerate(forms) if form.css_first("h3").text() == supplier]
    return form_of(client, "/jobs/1/order", "/jobs/1/orders", number=found[0])


def stored(client: TestClient, order_id: int = 1) -> Order:
    with database(client).read() as db:
        return store.load_order(db, order_id)


# What is lacking


def test_a_job_without_pieces_says_where_to_start(client: TestClient) -> None:
    client.post("/jobs/new", data=JOB)
    page = page_of(client.get("/jobs/1/order"))
    assert page.css_first(".empty a").attributes["href"] == "/jobs/1/pieces"
    assert page_of(client.get("/orders")).css_first(".empty a").attributes["href"] == "/"


def test_needs_less_stock_less_what_is_on_order_are_offered_in_whole_packages(pantry: TestClient, clock: Clock) -> None:
    with database(pantry).read() as db:
        needs = load_take_off(db, 1)
    sheet = next(line for line in needs.lines if line.material.kind is MaterialKind.SHEET and line.needed.value > 2)
    with database(pantry).write("Stock", at=clock.at) as db:
        add_stock_item(db, StockItem(0, sheet.material, Fraction(1)))
    form = supplier_form(pantry, YARD)
    with database(pantry).read() as db:
        short = store.load_shortage(db, 1)
    line = next(one for each in short.suppliers for one in each.lines if one.packages.price.material == sheet.material)
    assert form[f"packages-{line.packages.price.id}"] == str(sheet.needed.value - 1)
    assert line.short.value == sheet.needed.value - 1
    write_order(pantry, **{f"packages-{line.packages.price.id}": "1"})
    again = supplier_form(pantry, YARD)
    assert again[f"packages-{line.packages.price.id}"] == str(sheet.needed.value - 2)
    assert len([name for name in again if name.startswith("take-")]) == 1  # the other sheets are all on order


def test_every_figure_of_the_page_opens_down_to_its_sources(pantry: TestClient) -> None:
    write_order(pantry)
    for address in ("/jobs/1/order", "/orders/1", "/orders"):
        figures = {node.attributes["href"] or "" for node in page_of(pantry.get(address)).css("a.figure")}
        assert figures
        for figure in figures:
            opened = page_of(pantry.get(figure, headers={"HX-Request": "true"}))
            assert opened.css_first("h2").text().startswith("How we got"), figure
            for leaf in (node for node in opened.css(".working-node") if not node.css("ul")):
                assert leaf.css_first(".working-rule").text().strip(), figure


def test_lines_that_are_left_out_are_offered_again(pantry: TestClient) -> None:
    form = supplier_form(pantry, YARD)
    ticks = [name for name in form if name.startswith("take-")]
    write_order(pantry, **{ticks[0]: ""})
    left = supplier_form(pantry, YARD)
    assert [name for name in left if name.startswith("take-")] == [ticks[0]]
    assert len(stored(pantry).lines) == len(ticks) - 1


def test_a_material_without_a_price_leads_to_typing_one(pantry: TestClient, clock: Clock) -> None:
    with database(pantry).write("Another", at=clock.at) as db:
        add_piece(db, 1, PlacedPiece(0, "Oak base", 1, BaseCabinet(sheet="white oak plywood")))
    warning = page_of(pantry.get("/jobs/1/order")).css_first("section.warning")
    assert "white oak plywood" in warning.text()
    link = warning.css_first("a").attributes["href"] or ""
    assert link.startswith("/prices/new?material=sheet")


def test_a_price_without_a_supplier_asks_for_one_and_the_order_has_it(pantry: TestClient, clock: Clock) -> None:
    with database(pantry).write("No supplier", at=clock.at) as db:
        price = load_price(db, 1)
        save_price(db, Price(**{name: getattr(price, name) for name in price.__dataclass_fields__} | {"supplier": ""}))
    form = supplier_form(pantry, "No supplier named")
    refused = pantry.post("/jobs/1/orders", data=form)
    assert refused.status_code == 422
    assert "Supplier is empty" in page_of(refused).css_first("#supplier-problem").text()
    reply = pantry.post("/jobs/1/orders", data=form | {"supplier": "Corner shop"})
    assert reply.status_code == 303
    assert stored(pantry).supplier == "Corner shop"


def test_the_latest_day_to_order_is_the_plans(pantry: TestClient, clock: Clock) -> None:
    with database(pantry).read() as db:
        plan, problems = load_plan_facts(db, clock.at, job_id=1).plan()
    assert plan is not None
    assert not problems
    latest = latest_order_day(plan, f"1/supplier:{YARD}.delivery")
    assert latest is not None
    forms = page_of(pantry.get("/jobs/1/order")).css("form.wanted")
    shown = next(form for form in forms if form.css_first("h3").text() == YARD)
    assert f"Order by {latest:%a} {latest.day} {latest:%b}" in shown.css_first(".order-by").text()
    clock.at = datetime.combine(latest + timedelta(days=1), clock.at.time(), UTC)
    late = next(form for form in page_of(pantry.get("/jobs/1/order")).css("form.wanted") if YARD in form.text())
    assert "The latest day to order was" in late.css_first(".late").text()


def test_without_shop_hours_the_page_says_why_there_is_no_latest_day(client: TestClient, clock: Clock) -> None:
    client.post("/jobs/new", data=JOB)
    with database(client).write("Set up", at=clock.at) as db:
        add_piece(db, 1, PlacedPiece(0, "Base", 1, BaseCabinet()))
        for line in load_take_off(db, 1).lines:
            add_price(db, a_price(line.material, 1000))
    assert "no working hours" in page_of(client.get("/jobs/1/order")).css_first("p.warning").text()


def test_an_option_the_client_took_is_called_to_mind_until_the_pieces_follow_it(
    pantry: TestClient, clock: Clock
) -> None:
    oak = OtherSheet("white oak plywood", "maple plywood")
    with database(pantry).write("Agreed", at=clock.at) as db:
        add_option(db, 1, Option(0, "In white oak", (oak,)))
        who, day, price = Party("A. Invented"), clock.at.date(), Money(10_000)
        frozen = FrozenQuote(
            number="2026-001", job_name="Pantry", site="", client=who, shop=who, issued_on=day, valid_until=day,
            lines=(QuoteLine("Base", "", price),), price=price, tax=Money(0), tax_share=Fraction(0), taxed=Money(0),
            total=price, payments=(Payment("All", Fraction(1), price),),
            options=(QuotedOption("In white oak", "", price, Money(0)),),
        )  # fmt: skip
        quote_id = add_quote(db, 1, frozen, at=clock.at)
        add_answer(db, quote_id, Answer(AnswerKind.ACCEPTED, clock.at, "In white oak"))
    assert "took the option “In white oak”" in pantry.get("/jobs/1/order").text
    with database(pantry).write("Follow it", at=clock.at) as db:
        (placed,) = load_pieces(db, 1)
        (changed,) = apply(load_options(db, 1)[0], (placed,))
        save_piece(db, 1, changed)
    assert "took the option" not in pantry.get("/jobs/1/order").text


# Making an order of it


def test_an_order_keeps_the_price_it_was_written_at(pantry: TestClient, clock: Clock) -> None:
    write_order(pantry)
    before = stored(pantry)
    assert (before.number, before.supplier, before.lead_time) == ("P2026-001", YARD, LEAD)
    assert before.ordered_at is None
    with database(pantry).write("Dearer", at=clock.at) as db:
        for price_id in range(1, 4):
            price = load_price(db, price_id)
            values = {name: getattr(price, name) for name in price.__dataclass_fields__}
            save_price(db, Price(**values | {"package_price": Money(999_900)}))
    assert stored(pantry).total == before.total


def test_a_double_press_makes_one_order_and_a_second_form_makes_none(pantry: TestClient) -> None:
    form = supplier_form(pantry, YARD)
    first, second = (pantry.post("/jobs/1/orders", data=form) for _ in range(2))
    assert first.status_code == second.status_code == 303
    assert first.headers["location"].startswith(second.headers["location"])
    stale = pantry.post("/jobs/1/orders", data=form | {"form_key": "another tab"})
    assert stale.status_code == 409
    assert "not lacking any more" in page_of(stale).css_first("#problems").text()
    with database(pantry).read() as db:
        assert store.load_numbers(db) == ("P2026-001",)


def test_every_order_has_a_number_of_its_own_even_after_one_was_removed(pantry: TestClient) -> None:
    write_order(pantry)
    pantry.post("/orders/1/remove")
    write_order(pantry)
    write_order(pantry, "=Fittings & co")
    with database(pantry).read() as db:
        assert store.load_numbers(db) == ("P2026-001", "P2026-002", "P2026-003")


def test_a_price_changed_meanwhile_is_told_before_anything_is_written(pantry: TestClient, clock: Clock) -> None:
    form = supplier_form(pantry, YARD)
    price_id = int(next(name for name in form if name.startswith("take-")).removeprefix("take-"))
    with database(pantry).write("Dearer", at=clock.at) as db:
        price = load_price(db, price_id)
        values = {name: getattr(price, name) for name in price.__dataclass_fields__}
        save_price(db, Price(**values | {"package_price": Money(99_900)}))
    reply = pantry.post("/jobs/1/orders", data=form)
    assert reply.status_code == 409
    assert "changed meanwhile" in page_of(reply).css_first("#problems").text()
    assert "$999.00" in reply.text
    with database(pantry).read() as db:
        assert store.load_numbers(db) == ()


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("", "is empty"), ("0", "out of range"), ("-1", "out of range"), ("1.5", "not a whole number"),
        ("many", "not a whole number"), ("٣", "not a whole number"), ("9999999", "out of range"),
    ],
)  # fmt: skip
def test_packages_that_cannot_be_are_refused_with_what_was_typed_kept(
    pantry: TestClient, typed: str, said: str
) -> None:
    form = supplier_form(pantry, YARD)
    ticks = [name.removeprefix("take-") for name in form if name.startswith("take-")]
    reply = pantry.post("/jobs/1/orders", data=form | {f"packages-{ticks[0]}": typed, f"take-{ticks[1]}": ""})
    assert reply.status_code == 422
    page = page_of(reply)
    assert said in page.css_first(f"#packages-{ticks[0]}-problem").text()
    assert "Packages of" in page.css_first("#problems a").text()
    assert page.css_first(f"#packages-{ticks[0]}").attributes["value"] == typed
    assert "checked" not in page.css_first(f"#take-{ticks[1]}").attributes
    with database(pantry).read() as db:
        assert store.load_numbers(db) == ()


def test_nothing_ticked_is_no_order(pantry: TestClient) -> None:
    form = {name: text for name, text in supplier_form(pantry, YARD).items() if not name.startswith("take-")}
    reply = pantry.post("/jobs/1/orders", data=form)
    assert reply.status_code == 422
    assert "Nothing is ticked" in page_of(reply).css_first("#problems").text()


def test_sums_follow_the_packages_as_they_are_typed(pantry: TestClient) -> None:
    form = supplier_form(pantry, YARD)
    ids = [name.removeprefix("take-") for name in form if name.startswith("take-")]
    with database(pantry).read() as db:
        price = load_price(db, int(ids[0]))
    typed = form | {f"packages-{ids[0]}": "7"} | {f"take-{other}": "" for other in ids[1:]}
    reply = pantry.post("/jobs/1/orders/try", data=typed, headers={"HX-Request": "true"})
    page = page_of(reply)
    dollars = f"${7 * price.package_price.cents // 100}.{7 * price.package_price.cents % 100:02}"
    assert page.css_first(f"#sum-{ids[0]}").text().strip() == dollars
    assert page.css_first(f"#sum-{ids[1]}").text().strip() == "$0.00"
    assert dollars in next(node.text() for node in page.css("output") if "total-" in (node.attributes["id"] or ""))
    assert "<input" not in reply.text


# Ordered, expected, late


def test_an_order_is_marked_as_ordered_today_with_one_press(pantry: TestClient, clock: Clock) -> None:
    address = write_order(pantry)
    assert page_of(pantry.get(address)).css_first(".head .word").text() == "not ordered yet"
    form = form_of(pantry, address, address)
    reply = pantry.post(
        address, data=form | {"ordered_today": "yes", "expected_on": "2026-06-09", "notes": "Ring first"}
    )
    assert reply.status_code == 303
    assert (stored(pantry).ordered_at, stored(pantry).expected_on) == (clock.at, date(2026, 6, 9))
    page = page_of(pantry.get(reply.headers["location"]))
    assert page.css_first(".head .word").text() == "on order"
    assert "marked as ordered" in page.css_first("#done").text()
    assert page.css_first("#notes").text() == "Ring first"


def test_packages_can_be_changed_and_lines_taken_off_until_something_comes(pantry: TestClient) -> None:
    address = write_order(pantry)
    first, *others = stored(pantry).lines
    form = form_of(pantry, address, address)
    reply = pantry.post(
        address, data=form | {f"packages-{first.id}": "9"} | {f"packages-{other.id}": "0" for other in others}
    )
    assert reply.status_code == 303
    assert [line.packages for line in stored(pantry).lines] == [9]
    form = form_of(pantry, address, address)
    nothing = pantry.post(address, data=form | {f"packages-{first.id}": "0"})
    assert nothing.status_code == 422
    assert "at least one line" in page_of(nothing).css_first("#problems").text()


def test_days_that_cannot_be_are_refused_with_what_was_typed_kept(pantry: TestClient) -> None:
    address = write_order(pantry)
    form = form_of(pantry, address, address)
    for ordered, expected, field, said in (
        ("2026-06-31", "", "ordered_on", "not a day in the calendar"),
        ("2026-06-02", "", "ordered_on", "still to come"),
        ("2026-05-30", "2026-05-29", "expected_on", "before the day it was ordered"),
        ("2026-05-30", "9999-01-01", "expected_on", "too far away"),
    ):
        reply = pantry.post(address, data=form | {"ordered_on": ordered, "expected_on": expected, "notes": "Kept"})
        assert reply.status_code == 422
        page = page_of(reply)
        assert said in page.css_first(f"#{field}-problem").text()
        assert page.css_first("#notes").text() == "Kept"
        assert page.css_first("#ordered_on").attributes["value"] == ordered
    assert stored(pantry).ordered_at is None


def test_a_late_order_is_said_in_words_everywhere_and_moves_the_plan(pantry: TestClient, clock: Clock) -> None:
    address = write_order(pantry)
    with database(pantry).read() as db:
        before = load_plan_facts(db, clock.at, job_id=1).plan()[0]
    pantry.post(address, data=form_of(pantry, address, address) | {"ordered_today": "yes", "expected_on": "2026-06-04"})
    clock.at += timedelta(days=4)
    for page in (address, "/orders", "/jobs/1/order"):
        assert "Late: due Thu 4 Jun, the supplier said" in pantry.get(page).text
    assert "1 late" in page_of(pantry.get("/orders")).css_first(".head .late").text()
    form = form_of(pantry, address, address)
    pantry.post(address, data=form | {"expected_on": "2026-07-20"})
    assert "Late:" not in pantry.get("/orders").text
    with database(pantry).read() as db:
        after = load_plan_facts(db, clock.at, job_id=1).plan()[0]
    assert before is not None
    assert after is not None
    assert not before.jobs[1].is_late
    assert after.tasks["1/delivery:1.delivery"].task.expected_at == datetime(2026, 7, 20, 12, tzinfo=UTC)
    assert after.jobs[1].finish_at > before.jobs[1].finish_at + timedelta(days=14)


def test_the_second_of_two_tabs_is_told_and_sees_both(pantry: TestClient) -> None:
    address = write_order(pantry)
    mine = form_of(pantry, address, address)
    assert pantry.post(address, data=mine | {"notes": "Theirs", "form_key": ""}).status_code == 303
    reply = pantry.post(address, data=mine | {"notes": "Mine", "form_key": ""})
    assert reply.status_code == 409
    assert {"Mine", "Theirs"} <= {node.text() for node in page_of(reply).css("td")}
    again = {
        node.attributes["name"] or "": node.attributes.get("value") or node.text()
        for node in page_of(reply).css("form.actions [name]")
    }
    assert pantry.post(address, data=again).status_code == 303
    assert stored(pantry).notes == "Mine"


# What came


def test_a_delivery_comes_in_part_and_then_the_rest(pantry: TestClient, clock: Clock) -> None:
    address = write_order(pantry)
    pantry.post(address, data=form_of(pantry, address, address) | {"ordered_today": "yes"})
    first = stored(pantry).lines[0]
    form = form_of(pantry, address, f"{address}/receive")
    assert form[f"came-{first.id}"] == str(first.packages)
    rest = {name: "0" for name in form if name.startswith("came-") and name != f"came-{first.id}"}
    reply = pantry.post(f"{address}/receive", data=form | rest | {"note": "One corner crushed"})
    assert reply.status_code == 303
    page = page_of(pantry.get(reply.headers["location"]))
    assert page.css_first(".head .word").text() == "came in part"
    assert "Part of order P2026-001 received" in page.css_first("#done").text()
    assert "One corner crushed" in page.css_first(".receipts").text()
    assert [line.id for line in stored(pantry).outstanding] == [line.id for line in stored(pantry).lines[1:]]
    form = form_of(pantry, address, f"{address}/receive")
    assert f"came-{first.id}" not in form
    pantry.post(f"{address}/receive", data=form | {"everything": "yes"})
    assert stored(pantry).arrived_at == clock.at
    page = page_of(pantry.get(address))
    assert page.css_first(".head .word").text() == "all here"
    assert page.css(f'form[action="{address}/receive"]') == []
    assert "All here" in pantry.get("/orders").text
    with database(pantry).read() as db:
        short = {each.supplier for each in store.load_shortage(db, 1).suppliers}
    assert YARD not in short


def test_more_than_is_to_come_is_refused_in_words(pantry: TestClient) -> None:
    address = write_order(pantry)
    line = stored(pantry).lines[0]
    form = form_of(pantry, address, f"{address}/receive")
    reply = pantry.post(f"{address}/receive", data=form | {f"came-{line.id}": "50"})
    assert reply.status_code == 422
    page = page_of(reply)
    assert (
        f"Only {line.packages} of {line.material.trade_words} to come"
        in page.css_first(f"#came-{line.id}-problem").text()
    )
    assert page.css_first(f"#came-{line.id}").attributes["value"] == "50"
    assert stored(pantry).lines[0].received == 0
    for typed, said in (("-1", "out of range"), ("two", "not a number")):
        reply = pantry.post(f"{address}/receive", data=form | {f"came-{line.id}": typed})
        assert said in page_of(reply).css_first(f"#came-{line.id}-problem").text()
    nothing = {name: "" for name in form if name.startswith("came-")}
    assert "Nothing to receive" in pantry.post(f"{address}/receive", data=form | nothing).text
    early = pantry.post(f"{address}/receive", data=form | {"received_on": "2026-06-02"})
    assert "still to come" in page_of(early).css_first("#received_on-problem").text()


def test_two_who_receive_the_same_delivery_count_it_once(pantry: TestClient) -> None:
    address = write_order(pantry)
    form = form_of(pantry, address, f"{address}/receive") | {"everything": "yes"}
    assert pantry.post(f"{address}/receive", data=form).status_code == 303
    assert pantry.post(f"{address}/receive", data=form).status_code == 303  # the same press again
    other = pantry.post(f"{address}/receive", data=form | {"form_key": "another tab"})
    assert other.status_code == 409
    assert all(line.received == line.packages for line in stored(pantry).lines)


def test_what_was_received_is_taken_back_in_the_history(pantry: TestClient) -> None:
    address = write_order(pantry)
    pantry.post(f"{address}/receive", data=form_of(pantry, address, f"{address}/receive") | {"everything": "yes"})
    kept = pantry.post(f"{address}/remove")
    assert kept.status_code == 422
    assert "has come, so it stays" in kept.text
    undo = page_of(pantry.get("/history")).css_first("form").attributes["action"]
    assert pantry.post(undo, data={"back": "/"}).status_code == 303
    assert stored(pantry).outstanding == stored(pantry).lines
    assert pantry.post(f"{address}/remove").status_code == 303
    assert pantry.get(address).status_code == 404
    undo = page_of(pantry.get("/history")).css_first("form").attributes["action"]
    assert pantry.post(undo, data={"back": "/"}).status_code == 303
    assert pantry.get(address).status_code == 200


def test_what_is_left_over_goes_into_stock_once_the_work_is_done(pantry: TestClient, clock: Clock) -> None:
    with database(pantry).read() as db:
        screws = next(line for line in load_take_off(db, 1).lines if line.material.kind is MaterialKind.FASTENER)
    address = write_order(pantry, "=Fittings & co")
    pantry.post(f"{address}/receive", data=form_of(pantry, address, f"{address}/receive") | {"everything": "yes"})
    assert "Left over" not in pantry.get("/jobs/1/order").text
    with database(pantry).write("Done", at=clock.at) as db:
        set_state(db, 1, type(load_job(db, 1).state).CLOSED)
    form = form_of(pantry, "/jobs/1/order", "/jobs/1/order/left-over")
    reply = pantry.post("/jobs/1/order/left-over", data=form)
    assert reply.status_code == 303
    with database(pantry).read() as db:
        kept = {item.material: item for item in load_stock(db)}
    packages = next(line.packages for line in stored(pantry).lines if line.material == screws.material)
    assert kept[screws.material].quantity == packages * 50 - screws.needed.value
    assert kept[screws.material].note == "Left over from Pantry"
    assert "Put in stock" in pantry.get("/jobs/1/order").text
    assert page_of(pantry.get("/jobs/1/order")).css('form[action="/jobs/1/order/left-over"]') == []


# All orders, paper, CSV


def test_all_orders_are_listed_open_ones_first_and_found_by_words(pantry: TestClient) -> None:
    write_order(pantry)
    address = write_order(pantry, "=Fittings & co")
    pantry.post(f"{address}/receive", data=form_of(pantry, address, f"{address}/receive") | {"everything": "yes"})
    page = page_of(pantry.get("/orders"))
    assert [node.text() for node in page.css("h2")] == ["Open", "All here"]
    assert [node.text() for node in page.css("table.orders th[scope=row]")] == ["P2026-001", "P2026-002"]
    found = page_of(pantry.get("/orders", params={"words": "pantry fittings"}))
    assert [node.text() for node in found.css("table.orders th[scope=row]")] == ["P2026-002"]
    assert "No order holds" in pantry.get("/orders", params={"words": "<b>"}).text


def test_the_printed_order_has_every_line_and_asks_for_the_day(pantry: TestClient) -> None:
    address = write_order(pantry)
    order = stored(pantry)
    pantry.post(address, data=form_of(pantry, address, address) | {"notes": "Gate code 12"})
    page = page_of(pantry.get(f"{address}/print"))
    text = " ".join(page.text().split())
    rows = page.css("table.order-lines tbody tr")
    assert len(rows) == len(order.lines)
    for row, line in zip(rows, order.lines, strict=True):
        for part in (str(line.packages), line.package, line.material.trade_words, line.parts):
            assert part in row.text()
    for said in ("Order P2026-001", YARD, "Pantry", "Gate code 12", "Please confirm the delivery day"):
        assert said in text
    assert f"{order.total.dollars.numerator / order.total.dollars.denominator:,.2f}" in page.css_first("tfoot").text()


def test_the_csv_reads_back_and_starts_no_formula(pantry: TestClient) -> None:
    address = write_order(pantry, "=Fittings & co")
    order = stored(pantry)
    reply = pantry.get(f"{address}.csv")
    assert reply.headers["content-disposition"] == 'attachment; filename="order-P2026-001.csv"'
    rows = list(csv.DictReader(StringIO(reply.content.decode("utf-8-sig"), newline="")))
    assert len(rows) == len(order.lines)
    for row, line in zip(rows, order.lines, strict=True):
        assert row["Supplier"] == "'=Fittings & co"
        assert row["Material"] == line.material.trade_words
        assert Fraction(row["Packages"]) == line.packages
        assert Money.of(Fraction(row["Sum"])) == line.extension
    assert sum((Fraction(row["Sum"]) for row in rows), Fraction(0)) == order.total.dollars


def test_an_order_of_a_removed_job_and_one_that_never_was_are_not_there(pantry: TestClient) -> None:
    address = write_order(pantry)
    pantry.post("/jobs/1/remove")
    for page in (address, f"{address}/print", f"{address}.csv", "/orders/99", "/orders/x"):
        assert pantry.get(page).status_code == 404, page
    assert "P2026-001" not in pantry.get("/orders").text
