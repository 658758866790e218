"""Pieces of every kind: typed, kept, shown with what they make, copied, moved and taken back."""

from typing import Any

import pytest
from fastapi.testclient import TestClient
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from conftest import page_of
from domain.length import Length
from domain.pieces import KINDS
from domain.pieces.ask import asks
from domain.pieces.belonging import kinds_for, started
from domain.pieces.piece import Piece, PlacedPiece, problems_of
from domain.practice import ShopPractice
from domain.rack import RackPiece
from domain.shop import Shop
from domain.take_off import take_off
from webapp.forms import piece as forms
from webapp.store.rack import add_rack_piece

PARTS = "Cleat, 4, 3/4, 1 1/2, 20, Hard maple\nBack, 1, 1/4, 30, 40, maple plywood"
FILLED = {"part_list": {"lines": PARTS}}
"""What a kind needs typed before it can be saved."""


@pytest.fixture
def pantry(client: TestClient) -> TestClient:
    client.post("/jobs/new", data={"name": "Pantry", "client_name": "A. Invented"})
    return client


def form_of(client: TestClient, address: str) -> dict[str, str]:
    """Return what a browser would post from the form of a page, untouched."""
    posted = {}
    for node in page_of(client.get(address)).css("#piece-form input, #piece-form select, #piece-form textarea"):
        named: dict[str, Any] = node.attributes
        if node.tag == "select":
            chosen = node.css_first("option[selected]") or node.css_first("option")
            posted[named["name"]] = chosen.attributes["value"] or ""
        elif named.get("type") != "checkbox":
            posted[named["name"]] = node.text() if node.tag == "textarea" else named.get("value") or ""
        elif "checked" in named:
            posted[named["name"]] = "yes"
    return posted


def add(client: TestClient, kind: str, query: str = "", **changed: str) -> int:
    """Add a piece through its form and return its id."""
    address = f"/jobs/1/pieces/new/{kind}"
    reply = client.post(address, data=form_of(client, address + query) | FILLED.get(kind, {}) | changed)
    assert reply.status_code == 303, page_of(reply).css_first("#problems").text()
    return int(reply.headers["location"].split("/")[-1].split("?")[0])


def names(client: TestClient) -> list[str]:
    return [node.text() for node in page_of(client.get("/jobs/1/pieces")).css(".piece-head a:not(.figure)")]


def test_a_job_without_pieces_says_what_to_do(pantry: TestClient) -> None:
    assert page_of(pantry.get("/jobs/1/pieces")).css_first(".empty a").attributes["href"] == "/jobs/1/pieces/new"


def test_every_kind_is_offered_with_a_line_of_its_own(pantry: TestClient) -> None:
    offered = page_of(pantry.get("/jobs/1/pieces/new")).css("a.kind")
    assert [link.attributes["href"] for link in offered] == [f"/jobs/1/pieces/new/{kind}" for kind in KINDS]
    assert all(link.css_first("span").text() for link in offered)
    assert set(forms.ONE_LINE) == set(KINDS)


@pytest.mark.parametrize("kind", KINDS)
def test_no_kind_asks_under_a_name_that_the_form_uses_itself(kind: str) -> None:
    assert not {asked.name for asked in asks(KINDS[kind])} & {*forms.PLACING, "version", "form_key"}


@pytest.mark.parametrize("kind", KINDS)
def test_a_piece_of_every_kind_is_added_shown_and_saved_again_unchanged(pantry: TestClient, kind: str) -> None:
    piece_id = add(pantry, kind)
    address = f"/jobs/1/pieces/{piece_id}"
    before = form_of(pantry, address)
    page = page_of(pantry.get(address))
    assert page.css("#made .rows tbody tr")
    assert page.css("#made .steps li")
    assert len(page.css("h1")) == 1
    assert pantry.post(address, data=before).status_code == 303
    after = form_of(pantry, address)
    for posted in (before, after):
        del posted["form_key"], posted["version"]
    assert after == before


@pytest.mark.parametrize("kind", KINDS)
def test_every_figure_of_a_piece_opens_down_to_what_was_typed_or_a_source(pantry: TestClient, kind: str) -> None:
    piece_id = add(pantry, kind)
    figures = page_of(pantry.get(f"/jobs/1/pieces/{piece_id}")).css("a.figure")
    assert figures
    for address in {figure.attributes["href"] or "" for figure in figures}:
        opened = page_of(pantry.get(address, headers={"HX-Request": "true"}))
        assert "How we got" in opened.css_first("h2").text(), address
        leaves = [node for node in opened.css(".working-node") if not node.css("ul")]
        assert leaves
        for leaf in leaves:
            assert leaf.css_first(".working-rule").text().strip()


def test_a_figure_leads_back_to_its_field(pantry: TestClient) -> None:
    piece_id = add(pantry, "top", length="8' 7 1/4")
    reply = pantry.get(f"/pieces/{piece_id}")
    assert (reply.status_code, reply.headers["location"]) == (303, f"/jobs/1/pieces/{piece_id}")
    page = page_of(pantry.get(reply.headers["location"]))
    assert page.css_first("#length").attributes["value"] == "103 1/4"
    assert page.css_first("#length-echo").text() == "103 1/4 in"
    assert pantry.get("/pieces/99").status_code == 404


def test_a_measured_run_fills_in_a_top(pantry: TestClient) -> None:
    typed = form_of(pantry, "/jobs/1/pieces/new/top?name=Top,+north&length=102+3/4&depth=25+3/8&nonsense=1")
    assert (typed["name"], typed["length"], typed["depth"]) == ("Top, north", "102 3/4", "25 3/8")
    assert "nonsense" not in typed


def test_what_a_piece_makes_beside_its_form_is_what_the_form_says(pantry: TestClient) -> None:
    address = "/jobs/1/pieces/new/top"
    started = page_of(pantry.get(f"{address}?name=Top,+north&length=102+3/4")).css_first("#made").text()
    assert "102 3/4" in started
    wrong = page_of(pantry.post(address, data=form_of(pantry, address) | {"length": "?"})).css_first("#made").text()
    assert "“?” is not a size" in wrong
    assert "As typed so far" not in wrong


def test_a_piece_for_another_starts_with_its_wood_finish_and_sizes(pantry: TestClient) -> None:
    top = add(pantry, "top", species="White oak", length="102 3/4", thickness="1 3/4", finish="none", colour="none")
    edge = form_of(pantry, f"/jobs/1/pieces/new/built_up_edge?belongs_to={top}")
    assert edge["belongs_to"] == str(top)
    assert (edge["species"], edge["finish"]) == ("White oak", "none")
    assert (edge["length"], edge["top_thickness"]) == ("102 3/4", "1 3/4")
    stranger = form_of(pantry, f"/jobs/1/pieces/new/drawer?belongs_to={top}")
    assert "belongs_to" not in stranger


@pytest.mark.parametrize(("owner", "kind"), [(o, k.kind) for o, one in KINDS.items() for k in kinds_for(one(), KINDS)])
def test_what_belongs_to_a_usual_piece_starts_without_a_problem(owner: str, kind: str) -> None:
    fresh = started(KINDS[kind], KINDS[owner]())
    assert [problem.field for problem in problems_of(fresh)] in ([], ["lines"])


def test_pieces_stand_under_what_they_belong_to_and_move_among_their_own(pantry: TestClient) -> None:
    top, cabinet = add(pantry, "top"), add(pantry, "base_cabinet", name="Cabinet")
    drawer, door = (add(pantry, kind, f"?belongs_to={cabinet}") for kind in ("drawer", "door"))
    edge = add(pantry, "built_up_edge", f"?belongs_to={top}")
    assert names(pantry) == ["Edge-glued top", "Built-up edge", "Cabinet", "Drawer", "Door"]
    pantry.post(f"/jobs/1/pieces/{cabinet}/up", data={})
    pantry.post(f"/jobs/1/pieces/{drawer}/down", data={})
    assert names(pantry) == ["Cabinet", "Door", "Drawer", "Edge-glued top", "Built-up edge"]
    pantry.post(f"/jobs/1/pieces/{door}/up", data={})
    pantry.post(f"/jobs/1/pieces/{edge}/down", data={})
    assert names(pantry) == ["Cabinet", "Door", "Drawer", "Edge-glued top", "Built-up edge"]
    assert pantry.post(f"/jobs/1/pieces/{edge}/sideways", data={}).status_code == 404


def test_a_copy_takes_along_what_belongs_to_it(pantry: TestClient) -> None:
    cabinet = add(pantry, "base_cabinet", name="Cabinet")
    add(pantry, "drawer", f"?belongs_to={cabinet}", quantity="3")
    pantry.post(f"/jobs/1/pieces/{cabinet}/copy", data={})
    assert names(pantry) == ["Cabinet", "Drawer", "Cabinet 2", "Drawer"]
    assert page_of(pantry.get("/jobs/1/pieces")).text().count("× 3") == 2


def test_removing_takes_along_what_belongs_to_it_and_undo_brings_all_back(pantry: TestClient) -> None:
    cabinet = add(pantry, "base_cabinet")
    add(pantry, "drawer", f"?belongs_to={cabinet}")
    removed = pantry.post(f"/jobs/1/pieces/{cabinet}/remove", data={})
    page = page_of(pantry.get(removed.headers["location"]))
    assert "with all that belongs to it" in page.css_first("#done").text()
    assert names(pantry) == []
    pantry.post(page.css_first("#done form").attributes["action"] or "", data={})
    assert names(pantry) == ["Base cabinet", "Drawer"]


@pytest.mark.parametrize(
    ("kind", "field", "typed", "words"),
    [
        ("top", "length", "wide", "25 1/4"),
        ("top", "length", "", "Length is empty"),
        ("top", "length", "4000 m", "at most 480 in"),
        ("top", "length", "0", "at least 4 in"),
        ("top", "length", "-12", "is not a size"),
        ("top", "length", "१२", "is not a size"),
        ("top", "board_count", "2.5", "whole number"),
        ("top", "board_count", "0", "from 1 to 80"),
        ("top", "species", "unobtainium", "is not known"),
        ("top", "grain", "upwards", "is not one of"),
        ("top", "board_widths", "5,5", "Put a space after the comma"),
        ("top", "board_widths", "5 1/2, wide, 6", "wide"),
        ("top", "quantity", "0", "from 1 to 500"),
        ("top", "name", "", "is empty"),
        ("base_cabinet", "height", "6", "leaves no room"),
        ("base_cabinet", "sheet", "a|b", "cannot be kept"),
        ("part_list", "lines", "Cleat, 4, 3/4", "holds 3 things"),
        ("part_list", "lines", "\n".join([PARTS] * 5000), "too many"),
        ("part_list", "lines", "x" * 200_001, "200,001 characters"),
    ],
)  # fmt: skip
def test_bad_input_is_named_shown_and_helped(pantry: TestClient, kind: str, field: str, typed: str, words: str) -> None:
    address = f"/jobs/1/pieces/new/{kind}"
    posted = form_of(pantry, address) | FILLED.get(kind, {}) | {field: typed, "notes": "keep me"}
    reply = pantry.post(address, data=posted)
    assert reply.status_code == 422
    page = page_of(reply)
    assert words in page.css_first(f"#{field}-problem").text()
    assert page.css_first(f"#{field}").attributes.get("aria-invalid") == "true"
    assert page.css_first("title").text().startswith("Error:")
    assert page.css_first("#notes").text() == "keep me"
    if page.css_first(f"#{field}").tag == "input":
        assert (page.css_first(f"#{field}").attributes["value"] or "") == typed
    assert names(pantry) == []


def test_all_problems_are_said_at_once(pantry: TestClient) -> None:
    address = "/jobs/1/pieces/new/top"
    reply = pantry.post(address, data=form_of(pantry, address) | {"length": "?", "species": "?", "quantity": "?"})
    wrong = {link.attributes["href"] for link in page_of(reply).css("#problems a")}
    assert wrong == {"#length", "#species", "#quantity"}


def test_a_piece_belongs_only_to_what_it_can(pantry: TestClient) -> None:
    top = add(pantry, "top")
    address = "/jobs/1/pieces/new/drawer"
    for owner, words in ((str(top), "is not what a drawer belongs to"), ("99", "gone"), ("x", "Choose one")):
        reply = pantry.post(address, data=form_of(pantry, address) | {"belongs_to": owner})
        assert reply.status_code == 422
        assert words in page_of(reply).css_first("#problems").text()


def test_the_second_of_two_tabs_sees_both(pantry: TestClient) -> None:
    piece_id = add(pantry, "top")
    address = f"/jobs/1/pieces/{piece_id}"
    seen = form_of(pantry, address)
    del seen["form_key"]
    assert pantry.post(address, data=seen | {"length": "100"}).status_code == 303
    reply = pantry.post(address, data=seen | {"length": "8' 10", "coats": "4"})
    assert reply.status_code == 409
    rows = {
        row.css_first("th").text(): [cell.text() for cell in row.css("td")] for row in page_of(reply).css("tbody tr")
    }
    assert rows["Length"] == ["8' 10", "100"]
    assert rows["Coats"] == ["4", "3"]
    assert form_of(pantry, address)["length"] == "100"


def test_a_piece_belongs_to_its_job(pantry: TestClient) -> None:
    piece_id = add(pantry, "top")
    pantry.post("/jobs/new", data={"name": "Other", "client_name": "B. Invented"})
    for way in ("", "/remove", "/copy", "/up", "/try"):
        assert pantry.post(f"/jobs/2/pieces/{piece_id}{way}", data={}).status_code == 404
    assert pantry.get(f"/jobs/2/pieces/{piece_id}").status_code == 404
    assert pantry.get("/jobs/1/pieces/new/spaceship").status_code == 404
    assert pantry.get("/jobs/9/pieces").status_code == 404


def test_while_typing_htmx_shows_what_it_would_make_and_saves_nothing(pantry: TestClient) -> None:
    piece_id = add(pantry, "top")
    typed = form_of(pantry, f"/jobs/1/pieces/{piece_id}") | {
        "boards_by": "so many boards of one width",
        "board_count": "4",
    }
    reply = pantry.post(f"/jobs/1/pieces/{piece_id}/try", data=typed, headers={"HX-Request": "true"})
    made = page_of(reply).css_first("hx-partial[hx-target='#made'] #made")
    assert "nothing is saved yet" in made.text()
    assert made.css_first("tbody td.number").text().strip() == "4"
    assert not made.css("a.figure")
    assert form_of(pantry, f"/jobs/1/pieces/{piece_id}")["board_count"] == "5"
    wrong = pantry.post("/jobs/1/pieces/new/top/try", data=typed | {"length": "?"}, headers={"HX-Request": "true"})
    assert "“?” is not a size" in page_of(wrong).css_first("#made li").text()


def test_millimetres_are_the_bare_unit_of_a_shop_that_says_so(pantry: TestClient) -> None:
    from webapp.store.shop import save_shop

    with pantry.app.state.database.write("Shop", at=pantry.app.state.settings.now()) as db:  # type: ignore[attr-defined]
        save_shop(db, Shop(unit="mm"), version=0)
    piece_id = add(pantry, "top", length="2610", depth="25 1/2 in", board_widths="140, 5 1/2 in")
    shown = form_of(pantry, f"/jobs/1/pieces/{piece_id}")
    assert (shown["length"], shown["depth"], shown["board_widths"]) == ("2610", "647.7", "140, 139.7")
    assert form_of(pantry, "/jobs/1/pieces/new/part_list")["unit"] == "millimetres"


def lengths(ask: Any) -> st.SearchStrategy[Length]:
    return st.fractions(ask.least.inches, ask.most.inches, max_denominator=64).map(Length)


@given(data=st.data(), kind=st.sampled_from(sorted(KINDS)), unit=st.sampled_from(["in", "mm"]))
@settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow])
def test_whatever_sizes_a_piece_has_its_form_reads_back_the_same(data: st.DataObject, kind: str, unit: Any) -> None:
    sizes = {one.name: data.draw(lengths(one.ask)) for one in asks(KINDS[kind]) if one.type is Length}
    piece: Piece = KINDS[kind](**sizes)
    shop, placed = Shop(unit=unit), PlacedPiece(7, "One", 2, piece, notes="n")
    typed = forms.fill(placed, shop)
    ticked = {name: text for name, text in typed.items() if text or name not in _ticks(kind)}
    read, problems = forms.read(KINDS[kind], ticked, shop, ShopPractice(), (), piece_id=7)
    assert read == placed if not problems_of(piece) else read is None and problems


def _ticks(kind: str) -> set[str]:
    return {one.name for one in asks(KINDS[kind]) if one.type is bool}


def test_undoing_an_added_piece_from_its_own_page_leads_to_the_list(pantry: TestClient) -> None:
    piece_id = add(pantry, "top")
    action = page_of(pantry.get("/history")).css_first("form").attributes["action"] or ""
    undone = pantry.post(action, data={"back": f"/jobs/1/pieces/{piece_id}"})
    away = pantry.get(undone.headers["location"])
    assert away.status_code == 303
    page = page_of(pantry.get(away.headers["location"]))
    assert "No pieces yet" in page.css_first(".empty").text()
    assert page.css_first("#done form") is not None


def test_the_form_of_a_top_says_which_boards_of_the_rack_its_boards_could_be(pantry: TestClient) -> None:
    add(pantry, "top", species="Black cherry", length="60", depth="20")
    database, at = pantry.app.state.database, pantry.app.state.settings.now()  # type: ignore[attr-defined]
    cherry = take_off([PlacedPiece(1, "Top", 1, KINDS["top"](species="Black cherry"))], ShopPractice()).cut_list[0]  # type: ignore[call-arg]
    boards = (("7 1/4", "80"), ("9", "66"), ("12", "40"))
    with database.write("On the rack", at=at) as db:
        for number, (width, length) in enumerate(boards, start=1):
            add_rack_piece(
                db, RackPiece(0, f"R{number}", cherry.part.material, Length.parse(width), Length.parse(length))
            )
    said = page_of(pantry.get("/jobs/1/pieces/1")).css_first("#piece-form").text()
    assert f"{cherry.part.material.title}: 9, 7 1/4." in said
    assert "long enough for its boards" not in page_of(pantry.get("/jobs/1/pieces/new/door")).text()
