from fractions import Fraction

from fastapi.testclient import TestClient

from conftest import page_of
from domain.practice import PRACTICES
from webapp.store import shop as store

METRIC = {
    "name": "Invented Joinery", "zone": "America/Denver", "unit": "mm", "precision": "16", "currency": "$",
    "paper": "A4", "hands": "1", "clamps": "0", "benches": "1", "version": "0",
}  # fmt: skip
HTMX = {"HX-Request": "true", "HX-Current-URL": "http://127.0.0.1/shop/practice?words=saw"}


def practice_of(client: TestClient, key: str) -> Fraction:
    with client.app.state.database.read() as db:  # type: ignore[attr-defined]
        return store.load_practice(db).value(key)


def test_every_habit_stands_on_the_page_with_its_source(client: TestClient) -> None:
    page = page_of(client.get("/shop/practice"))
    for key, practice in PRACTICES.items():
        facts = page.css_first(f"#{key}-facts")
        assert facts is not None, key
        assert f"Source: {practice.source}." in facts.text()
        assert page.css_first(f"#{key}").attributes["name"] == key


def test_every_habit_reads_back_as_it_is_shown(client: TestClient) -> None:
    page = page_of(client.get("/shop/practice"))
    for key, practice in PRACTICES.items():
        shown = page.css_first(f"#{key}").attributes["value"] or ""
        assert client.post(f"/shop/practice/{key}", data={key: shown, "version": "0"}).status_code == 303, key
        assert practice_of(client, key) == practice.usual


def test_a_habit_is_changed_without_a_script_and_taken_back(client: TestClient) -> None:
    reply = client.post("/shop/practice/kerf", data={"kerf": "3/32", "version": "0"})
    assert reply.status_code == 303
    assert reply.headers["location"].endswith("#kerf")
    assert practice_of(client, "kerf") == Fraction(3, 32)
    page = page_of(client.get("/shop/practice"))
    assert "Yours: 3/32 in" in page.css_first("#kerf-state").text()
    client.post("/shop/practice/kerf", data={"usual": "yes", "version": "1"})
    assert practice_of(client, "kerf") == PRACTICES["kerf"].usual


def test_htmx_gets_the_state_and_the_hidden_fields_and_never_the_input(client: TestClient) -> None:
    reply = client.post("/shop/practice/kerf", data={"kerf": "3/32", "version": "0"}, headers=HTMX)
    assert reply.status_code == 200
    targets = [partial.attributes["hx-target"] for partial in page_of(reply).css("hx-partial")]
    assert targets == ["#kerf-state", "#kerf-hidden", "#done"]
    page = page_of(client.get("/shop/practice"))
    assert all(page.css_first(target) for target in targets)
    assert 'name="version" value="1"' in reply.text
    assert page_of(reply).css_first("#done [name=back]").attributes["value"] == "/shop/practice"


def test_a_value_out_of_range_is_refused_in_both_ways(client: TestClient) -> None:
    plain = client.post("/shop/practice/kerf", data={"kerf": "2", "version": "0"})
    assert plain.status_code == 422
    page = page_of(plain)
    assert page.css_first("#kerf").attributes["value"] == "2"
    assert page.css_first("#kerf").attributes["aria-invalid"] == "true"
    assert "Saw kerf “2” is 2 in. It must be at least 0 in and at most 1/2 in." in page.css_first("#kerf-state").text()
    quick = client.post("/shop/practice/kerf", data={"kerf": "5/0", "version": "0"}, headers=HTMX)
    assert quick.status_code == 422
    assert "is not a size" in page_of(quick).css_first("#kerf-state").text()
    assert practice_of(client, "kerf") == PRACTICES["kerf"].usual


def test_the_second_of_two_tabs_is_told_in_both_ways(client: TestClient) -> None:
    client.post("/shop/practice/kerf", data={"kerf": "3/32", "version": "0"})
    plain = client.post("/shop/practice/kerf", data={"kerf": "1/16", "version": "0"})
    assert plain.status_code == 409
    assert [cell.text() for cell in page_of(plain).css("tbody th, tbody td")] == ["Saw kerf", "1/16", "3/32"]
    quick = client.post("/shop/practice/kerf", data={"kerf": "1/16", "version": "0"}, headers=HTMX)
    assert quick.status_code == 409
    keep = {node.attributes["name"]: node.attributes["value"] for node in page_of(quick).css("#kerf-state [name]")}
    assert client.post("/shop/practice/kerf", data=keep).status_code == 303
    assert practice_of(client, "kerf") == Fraction(1, 16)


def test_shares_are_typed_in_percent_and_sizes_in_the_shops_unit(client: TestClient) -> None:
    client.post("/shop", data=METRIC)
    client.post("/shop/practice/glue_loss", data={"glue_loss": "12.5 %", "version": "0"})
    client.post("/shop/practice/kerf", data={"kerf": "3", "version": "0"})
    assert practice_of(client, "glue_loss") == Fraction(1, 8)
    assert practice_of(client, "kerf") == Fraction(15, 127)
    assert page_of(client.get("/shop/practice")).css_first("#kerf").attributes["value"] == "3"


def test_undo_brings_a_habit_back(client: TestClient) -> None:
    client.post("/shop/practice/kerf", data={"kerf": "3/32", "version": "0"})
    client.post("/shop/practice/kerf", data={"kerf": "1/16", "version": "1"})
    undo = page_of(client.get("/history")).css_first("form").attributes["action"]
    assert client.post(undo, data={"back": "/shop/practice"}).status_code == 303
    assert practice_of(client, "kerf") == Fraction(3, 32)


def test_habits_are_searched_and_an_unknown_one_is_not_there(client: TestClient) -> None:
    page = page_of(client.get("/shop/practice", params={"words": "saw kerf"}))
    assert [field.attributes["name"] for field in page.css(".habit input:not([type=hidden])")] == ["kerf"]
    assert "No habit holds" in client.get("/shop/practice", params={"words": "moonlight"}).text
    assert client.post("/shop/practice/moonlight", data={}).status_code == 404


def test_air_that_the_formula_does_not_know_is_refused_with_words(client: TestClient) -> None:
    for key, typed, words in (
        ("dry_humidity", "101", "a share from 0 to 100 %"),
        ("dry_temperature", "400", "from 30 to 120"),
        ("damp_temperature", "-20", "from 30 to 120"),
    ):
        reply = client.post(f"/shop/practice/{key}", data={key: typed, "version": "0"})
        assert reply.status_code == 422
        page = page_of(reply)
        assert page.css_first(f"#{key}").attributes["value"] == typed
        assert words in page.css_first(f"#{key}-state").text()


def test_moisture_follows_the_air_until_the_shop_types_it(client: TestClient) -> None:
    client.post("/shop/practice/damp_humidity", data={"damp_humidity": "70", "version": "0"})
    page = page_of(client.get("/shop/practice"))
    worked_out = page.css_first("#moisture_dampest").attributes["value"] or ""
    assert Fraction(worked_out) > 12
    assert "as usual" in page.css_first("#moisture_dampest-state").text()
    client.post("/shop/practice/moisture_dampest", data={"moisture_dampest": worked_out, "version": "0"})
    assert "as usual" in page_of(client.get("/shop/practice")).css_first("#moisture_dampest-state").text()
    client.post("/shop/practice/moisture_dampest", data={"moisture_dampest": "11", "version": "0"})
    client.post("/shop/practice/damp_humidity", data={"damp_humidity": "80", "version": "1"})
    assert practice_of(client, "moisture_dampest") == 11
