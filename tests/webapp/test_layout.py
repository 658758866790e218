"""The page of boards and sheets: both ways side by side, buying by layouts, paper and CSV."""

import csv
import re
from dataclasses import replace
from fractions import Fraction
from functools import cache
from io import StringIO

import pytest
from fastapi.testclient import TestClient

from conftest import page_of
from demo_forms import Demo, fields_of
from domain.board_use import BoardUse
from domain.buying import asked
from domain.buying.plan import is_bought
from domain.layout.first import first_layout
from domain.layout.shape import Layout, ToCut
from domain.length import Length
from domain.money import Money
from domain.take_off import WasteChoice, WasteMethod
from domain.terms import Terms
from layout_shop import (
    OAK,
    PANELS,
    RAILS,
    a_shop_with_boards,
    add_job,
    at_of,
    buy_by,
    database_of,
    material_plan,
    plan_of,
    undo_last,
)
from money_builders import a_price
from webapp.store.board_use import add_board_use
from webapp.store.order import load_orders
from webapp.store.piece import load_pieces, save_piece
from webapp.store.price import add_price
from webapp.store.terms import has_own_terms, load_terms, save_terms

DEMO = "/jobs/2/layout"


@pytest.fixture
def shop(client: TestClient) -> TestClient:
    """A job whose frames are not cut yet."""
    add_job(client, f"{RAILS}\n{PANELS}")
    return client


@pytest.fixture
def racked(client: TestClient) -> TestClient:
    return a_shop_with_boards(client)


def terms_of(client: TestClient, job_id: int = 1) -> Terms:
    with database_of(client).read() as db:
        return load_terms(db, job_id)


def table(client: TestClient, address: str) -> list[dict[str, str]]:
    return list(csv.DictReader(StringIO(client.get(address).content.decode("utf-8-sig"), newline="")))


# What is shown


def test_the_demo_job_shows_every_material_with_its_bound_drawings_and_marks(demo: Demo) -> None:
    page = page_of(demo.client.get(DEMO))
    with database_of(demo.client).read() as db:
        pieces = {piece.id for piece in load_pieces(db, 2)}
    plan = plan_of(demo.client, 2)
    sections = page.css("section.material")
    assert [one.css_first("h2").text() for one in sections] == [one.material.title for one in plan.materials]
    for section, one in zip(sections, plan.materials, strict=True):
        assert re.match("No layout|All of it comes", section.css_first(".bound").text())
        ways = sum(len(set(each.layout.laid)) for each in one.rounds)
        assert len(section.css("figure.drawing")) == ways
        for link in section.css(".marks td a"):
            assert int((link.attributes["href"] or "").rsplit("/", 1)[1]) in pieces
        marks = {node.text() for node in section.css(".marks .mark-of")}
        assert marks == {part.on_stock for part in one.parts}


def test_both_ways_stand_side_by_side_and_every_figure_opens(demo: Demo) -> None:
    page = page_of(demo.client.get(DEMO))
    figures = {node.attributes["href"] or "" for node in page.css("a.figure")}
    assert len(figures) > 40
    for address in figures:
        opened = page_of(demo.client.get(address, headers={"HX-Request": "true"}))
        assert opened.css_first("h2").text().startswith("How we got"), address
        for leaf in (node for node in opened.css(".working-node") if not node.css("ul")):
            assert leaf.css_first(".working-rule").text().strip(), address


def test_what_it_takes_adds_up_to_what_is_cut_up(demo: Demo) -> None:
    for one in plan_of(demo.client, 2).materials:
        assert sum(size.quantity.value for size in one.sizes) == one.used.value
        assert one.difference is not None
        assert one.by_factor is not None
        assert one.difference.value == one.by_factor.value - one.used.value


def test_a_job_without_parts_says_where_to_start(client: TestClient) -> None:
    client.post("/jobs/new", data={"name": "Pantry", "client_name": "A. Invented"})
    assert page_of(client.get("/jobs/1/layout")).css_first(".empty a").attributes["href"] == "/jobs/1/pieces"
    assert "Nothing is left to cut" in client.get("/jobs/1/layout/print").text
    assert table(client, "/jobs/1/layout.csv") == table(client, "/jobs/1/cuts.csv") == []


def test_a_part_longer_than_any_board_is_said_with_what_would_work_and_the_rest_is_laid_out(
    client: TestClient,
) -> None:
    add_job(client, f"{RAILS}\nBeam, 1, 3/4, 3, 300, White oak")
    page = page_of(client.get("/jobs/1/layout"))
    warning = page.css_first("main > .warning")
    assert "scarf is for you to decide" in warning.text()
    assert (warning.css_first("a").attributes["href"] or "").startswith("/pieces/1")
    assert sum(len(laid.places) for laid in material_plan(client).rounds[-1].layout.laid) == 7 + 5


@pytest.mark.parametrize(
    "address", ["layout", "layout/search", "layout/print", "layout.csv", "cuts.csv", "layout/cut?material=lumber"]
)
def test_a_job_that_is_not_there_has_no_layouts(client: TestClient, address: str) -> None:
    assert client.get(f"/jobs/9/{address}", headers={"HX-Request": "true"}).status_code == 404


@pytest.mark.parametrize("action", ["cut", "here", "aside", "search", "search/stop", "reckon"])
def test_nothing_can_be_done_for_a_job_that_is_not_there(client: TestClient, action: str) -> None:
    assert client.post(f"/jobs/9/layout/{action}", data={"way": "layout"}).status_code == 404


# By layout or by factor


def test_one_tap_buys_by_the_layouts_and_leaves_every_other_term(shop: TestClient) -> None:
    own = replace(terms_of(shop), shop_rate=Money(7_100), waste=WasteChoice(WasteMethod.GRADE_YIELD, Fraction(3, 5)))
    with database_of(shop).write("Terms", at=at_of(shop), job_id=1) as db:
        save_terms(db, 1, own, version=own.version)
    assert buy_by(shop, "layout").status_code == 303
    after = terms_of(shop)
    assert after.waste.method is WasteMethod.LAYOUT
    assert replace(after, waste=own.waste, version=own.version) == own
    assert "As laid out" in shop.get("/jobs/1/take-off").text
    undo_last(shop)
    assert terms_of(shop).waste.share == Fraction(3, 5)


def test_back_to_the_factor_follows_the_shop_again(shop: TestClient) -> None:
    buy_by(shop, "layout")
    with database_of(shop).read() as db:
        assert has_own_terms(db, 1)
    assert buy_by(shop, "factor").status_code == 303
    with database_of(shop).read() as db:
        assert not has_own_terms(db, 1)
    assert terms_of(shop).waste.method is WasteMethod.ADD_ON


def test_a_yield_of_the_shops_own_jobs_is_offered_as_the_factor(shop: TestClient) -> None:
    assert "yield of our own jobs" not in shop.get("/jobs/1/layout").text
    with database_of(shop).write("What it took", at=at_of(shop), job_id=1) as db:
        add_board_use(db, BoardUse(0, 1, "Pantry", OAK, Fraction(30), Fraction(50)))
    page = page_of(shop.get("/jobs/1/layout"))
    assert "Our own yield of White oak FAS: 60 %" in page.css_first(".reckon").text()
    assert buy_by(shop, "own").status_code == 303
    assert terms_of(shop).waste.method is WasteMethod.OWN_YIELD
    plan = material_plan(shop)
    assert plan.by_factor is not None
    assert plan.by_factor.value == plan.net.value / Fraction(3, 5)


def test_terms_that_somebody_changed_meanwhile_are_not_overwritten(shop: TestClient) -> None:
    stale = fields_of(page_of(shop.get("/jobs/1/layout")).css_first("form[action$='/reckon']"))
    buy_by(shop, "layout")
    assert shop.post("/jobs/1/layout/reckon", data=stale | {"way": "factor"}).status_code == 409
    assert terms_of(shop).waste.method is WasteMethod.LAYOUT


def test_a_way_that_is_none_is_named(shop: TestClient) -> None:
    reply = buy_by(shop, "by eye")
    assert reply.status_code == 422
    assert "“by eye” is no way to reckon" in page_of(reply).css_first("#problems").text()


def test_the_order_buys_exactly_what_the_layouts_say(racked: TestClient) -> None:
    ply = next(one.material for one in plan_of(racked).materials if one.material != OAK)
    with database_of(racked).write("Prices", at=at_of(racked)) as db:
        add_price(db, a_price(0, OAK, "1", "8", whole=False))
        add_price(db, a_price(0, ply, "1", "104"))
    plan = plan_of(racked)
    page = page_of(racked.get("/jobs/1/order"))
    shown, papers = page.css_first("main").text(), ""
    for form in page.css("form.wanted"):
        led_to = racked.post("/jobs/1/orders", data=fields_of(form)).headers["location"].partition("?")[0]
        papers += page_of(racked.get(f"{led_to}/print")).css_first("main").text()
    for size in (size for one in plan.materials for size in one.sizes if is_bought(size)):
        assert size.title in shown
        assert size.title in papers
    assert "R4" not in papers
    assert papers.count("Y1, ") == 1, "a board with a price of its own is a line of its own"
    with database_of(racked).read() as db:
        lines = [line for order in load_orders(db, 1) for line in order.lines]
    for one in plan.materials:
        bought = sum(line.quantity for line in lines if line.material == one.material)
        assert bought == one.to_buy.value == sum(size.quantity.value for size in one.sizes if is_bought(size))
        assert 0 < one.to_buy.value <= one.used.value


# Only what changed is made again


def test_a_change_of_one_drawer_makes_only_the_affected_layouts_again(
    demo: Demo, monkeypatch: pytest.MonkeyPatch
) -> None:
    made: list[ToCut] = []

    @cache
    def counted(to_cut: ToCut) -> Layout:
        made.append(to_cut)
        return first_layout(to_cut)

    monkeypatch.setattr(asked, "_first", counted)
    client = demo.client
    before = asked_of(client)
    assert len(made) == len({asked.fingerprint(one) for one in made}), "each layout is made once"
    made.clear()
    with database_of(client).write("Drawer changed", at=at_of(client), job_id=3) as db:
        drawer = next(one for one in load_pieces(db, 3) if one.piece.kind == "drawer")
        narrower = replace(drawer.piece, width=drawer.piece.width - Length.of(1))  # type: ignore[attr-defined, type-var]
        save_piece(db, 3, replace(drawer, piece=narrower))
    after = asked_of(client)
    changed = {material for material in after if after[material] != before[material]}
    assert changed
    assert changed < set(before), "tops and carcases keep theirs"
    parts = {part.on_stock for one in plan_of(client, 3).materials if one.material.key in changed for part in one.parts}
    assert {blank.key for one in made for blank in one.blanks} <= parts
    assert {mark for material in changed for mark in after[material]} <= {asked.fingerprint(one) for one in made}
    undo_last(client)
    made.clear()
    assert asked_of(client) == before
    assert made == []


def asked_of(client: TestClient) -> dict[str, set[str]]:
    """Return the fingerprints of what is asked for, by material."""
    return {one.material.key: {each.fingerprint for each in one.rounds} for one in plan_of(client, 3).materials}


# Paper and CSV


def test_the_cutting_sheets_hold_every_cut_with_settings_marks_and_cautions(racked: TestClient) -> None:
    page = page_of(racked.get("/jobs/1/layout/print"))
    plan = plan_of(racked)
    ways = [laid for one in plan.materials for each in one.rounds for laid in dict.fromkeys(each.layout.laid)]
    assert len(page.css(".board")) == len(ways)
    assert len(page.css(".saw-cuts tbody tr")) == sum(len(laid.cuts) for laid in ways)
    words = page.css_first("main").text()
    for section in page.css(".to-saw"):
        numbers = [re.findall(r"No\. ([\d, to]+)\.", node.text())[0] for node in section.css("h3")]
        assert len(set(numbers)) == len(numbers), "no number is given twice"
    assert "Kickback" in words
    assert re.search(r"A whole sheet weighs about \d+ lb", words)
    assert {f"{ref.on_stock}" for one in plan.materials for ref in one.parts} <= set(
        re.findall(r"[0-9]+[A-Z]+", " ".join(node.text() for node in page.css(".free")))
    )
    assert not page.css("[style]")


def test_the_price_shows_boards_with_a_price_of_their_own_beside_what_is_bought(racked: TestClient) -> None:
    with database_of(racked).write("Prices", at=at_of(racked)) as db:
        add_price(db, a_price(0, OAK, "1", "8", whole=False))
    row = next(one for one in page_of(racked.get("/jobs/1/price")).css("tbody tr") if OAK.title in one.text())
    (listed,) = (one for one in row.css("p.offer-facts") if "Y1, " in one.text())
    assert "at the yard" in listed.text()
    assert "$" in listed.css_first("a.figure").text()
    assert "dearer" not in row.text()


def test_the_layouts_come_with_the_usual_cautions_of_the_saw(racked: TestClient) -> None:
    assert "Kickback" in page_of(racked.get("/jobs/1/layout")).css_first("#care").text()


def test_the_csv_of_what_to_buy_holds_the_same_counts(racked: TestClient) -> None:
    rows = table(racked, "/jobs/1/layout.csv")
    sizes = [size for one in plan_of(racked).materials for size in one.sizes]
    assert [(row["Board or sheet"], int(row["How many"])) for row in rows] == [
        (size.title, int(size.count.value)) for size in sizes
    ]
    assert {row["Board or sheet"].split(",")[0]: row["To buy"] for row in rows}["R4"] == "no, from the rack"


def test_the_csv_of_cuts_holds_every_cut_of_every_board(racked: TestClient) -> None:
    rows = table(racked, "/jobs/1/cuts.csv")
    cuts = [
        cut
        for one in plan_of(racked).materials
        for each in one.rounds
        for laid in each.layout.laid
        for cut in laid.cuts
    ]
    assert len(rows) == len(cuts)
    assert {row["Rip or crosscut"] for row in rows} == {"rip", "crosscut"}
    assert all(Fraction(row["Set to [in]"]) > 0 for row in rows)


def test_without_the_solver_everything_works_and_the_page_says_so(
    shop: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert "solver is not installed" not in shop.get("/jobs/1/layout").text
    monkeypatch.setattr("webapp.routes.layout_page.has_solver", lambda: False)
    page = page_of(shop.get("/jobs/1/layout"))
    assert "solver is not installed" in page.css_first("#search").text()
    assert page.css("figure")
