from fractions import Fraction

import pytest
from fastapi.testclient import TestClient

from conftest import page_of
from domain.material import Material, MaterialKind
from domain.stock import StockItem, in_stock
from webapp.store import stock as store

OAK = {"kind": "lumber", "name": "White oak", "size": "8/4", "grade": "FAS", "quantity": "12 1/2", "note": "rack 2"}
HTMX = {"HX-Request": "true"}


def stock_of(client: TestClient) -> tuple[StockItem, ...]:
    with client.app.state.database.read() as db:  # type: ignore[attr-defined]
        return store.load_stock(db)


def test_an_empty_rack_says_what_stock_is_for(client: TestClient) -> None:
    assert page_of(client.get("/stock")).css_first(".empty a").attributes["href"] == "/stock/new"


def test_a_thing_is_counted_in_its_own_unit(client: TestClient) -> None:
    assert client.post("/stock/new", data=OAK).status_code == 303
    (item,) = stock_of(client)
    assert item.material == Material(MaterialKind.LUMBER, "White oak", "8/4", "FAS")
    assert item.quantity == Fraction(25, 2)
    assert "bf" in page_of(client.get("/stock")).css_first("label").text()


def test_what_is_set_aside_for_a_job_is_its_own(client: TestClient) -> None:
    client.post("/jobs/new", data={"name": "Pantry", "client_name": "A"})
    client.post("/stock/new", data=OAK | {"set_aside_for": "1"})
    (item,) = stock_of(client)
    assert in_stock([item], item.material, job_id=1) == Fraction(25, 2)
    assert in_stock([item], item.material, job_id=2) == 0
    assert "Set aside for Pantry" in client.get("/stock").text
    client.post("/jobs/1/remove")
    assert "closed or removed" in client.get("/stock").text
    assert client.post("/stock/1", data=OAK | {"set_aside_for": "1", "version": "1"}).status_code == 303


@pytest.mark.parametrize(
    ("typed", "field", "words"),
    [
        ({"quantity": ""}, "quantity", "is empty"),
        ({"quantity": "-1"}, "quantity", "out of range"),
        ({"quantity": "lots"}, "quantity", "is not a number"),
        ({"name": ""}, "name", "Wood is empty"),
        ({"set_aside_for": "77"}, "set_aside_for", "is not a job here"),
    ],
)
def test_stock_that_cannot_be_is_said_and_kept(
    client: TestClient, typed: dict[str, str], field: str, words: str
) -> None:
    reply = client.post("/stock/new", data=OAK | typed)
    assert reply.status_code == 422
    page = page_of(reply)
    assert words in page.css_first(f"#{field}-problem").text()
    assert page.css_first("#note").attributes["value"] == "rack 2"
    assert stock_of(client) == ()


def test_how_much_there_is_is_changed_in_place(client: TestClient) -> None:
    client.post("/stock/new", data=OAK)
    quick = client.post("/stock/1/quantity", data={"quantity-1": "8", "version": "1"}, headers=HTMX)
    targets = [partial.attributes["hx-target"] for partial in page_of(quick).css("hx-partial")]
    assert targets == ["#quantity-1-state", "#quantity-1-hidden", "#done"]
    page = page_of(client.get("/stock"))
    assert all(page.css_first(target) for target in targets)
    plain = client.post("/stock/1/quantity", data={"quantity-1": "7", "version": "2"})
    assert plain.status_code == 303
    assert stock_of(client)[0].quantity == 7


def test_a_quantity_that_is_none_is_refused_in_both_ways(client: TestClient) -> None:
    client.post("/stock/new", data=OAK)
    plain = client.post("/stock/1/quantity", data={"quantity-1": "1,5", "version": "1"})
    assert plain.status_code == 422
    assert page_of(plain).css_first("#quantity-1").attributes["value"] == "1,5"
    quick = client.post("/stock/1/quantity", data={"quantity-1": "1,5", "version": "1"}, headers=HTMX)
    assert quick.status_code == 422
    assert "“1,5” is not a number" in page_of(quick).css_first("#quantity-1-state").text()


def test_the_second_of_two_tabs_is_told_in_both_ways(client: TestClient) -> None:
    client.post("/stock/new", data=OAK)
    client.post("/stock/1/quantity", data={"quantity-1": "8", "version": "1"})
    assert client.post("/stock/1/quantity", data={"quantity-1": "9", "version": "1"}).status_code == 409
    assert client.post("/stock/1", data=OAK | {"version": "1"}).status_code == 409
    quick = client.post("/stock/1/quantity", data={"quantity-1": "9", "version": "1"}, headers=HTMX)
    assert quick.status_code == 409
    keep = {
        node.attributes["name"]: node.attributes["value"] for node in page_of(quick).css("#quantity-1-state [name]")
    }
    assert client.post("/stock/1/quantity", data=keep).status_code == 303
    assert stock_of(client)[0].quantity == 9


def test_what_was_used_up_is_removed_and_comes_back_by_undo(client: TestClient) -> None:
    client.post("/stock/new", data=OAK)
    client.post("/stock/1/remove")
    assert stock_of(client) == ()
    undo = page_of(client.get("/history")).css_first("form").attributes["action"]
    client.post(undo, data={"back": "/stock"})
    assert len(stock_of(client)) == 1
