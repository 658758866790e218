from unittest.mock import patch

import pytest
from fastapi.testclient import TestClient

from conftest import page_of
from domain.money import Money
from webapp.forms import price as price_forms
from webapp.forms.price_list import MOST_LINES
from webapp.store import price as store

LIST = """Kind\tMaterial\tThickness\tGrade\tVendor\tPackage\tQty\tPrice ($)\tColour
lumber\tWhite oak\t8/4\tFAS\tInvented Yard\tboard foot\t1\t$12.10\tx
Sheets\tmaple plywood\t3/4"\t\tInvented Yard\t\t\t89\t
fastener\twood screw\t#8 x 1 1/4\t\tInvented Yard\tbox of 100\t100\t8.40
"""


def count_of(client: TestClient) -> int:
    with client.app.state.database.read() as db:  # type: ignore[attr-defined]
        return store.count_prices(db)


def look(client: TestClient, text: str, **more: str) -> object:
    return client.post("/prices/paste", data={"step": "look", "text": text} | more)


def test_a_list_is_looked_at_before_anything_is_stored(client: TestClient) -> None:
    page = page_of(look(client, LIST))
    assert "3 new" in page.css_first(".card").text()
    assert "columns not used: Colour" in page.css_first(".card").text()
    assert [row.css_first("td[data-label=Price]").text() for row in page.css("tbody tr")] == [
        "$12.10",
        "$89.00",
        "$8.40",
    ]
    assert count_of(client) == 0


def test_a_list_is_stored_as_confirmed_and_undone_as_one(client: TestClient) -> None:
    page = page_of(look(client, LIST))
    confirmed = {
        node.attributes["name"]: node.attributes.get("value") or node.text()
        for node in page.css("form")[0].css("[name]")
    }
    assert client.post("/prices/paste", data=confirmed).status_code == 303
    assert count_of(client) == 3
    undo = page_of(client.get("/history")).css_first("form").attributes["action"]
    client.post(undo, data={"back": "/prices"})
    assert count_of(client) == 0


def test_a_newer_list_replaces_prices_and_shows_what_they_were(client: TestClient) -> None:
    client.post("/prices/paste", data={"step": "store", "text": LIST})
    page = page_of(look(client, LIST.replace("12.10", "13.10")))
    assert "1 in the place of an older price" in page.css_first(".card").text()
    assert "2 the same" in page.css_first(".card").text()
    assert page.css_first("td[data-label=Was]").text().startswith("$12.10")
    client.post("/prices/paste", data={"step": "store", "text": LIST.replace("12.10", "13.10")})
    with client.app.state.database.read() as db:  # type: ignore[attr-defined]
        prices = store.load_price_book(db).prices
    assert [price.package_price for price in prices] == [Money(13_10), Money(89_00), Money(8_40)]


def test_lines_that_cannot_be_are_left_out_with_the_reason(client: TestClient) -> None:
    text = (
        LIST
        + "lumber\tBlack cherry\t\t\tYard\tbf\t1\tabc\nlumber\tWhite oak\t8/4\tFAS\tInvented Yard\tboard foot\t1\t1\n"
    )
    page = page_of(look(client, text))
    rows = {
        row.css_first("th").text(): row.css_first(".problem").text()
        for row in page.css("tbody tr")
        if row.css(".problem")
    }
    assert "Rough thickness is empty" in rows["5"]
    assert "“abc” is not an amount" in rows["5"]
    assert "stand in line 2" in rows["6"]
    assert page.css_first("#text").text().strip() == text.strip()
    client.post("/prices/paste", data={"step": "store", "text": text})
    assert count_of(client) == 3
    assert "2 lines left out" in client.get("/history").text


@pytest.mark.parametrize("sign", ["\t", ",", ";"])
def test_columns_are_parted_by_tabs_commas_or_semicolons(client: TestClient, sign: str) -> None:
    text = sign.join(("Species", "Size", "Grade", "Cost")) + "\n" + sign.join(("Black cherry", "4/4", "FAS", "7.85"))
    page = page_of(look(client, text, kind="lumber", supplier="Yard"))
    assert "1 new" in page.css_first(".card").text()


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "Nothing is pasted"),
        ("  \n ", "Nothing is pasted"),
        ("just words", "No column is called name or price"),
        ("name\nWhite oak", "No column is called price"),
        ('name,price\n"open,1', "0 new"),
        ("name,price\n" + "x,1\n" * (MOST_LINES + 1), "are more than 2,000 at a time"),
    ],
)
def test_what_is_no_list_is_said(client: TestClient, text: str, words: str) -> None:
    reply = look(client, text)
    assert words in reply.text  # type: ignore[attr-defined]
    assert count_of(client) == 0


def test_ten_thousand_lines_are_refused_before_one_is_read(client: TestClient) -> None:
    text = "name,size,grade,price\n" + "White oak,4/4,FAS,7.85\n" * 10_000
    with patch.object(price_forms, "read") as reads, patch("webapp.forms.price_list.csv.reader") as cut:
        reply = look(client, text, kind="lumber", supplier="Yard")
    assert not reads.called
    assert not cut.called
    assert reply.status_code == 422  # type: ignore[attr-defined]
    assert "10,000 lines are more than 2,000 at a time" in page_of(reply).css_first("#text-problem").text()


def test_a_full_list_of_the_longest_kind_is_stored(client: TestClient) -> None:
    text = "kind,name,size,grade,supplier,price\n" + "".join(
        f"lumber,Wood {number},4/4,FAS,Yard,{number}.50\n" for number in range(MOST_LINES - 1)
    )
    assert client.post("/prices/paste", data={"step": "store", "text": text}).status_code == 303
    assert count_of(client) == MOST_LINES - 1
    page = page_of(client.get("/prices"))
    assert len(page.css(".price-table tbody tr")) == 300
    assert "The first 300 of 1999 prices" in page.css_first("main").text()
