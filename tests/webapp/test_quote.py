"""Quotes: frozen from the estimate, answered, revised and printed; what was promised never moves."""

import re
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from fastapi.testclient import TestClient
from selectolax.lexbor import LexborHTMLParser, LexborNode

from conftest import NOW, Clock, page_of
from domain.answer import AnswerKind
from domain.job import JobState
from domain.material import MaterialKind
from domain.money import Money, total
from domain.shop import Shop
from priced_job import a_job, a_priced_job, store_of, values_of
from webapp.store import shop as shop_store
from webapp.store.estimate import load_facts
from webapp.store.job import load_job
from webapp.store.price import load_price_book, save_price
from webapp.store.quote import StoredQuote, load_accepted, load_quote, load_quotes

NEW = "/jobs/1/quotes/new"


def words(node: LexborNode | None) -> str:
    assert node is not None
    return " ".join(node.text().split())


def shown(client: TestClient, address: str) -> LexborHTMLParser:
    reply = client.get(address)
    assert reply.status_code == 200, address
    return page_of(reply)


def form_of(client: TestClient, address: str = NEW) -> dict[str, str]:
    return values_of(shown(client, address), "form.card")


def freeze(client: TestClient, address: str = NEW, **changed: str) -> str:
    """Freeze the estimate as the form offers it and return the address of the quote."""
    reply = client.post("/jobs/1/quotes", data=form_of(client, address) | changed)
    assert reply.status_code == 303, reply.text
    return reply.headers["location"].partition("?")[0]


def answer(client: TestClient, quote: str, kind: str, **more: str) -> int:
    return client.post(f"{quote}/answers", data={"answer": kind} | more).status_code


def stored(client: TestClient, quote: str) -> StoredQuote:
    with store_of(client).read() as db:
        return load_quote(db, int(quote.rpartition("/")[2]))


def state_of_job(client: TestClient) -> JobState:
    with store_of(client).read() as db:
        return load_job(db, 1).state


def amount(text: str) -> Money:
    """Return the money written in a cell, as a client reads it."""
    found = re.fullmatch(r"[+−]?\$([\d,]+\.\d\d)", text)
    assert found, text
    money = Money.parse(found[1])
    return -money if text.startswith("−") else money


def amounts(page: LexborHTMLParser, rows: str) -> list[Money]:
    return [amount(words(cell)) for cell in page.css(f"{rows} td.money:last-child")]


def raise_a_price(client: TestClient) -> None:
    with store_of(client).write("Dearer", at=NOW) as db:
        price = load_price_book(db).prices[0]
        save_price(db, replace(price, package_price=price.package_price + Money(50_000)))


# Freezing


def test_a_job_without_a_quote_says_what_freezing_does(client: TestClient) -> None:
    a_priced_job(client)
    page = shown(client, "/jobs/1/quotes")
    assert "No quote yet" in words(page.css_first(".empty"))
    assert page.css_first("a.huge").attributes["href"] == NEW


def test_a_frozen_quote_is_listed_with_its_number_and_days(client: TestClient) -> None:
    a_priced_job(client)
    quote = freeze(client, validity_days="14")
    row = words(shown(client, "/jobs/1/quotes").css_first("tbody tr"))
    assert "2026-001" in row
    assert "Mon 1 Jun 2026" in row
    assert "Mon 15 Jun 2026" in row
    assert "open" in row
    assert stored(client, quote).quote.total == amount(words(shown(client, quote).css_first(".grand td")))
    assert state_of_job(client) is JobState.QUOTED


def test_what_is_printed_foots(client: TestClient) -> None:
    a_priced_job(client)
    client.post(
        "/jobs/1/costs",
        data={
            "new-cost-kind": "delivery",
            "new-cost-description": "Van",
            "new-cost-amount": "119.99",
            "new-cost-on_quote": "yes",
        },
    )
    client.post("/jobs/1/options", data={"name": "Fewer coats", "coats": "1"})
    page = shown(client, f"{freeze(client)}/print")
    lines = amounts(page, ".lines tbody:not(.sums) tr")
    price, tax, grand = amounts(page, ".lines .sums tr")
    assert len(lines) == 3
    assert total(lines) == price
    assert price + tax == grand
    with store_of(client).read() as db:
        assert grand == load_facts(db, 1, NOW).estimate().total.money
    options, payments = page.css(".together table")
    as_quoted, fewer = [amount(words(row.css("td")[-1])) for row in options.css("tbody tr")]
    assert as_quoted == grand
    assert grand + amount(words(options.css("tbody tr")[1].css("td")[0])) == fewer
    assert total(amount(words(row.css("td")[-1])) for row in payments.css("tbody tr")) == grand


def test_nothing_of_the_inner_cost_is_printed(client: TestClient) -> None:
    a_priced_job(client)
    client.post(
        "/jobs/1/costs",
        data={"new-cost-kind": "subcontract", "new-cost-description": "Inner thing", "new-cost-amount": "777.77"},
    )
    with store_of(client).read() as db:
        totals = load_facts(db, 1, NOW).estimate().totals
    printed = shown(client, f"{freeze(client)}/print").text()
    for name in ("materials", "labour", "overhead", "contingency", "cost", "profit", "taxed"):
        money: Money = getattr(totals, name).money
        assert f"{money.cents // 100:,}.{money.cents % 100:02}" not in printed, name
    for word in ("Overhead", "overhead", "Profit", "markup", "Contingency", "Inner thing", "per hour", "Sample Supply"):
        assert word not in printed


def test_the_paper_says_who_for_whom_until_when_and_what_is_left_out(client: TestClient) -> None:
    a_priced_job(client)
    with store_of(client).write("Shop said", at=NOW) as db:
        shop = Shop(name="Sample Joinery", address="2 Sample Lane", licence="Licence X-1")
        shop_store.save_shop(db, shop, version=shop_store.load_version(db))
    quote = freeze(client, not_included="Painting of walls.\n\n  Plumbing.  ", notes="Start in June.")
    with store_of(client).write("Shop moved", at=NOW) as db:
        moved = Shop(name="Another name")
        shop_store.save_shop(db, moved, version=shop_store.load_version(db))
    page = shown(client, f"{quote}/print")
    assert words(page.css_first(".shop-name")) == "Sample Joinery"
    printed = words(page.css_first("main"))
    for said in (
        "Quote 2026-001", "Pantry", "A. Invented", "1 Sample Street", "Sample room", "Licence X-1",
        "Mon 1 Jun 2026", "Wed 1 Jul 2026", "Long top", "Drawer cabinet", "Left to licensed trades", "lead paint",
        "Start in June.", "Please sign and return one copy",
    ):  # fmt: skip
        assert said in printed, said
    left_out = next(one for one in page.css(".said") if "Not included" in one.text())
    assert [words(line) for line in left_out.css("li")] == ["Painting of walls.", "Plumbing."]


def test_a_price_that_leaves_something_out_is_not_frozen(client: TestClient) -> None:
    a_priced_job(client, without={MaterialKind.SHEET})
    page = shown(client, NEW)
    assert "no price yet" in words(page.css_first(".warning"))
    assert page.css_first(".warning a").attributes["href"] == "/jobs/1/price#missing"
    assert page.css_first("form.card") is None
    typed = {"validity_days": "30", "stage_0_name": "All of it", "stage_0_share": "100", "notes": "kept"}
    reply = client.post("/jobs/1/quotes", data=typed)
    assert reply.status_code == 422
    assert "No price for" in words(page_of(reply).css_first("#problems"))
    assert page_of(reply).css_first("#notes").text() == "kept"
    assert not shown(client, "/jobs/1/quotes").css("tbody tr")
    assert state_of_job(client) is JobState.ENQUIRY


def test_nothing_at_all_is_not_frozen(client: TestClient) -> None:
    client.post("/jobs/new", data={"name": "Pantry", "client_name": "A. Invented"})
    assert "nothing to quote yet" in words(shown(client, NEW).css_first(".warning"))
    typed = {"validity_days": "30", "stage_0_name": "All of it", "stage_0_share": "100"}
    assert client.post("/jobs/1/quotes", data=typed).status_code == 422


def test_an_option_with_an_unknown_price_is_not_offered(client: TestClient) -> None:
    a_priced_job(client)
    client.post("/jobs/1/options", data={"name": "In oak", "other_wood": "White oak"})
    form = form_of(client)
    assert "option_1" not in form
    reply = client.post("/jobs/1/quotes", data=form | {"option_1": "yes"})
    assert reply.status_code == 422
    assert "Option “In oak”: No price for" in words(page_of(reply).css_first("#problems"))
    assert not stored(client, freeze(client)).quote.options


@pytest.mark.parametrize(
    ("name", "typed", "said"),
    [
        ("validity_days", "0", "Valid for"),
        ("validity_days", "soon", "Valid for"),
        ("stage_0_share", "60", "add up to 110 %"),
        ("stage_0_name", "", "needs a name"),
        ("notes", "x" * 20_000, "Notes is 20,000 characters"),
        ("included", "one\n" * 41, "41 paragraphs"),
    ],
)
def test_what_cannot_be_frozen_is_said_and_kept(client: TestClient, name: str, typed: str, said: str) -> None:
    a_priced_job(client)
    reply = client.post("/jobs/1/quotes", data=form_of(client) | {"licensed": "kept", name: typed})
    assert reply.status_code == 422
    page = page_of(reply)
    assert said.casefold() in words(page.css_first("#problems")).casefold()
    assert page.css_first("#licensed").text() == "kept"
    field = page.css_first(f"#{name}")
    assert (field.text() if field.tag == "textarea" else field.attributes["value"] or "") == typed


def test_nobody_promises_a_total_they_have_not_seen(client: TestClient) -> None:
    a_priced_job(client)
    form = form_of(client)
    raise_a_price(client)
    reply = client.post("/jobs/1/quotes", data=form | {"notes": "kept"})
    assert reply.status_code == 409
    assert f"The total was {form['seen_total']}" in words(page_of(reply).css_first("#problems"))
    assert page_of(reply).css_first("#notes").text() == "kept"
    assert client.post("/jobs/1/quotes", data=values_of(page_of(reply), "form.card")).status_code == 303


def test_a_form_pressed_twice_makes_one_quote(client: TestClient) -> None:
    a_priced_job(client)
    form = form_of(client)
    first, second = (client.post("/jobs/1/quotes", data=form) for _ in range(2))
    assert first.headers["location"].startswith(second.headers["location"])
    assert len(shown(client, "/jobs/1/quotes").css("tbody tr")) == 1


def test_numbers_are_unique_when_several_freeze_at_once(client: TestClient) -> None:
    a_priced_job(client)
    forms = [form_of(client) for _ in range(6)]
    with ThreadPoolExecutor(6) as pool:
        replies = list(pool.map(lambda form: client.post("/jobs/1/quotes", data=form), forms))
    assert {reply.status_code for reply in replies} == {303}
    with store_of(client).read() as db:
        numbers = sorted(each.quote.number for each in load_quotes(db, 1))
    assert numbers == [f"2026-{count:03}" for count in range(1, 7)]


def test_freezing_and_answering_stay_in_the_history_and_are_not_undone(client: TestClient) -> None:
    a_priced_job(client)
    quote = freeze(client)
    answer(client, quote, "accepted")
    page = shown(client, "/history")
    rows = [words(row) for row in page.css("tbody tr")[:2]]
    assert "Quote 2026-001: accepted" in rows[0]
    assert "Quote 2026-001 frozen" in rows[1]
    assert not page.css("tbody tr")[0].css("form")
    assert not page.css("tbody tr")[1].css("form")


# What was promised


def test_a_later_price_does_not_reach_a_frozen_quote(client: TestClient) -> None:
    a_priced_job(client)
    quote = freeze(client)
    before = words(shown(client, f"{quote}/print").css_first("main"))
    raise_a_price(client)
    client.post(
        "/jobs/1/edit", data={"name": "Larder", "client_name": "B. Invented", "state": "quoted", "version": "2"}
    )
    assert words(shown(client, f"{quote}/print").css_first("main")) == before
    assert "which is not what quote 2026-001 promises" in words(shown(client, "/jobs/1/quotes").css_first("main"))


def test_words_are_printed_as_words(client: TestClient) -> None:
    a_priced_job(client)
    quote = freeze(client, notes="<script>alert(1)</script> & “more”")
    page = shown(client, f"{quote}/print")
    assert not page.css("main script")
    assert "<script>alert(1)</script> & “more”" in page.css_first("main").text()


# Revising


def test_a_revision_gets_a_number_of_its_own_and_leaves_the_old_one_as_it_is(client: TestClient) -> None:
    a_priced_job(client)
    old = freeze(client, notes="As agreed in May.")
    before = stored(client, old).quote
    raise_a_price(client)
    form = form_of(client, f"{NEW}?replaces=1")
    assert form["notes"] == "As agreed in May."
    new = client.post("/jobs/1/quotes", data=form).headers["location"].partition("?")[0]
    assert stored(client, new).quote.number == "2026-001-B"
    assert stored(client, new).quote.total > before.total
    assert stored(client, old).quote == before
    assert words(shown(client, old).css_first(".word")) == "replaced"
    assert "Quote 2026-001-B replaces this one." in words(shown(client, f"{old}/print").css_first("main"))
    assert words(shown(client, f"{new}/print").css(".dates dd")[-1]) == "quote 2026-001"
    assert answer(client, old, "accepted") == 409


def test_a_replaced_or_accepted_quote_is_not_revised_again(client: TestClient) -> None:
    a_priced_job(client)
    freeze(client)
    form = form_of(client, f"{NEW}?replaces=1")
    freeze(client, f"{NEW}?replaces=1")
    reply = client.post("/jobs/1/quotes", data=form | {"form_key": "another"})
    assert reply.status_code == 422
    assert "A later quote replaces this one" in words(page_of(reply).css_first("#problems"))
    answer(client, "/quotes/2", "accepted")
    assert "accepted and stays as it is" in words(shown(client, f"{NEW}?replaces=2").css_first(".warning"))


@pytest.mark.parametrize("replaces", ["9", "x", "1; DROP TABLE quote"])
def test_a_quote_that_is_not_the_jobs_is_not_revised(client: TestClient, replaces: str) -> None:
    a_priced_job(client)
    assert client.get(NEW, params={"replaces": replaces}).status_code == 404


# Answers


def test_accepting_makes_the_job_accepted_and_taking_back_undoes_that(client: TestClient) -> None:
    a_priced_job(client)
    client.post("/jobs/1/options", data={"name": "Fewer coats", "coats": "1"})
    quote = freeze(client)
    assert answer(client, quote, "accepted", option="Fewer coats", note="By phone") == 303
    assert state_of_job(client) is JobState.ACCEPTED
    page = shown(client, quote)
    assert "with “Fewer coats”" in words(page.css_first("main"))
    option = stored(client, quote).quote.options[0]
    assert f"Agreed: ${option.total.cents // 100:,}" in words(page.css_first("main"))
    with store_of(client).read() as db:
        accepted = load_accepted(db, 1)
    assert accepted is not None
    assert accepted.answer is not None
    assert (accepted.answer.option, accepted.answer.note) == ("Fewer coats", "By phone")
    assert answer(client, quote, "withdrawn") == 303
    assert state_of_job(client) is JobState.QUOTED
    assert words(shown(client, quote).css_first(".word")) == "open"
    assert [each.kind for each in stored(client, quote).answers] == [AnswerKind.ACCEPTED, AnswerKind.WITHDRAWN]


def test_an_accepted_option_becomes_the_job_in_one_step_that_can_be_undone(client: TestClient) -> None:
    a_priced_job(client)
    client.post("/jobs/1/options", data={"name": "Only the cabinets", "left_out_1": "yes", "coats": "2"})
    quote = freeze(client)
    assert not shown(client, quote).css(".warning form")
    answer(client, quote, "accepted", option="Only the cabinets")
    take = shown(client, quote).css_first(".warning form").attributes["action"] or ""
    done = client.post(take, data={})
    assert done.status_code == 303
    with store_of(client).read() as db:
        assert load_facts(db, 1, NOW).estimate().total.money == stored(client, quote).quote.options[0].total
    assert not shown(client, quote).css(".warning form")
    action = done.headers["location"].partition("done=")[2].partition("#")[0]
    assert client.post(f"/history/{action}/undo", data={"back": quote}).status_code == 303
    with store_of(client).read() as db:
        assert load_facts(db, 1, NOW).estimate().total.money == stored(client, quote).quote.total


def test_work_that_has_begun_is_not_set_back_by_an_answer(client: TestClient) -> None:
    a_priced_job(client)
    quote = freeze(client)
    answer(client, quote, "accepted")
    form = values_of(shown(client, "/jobs/1/edit"), "form.card") | {"state": "in progress"}
    assert client.post("/jobs/1/edit", data=form).status_code == 303
    answer(client, quote, "withdrawn")
    assert state_of_job(client) is JobState.IN_PROGRESS


def test_a_declined_quote_says_so_and_the_job_stays_quoted(client: TestClient) -> None:
    a_priced_job(client)
    quote = freeze(client)
    assert answer(client, quote, "declined", note="Too dear") == 303
    assert words(shown(client, quote).css_first(".word")) == "declined"
    assert state_of_job(client) is JobState.QUOTED


def test_the_second_of_two_tabs_cannot_answer_again(client: TestClient) -> None:
    a_priced_job(client)
    quote = freeze(client)
    assert answer(client, quote, "declined") == 303
    reply = client.post(f"{quote}/answers", data={"answer": "accepted", "note": "kept"})
    assert reply.status_code == 409
    assert "This quote is declined. Take that answer back first." in words(page_of(reply).css_first("#problems"))
    assert len(stored(client, quote).answers) == 1


def test_only_one_quote_of_a_job_is_accepted_at_a_time(client: TestClient) -> None:
    a_priced_job(client)
    one, other = freeze(client), freeze(client)
    answer(client, one, "accepted")
    reply = client.post(f"{other}/answers", data={"answer": "accepted"})
    assert reply.status_code == 409
    assert "Quote 2026-001 of this job is accepted" in words(page_of(reply).css_first("#problems"))


@pytest.mark.parametrize("typed", [{}, {"answer": "maybe"}, {"answer": "declined", "note": "x" * 6_000}])
def test_an_answer_that_is_none_is_refused(client: TestClient, typed: dict[str, str]) -> None:
    a_priced_job(client)
    assert client.post(f"{freeze(client)}/answers", data=typed).status_code == 422


def test_an_option_that_the_quote_does_not_have_is_refused(client: TestClient) -> None:
    a_priced_job(client)
    assert answer(client, freeze(client), "accepted", option="In gold") == 409


def test_a_quote_expires_by_the_shops_own_day(client: TestClient, clock: Clock) -> None:
    a_priced_job(client)
    with store_of(client).write("Shop said", at=NOW) as db:
        here = Shop(name="Sample Joinery", zone="America/New_York")
        shop_store.save_shop(db, here, version=shop_store.load_version(db))
    quote = freeze(client, validity_days="1")
    clock.at = datetime(2026, 6, 3, 3, 30, tzinfo=UTC)
    assert words(shown(client, quote).css_first(".word")) == "open"
    clock.at += timedelta(hours=1)
    page = shown(client, quote)
    assert words(page.css_first(".word")) == "expired"
    assert "Expired: it was valid until Tue 2 Jun 2026" in words(shown(client, f"{quote}/print").css_first("main"))
    assert answer(client, quote, "accepted") == 409
    assert answer(client, quote, "declined") == 303


@pytest.mark.parametrize("address", ["/quotes/9", "/quotes/9/print", "/quotes/x", "/quotes/99999999999999999999"])
def test_a_quote_that_is_not_there_is_said(client: TestClient, address: str) -> None:
    a_job(client)
    assert client.get(address).status_code == 404
