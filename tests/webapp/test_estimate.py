"""The price page: totals that follow at once, prices and times typed where they are read, terms, costs and options."""

import re
from dataclasses import replace
from datetime import timedelta
from fractions import Fraction
from html import unescape

import pytest
from fastapi.testclient import TestClient
from selectolax.lexbor import LexborHTMLParser, LexborNode

from conftest import NOW, Clock, page_of
from domain.material import MaterialKind
from domain.money import Money
from domain.operation import OPERATIONS
from priced_job import a_job, a_priced_job, store_of, values_of
from webapp.store.cost import load_costs
from webapp.store.estimate import load_facts
from webapp.store.option import load_options
from webapp.store.price import add_price, load_price_book

HTMX = {"HX-Request": "true"}
PRICE = "/jobs/1/price"
DELIVERY = {"new-cost-kind": "delivery", "new-cost-description": "Van", "new-cost-amount": "120"}


def words(node: LexborNode | None) -> str:
    assert node is not None
    return " ".join(node.text().split())


def fragments_of(text: str) -> dict[str, LexborNode]:
    """Return the fragments of a reply to htmx by the id they go to."""
    found = re.findall(r'<hx-partial hx-target="#([^"]+)" hx-swap="outerHTML">(.*?)</hx-partial>', text, re.DOTALL)
    parsed = {name: LexborHTMLParser(html).css_first(f"#{name}") for name, html in found}
    assert parsed, text[:300]
    assert all(node is not None for node in parsed.values())
    return {name: node for name, node in parsed.items() if node is not None}


def shown(client: TestClient, address: str = PRICE) -> LexborHTMLParser:
    reply = client.get(address)
    assert reply.status_code == 200
    return page_of(reply)


def total_of(page: LexborHTMLParser | LexborNode) -> str:
    return words(page.css_first(".grand td"))


def first_price(client: TestClient, kind: MaterialKind = MaterialKind.SHEET) -> int:
    with store_of(client).read() as db:
        return next(price.id for price in load_price_book(db).prices if price.material.kind is kind)


# What the page says


def test_a_job_without_pieces_says_where_its_price_comes_from(client: TestClient) -> None:
    client.post("/jobs/new", data={"name": "Pantry", "client_name": "A. Invented"})
    page = shown(client)
    assert "Nothing to price yet" in words(page.css_first(".empty"))
    assert page.css_first(".empty a").attributes["href"] == "/jobs/1/pieces"


def test_the_subtotals_on_the_page_are_the_estimates(client: TestClient) -> None:
    a_priced_job(client)
    with store_of(client).read() as db:
        estimate = load_facts(db, 1, NOW).estimate()
    texts = words(shown(client).css_first("#totals"))
    for name in ("materials", "labour", "overhead", "contingency", "cost", "profit", "price", "tax", "total"):
        amount: Money = getattr(estimate.totals, name).money
        assert f"${amount.cents // 100:,}.{amount.cents % 100:02}" in texts, name
    assert not estimate.problems


def test_figures_of_the_page_open_to_their_working(client: TestClient) -> None:
    a_priced_job(client)
    client.post("/jobs/1/costs", data=DELIVERY)
    links = [node.attributes["href"] or "" for node in shown(client).css("a.figure")]
    kinds = {re.sub(r"\d+", "N", link): link for link in links}
    assert len(kinds) > 15
    for link in kinds.values():
        assert "How we got" in client.get(link).text, link


def test_a_total_opens_step_by_step_to_what_was_typed(client: TestClient) -> None:
    a_priced_job(client)
    address, seen = "/jobs/1/working/price/estimate.totals.total", 0
    while further := page_of(client.get(address, headers=HTMX)).css(".working-node a.further"):
        address = further[0].attributes["href"] or ""
        seen += 1
    assert seen >= 2
    assert "Change it" in client.get(address, headers=HTMX).text


# Prices


def test_totals_follow_a_price_at_once_and_equal_the_whole_page(client: TestClient) -> None:
    a_priced_job(client)
    before, price_id = shown(client), first_price(client)
    slot = f"price-{price_id}"
    sent = values_of(before, f"#{slot}-form") | {slot: "310.00"}
    reply = client.post(f"{PRICE}/prices/{price_id}", data=sent, headers=HTMX)
    assert reply.status_code == 200
    found, after = fragments_of(reply.text), shown(client)
    assert total_of(found["totals"]) == total_of(after) != total_of(before)
    for name, node in found.items():
        there = before.css_first(f"#{name}")
        assert there is not None, f"{name} is on no page"
        if name != "done":
            assert words(node) == words(after.css_first(f"#{name}")), name
    assert {slot + "-state", "standing", "shares", "by-piece"} <= set(found)
    hidden = [node.attributes for node in found[f"{slot}-state"].css("input")]
    assert {one["name"] for one in hidden} == {"form_key", "version"}


def test_no_field_that_a_person_types_in_is_ever_replaced(client: TestClient) -> None:
    a_priced_job(client)
    slot = f"price-{first_price(client)}"
    sent = values_of(shown(client), f"#{slot}-form") | {slot: "310.00"}
    reply = client.post(f"{PRICE}/prices/{first_price(client)}", data=sent, headers=HTMX)
    for node in fragments_of(reply.text).values():
        assert all(field.attributes.get("type") == "hidden" for field in node.css("input, select, textarea"))


def test_without_a_script_the_same_form_leads_back_and_the_price_book_knows(client: TestClient) -> None:
    a_priced_job(client)
    price_id = first_price(client)
    slot = f"price-{price_id}"
    sent = values_of(shown(client), f"#{slot}-form") | {slot: "310"}
    reply = client.post(f"{PRICE}/prices/{price_id}", data=sent)
    assert (reply.status_code, reply.headers["location"].partition("?")[0]) == (303, PRICE)
    with store_of(client).read() as db:
        price = next(one for one in load_price_book(db).prices if one.id == price_id)
    assert (price.package_price, price.priced_on) == (Money(31000), NOW.date())


@pytest.mark.parametrize("headers", [{}, HTMX], ids=["page", "htmx"])
@pytest.mark.parametrize("typed", ["1,5", "", "free", "-3", "٣"])
def test_a_price_that_is_none_is_refused_in_words_and_nothing_is_lost(
    client: TestClient, typed: str, headers: dict[str, str]
) -> None:
    a_priced_job(client)
    price_id = first_price(client)
    slot = f"price-{price_id}"
    sent = values_of(shown(client), f"#{slot}-form") | {slot: typed}
    reply = client.post(f"{PRICE}/prices/{price_id}", data=sent, headers=headers)
    assert reply.status_code == 422
    assert "Price of one sheet" in words(page_of(reply).css_first(".problem"))
    if not headers:
        field = page_of(reply).css_first(f"#{slot}")
        assert (field.attributes["value"] or "") == typed
        assert field.attributes["aria-invalid"] == "true"
    assert shown(client).css_first(f"#{slot}").attributes["value"] == "92.00"


def test_an_old_price_is_flagged_until_it_is_said_again(client: TestClient) -> None:
    a_priced_job(client, days_ago=200)
    before, price_id = shown(client), first_price(client)
    assert "prices in use were last checked long ago" in words(before.css_first("#standing"))
    slot = f"price-{price_id}"
    assert "Still right today" in words(before.css_first(f"#{slot}-offer"))
    reply = client.post(f"{PRICE}/prices/{price_id}", data=values_of(before, f"#{slot}-form"), headers=HTMX)
    offer = words(fragments_of(reply.text)[f"{slot}-offer"])
    assert "old" not in offer
    assert "priced 1 Jun 2026" in offer


def test_the_cheaper_package_is_bought_once_its_price_is_typed(client: TestClient) -> None:
    a_priced_job(client)
    with store_of(client).write("A jug", at=NOW) as db:
        glue = next(one for one in load_price_book(db).prices if one.material.kind is MaterialKind.GLUE)
        jug = replace(glue, id=0, package="gallon jug", package_quantity=Fraction(128), package_price=Money(9000))
        jug_id = add_price(db, jug)
    before, slot = shown(client), f"price-{jug_id}"
    assert "not bought" in words(before.css_first(f"#{slot}-offer"))
    sent = values_of(before, f"#{slot}-form") | {slot: "0.50"}
    found = fragments_of(client.post(f"{PRICE}/prices/{jug_id}", data=sent, headers=HTMX).text)
    assert "buy 1" in words(found[f"{slot}-offer"])
    assert "not bought" in words(found[f"price-{glue.id}-offer"])


def test_the_second_of_two_tabs_is_told_beside_the_field_and_can_keep_its_own(client: TestClient) -> None:
    a_priced_job(client)
    price_id = first_price(client)
    slot, address = f"price-{price_id}", f"{PRICE}/prices/{first_price(client)}"
    mine, theirs = values_of(shown(client), f"#{slot}-form"), values_of(shown(client), f"#{slot}-form")
    assert client.post(address, data=theirs | {slot: "80"}, headers=HTMX).status_code == 200
    reply = client.post(address, data=mine | {slot: "81"}, headers=HTMX)
    assert reply.status_code == 409
    beside = fragments_of(reply.text)[f"{slot}-problems"]
    assert "yours 81, saved meanwhile 80.00" in words(beside)
    keep = beside.css_first("button").attributes
    assert (
        client.post(address, data=mine | {slot: "81", keep["name"] or "": keep["value"]}, headers=HTMX).status_code
        == 200
    )
    assert shown(client).css_first(f"#{slot}").attributes["value"] == "81.00"


def test_without_a_script_the_second_tab_sees_both_prices(client: TestClient) -> None:
    a_priced_job(client)
    price_id = first_price(client)
    slot, address = f"price-{price_id}", f"{PRICE}/prices/{first_price(client)}"
    mine, theirs = values_of(shown(client), f"#{slot}-form"), values_of(shown(client), f"#{slot}-form")
    client.post(address, data=theirs | {slot: "80"})
    reply = client.post(address, data=mine | {slot: "81"})
    assert reply.status_code == 409
    assert "81" in reply.text
    assert "80.00" in reply.text
    assert client.post(address, data=values_of(page_of(reply), "form.actions")).status_code == 303
    assert shown(client).css_first(f"#{slot}").attributes["value"] == "81.00"


def test_a_price_typed_here_can_be_undone(client: TestClient) -> None:
    a_priced_job(client)
    price_id, before = first_price(client), shown(client)
    slot = f"price-{price_id}"
    reply = client.post(
        f"{PRICE}/prices/{price_id}", data=values_of(before, f"#{slot}-form") | {slot: "310"}, headers=HTMX
    )
    undo = fragments_of(reply.text)["done"].css_first("form")
    assert client.post(undo.attributes["action"] or "", data={"back": PRICE}).status_code == 303
    assert total_of(shown(client)) == total_of(before)


# Missing prices


def missing_row(page: LexborHTMLParser, title: str) -> str:
    """Return how the names of the fields start in the line of a material."""
    row = next(one for one in page.css(".missing-price") if title in words(one.css_first("h3")))
    name = row.css_first("input[type=hidden]").attributes["name"] or ""
    return name.removesuffix("material")


def test_a_missing_price_is_typed_where_it_is_missed(client: TestClient) -> None:
    a_priced_job(client, without={MaterialKind.SHEET, MaterialKind.GLUE})
    before = shown(client)
    assert "no price yet" in words(before.css_first("#standing"))
    row = missing_row(before, "3/4 maple plywood")
    typed = {f"{row}price": "88.00", f"{row}supplier": "Sample Supply", f"{row}lead_days": "4"}
    reply = client.post(f"{PRICE}/missing", data=values_of(before, "#missing form") | typed)
    assert reply.status_code == 303
    after = shown(client)
    assert "3/4 maple plywood" in words(after.css_first("#materials"))
    assert len(after.css(".missing-price")) == len(before.css(".missing-price")) - 1
    assert total_of(after) != total_of(before)
    with store_of(client).read() as db:
        (price,) = (one for one in load_price_book(db).prices if one.material.title == "3/4 maple plywood")
    assert (price.package, price.supplier, price.package_price, price.whole) == (
        "sheet", "Sample Supply", Money(8800), True,
    )  # fmt: skip
    assert (price.package_quantity, price.priced_on, price.lead_time.days) == (1, NOW.date(), 4)


def test_a_missing_price_typed_by_halves_is_said_and_kept(client: TestClient) -> None:
    a_priced_job(client, without={MaterialKind.SHEET, MaterialKind.GLUE})
    before = shown(client)
    glue, sheet = missing_row(before, "PVA"), missing_row(before, "3/4 maple plywood")
    sent = values_of(before, "#missing form") | {
        f"{glue}price": "11.50", f"{glue}holds": "0", f"{sheet}supplier": "A yard",
    }  # fmt: skip
    reply = client.post(f"{PRICE}/missing", data=sent)
    assert reply.status_code == 422
    page = page_of(reply)
    assert "a package that holds 0 covers nothing" in words(page.css_first(f"#{glue}holds-problem"))
    assert "price of one package is empty" in words(page.css_first(f"#{sheet}price-problem"))
    assert page.css_first(f"#{glue}price").attributes["value"] == "11.50"
    assert page.css_first(f"#{sheet}supplier").attributes["value"] == "A yard"
    assert len(shown(client).css(".missing-price")) == len(before.css(".missing-price"))


def test_a_list_sent_untouched_says_what_to_type(client: TestClient) -> None:
    a_priced_job(client, without={MaterialKind.SHEET})
    reply = client.post(f"{PRICE}/missing", data=values_of(shown(client), "#missing form"))
    assert reply.status_code == 422
    assert "Type at least one, such as 7.85" in words(page_of(reply).css_first("#problems"))


def test_a_list_that_names_no_material_is_refused(client: TestClient) -> None:
    a_priced_job(client)
    reply = client.post(f"{PRICE}/missing", data={"missing-0-material": "nonsense", "missing-0-price": "3"})
    assert reply.status_code == 422


# Labour


def test_times_are_the_shops_and_totals_follow_them(client: TestClient) -> None:
    a_priced_job(client)
    before = shown(client)
    sent = values_of(before, "#operation-cut-sheet-form") | {"cut-sheet-each": "9"}
    found = fragments_of(client.post(f"{PRICE}/operations/cut-sheet", data=sent, headers=HTMX).text)
    after = shown(client)
    assert total_of(found["totals"]) == total_of(after) != total_of(before)
    assert words(found["operation-cut-sheet-minutes"]) != words(before.css_first("#operation-cut-sheet-minutes"))
    assert 'value="9"' in client.get("/shop/operations").text


@pytest.mark.parametrize(
    ("name", "typed"), [("cut-sheet-each", "soon"), ("cut-sheet-setup", ""), ("cut-sheet-crew", "0")]
)
def test_a_time_that_is_none_is_refused_in_words(client: TestClient, name: str, typed: str) -> None:
    a_priced_job(client)
    sent = values_of(shown(client), "#operation-cut-sheet-form") | {name: typed}
    reply = client.post(f"{PRICE}/operations/cut-sheet", data=sent)
    assert reply.status_code == 422
    assert (page_of(reply).css_first(f"#{name}").attributes["value"] or "") == typed
    assert page_of(reply).css_first(f"#{name}-problem") is not None


def test_an_operation_nobody_knows_is_not_there(client: TestClient) -> None:
    a_priced_job(client)
    assert client.post(f"{PRICE}/operations/juggle", data={}).status_code == 404


def test_operations_without_a_time_are_listed_and_said_there(client: TestClient) -> None:
    a_job(client)
    before = shown(client)
    assert len(before.css(".unsaid-time")) > 5
    sent = values_of(before, "#unsaid form") | {"cut-sheet-setup": "10", "cut-sheet-each": "3"}
    assert client.post(f"{PRICE}/unsaid", data=sent).status_code == 303
    after = shown(client)
    assert len(after.css(".unsaid-time")) == len(before.css(".unsaid-time")) - 1
    assert after.css_first("#cut-sheet-each").attributes["value"] == "3"


def test_half_a_time_is_refused_and_kept(client: TestClient) -> None:
    a_job(client)
    sent = values_of(shown(client), "#unsaid form") | {"cut-sheet-setup": "10"}
    reply = client.post(f"{PRICE}/unsaid", data=sent)
    assert reply.status_code == 422
    assert "0 if it takes none" in words(page_of(reply).css_first("#cut-sheet-each-problem"))
    assert page_of(reply).css_first("#cut-sheet-setup").attributes["value"] == "10"


def test_a_time_said_meanwhile_is_not_overwritten_unseen(client: TestClient) -> None:
    a_job(client)
    mine = values_of(shown(client), "#unsaid form") | {"cut-sheet-setup": "10", "cut-sheet-each": "3"}
    assert (
        client.post(
            f"{PRICE}/unsaid",
            data=values_of(shown(client), "#unsaid form") | {"cut-sheet-setup": "12", "cut-sheet-each": "5"},
        ).status_code
        == 303
    )
    reply = client.post(f"{PRICE}/unsaid", data=mine)
    assert reply.status_code == 409
    assert OPERATIONS["cut-sheet"].name in reply.text
    assert client.post(f"{PRICE}/unsaid", data=values_of(page_of(reply), "form.actions")).status_code == 303
    assert shown(client).css_first("#cut-sheet-each").attributes["value"] == "3"


def test_starting_values_are_taken_for_what_nobody_has_said(client: TestClient) -> None:
    a_job(client)
    sent = values_of(shown(client), "#unsaid form") | {"cut-sheet-setup": "10", "cut-sheet-each": "3"}
    client.post(f"{PRICE}/unsaid", data=sent)
    assert client.post(f"{PRICE}/starting-times", data={}).status_code == 303
    page = shown(client)
    assert page.css_first("#unsaid") is None
    assert page.css_first("#cut-sheet-each").attributes["value"] == "3"


# Terms


def test_terms_typed_here_are_the_jobs_own_until_it_follows_the_shop_again(client: TestClient) -> None:
    a_priced_job(client)
    before = shown(client)
    assert "the shop's terms" in words(before.css_first("#whose-terms"))
    sent = values_of(before, "#terms-form") | {"profit_kind": "margin", "profit": "40"}
    found = fragments_of(client.post("/jobs/1/terms", data=sent, headers=HTMX).text)
    assert "its own terms" in words(found["whose-terms"])
    assert "A margin of 40 % of the price is a markup of 66.67 % on the cost." in words(found["totals"])
    assert total_of(found["totals"]) == total_of(shown(client)) != total_of(before)
    assert client.post("/jobs/1/terms/shop", data=values_of(shown(client), "#whose-terms form")).status_code == 303
    assert total_of(shown(client)) == total_of(before)


@pytest.mark.parametrize("headers", [{}, HTMX], ids=["page", "htmx"])
def test_a_margin_of_100_percent_is_refused_in_words(client: TestClient, headers: dict[str, str]) -> None:
    a_priced_job(client)
    sent = values_of(shown(client), "#terms-form") | {"profit_kind": "margin", "profit": "100"}
    reply = client.post("/jobs/1/terms", data=sent, headers=headers)
    assert reply.status_code == 422
    assert "Profit “100” is not a share from 0 to 99 %" in unescape(reply.text)
    if not headers:
        page = page_of(reply)
        assert page.css_first("#profit").attributes["value"] == "100"
        assert page.css_first("#profit_kind option[selected]").attributes["value"] == "margin"


def test_payments_that_do_not_add_up_are_refused(client: TestClient) -> None:
    a_priced_job(client)
    sent = values_of(shown(client), "#terms-form") | {"stage_0_share": "60"}
    reply = client.post("/jobs/1/terms", data=sent)
    assert reply.status_code == 422
    assert "add up to 110 %" in words(page_of(reply).css_first("#stages"))


def test_the_second_tab_with_terms_sees_both(client: TestClient) -> None:
    a_priced_job(client)
    mine, theirs = values_of(shown(client), "#terms-form"), values_of(shown(client), "#terms-form")
    client.post("/jobs/1/terms", data=theirs | {"shop_rate": "70"})
    reply = client.post("/jobs/1/terms", data=mine | {"shop_rate": "75"})
    assert reply.status_code == 409
    assert "75" in reply.text
    assert "70.00" in reply.text


def test_a_figure_leads_to_the_terms_that_set_it(client: TestClient) -> None:
    a_priced_job(client)
    working = page_of(client.get("/jobs/1/working/price/estimate.totals.contingency"))
    links = [link.attributes["href"] or "" for link in working.css(".working-rule a")]
    link = next(link for link in links if "/terms" in link)
    assert link == "/jobs/1/terms#contingency"
    assert client.get("/jobs/1/terms").headers["location"] == PRICE
    assert shown(client).css_first("#contingency") is not None


# Other costs


def test_a_cost_is_added_changed_in_place_and_removed(client: TestClient) -> None:
    a_priced_job(client)
    before = total_of(shown(client))
    assert client.post("/jobs/1/costs", data=DELIVERY).status_code == 303
    sent = values_of(shown(client), "#cost-1-form") | {"cost-1-amount": "200", "cost-1-on_quote": "yes"}
    found = fragments_of(client.post("/jobs/1/costs/1", data=sent, headers=HTMX).text)
    assert total_of(found["totals"]) == total_of(shown(client))
    assert "Van" in words(found["shares"])
    with store_of(client).read() as db:
        (cost,) = load_costs(db, 1)
    assert (cost.amount, cost.on_quote, cost.marked_up, cost.taxed) == (Money(20000), True, False, False)
    assert client.get("/costs/1").headers["location"] == "/jobs/1/price#cost-1"
    assert client.post("/jobs/1/costs/1/remove").status_code == 303
    assert total_of(shown(client)) == before


@pytest.mark.parametrize(
    ("name", "typed"), [("amount", "12,5"), ("amount", ""), ("description", ""), ("kind", "bribe")]
)
def test_a_cost_that_cannot_be_is_refused_with_what_was_typed(client: TestClient, name: str, typed: str) -> None:
    a_priced_job(client)
    reply = client.post("/jobs/1/costs", data=DELIVERY | {f"new-cost-{name}": typed})
    assert reply.status_code == 422
    page = page_of(reply)
    assert page.css_first(f"#new-cost-{name}-problem") is not None
    kept = "description" if name == "amount" else "amount"
    assert page.css_first(f"#new-cost-{kept}").attributes["value"] == DELIVERY[f"new-cost-{kept}"]


def test_the_second_tab_with_a_cost_sees_both(client: TestClient) -> None:
    a_priced_job(client)
    client.post("/jobs/1/costs", data=DELIVERY)
    mine, theirs = (values_of(shown(client), "#cost-1-form") for _ in range(2))
    client.post("/jobs/1/costs/1", data=theirs | {"cost-1-amount": "130"})
    reply = client.post("/jobs/1/costs/1", data=mine | {"cost-1-amount": "140"}, headers=HTMX)
    assert reply.status_code == 409
    assert "yours 140, saved meanwhile 130.00" in words(fragments_of(reply.text)["cost-1-problems"])


def test_a_cost_of_another_job_is_not_there(client: TestClient) -> None:
    a_priced_job(client)
    client.post("/jobs/1/costs", data=DELIVERY)
    client.post("/jobs/new", data={"name": "Other", "client_name": "B. Invented"})
    sent = {"cost-1-kind": "delivery", "cost-1-description": "Van", "cost-1-amount": "1", "version": "1"}
    assert client.post("/jobs/2/costs/1", data=sent).status_code == 404
    assert client.post("/jobs/2/costs/1/remove").status_code == 404
    assert client.get("/costs/99").status_code == 404


# Options

OAK = {"name": "In white oak", "other_wood": "White oak"}


def test_options_stand_side_by_side_with_their_difference(client: TestClient) -> None:
    a_priced_job(client)
    assert "No options yet" in words(shown(client, "/jobs/1/options").css_first(".empty"))
    assert client.post("/jobs/1/options", data={"name": "Fewer coats", "coats": "1"}).status_code == 303
    assert client.post("/jobs/1/options", data={"name": "Only the cabinets", "left_out_1": "yes"}).status_code == 303
    page = shown(client, "/jobs/1/options")
    rows = [words(row) for row in page.css("tbody tr")]
    assert rows[0].startswith("As it stands")
    assert all("−$" in row for row in rows[1:])
    assert "Without Long top" in rows[2]
    assert "How we got −$" in client.get("/jobs/1/working/options/options.1.difference").text


def test_an_option_whose_price_is_unknown_says_so_and_where_to_type_it(client: TestClient) -> None:
    a_priced_job(client)
    client.post("/jobs/1/options", data=OAK)
    row = shown(client, "/jobs/1/options").css("tbody tr")[1]
    assert "so far" in words(row)
    assert "No price for" in words(row)
    assert (row.css_first(".problem a").attributes["href"] or "").startswith("/prices/new?material=")


@pytest.mark.parametrize(
    ("typed", "field", "said"),
    [
        ({"name": ""}, "name", "Name of the option is empty"),
        ({"name": "X"}, "other_wood", "changes nothing yet"),
        ({"name": "X", "coats": "none"}, "coats", "is not a whole number"),
        ({"name": "X", "grade": "FAS"}, "other_wood", "A grade needs its wood"),
        (
            {"name": "X", "other_wood": "White oak", "wood": "Black walnut"},
            "changes",
            "no piece of this job would change",
        ),
    ],
)
def test_an_option_that_cannot_be_is_refused_with_what_was_typed(
    client: TestClient, typed: dict[str, str], field: str, said: str
) -> None:
    a_priced_job(client)
    reply = client.post("/jobs/1/options", data={"words": "kept words", "piece_2": "yes"} | typed)
    assert reply.status_code == 422
    page = page_of(reply)
    assert said in words(page.css_first(f"#{field}-problem"))
    assert page.css_first("#words").text() == "kept words"
    assert "checked" in page.css_first("#piece_2").attributes


def test_two_options_of_a_job_have_two_names(client: TestClient) -> None:
    a_priced_job(client)
    client.post("/jobs/1/options", data=OAK)
    reply = client.post("/jobs/1/options", data=OAK | {"other_wood": "Black walnut"})
    assert reply.status_code == 422
    assert "“In white oak” is taken" in words(page_of(reply).css_first("#name-problem"))


def test_an_option_is_changed_removed_and_guarded_against_a_second_tab(client: TestClient) -> None:
    a_priced_job(client)
    client.post("/jobs/1/options", data=OAK | {"piece_1": "yes", "words": "White oak, like the floor"})
    mine, theirs = (values_of(shown(client, "/jobs/1/options/1"), "form.card") for _ in range(2))
    assert (mine["other_wood"], mine["piece_1"], mine["words"]) == ("White oak", "yes", "White oak, like the floor")
    assert client.post("/jobs/1/options/1", data=theirs | {"name": "Oak"}).status_code == 303
    reply = client.post("/jobs/1/options/1", data=mine | {"name": "In oak"})
    assert reply.status_code == 409
    assert "In oak" in reply.text
    assert client.post("/jobs/1/options/1/remove").status_code == 303
    assert client.get("/jobs/1/options/1").status_code == 404


def test_the_options_of_a_copied_job_mean_the_copies_of_its_pieces(client: TestClient) -> None:
    a_priced_job(client)
    client.post(
        "/jobs/1/options", data={"name": "Without", "left_out_1": "yes", "other_wood": "White oak", "piece_1": "yes"}
    )
    client.post("/jobs/1/copy")
    with store_of(client).read() as db:
        (option,) = load_options(db, 2)
    assert option.pieces == (3,)
    assert option.changes[-1].left_out == 3  # type: ignore[union-attr]
    assert "Without Long top" in words(shown(client, "/jobs/2/options").css_first("tbody"))


def test_a_cost_added_to_a_copied_job_stands_after_the_others(client: TestClient) -> None:
    a_priced_job(client)
    for name in ("Van", "Crane"):
        client.post("/jobs/1/costs", data=DELIVERY | {"new-cost-description": name})
    client.post("/jobs/1/copy")
    client.post("/jobs/2/costs", data=DELIVERY | {"new-cost-description": "Ferry"})
    with store_of(client).read() as db:
        found = [cost.description for cost in load_costs(db, 2)]
    assert found[-3:] == ["Van", "Crane", "Ferry"]


def test_a_price_grows_old_by_the_shops_own_day(client: TestClient, clock: Clock) -> None:
    a_priced_job(client, days_ago=0)
    clock.at = NOW + timedelta(days=90)
    assert "long ago" not in words(shown(client).css_first("#standing"))
    clock.at = NOW + timedelta(days=91)
    assert "long ago" in words(shown(client).css_first("#standing"))
