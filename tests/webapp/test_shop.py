import pytest
from fastapi.testclient import TestClient

from conftest import page_of
from domain.length import Length
from domain.schedule.schedule import Aim
from domain.shop import Shop
from plan_shop import reading, writing
from webapp.store.shop import load_shop, save_shop

SHOP = {
    "name": "Invented Joinery", "zone": "America/Denver", "unit": "in", "precision": "32", "currency": "$",
    "paper": "letter", "hands": "2", "clamps": "24", "benches": "3", "version": "0",
}  # fmt: skip


def test_the_zone_is_asked_and_not_taken_from_the_machine(client: TestClient) -> None:
    page = page_of(client.get("/shop"))
    assert page.css_first("#zone option[selected]") is None
    assert page.css_first("#zone option").attributes["value"] == ""
    reply = client.post("/shop", data=SHOP | {"zone": ""})
    assert reply.status_code == 422
    assert "Time zone is not chosen" in page_of(reply).css_first("#zone-problem").text()


def test_a_saved_shop_is_shown_its_own_time_and_is_set_up(client: TestClient) -> None:
    assert client.post("/shop", data=SHOP).status_code == 303
    page = page_of(client.get("/shop"))
    assert page.css_first("#name").attributes["value"] == "Invented Joinery"
    assert page.css_first("#zone option[selected]").attributes["value"] == "America/Denver"
    assert page.css_first("main strong").text() == "08:00"  # 14:00 UTC on the first of June
    assert "Choose" not in page.css_first("#zone").text()


def test_every_mistake_is_said_at_once_and_nothing_typed_is_lost(client: TestClient) -> None:
    reply = client.post(
        "/shop", data=SHOP | {"name": " ", "zone": "Mars/Base", "precision": "7", "hands": "½", "clamps": "-1"}
    )
    assert reply.status_code == 422
    page = page_of(reply)
    assert page.css_first("title").text().startswith("Error: ")
    for name in ("name", "zone", "precision", "hands", "clamps"):
        assert page.css_first(f"#{name}").attributes["aria-invalid"] == "true", name
    assert page.css_first("#hands").attributes["value"] == "½"
    assert page.css_first("#benches").attributes["value"] == "3"


def test_the_second_of_two_tabs_is_told(client: TestClient) -> None:
    client.post("/shop", data=SHOP)
    assert client.post("/shop", data=SHOP | {"version": "1", "phone": "1"}).status_code == 303
    reply = client.post("/shop", data=SHOP | {"version": "1", "phone": "2"})
    assert reply.status_code == 409
    row = page_of(reply).css_first("tbody tr")
    assert [cell.text() for cell in row.css("th, td")] == ["Phone", "2", "1"]


def test_saving_the_shop_can_be_undone(client: TestClient) -> None:
    client.post("/shop", data=SHOP)
    client.post("/shop", data=SHOP | {"version": "1", "name": "Other name"})
    undo = page_of(client.get("/history")).css_first("form").attributes["action"]
    assert client.post(undo, data={"back": "/shop"}).status_code == 303
    assert page_of(client.get("/shop")).css_first("#name").attributes["value"] == "Invented Joinery"


def test_the_shop_says_what_else_is_to_be_set(client: TestClient) -> None:
    client.post("/shop", data=SHOP)
    steps = page_of(client.get("/shop")).css_first(".shop-steps").text()
    assert "none yet: no work can be planned" in steps
    assert "3 not said yet" in steps


CLAMPS = "8 x 36 in\r\n12 x 24 in\r\n4 of 50 in"


def shop_of(client: TestClient) -> Shop:
    with reading(client) as db:
        return load_shop(db)


def test_clamps_by_length_are_read_a_line_each_and_said_as_understood(client: TestClient) -> None:
    assert client.post("/shop", data=SHOP | {"clamps_of": CLAMPS}).status_code == 303
    each = [(one.count, one.length) for one in shop_of(client).clamps_of]
    assert each == [(12, Length.parse("24")), (8, Length.parse("36")), (4, Length.parse("50"))]
    page = page_of(client.get("/shop"))
    assert page.css_first("#clamps_of").text().split("\n") == ["12 x 24", "8 x 36", "4 x 50"]
    assert page.css_first("#clamps-echo").text() == "24 clamps: 4 open to 50 in, 8 open to 36 in, 12 open to 24 in"


def test_without_a_count_there_are_as_many_clamps_as_their_lengths_add_up_to(client: TestClient) -> None:
    client.post("/shop", data=SHOP | {"clamps": "", "clamps_of": "3 x 24; 2 x 600 mm; 1 x 24 in"})
    shop = shop_of(client)
    assert shop.clamps == 3 + 2 + 1
    assert [one.count for one in shop.clamps_of] == [2, 4]


@pytest.mark.parametrize(
    ("typed", "field", "words"),
    [
        ({"clamps_of": "8 x 36 in"}, "clamps", "“24”, but the lengths below add up to 8"),
        ({"clamps_of": "twelve"}, "clamps_of", "Try 8 x 36 in, a line each"),
        ({"clamps_of": "0 x 36"}, "clamps_of", "Try 8 x 36 in"),
        ({"clamps_of": "24 x long"}, "clamps_of", "is not a size"),
        ({"clamps_of": "24 x 1/2"}, "clamps_of", "It must be at least 1 in"),
        ({"clamps": "", "clamps_of": ""}, "clamps", "Clamps is empty"),
        ({"dry_places": "-1"}, "dry_places", "must be from 0"),
        ({"finishing_room": "attic"}, "finishing_room", "is not one of"),
        ({"aim": "panic"}, "aim", "is not one of: finish soonest, calm week"),
        ({"region": "Narnia"}, "region", "Try New York, US-NY"),
    ],
)
def test_what_the_plan_cannot_count_is_said_and_kept(
    client: TestClient, typed: dict[str, str], field: str, words: str
) -> None:
    reply = client.post("/shop", data=SHOP | typed)
    assert reply.status_code == 422
    assert words in page_of(reply).css_first(f"#{field}-problem").text()
    assert not shop_of(client).is_set_up


def test_places_to_dry_the_room_the_aim_and_the_region_are_kept(client: TestClient) -> None:
    more = {"dry_places": "6", "finishing_room": "own", "aim": "calm week", "region": "new york"}
    client.post("/shop", data=SHOP | more)
    shop = shop_of(client)
    assert (shop.dry_places, shop.finishing_room, shop.aim, shop.region) == (6, True, Aim.CALM, "US-NY")
    page = page_of(client.get("/shop"))
    assert page.css_first("#region").attributes["value"] == "United States, New York"
    assert page.css_first("#finishing_room option[selected]").attributes["value"] == "own"
    assert client.post("/shop", data=SHOP | {"version": "1", "region": "United States, New York"}).status_code == 303
    assert shop_of(client).region == "US-NY"


def test_a_region_that_the_list_no_longer_knows_is_shown_as_it_was_kept(client: TestClient) -> None:
    with writing(client) as db:
        save_shop(db, Shop(region="XX-YY"), version=0)
    assert page_of(client.get("/shop")).css_first("#region").attributes["value"] == "XX-YY"
    reply = client.get("/shop/holidays")
    assert reply.status_code == 422
    assert "no region that is known here" in reply.text
