from datetime import UTC, date, datetime
from fractions import Fraction

import pytest
from fastapi.testclient import TestClient

from conftest import Clock, page_of
from domain.material import Material, MaterialKind
from domain.money import Money
from domain.price import Price, PriceBook
from webapp.store import price as store

OAK = {
    "kind": "lumber", "name": "white OAK", "size": "8/4", "grade": "FAS", "supplier": "Invented Yard",
    "package": "board foot", "holds": "1", "price": "11.40", "priced_on": "2026-05-01", "lead_days": "3",
    "taxed": "yes",
}  # fmt: skip


def book_of(client: TestClient) -> PriceBook:
    with client.app.state.database.read() as db:  # type: ignore[attr-defined]
        return store.load_price_book(db)


def one_price(client: TestClient) -> Price:
    (price,) = book_of(client).prices
    return price


def test_an_empty_price_book_says_what_it_is_for(client: TestClient) -> None:
    page = page_of(client.get("/prices"))
    assert [link.attributes["href"] for link in page.css(".empty a")] == ["/prices/new", "/prices/paste"]


def test_a_price_is_typed_and_spelled_as_the_tables_spell_it(client: TestClient) -> None:
    assert client.post("/prices/new", data=OAK).status_code == 303
    price = one_price(client)
    assert price.material == Material(MaterialKind.LUMBER, "White oak", "8/4", "FAS")
    assert (price.package_price, price.package_quantity, price.whole) == (Money(11_40), Fraction(1), False)
    assert price.description == "8/4 White oak FAS"
    page = page_of(client.get("/prices"))
    assert page.css_first("h2").text() == "Lumber"
    assert page.css_first("h3").text() == "Invented Yard"


@pytest.mark.parametrize("kind", list(MaterialKind))
def test_every_kind_can_be_priced_from_its_own_form(client: TestClient, kind: MaterialKind) -> None:
    page = page_of(client.get("/prices/new", params={"kind": kind.value}))
    typed = {
        node.attributes["name"]: node.attributes.get("value") or "" for node in page.css("form.card input[name]")
    } | {"price": "5", "holds": "2", "supplier": "S", "package": "box", "name": "thing"}
    for choice in page.css("form.card select"):
        typed[choice.attributes["name"]] = choice.css("option")[-1].attributes["value"]
    if page.css_first("[name=size]"):
        typed["size"] = typed.get("size") or "3/4"
    assert client.post("/prices/new", data=typed).status_code == 303
    assert one_price(client).material.kind is kind


def test_a_missing_price_is_typed_from_the_job_and_leads_back_to_it(client: TestClient) -> None:
    asked = {"material": "sheet|maple plywood|3/4|", "back": "/jobs/3/price"}
    page = page_of(client.get("/prices/new", params=asked))
    assert page.css_first("#name").attributes["value"] == "maple plywood"
    assert page.css_first("#size").attributes["value"] == "3/4"
    assert page.css_first("#package").attributes["value"] == "sheet"
    typed = {node.attributes["name"]: node.attributes.get("value") or "" for node in page.css("form.card [name]")}
    reply = client.post("/prices/new", data=typed | {"price": "89", "supplier": "Yard"})
    assert reply.headers["location"].startswith("/jobs/3/price?done=")
    assert one_price(client).material.key == asked["material"]


def test_a_way_back_to_another_site_is_not_taken(client: TestClient) -> None:
    reply = client.post("/prices/new", data=OAK | {"back": "//evil.example/"})
    assert reply.headers["location"].startswith("/prices")
    page = page_of(client.get("/prices/new", params={"kind": "lumber", "back": "https://evil.example"}))
    assert page.css_first("[name=back]").attributes["value"] == ""


def test_an_address_that_names_no_material_asks_for_the_kind(client: TestClient) -> None:
    reply = client.get("/prices/new", params={"material": "nonsense"})
    assert reply.status_code == 200
    assert len(page_of(reply).css(".kinds a")) == len(MaterialKind)


@pytest.mark.parametrize(
    ("typed", "field", "words"),
    [
        ({"price": "1,5"}, "price", "comma"),
        ({"price": ""}, "price", "is empty"),
        ({"price": "-3"}, "price", "is not an amount"),
        ({"holds": "0"}, "holds", "out of range"),
        ({"holds": "½"}, "holds", "is not a number"),
        ({"name": ""}, "name", "Wood is empty"),
        ({"name": "oak|ash"}, "name", "holds a |"),
        ({"size": ""}, "size", "Rough thickness is empty"),
        ({"grade": ""}, "grade", "Grade is empty"),
        ({"supplier": " "}, "supplier", "is empty"),
        ({"package": ""}, "package", "is empty"),
        ({"priced_on": "2026-02-30"}, "priced_on", "not a day in the calendar"),
        ({"priced_on": "2026-06-02"}, "priced_on", "is still to come"),
        ({"lead_days": "soon"}, "lead_days", "is not a whole number. Try 1, 2 or 12"),
    ],
)
def test_a_price_that_cannot_be_is_said_and_kept(
    client: TestClient, typed: dict[str, str], field: str, words: str
) -> None:
    reply = client.post("/prices/new", data=OAK | typed)
    assert reply.status_code == 422
    page = page_of(reply)
    assert words in page.css_first(f"#{field}-problem").text()
    assert page.css_first("#description") is not None
    if field != "supplier":
        assert page.css_first("#supplier").attributes["value"] == "Invented Yard"
    assert book_of(client).prices == ()


def test_a_glue_that_is_in_no_handbook_is_refused(client: TestClient) -> None:
    reply = client.post("/prices/new", data=OAK | {"kind": "glue", "name": "wonder glue"})
    assert reply.status_code == 422
    page = page_of(reply)
    assert "is not in the handbook" in page.css_first("#name-problem").text()
    assert page.css_first("#name option[selected]").attributes["value"] == "wonder glue"


def test_a_price_is_changed_and_the_second_of_two_tabs_is_told(client: TestClient) -> None:
    client.post("/prices/new", data=OAK)
    assert client.post("/prices/1", data=OAK | {"price": "12", "version": "1"}).status_code == 303
    assert one_price(client).package_price == Money(12_00)
    reply = client.post("/prices/1", data=OAK | {"price": "13", "name": "White oak", "version": "1"})
    assert reply.status_code == 409
    assert [c.text() for c in page_of(reply).css("tbody th, tbody td")][:3] == ["Price of one package", "13", "12.00"]


def test_a_removed_price_comes_back_by_undo(client: TestClient) -> None:
    client.post("/prices/new", data=OAK)
    client.post("/prices/1/remove")
    assert book_of(client).prices == ()
    assert client.get("/prices/1").status_code == 404
    undo = page_of(client.get("/history")).css_first("form").attributes["action"]
    client.post(undo, data={"back": "/prices"})
    assert one_price(client).package_price == Money(11_40)


def test_an_old_price_is_flagged_until_it_is_found_right(client: TestClient, clock: Clock) -> None:
    client.post("/prices/new", data=OAK | {"priced_on": "2026-03-04"})
    assert page_of(client.get("/prices")).css_first(".late") is None  # 89 days
    clock.at = datetime(2026, 6, 3, 14, tzinfo=UTC)
    assert page_of(client.get("/prices")).css_first(".late").text() == "old"  # 91 days
    client.post("/prices/1/checked")
    assert one_price(client).priced_on == date(2026, 6, 3)
    assert page_of(client.get("/prices")).css_first(".late") is None


def test_a_shop_that_lets_prices_stand_longer_sees_fewer_old_ones(client: TestClient) -> None:
    client.post("/prices/new", data=OAK | {"priced_on": "2026-01-01"})
    client.post("/shop/practice/price_age_days", data={"price_age_days": "365", "version": "0"})
    assert page_of(client.get("/prices")).css_first(".late") is None


def test_prices_are_found_by_every_word_and_by_kind(client: TestClient) -> None:
    client.post("/prices/new", data=OAK)
    client.post("/prices/new", data=OAK | {"kind": "sheet", "name": "oak plywood", "size": '3/4"', "grade": ""})
    assert len(page_of(client.get("/prices", params={"words": "oak"})).css(".price-table tbody tr")) == 2
    assert len(page_of(client.get("/prices", params={"words": "oak 3/4"})).css(".price-table tbody tr")) == 1
    assert len(page_of(client.get("/prices", params={"kind": "lumber"})).css(".price-table tbody tr")) == 1
    assert "No price holds “ash”" in client.get("/prices", params={"words": "ash"}).text


def test_the_price_of_a_unit_opens_to_its_working(client: TestClient) -> None:
    client.post(
        "/prices/new",
        data=OAK | {"kind": "fastener", "name": "wood screw", "size": "#8 x 1 1/4", "holds": "100", "price": "8.40"},
    )
    link = page_of(client.get("/prices")).css_first("a.figure").attributes["href"]
    working = client.get(link)
    assert working.status_code == 200
    assert "price ÷ what the package holds" in working.text
    assert "$8.40" in working.text


def test_the_price_book_is_a_table_that_can_be_pasted_back(client: TestClient) -> None:
    client.post("/prices/new", data=OAK | {"description": "=cmd()"})
    reply = client.get("/prices.csv")
    assert reply.headers["content-type"].startswith("text/csv")
    text = reply.content.decode("utf-8-sig")
    assert '"\'=cmd()"' in text
    page = page_of(client.post("/prices/paste", data={"step": "look", "text": text}))
    assert "1 the same as in the price book" in page.css_first(".card").text()
