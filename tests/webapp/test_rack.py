"""The rack on its pages: added, found, changed, set aside, come from the yard, removed, and as CSV."""

import csv
from fractions import Fraction
from io import StringIO

import pytest
from fastapi.testclient import TestClient
from hypothesis import given, settings
from hypothesis import strategies as st

from conftest import NOW, page_of
from domain.layout.shape import Blank, Bound, Cut, Laid, Layout, Place, Rectangle, Source, ToCut, Way
from domain.length import ZERO, Length
from domain.material import Material, MaterialKind
from domain.money import Money
from domain.rack import Cutting, RackPiece, RackPlace
from store_builders import a_job, statements
from webapp.forms.rack import Known, fill, read_one
from webapp.store import job as jobs
from webapp.store import rack as store
from webapp.store.codec import from_json, to_json
from webapp.store.database import Database
from webapp.store.rows import Missing

OAK = {
    "kind": "lumber", "name": "white oak", "size": "8/4", "grade": "FAS", "width": "7 1/4", "length": "9' 10",
    "place": "in the shop", "note": "by the door",
}  # fmt: skip
MATERIAL = Material(MaterialKind.LUMBER, "White oak", "8/4", "FAS")
SEEN = {"place": "at the yard"}


def database_of(client: TestClient) -> Database:
    database: Database = client.app.state.database  # type: ignore[attr-defined]
    return database


def rack_of(client: TestClient, *, cut_up: bool = False) -> tuple[RackPiece, ...]:
    with database_of(client).read() as db:
        return store.load_rack(db, cut_up=cut_up)


def add(client: TestClient, **typed: str) -> None:
    assert client.post("/rack/new", data=OAK | typed).status_code == 303


def add_a_job(client: TestClient, name: str = "Pantry") -> None:
    client.post("/jobs/new", data={"name": name, "client_name": "A. Invented"})


def several(client: TestClient, do: str, *ids: int, **more: str) -> int:
    ticks = {f"piece-{piece_id}": "yes" for piece_id in ids}
    return client.post("/rack/several", data={"do": do} | ticks | more).status_code


def test_an_empty_rack_says_what_it_is_for(client: TestClient) -> None:
    links = [link.attributes["href"] for link in page_of(client.get("/rack")).css(".empty a")]
    assert links == ["/rack/paste", "/rack/new?kind=lumber", "/rack/new?kind=sheet"]


def test_a_board_is_put_on_the_rack_with_the_next_free_mark(client: TestClient) -> None:
    add(client)
    add(client, **SEEN, price="9.80", supplier="Sample yard")
    add(client, count="3")
    first, seen, *alike = rack_of(client)
    assert (first.mark, first.material) == ("R1", MATERIAL)
    assert (first.width.exact(), first.length.exact(), first.note) == ("7 1/4", "118", "by the door")
    assert (seen.mark, seen.place, seen.price) == ("Y1", RackPlace.YARD, Money(9_80))
    assert [piece.mark for piece in alike] == ["R2", "R3", "R4"]


def test_marks_of_boards_cut_up_are_not_given_again(client: TestClient) -> None:
    add_a_job(client)
    add(client)
    (board,) = rack_of(client)
    with database_of(client).write("Cut", at=NOW) as db:
        store.save_rack_piece(
            db, RackPiece(**{name: getattr(board, name) for name in board.__slots__} | {"cut_for": 1})
        )
    add(client)
    assert [piece.mark for piece in rack_of(client)] == ["R2"]
    assert [piece.mark for piece in rack_of(client, cut_up=True)] == ["R1", "R2"]
    page = page_of(client.get("/rack/1"))
    assert "It was cut up for Pantry" in page.css_first(".warning").text()
    assert not page.css("input[name=width]")
    for action in ("/rack/1/here", "/rack/1/remove", "/rack/1"):
        assert client.post(action, data=OAK | {"version": "2"}).status_code == 404


@pytest.mark.parametrize(
    ("typed", "field", "words"),
    [
        ({"width": ""}, "width", "Width is empty"),
        ({"width": "-7"}, "width", "is not a size"),
        ({"width": "0"}, "width", "It must be at least 1/4 in"),
        ({"length": "41'"}, "length", "at most 480 in"),
        ({"length": "9" * 400}, "length", "is not a size"),
        ({"name": ""}, "name", "Wood is empty"),
        ({"name": "a|b"}, "name", "holds a |"),
        ({"grade": ""}, "grade", "Grade is empty"),
        ({"count": "101"}, "count", "from 1 to 100"),
        ({"mark": "r1"}, "mark", "“r1” is on another board"),
        ({"mark": "x" * 21}, "mark", "21 characters long"),
        ({"price": "1,5"}, "price", "has a comma"),
        ({"place": "in the moon"}, "place", "is not one of: in the shop, at the yard"),
        ({"set_aside_for": "77"}, "set_aside_for", "is not a job here"),
        ({"offcut_of": "x"}, "offcut_of", "is not a job here"),
    ],
)
def test_a_board_that_cannot_be_is_said_and_kept(
    client: TestClient, typed: dict[str, str], field: str, words: str
) -> None:
    add(client)
    reply = client.post("/rack/new", data=OAK | typed)
    assert reply.status_code == 422
    page = page_of(reply)
    assert words in page.css_first(f"#{field}-problem").text()
    assert page.css_first("#note").attributes["value"] == "by the door"
    assert len(rack_of(client)) == 1


def test_what_does_not_lie_on_a_rack_is_refused(client: TestClient) -> None:
    assert "does not lie on a rack" in client.post("/rack/new", data=OAK | {"kind": "glue"}).text
    assert rack_of(client) == ()


def test_an_offcut_of_a_sheet_has_its_own_size_and_the_job_it_is_left_over_from(client: TestClient) -> None:
    add_a_job(client)
    assert not page_of(client.get("/rack/new?kind=sheet")).css("#grade")
    sheet = {
        "kind": "sheet",
        "name": "maple plywood",
        "size": "3/4",
        "width": "24",
        "length": "31 1/2",
        "offcut_of": "1",
    }
    add(client, **sheet)
    (offcut,) = rack_of(client)
    assert (offcut.material.key, offcut.offcut_of) == ("sheet|maple plywood|3/4|", 1)
    row = page_of(client.get("/rack")).css_first(".rack-row").text()
    assert "5.25 ft²" in row
    assert "left over from Pantry" in row


def test_the_shop_and_the_yard_stand_apart_with_their_sums(client: TestClient) -> None:
    add(client, width="6", length="96")
    add(client, width="6", length="72")
    add(client, **SEEN, price="9.80", supplier="Sample yard")
    page = page_of(client.get("/rack"))
    assert [node.text() for node in page.css("section.card h2")] == ["In the shop", "At the yard"]
    shop, yard = (" ".join(node.text().split()) for node in page.css(".sums"))
    assert shop == "2 boards: 14 bf"  # (8 + 6) ft × 6 in ÷ 12 × 2 in
    # AHEC grading guide, Measurement page: 7 1/4 in × 9 ft ÷ 12 to the nearest foot is 5, × 2 in
    assert yard == "1 board: 11.88 bf, charged by surface measure as 10 bf, at $9.80 a bf, Sample yard"


def test_what_all_boards_of_a_group_share_is_said_once(client: TestClient) -> None:
    add(client, price="9.80", supplier="Sample yard", note="")
    add(client, price="9.80", supplier="Sample yard", note="")
    page = page_of(client.get("/rack"))
    assert "at $9.80 a bf, Sample yard" in page.css_first(".sums").text()
    assert not page.css(".rack-row .facts")
    add(client, price="8.20", supplier="Sample yard", note="")
    page = page_of(client.get("/rack"))
    assert "a bf" not in page.css_first(".sums").text()
    assert sorted(" ".join(node.text().split()) for node in page.css(".rack-row .facts")) == [
        "$8.20 a bf", "$9.80 a bf", "$9.80 a bf",
    ]  # fmt: skip


def test_every_figure_of_the_rack_opens(client: TestClient) -> None:
    add(client)
    add(client, **SEEN)
    add(client, kind="sheet", name="MDF", size="3/4")
    figures = [node.attributes["href"] or "" for node in page_of(client.get("/rack")).css("a.figure")]
    assert len(figures) == 3 + 3 + 1
    for address in figures:
        opened = page_of(client.get(address, headers={"HX-Request": "true"}))
        assert opened.css_first("h2").text().startswith("How we got"), address
    assert "/rack/1" in client.get(figures[1]).text


def test_words_find_boards_by_mark_wood_job_note_and_place(client: TestClient) -> None:
    add_a_job(client)
    add(client, mark="A7")
    add(client, name="Black cherry", note="sapwood", set_aside_for="1")
    add(client, **SEEN, supplier="Sample yard")

    def found(query: str) -> list[str]:
        return [node.text() for node in page_of(client.get(f"/rack?{query}")).css(".rack-row .mark-of")]

    assert found("words=a7") == ["A7"]
    assert found("words=cherry+sapwood") == ["R1"]
    assert found("words=pantry") == ["R1"]
    assert found("words=oak&place=at+the+yard") == ["Y1"]
    assert found("words=nothing+such") == []
    assert "Nothing here holds “nothing such”" in client.get("/rack?words=nothing+such").text
    assert "1 of 3" in page_of(client.get("/rack?words=a7")).css_first("main").text()


def test_a_board_is_changed_and_comes_back_by_undo(client: TestClient) -> None:
    add(client)
    typed = OAK | {"width": "8", "mark": "", "version": "1"}
    assert client.post("/rack/1", data=typed).status_code == 303
    (board,) = rack_of(client)
    assert (board.width.exact(), board.mark, board.version) == ("8", "R1", 2)
    assert client.post("/rack/1", data=typed).status_code == 409
    client.post("/rack/1/remove")
    assert rack_of(client) == ()
    undo = page_of(client.get("/history")).css_first("form").attributes["action"]
    client.post(undo, data={"back": "/rack"})
    assert len(rack_of(client)) == 1


def test_what_a_form_shows_is_what_it_reads_back() -> None:
    for unit in ("in", "mm"):
        size = Length(Fraction(90, 127))
        piece = RackPiece(
            4,
            "R4",
            MATERIAL,
            size,
            Length(Fraction(117 * 64 + 63, 64)),
            RackPlace.YARD,
            Money(9_85),
            "Yard",
            1,
            2,
            None,
            "x",
            3,
        )
        read, problems = read_one(fill(piece, unit), Known(unit, jobs={1: "A", 2: "B"}), piece, version=3)  # type: ignore[arg-type]
        assert problems == []
        assert read == piece


def test_boards_that_came_from_the_yard_are_here_now(client: TestClient) -> None:
    for _ in range(3):
        add(client, **SEEN)
    assert client.post("/rack/1/here").status_code == 303
    assert several(client, "here", 2, 3) == 303
    assert {piece.place for piece in rack_of(client)} == {RackPlace.SHOP}
    assert [piece.mark for piece in rack_of(client)] == ["Y1", "Y2", "Y3"]
    history = client.get("/history").text
    assert "2 boards came from the yard" in history
    assert "Y1 came from the yard" in history


def test_several_boards_are_set_aside_freed_and_removed_in_one_step_each(client: TestClient) -> None:
    add_a_job(client)
    add(client, count="4")
    assert several(client, "aside", 1, 2, set_aside_for="1") == 303
    assert [piece.set_aside_for for piece in rack_of(client)] == [1, 1, None, None]
    assert several(client, "free", 2) == 303
    assert [piece.set_aside_for for piece in rack_of(client)] == [1, None, None, None]
    assert several(client, "remove", 1, 2, 3) == 303
    assert [piece.id for piece in rack_of(client)] == [4]
    undo = page_of(client.get("/history")).css_first("form").attributes["action"]
    client.post(undo, data={"back": "/rack"})
    assert len(rack_of(client)) == 4


@pytest.mark.parametrize(
    ("posted", "words"),
    [
        ({"do": "here"}, "Nothing is ticked"),
        ({"piece-1": "yes"}, "Nothing was done"),
        ({"do": "burn", "piece-1": "yes"}, "Nothing was done"),
        ({"do": "aside", "piece-1": "yes"}, "No job is chosen"),
        ({"do": "aside", "piece-1": "yes", "set_aside_for": "9"}, "No job is chosen"),
        ({"do": "remove", "piece-1": "yes", "piece-99": "yes"}, "cut up or taken off meanwhile"),
    ],
)
def test_what_cannot_be_done_with_several_is_said_and_the_ticks_are_kept(
    client: TestClient, posted: dict[str, str], words: str
) -> None:
    add(client)
    reply = client.post("/rack/several", data=posted)
    assert reply.status_code == 422
    page = page_of(reply)
    assert words in page.css_first("#problems").text()
    assert bool(page.css("[name=piece-1][checked]")) == ("piece-1" in posted)
    assert len(rack_of(client)) == 1


def test_the_way_back_is_never_to_another_site(client: TestClient) -> None:
    add(client)
    reply = client.post("/rack/several", data={"do": "free", "piece-1": "yes", "back": "//bad.example/"})
    assert reply.headers["location"].startswith("/rack")


def test_the_csv_holds_exact_sizes_and_no_formula(client: TestClient) -> None:
    add(client, width="7 1/64", mark="=R1", note="+1", price="9.80", supplier="@yard")
    raw = client.get("/rack.csv").content.decode("utf-8-sig")
    (row,) = csv.DictReader(StringIO(raw, newline=""))
    assert Fraction(row["Width [in]"]) == Fraction(7 * 64 + 1, 64)
    assert (row["Mark"], row["Note"], row["Supplier"]) == ("'=R1", "'+1", "'@yard")
    assert (row["Where"], row["Price"], row["Thickness"]) == ("in the shop", "9.8", "8/4")


def test_html_in_a_note_is_only_words(client: TestClient) -> None:
    add(client, note="<script>alert(1)</script>", mark="<b>")
    page = page_of(client.get("/rack"))
    assert not page.css(".rack-row script, .rack-row b")
    assert "<script>alert(1)</script>" in page.css_first(".rack-row").text()


def test_a_shop_in_millimetres_types_and_reads_millimetres(client: TestClient) -> None:
    from domain.shop import Shop
    from webapp.store.shop import save_shop

    with database_of(client).write("Shop", at=NOW) as db:
        save_shop(db, Shop(unit="mm"), version=0)
    add(client, width="184", length="3000")
    (board,) = rack_of(client)
    assert (board.width, board.length) == (Length.mm(184), Length.mm(3000))
    assert page_of(client.get("/rack/1")).css_first("#width").attributes["value"] == "184"
    assert "184 × 3000 mm" in page_of(client.get("/rack")).css_first(".rack-row").text()


def test_a_rack_of_800_boards_is_shown_300_at_a_time_and_asks_no_more_than_for_one(client: TestClient) -> None:
    pieces = [RackPiece(0, f"R{n}", MATERIAL, Length.of(5 + n % 7), Length.of(90 + n % 40)) for n in range(800)]
    asked: list[int] = []
    for some in (pieces[:1], pieces[1:]):
        with database_of(client).write("Boards", at=NOW) as db:
            store.add_rack_pieces(db, some)
        with statements() as said:
            page = page_of(client.get("/rack"))
        asked.append(len(said))
    assert asked[0] == asked[1] > 0
    assert len(page.css(".rack-row")) == 300
    assert "The first 300 of 800" in page.css_first("main").text()
    assert "800 boards, 300 shown" in page.css_first(".sums").text()


SIZES = st.fractions(min_value=Fraction(1, 64), max_value=500, max_denominator=1016).map(Length)
RECTANGLES = st.builds(Rectangle, SIZES, SIZES, SIZES, SIZES)
BLANKS = st.builds(
    Blank, st.text(min_size=1), st.text(), SIZES, SIZES, st.integers(1, 99), st.booleans(), st.text(max_size=5)
)
COSTS = st.fractions(min_value=0, max_value=10_000)
SOURCES = st.builds(Source, st.text(min_size=1), SIZES, SIZES, COSTS, st.none() | st.integers(0, 9))
LAID = st.builds(
    Laid,
    st.text(),
    st.lists(st.builds(Place, st.text(), RECTANGLES, st.booleans()), max_size=3).map(tuple),
    st.lists(st.builds(Cut, st.integers(1, 9), st.sampled_from(Way), SIZES, SIZES, SIZES), max_size=3).map(tuple),
    st.lists(RECTANGLES, max_size=2).map(tuple),
)
LAYOUTS = st.builds(
    Layout,
    st.builds(
        ToCut,
        st.lists(BLANKS, max_size=3).map(tuple),
        st.lists(SOURCES, max_size=3).map(tuple),
        SIZES,
        st.tuples(SIZES, SIZES) | st.just((ZERO, ZERO)),
    ),
    st.lists(LAID, max_size=2).map(tuple),
    st.builds(Bound, COSTS, st.integers(0, 99), st.text()),
    st.dictionaries(st.text(), st.integers(1, 9), max_size=3),
    st.booleans(),
)


@settings(max_examples=20)
@given(layout=LAYOUTS)
def test_a_layout_is_stored_to_the_last_fraction(layout: Layout) -> None:
    assert from_json(Layout, to_json(layout)) == layout


def test_what_was_cut_up_is_kept_by_job_and_forgotten_again(client: TestClient) -> None:
    database, size = database_of(client), Length(Fraction(90, 127))
    layout = Layout(ToCut((Blank("a", "A", size, size),), (), size), (), Bound(Fraction(1, 3), 1, "why"), {"a": 1})
    with database.write("Jobs", at=NOW) as db:
        first, second = (jobs.add_job(db, a_job(name), at=NOW) for name in ("One", "Two"))
        ids = [store.add_cutting(db, first, Cutting(0, MATERIAL, layout)) for _ in range(2)]
    with database.read() as db:
        assert store.load_cuttings(db, first) == tuple(Cutting(one, MATERIAL, layout) for one in ids)
        assert store.load_cuttings(db, second) == ()
        assert list(store.load_cuttings_of(db, [first, second])) == [first]
    with pytest.raises(Missing), database.write("Not mine", at=NOW) as db:
        store.remove_cutting(db, second, ids[0], at=NOW)
    with database.write("Forgotten", at=NOW) as db:
        store.remove_cutting(db, first, ids[0], at=NOW)
    with database.read() as db:
        assert [one.id for one in store.load_cuttings(db, first)] == ids[1:]
