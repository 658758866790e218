from fastapi.testclient import TestClient

from conftest import page_of

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
