"""Runs from typing to the size to cut and the sheet for paper."""

import pytest
from fastapi.testclient import TestClient

from conftest import page_of

JOB = {"name": "Pantry", "client_name": "A. Invented"}
NORTH = {
    "name": "north wall",
    "room": "pantry",
    "left": "wall",
    "right": "wall",
    "back": "8' 7 1/4",
    "middle": "103 1/8",
    "front": "103",
    "depth_left": "25 1/2",
    "depth_centre": "25 3/8",
    "depth_right": "25 1/2",
    "out_of_square": "-1/8",
    "floor_slope": "3/8",
    "cover": "bead",
    "hides": "",
    "clearance": "",
    "notes": "outlet at 40 in",
}


@pytest.fixture
def pantry(client: TestClient) -> TestClient:
    client.post("/jobs/new", data=JOB)
    return client


def with_north(pantry: TestClient, **changed: str) -> TestClient:
    assert pantry.post("/jobs/1/measure/new", data=NORTH | changed).status_code == 303
    return pantry


def test_an_unmeasured_room_says_what_to_do(pantry: TestClient) -> None:
    empty = page_of(pantry.get("/jobs/1/measure")).css_first(".empty")
    assert [link.attributes["href"] for link in empty.css("a")] == ["/jobs/1/measure/new", "/jobs/1/measure/print"]


def test_a_run_gives_the_size_to_cut_and_every_figure_opens(pantry: TestClient) -> None:
    page = page_of(with_north(pantry).get("/jobs/1/measure"))
    figures = page.css("a.figure")
    assert figures
    for figure in figures:
        opened = pantry.get(figure.attributes["href"] or "")
        assert opened.status_code == 200
        assert "How we got" in opened.text
    width = page_of(pantry.get("/jobs/1/working/measure/runs.0.fit.width"))
    assert {"103 1/4 in", "103 1/8 in", "103 in", "1/8 in"} <= {
        value.text() for value in width.css("ul .working-value")
    }
    assert "/jobs/1/measure#1" in [link.attributes["href"] for link in width.css("a")]


def test_a_gap_that_the_cover_cannot_hide_is_said_in_words(pantry: TestClient) -> None:
    page = page_of(with_north(pantry, back="104", cover="tile").get("/jobs/1/measure"))
    warnings = " ".join(node.text() for node in page.css(".warning"))
    assert "wider than" in warnings


def test_the_size_to_cut_starts_a_top(pantry: TestClient) -> None:
    page = page_of(with_north(pantry, out_of_square="0").get("/jobs/1/measure"))
    start = page.css_first("section.run[id='1'] .actions a.button").attributes["href"]
    # 103 in less 1/8 in at each of two walls; behind a 1/2 in bead the smallest depth.
    assert start == "/jobs/1/pieces/new/top?name=Top%2C+north+wall&length=102+3%2F4&depth=25+3%2F8"


def test_what_was_typed_is_echoed_as_it_was_understood(pantry: TestClient) -> None:
    page = page_of(with_north(pantry).get("/jobs/1/measure/1"))
    assert page.css_first("#back").attributes["value"] == "103 1/4"
    assert page.css_first("#back-echo").text() == "103 1/4 in"
    assert page.css_first("#out_of_square").attributes["value"] == "-1/8"
    assert page.css_first("#out_of_square-echo").text() == "-1/8 in"
    assert page.css_first("#hides-echo") is None


@pytest.mark.parametrize(
    ("field", "typed", "words"),
    [
        ("back", "twelve", "25 1/4"),
        ("back", "1,5", "1,5"),
        ("back", "0", "at least 1/16 in"),
        ("front", "4000 m", "at most 720 in"),
        ("depth_left", "٢٥", "is not a size"),
        ("floor_slope", "3 ft", "at most 12 in"),
        ("out_of_square", "-2 ft", "at least -12 in"),
        ("cover", "moss", "is not one of"),
        ("left", "cliff", "is not one of"),
        ("name", "", "is empty"),
        ("notes", "x" * 5001, "5,001 characters"),
    ],
)
def test_bad_input_is_named_shown_and_helped(pantry: TestClient, field: str, typed: str, words: str) -> None:
    reply = pantry.post("/jobs/1/measure/new", data=NORTH | {field: typed})
    assert reply.status_code == 422
    page = page_of(reply)
    assert words in page.css_first(f"#{field}-problem").text()
    assert page.css_first("title").text().startswith("Error:")
    kept = page.css_first(f"#{field}")
    if field not in ("cover", "left"):
        assert (kept.attributes.get("value") or kept.text()).strip() == typed
    assert page.css_first("#middle").attributes["value"] == "103 1/8"
    assert pantry.get("/jobs/1/measure").text.count("north wall") == 0


def test_the_second_of_two_tabs_sees_both(pantry: TestClient) -> None:
    with_north(pantry)
    assert pantry.post("/jobs/1/measure/1", data=NORTH | {"back": "104", "version": "1"}).status_code == 303
    reply = pantry.post("/jobs/1/measure/1", data=NORTH | {"back": "105", "version": "1"})
    assert reply.status_code == 409
    row = next(row for row in page_of(reply).css("tbody tr") if "Width at the back" in row.text())
    assert [cell.text() for cell in row.css("td")] == ["105", "104"]


def test_a_removed_run_comes_back_by_undo(pantry: TestClient) -> None:
    with_north(pantry)
    removed = pantry.post("/jobs/1/measure/1/remove", data={})
    assert "Nothing measured yet" in pantry.get(removed.headers["location"]).text
    undo = page_of(pantry.get(removed.headers["location"])).css_first("#done form").attributes["action"]
    pantry.post(undo or "", data={})
    assert "north wall" in pantry.get("/jobs/1/measure").text


def test_a_run_belongs_to_its_job(pantry: TestClient) -> None:
    with_north(pantry)
    pantry.post("/jobs/new", data=JOB)
    assert pantry.get("/jobs/2/measure/1").status_code == 404
    assert pantry.post("/jobs/2/measure/1", data=NORTH | {"version": "1"}).status_code == 404
    assert pantry.post("/jobs/2/measure/1/remove", data={}).status_code == 404
    assert pantry.get("/jobs/9/measure").status_code == 404
    assert pantry.post("/jobs/9/measure/new", data=NORTH).status_code == 404


def test_the_sheet_is_blank_or_holds_what_was_measured(pantry: TestClient) -> None:
    blank = page_of(pantry.get("/jobs/1/measure/print"))
    assert len(blank.css(".sheet-run")) == 2
    assert {cell.text() for cell in blank.css(".write-box")} == {""}
    filled = page_of(with_north(pantry).get("/jobs/1/measure/print"))
    assert [cell.text() for cell in filled.css(".write-box")][:3] == ["103 1/4 in", "103 1/8 in", "103 in"]
    assert "lead paint" in filled.css_first(".box").text()
    for page in (blank, filled):
        assert not page.css("[style]")


def test_millimetres_are_the_bare_unit_of_a_shop_that_says_so(pantry: TestClient) -> None:
    from domain.shop import Shop
    from webapp.store.shop import save_shop

    with pantry.app.state.database.write("Shop", at=pantry.app.state.settings.now()) as db:  # type: ignore[attr-defined]
        save_shop(db, Shop(unit="mm"), version=0)
    with_north(pantry, back="2622.5", middle="2620", front="2618", depth_left="25 1/4 in")
    page = page_of(pantry.get("/jobs/1/measure/1"))
    assert page.css_first("#back").attributes["value"] == "2622.5"
    assert page.css_first("#back-echo").text() == "2622.5 mm"
    assert page.css_first("#depth_left").attributes["value"] == "25 1/4 in"
    assert page.css_first("#depth_left-echo").text() == "about 641.5 mm"
