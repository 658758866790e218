"""The take-off page, its cut list on paper, and both tables as CSV read back by the standard library."""

import csv
from fractions import Fraction
from io import StringIO

import pytest
from fastapi.testclient import TestClient

from conftest import page_of
from domain.lumber import board_feet
from domain.pieces import KINDS
from domain.pieces.piece import PlacedPiece
from domain.pieces.top import Top
from webapp.store.piece import add_piece
from webapp.store.take_off import load_take_off


@pytest.fixture
def pantry(client: TestClient) -> TestClient:
    """A job with one usual piece of every kind that needs nothing typed."""
    client.post("/jobs/new", data={"name": "Pantry", "client_name": "A. Invented"})
    kinds = [kind for kind in KINDS.values() if kind.kind != "part_list"]
    put(client, *(PlacedPiece(0, kind.title, 1, kind()) for kind in kinds))
    return client


def put(client: TestClient, *pieces: PlacedPiece) -> None:
    database = client.app.state.database  # type: ignore[attr-defined]
    with database.write("Pieces added", at=client.app.state.settings.now(), job_id=1) as db:  # type: ignore[attr-defined]
        for placed in pieces:
            add_piece(db, 1, placed)


def table(client: TestClient, address: str) -> list[dict[str, str]]:
    reply = client.get(address)
    assert reply.headers["content-type"].startswith("text/csv")
    return list(csv.DictReader(StringIO(reply.content.decode("utf-8-sig"), newline="")))


def down_to_the_ground(client: TestClient, address: str) -> tuple[str, set[str]]:
    """Return what the working of a figure says and links to, opened further until nothing is left to open."""
    said, links, waiting, seen = "", set[str](), [address], set[str]()
    while waiting:
        here = waiting.pop()
        seen.add(here)
        opened = page_of(client.get(here, headers={"HX-Request": "true"}))
        said += opened.text()
        links |= {link.attributes["href"] or "" for link in opened.css(".working-rule a")}
        deeper = {link.attributes["href"] or "" for link in opened.css("a.further")}
        waiting += [link for link in deeper - seen - set(waiting) if link.startswith(address)]
    return said, links


def test_a_job_without_pieces_says_where_to_start(client: TestClient) -> None:
    client.post("/jobs/new", data={"name": "Pantry", "client_name": "A. Invented"})
    assert page_of(client.get("/jobs/1/take-off")).css_first(".empty a").attributes["href"] == "/jobs/1/pieces"
    assert "No parts yet" in client.get("/jobs/1/cut-list/print").text
    assert table(client, "/jobs/1/take-off.csv") == []


def test_what_is_needed_stands_under_its_kind_with_the_pieces_it_is_for(pantry: TestClient) -> None:
    page = page_of(pantry.get("/jobs/1/take-off"))
    captions = [node.text() for node in page.css("#materials caption")]
    assert captions[:4] == ["Boards", "Sheets", "Glue", "Finish"]
    oak = next(row for row in page.css("#materials tbody tr") if "8/4 Hard maple" in row.text())
    assert "Edge-glued top" in oak.text()
    assert "added to net" in page.css_first("#materials p").text()
    assert page.css_first("#materials p a").attributes["href"] == "/jobs/1/terms"


def test_every_figure_opens_down_to_typed_sizes_and_named_sources(pantry: TestClient) -> None:
    figures = {node.attributes["href"] or "" for node in page_of(pantry.get("/jobs/1/take-off")).css("a.figure")}
    assert len(figures) > 100
    for address in figures:
        opened = page_of(pantry.get(address, headers={"HX-Request": "true"}))
        assert opened.css_first("h2").text().startswith("How we got"), address
        for leaf in (node for node in opened.css(".working-node") if not node.css("ul")):
            assert leaf.css_first(".working-rule").text().strip(), address


def test_the_board_feet_of_a_top_lead_to_its_length_and_the_published_rule(pantry: TestClient) -> None:
    with pantry.app.state.database.read() as db:  # type: ignore[attr-defined]
        needed = load_take_off(db, 1)
    place, line = next((place, line) for place, line in enumerate(needed.lines) if line.material.size == "8/4")
    said, links = down_to_the_ground(pantry, f"/jobs/1/working/take-off/take_off.lines.{place}.needed")
    assert "American Hardwood Export Council" in said
    assert "/pieces/1#length" in links
    cut = next(one for one in needed.cut_list if one.ref.piece_id == 1)
    assert cut.rough is not None
    assert cut.net.value == board_feet(cut.rough.thickness, cut.rough.width, cut.rough.length, cut.pieces).value
    assert line.net.value == sum(one.net.value for one in needed.cut_list if one.part.material == line.material)


def test_the_csv_holds_the_same_numbers_as_the_take_off(pantry: TestClient) -> None:
    with pantry.app.state.database.read() as db:  # type: ignore[attr-defined]
        needed = load_take_off(db, 1)
    rows = table(pantry, "/jobs/1/take-off.csv")
    assert [(row["Material"], row["Size"]) for row in rows] == [
        (line.material.name, line.material.size) for line in needed.lines
    ]
    for row, line in zip(rows, needed.lines, strict=True):
        assert abs(Fraction(row["Needed"]) - line.needed.value) <= Fraction(1, 2_000_000)
        assert row["Unit"] == line.needed.unit.value
    cuts = table(pantry, "/jobs/1/cut-list.csv")
    for row, cut in zip(cuts, needed.cut_list, strict=True):
        assert Fraction(row["Finished length [in]"]) == pytest.approx(cut.part.length.inches, abs=1e-6)
        assert row["How many"] == str(cut.pieces.value)
        assert (row["Rough width [in]"] == "") == (cut.rough is None)


def test_a_name_that_looks_like_a_formula_is_only_words_in_the_csv(pantry: TestClient) -> None:
    put(pantry, PlacedPiece(0, '=HYPERLINK("http://x.example","Top")', 1, Top()))
    raw = pantry.get("/jobs/1/cut-list.csv").content.decode("utf-8-sig")
    for row in csv.reader(StringIO(raw, newline="")):
        assert not any(cell.startswith(("=", "+", "@")) for cell in row)
    assert "\"'=HYPERLINK" in raw


def test_marks_on_the_stock_are_told_apart_across_pieces(pantry: TestClient) -> None:
    marks = [row["Mark"] for row in table(pantry, "/jobs/1/cut-list.csv")]
    assert len(set(marks)) == len(marks)
    page = page_of(pantry.get("/jobs/1/cut-list/print"))
    assert sorted(node.text() for node in page.css(".cut-list .mark")) == sorted(marks)


def test_the_printed_cut_list_has_sizes_boxes_extra_length_and_cautions(pantry: TestClient) -> None:
    page = page_of(pantry.get("/jobs/1/cut-list/print"))
    top = next(row for row in page.css(".cut-list tbody tr") if "Edge-glued top" in row.text())
    assert "108" in top.css_first("td[data-label=Finished]").text()
    assert "3 1/2 in stays on until the last cut" in top.text()
    assert len(page.css(".tick-box")) == len(page.css(".cut-list tbody tr"))
    assert "Kickback" in page.css_first(".box").text()
    assert not page.css("[style]")


def test_a_piece_that_cannot_be_made_is_named_and_led_to(pantry: TestClient) -> None:
    from domain.length import Length

    put(pantry, PlacedPiece(0, "Too small", 1, Top(length=Length.of(1))))
    warning = page_of(pantry.get("/jobs/1/take-off")).css_first(".warning")
    assert "Too small" in warning.text()
    assert warning.css_first("a").attributes["href"] == f"/pieces/{len(KINDS)}#length"


def test_weights_warn_of_what_one_person_cannot_lift(pantry: TestClient) -> None:
    page = page_of(pantry.get("/jobs/1/take-off"))
    assert "One person lifts at most 51 lb" in page.css_first("#care").text()
    assert len(page.css("#weights tbody tr")) == len(KINDS) - 1


def test_a_shop_in_millimetres_gets_millimetres(pantry: TestClient) -> None:
    from domain.shop import Shop
    from webapp.store.shop import save_shop

    with pantry.app.state.database.write("Shop", at=pantry.app.state.settings.now()) as db:  # type: ignore[attr-defined]
        save_shop(db, Shop(unit="mm"), version=0)
    row = table(pantry, "/jobs/1/cut-list.csv")[0]
    assert row["Finished length [mm]"] == "2743.2"  # 108 in of 25.4 mm
    assert "Sizes in millimetres" in pantry.get("/jobs/1/cut-list/print").text


@pytest.mark.parametrize("address", ["take-off", "take-off.csv", "cut-list.csv", "cut-list/print"])
def test_a_job_that_is_not_there_has_no_take_off(client: TestClient, address: str) -> None:
    assert client.get(f"/jobs/9/{address}").status_code == 404
