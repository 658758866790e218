"""Lists of boards as a yard or a spreadsheet has them, pasted: understood line by line, then added at once."""

import csv
from fractions import Fraction
from io import StringIO
from unittest.mock import patch

import pytest
from fastapi.testclient import TestClient
from hypothesis import given, settings
from hypothesis import strategies as st
from selectolax.lexbor import LexborHTMLParser

from builders import USUAL
from conftest import page_of
from domain.length import Length
from domain.lumber import tally
from domain.money import Money
from domain.rack import RackPiece, RackPlace
from webapp.filters import decimal
from webapp.forms import rack as rack_forms
from webapp.forms.rack import Known
from webapp.forms.rack_paste import LONGEST_LINE, MOST_LINES, read
from webapp.store.rack import load_rack

OAK = {"name": "White oak", "size": "8/4", "grade": "FAS"}


CELLS = (
    "", "7", "7 1/4", "96", "9' 10\"", "FAS", "1C", "oak", "cherry", "MDF", "8/4", "3/4", "$9.80", "9.80/bf", "Y1",
    "#2", "7 x 96", "2 pcs", "width", "length", "wide", "-1", "0", "1e9", "<b>", "'=1+1", '"', "½", "yard",
)  # fmt: skip


def understood(text: str, **for_all: str) -> list[RackPiece]:
    """Return the boards of a list of which every line is understood."""
    pasted = read({"text": text} | for_all, Known(), USUAL)
    assert pasted.problem is None, pasted.problem
    assert not pasted.wrong, pasted.wrong
    return list(pasted.pieces)


def sizes(text: str, **for_all: str) -> list[tuple[str, str]]:
    return [(one.width.exact(), one.length.exact()) for one in understood(text, **(OAK | for_all))]


def wrong(text: str, **for_all: str) -> list[str]:
    """Return what is said of each line that is not understood."""
    pasted = read({"text": text} | OAK | for_all, Known(), USUAL)
    assert pasted.problem is None, pasted.problem
    return [" ".join(problem.words for problem in line.problems) for line in pasted.wrong]


def rack_of(client: TestClient) -> tuple[RackPiece, ...]:
    with client.app.state.database.read() as db:  # type: ignore[attr-defined]
        return load_rack(db)


def look(client: TestClient, text: str, **more: str) -> LexborHTMLParser:
    return page_of(client.post("/rack/paste", data={"step": "look", "text": text} | more))


def confirm(client: TestClient, page: LexborHTMLParser) -> None:
    """Press the button that adds what was shown."""
    form = page.css_first("#understood form")
    fields = {node.attributes["name"]: node.attributes.get("value") or node.text() for node in form.css("[name]")}
    assert client.post(form.attributes["action"], data=fields).status_code == 303


@pytest.mark.parametrize("sign", ["\t", ",", ";"])
def test_cells_are_parted_by_tabs_commas_or_semicolons(sign: str) -> None:
    titles = ("Mark", "Species", "Thickness", "Width", "Length", "Grade", "$/bf")
    cells = ("Y1", "White oak", "8/4", "7 1/4", "9' 10\"", "FAS", "9.80")
    (board,) = understood(sign.join(titles) + "\n" + sign.join(cells))
    assert (board.mark, board.material.key, board.price) == ("Y1", "lumber|White oak|8/4|FAS", Money(9_80))
    assert (board.width.exact(), board.length.exact(), board.place) == ("7 1/4", "118", RackPlace.YARD)


def test_a_spreadsheets_quotes_around_a_cell_are_taken_off() -> None:
    assert sizes('width\tlength\n"7 1/4"""\t"9\' 10"""\n') == [("7 1/4", "118")]


@pytest.mark.parametrize(
    ("width", "length", "expected"),
    [
        ('7 1/4"', '118"', ("7 1/4", "118")),
        ("7-1/4", "9'-10\"", ("7 1/4", "118")),
        ("7¼", "9’ 10”", ("7 1/4", "118")),
        ("7.25 in", "9 ft 10 in", ("7 1/4", "118")),
        ("203.2 mm", "2540mm", ("8", "100")),
        ("20.32 cm", "2.54 m", ("8", "100")),
    ],
)
def test_sizes_are_read_as_makers_type_them(width: str, length: str, expected: tuple[str, str]) -> None:
    assert sizes(f"width\tlength\n{width}\t{length}") == [expected]


def test_a_title_says_the_unit_of_bare_numbers_below_it() -> None:
    assert sizes('Width (mm)\tLength, ft\n203.2\t9 1/2\n8 in\t118"') == [("8", "114"), ("8", "118")]
    assert sizes("Width [in];Length [in]\n7.25;118") == [("7 1/4", "118")]


def test_bare_lengths_can_be_said_to_be_feet_for_the_whole_list() -> None:
    assert sizes("width,length\n7,10\n6,9.5\n6,118 in", lengths_in="ft") == [("7", "120"), ("6", "114"), ("6", "118")]


def test_a_price_may_say_that_it_is_of_a_board_foot() -> None:
    text = "width\tlength\tprice\n7\t96\t9.80/bf\n7\t96\t$9.80 per board foot\n7\t96\t$9.80 bd ft"
    assert {board.price for board in understood(text, **OAK)} == {Money(9_80)}


def test_lengths_that_look_like_feet_are_doubted_aloud() -> None:
    text = "width,length\n7,10\n6,9\n8,12"
    assert "If the lengths are feet" in read({"text": text} | OAK, Known(), USUAL).doubt
    assert read({"text": text, "lengths_in": "in"} | OAK, Known(), USUAL).doubt == ""
    assert read({"text": text + "\n6,96"} | OAK, Known(), USUAL).doubt == ""


@pytest.mark.parametrize(
    ("text", "fields"),
    [
        ("8/4\t7 1/4\t118\tFAS\t9.80", "size width length grade price"),
        ("8/4\t7 1/4\t118\tFAS\t$9.80\nx", None),
        ("2\t7 1/4\t118\n1 1/16\t6\t96", "size width length"),
        ("Y1\tWhite oak\t7 1/4\t118\nY2\tcherry\t6\t96", "mark name width length"),
        ("8/4;7 1/4 x 118;No. 1 Common", "size width length grade"),
    ],
)
def test_columns_without_titles_are_told_by_what_stands_in_them(text: str, fields: str | None) -> None:
    pasted = read({"text": text, "price": "1"} | OAK, Known(), USUAL)
    if fields is None:
        assert len(pasted.wrong) == 1
        return
    assert not pasted.problem
    assert not pasted.wrong
    first = pasted.pieces[0]
    assert (first.width.exact(), first.length.exact()) == ("7 1/4", "118")
    said = {"size": "8/4", "grade": first.material.grade, "mark": first.mark, "name": first.material.name}
    assert first.material.size == said["size"]
    assert ("price" in fields) == (first.price == Money(9_80))
    assert ("mark" in fields) == bool(first.mark)


def test_columns_that_cannot_be_told_are_asked_for() -> None:
    pasted = read({"text": "1\t7\t96\t3\n2\t6\t98\t4"} | OAK, Known(), USUAL)
    assert pasted.problem is not None
    assert "Put a line above that names them" in pasted.problem.words
    missing = read({"text": "mark\tgrade\nY1\tFAS"} | OAK, Known(), USUAL)
    assert missing.problem is not None
    assert "No column is called width or length" in missing.problem.words


@pytest.mark.parametrize(
    ("line", "key", "size"),
    [
        ("8/4 white oak FAS 7 1/4 x 9' 10\"", "lumber|White oak|8/4|FAS", ("7 1/4", "118")),
        ("Y3: 5/4 cherry #1 Common 6-1/2 x 96 @ 5.10/bf", "lumber|Black cherry|5/4|No. 1 Common", ("6 1/2", "96")),
        ("2 pcs 4/4 x 7 x 10' walnut Sel", "lumber|Black walnut|4/4|Selects", ("7", "120")),
        ("F1F khaya, 8/4, 6 × 108 sapwood", "lumber|Khaya (African mahogany)|8/4|FAS One Face (F1F)", ("6", "108")),
        ("maple plywood 3/4 24 x 48", "sheet|maple plywood|3/4|", ("24", "48")),
    ],
)
def test_a_line_of_a_message_is_read_word_by_word(line: str, key: str, size: tuple[str, str]) -> None:
    pasted = read({"text": line, "grade": "FAS"}, Known(), USUAL)
    assert not pasted.wrong, pasted.wrong
    first = pasted.pieces[0]
    assert first.material.key == key
    assert (first.width.exact(), first.length.exact()) == size


def test_what_a_message_says_beside_sizes_is_kept() -> None:
    first, second, third = understood("A7 cherry 8/4 FAS 6 x 96 checked end $8.45\n2 pcs cherry 8/4 FAS 7 x 96")
    assert (first.mark, first.price, first.note) == ("A7", Money(8_45), "checked end")
    assert second == third
    assert second.mark == ""


@pytest.mark.parametrize(
    ("typed", "stock"),
    [("8/4", "8/4"), ("2", "8/4"), ('2"', "8/4"), ("5", "5/4"), ("1-1/16", "5/4"), ("1 3/4", "8/4"), ("27 mm", "5/4")],
)
def test_a_thickness_is_taken_for_the_stock_it_is(typed: str, stock: str) -> None:
    # Source: domain/data/thickness.csv, rough and dressed.
    (board,) = understood(f"thickness\twidth\tlength\n{typed}\t7\t96", name="White oak", grade="FAS")
    assert board.material.size == stock


def test_what_was_read_otherwise_is_said_beside_the_line() -> None:
    pasted = read({"text": "thickness,wood,grade,width,length\n1-1/16,cherry,#1 Com,9,96"}, Known(), USUAL)
    assert pasted.lines[0].heard == (
        "“cherry” taken as Black cherry",
        "thickness “1-1/16” taken as 5/4",
        "grade “#1 Com” taken as No. 1 Common",
    )
    odd = read({"text": "thickness,wood,grade,width,length\n8/4,zebrano,A,96,9"}, Known(), USUAL).lines[0]
    assert odd.pieces[0].material.key == "lumber|zebrano|8/4|A"
    assert [words.split(" ", 1)[1] for words in odd.heard] == [
        "is not in the handbook, so it is kept as written",
        "“A” is not in the handbook, so it is kept as written",
        "than it is long",
    ]


def test_a_word_for_several_woods_is_asked_about_unless_the_list_says_which() -> None:
    line = "wood,thickness,grade,width,length\noak,8/4,FAS,7,96"
    assert wrong(line, name="") == ["Wood “oak” can be White oak or Northern red oak. Write which one."]
    (board,) = understood(line, name="White oak")
    assert board.material.name == "White oak"


def test_each_line_of_a_message_may_be_written_in_its_own_way() -> None:
    lines = (
        "8/4 hard maple FAS 7\" x 10' $7.20",
        "8/4 Hard maple FAS; 7 in; 120 in; 7.20",
        "8/4 hard maple FAS 7 x 120, 7.20",
        "8/4\tHard maple\tFAS\t7\t120\t7.20",
        "8/4 hard maple FAS 7 x 10' 7.20/bf",
    )
    boards = understood("\n".join(lines))
    assert {(one.material.size, one.width, one.length, one.price) for one in boards} == {
        ("8/4", Length.of(7), Length.of(120), Money(720))
    }
    assert len(boards) == len(lines)


def test_dollars_and_cents_behind_feet_are_no_inches_unless_they_say_so() -> None:
    assert sizes("7 x 8' 6.40") == [("7", "96")]
    assert sizes("7 x 8' 6.5 in") == [("7", "102 1/2")]


def test_words_without_a_size_are_told_apart_from_boards_in_one_sentence() -> None:
    greeting = "Hi, here is what we have in white oak and walnut this week:"
    assert wrong(f"{greeting}\n7 x 96\n6 x 120\n8 x 96")[0].startswith("No width and length in it.")


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("wide\t96", "Width: “wide” is not a size"),
        ("7\t", "Length is empty"),
        ("-7\t96", "“-7” is not a size"),
        ("7\t0", "It must be at least"),
        ("7\t9999999", "at most 480 in"),
        ("7\t1e9", "is not a size"),
        ("<b>7</b>\t96", "is not a size"),
        ("NaN\t96", "is not a size"),
        ("7\t٩٦", "is not a size"),
    ],
)
def test_a_line_that_cannot_be_says_why(line: str, words: str) -> None:
    (said,) = wrong(f"width\tlength\n{line}")
    assert words in said


def test_a_thickness_of_no_stock_says_what_is_bought() -> None:
    assert "is of no stock you buy" in wrong("thickness\twidth\tlength\n3/4\t7\t96")[0]
    assert "can be 4/4 or 4 in" in wrong("thickness\twidth\tlength\n4\t7\t96")[0]


@pytest.mark.parametrize(
    ("count", "words"), [("0", "from 1 to 100"), ("101", "from 1 to 100"), ("1.5", "not a whole number")]
)
def test_a_count_is_a_whole_number_of_boards(count: str, words: str) -> None:
    assert words in wrong(f"width\tlength\tqty\n7\t96\t{count}")[0]


def test_a_count_makes_so_many_boards_with_marks_of_their_own() -> None:
    boards = understood("mark\twidth\tlength\tpcs\nB\t7\t96\t3\n\t6\t96\t2", **OAK)
    assert [board.mark for board in boards] == ["B-1", "B-2", "B-3", "", ""]


def test_a_mark_stands_on_one_board_only() -> None:
    known = Known(marks=frozenset({"y1"}))
    pasted = read({"text": "mark\twidth\tlength\nY1\t7\t96\nB\t7\t96\nb\t6\t96"} | OAK, known, USUAL)
    assert [line.number for line in pasted.wrong] == [2, 4]
    assert all("is on another board" in line.problems[0].words for line in pasted.wrong)


@pytest.mark.parametrize(
    ("posted", "field", "words"),
    [
        ({"text": ""}, "text", "Nothing is pasted"),
        ({"text": " \n\t\n"}, "text", "Nothing is pasted"),
        ({"text": "just words"}, "text", "columns cannot be told"),
        ({"text": "7 x 96\n" * (MOST_LINES + 1)}, "text", "1,001 lines are more than 1,000"),
        ({"text": "7 x 96 " + "y" * LONGEST_LINE}, "text", f"Line 1 is longer than {LONGEST_LINE}"),
        (OAK | {"text": "width,length,qty\n" + "7,96,100\n" * 11}, "text", "1,100 boards are more than 1,000"),
        ({"text": "7 x 96", "name": "oak"}, "name", "White oak or Northern red oak"),
        ({"text": "7 x 96", "price": "1,5"}, "price", "has a comma"),
        ({"text": "7 x 96", "set_aside_for": "77"}, "set_aside_for", "is not a job here"),
    ],
)  # fmt: skip
def test_what_is_no_list_or_wrong_for_all_of_it_is_said_once(
    client: TestClient, posted: dict[str, str], field: str, words: str
) -> None:
    reply = client.post("/rack/paste", data={"step": "look"} | posted)
    assert reply.status_code == 422
    page = page_of(reply)
    assert words in page.css_first(f"#{field}-problem").text()
    assert page.css_first("#text").text().strip() == posted["text"].strip()
    assert rack_of(client) == ()


def a_yard_list(many: int) -> tuple[str, list[tuple[Length, Length]]]:
    """Return an invented list of boards, and their sizes."""
    boards = [(Length(Fraction(44 + 3 * (n * 7 % 23), 8)), Length(Fraction(84 + n * 11 % 61))) for n in range(many)]
    lines = (f"{width.exact()}\t{length.inches // 12}' {length.inches % 12}" for width, length in boards)
    return "width\tlength\n" + "\n".join(lines), boards


def test_60_yard_boards_are_looked_at_then_added_and_undone_as_one(client: TestClient) -> None:
    client.post("/jobs/new", data={"name": "Pantry", "client_name": "A. Invented"})
    text, boards = a_yard_list(60)
    page = look(client, text, **OAK, supplier="Sample yard", price="9.80", set_aside_for="1", place="at the yard")
    assert rack_of(client) == ()
    assert "60 boards understood" in page.css_first("#understood h2").text()
    assert len(page.css(".pasted tbody tr")) == 60
    confirm(client, page)
    rack = rack_of(client)
    assert [(piece.width, piece.length) for piece in rack] == boards
    assert [piece.mark for piece in rack] == [f"Y{number}" for number in range(1, 61)]
    assert {(piece.supplier, piece.price, piece.set_aside_for) for piece in rack} == {("Sample yard", Money(9_80), 1)}
    assert client.get("/history").text.count("60 boards put on the rack from a pasted list") == 1
    undo = page_of(client.get("/history")).css_first("form").attributes["action"]
    client.post(undo, data={"back": "/rack"})
    assert rack_of(client) == ()


def test_the_exact_board_feet_stand_beside_what_the_yard_charges(client: TestClient) -> None:
    text, boards = a_yard_list(12)
    said = look(client, text, **OAK).css_first("#understood li").text()
    thick = Length.of(2)
    # Source of the tally: AHEC grading guide, Measurement page, checked against a published table in test_lumber.py.
    exact = sum((width.inches * length.inches * 2 / 144 for width, length in boards), Fraction(0))
    assert f": {decimal(exact)} bf; the yard charges by surface measure: {tally(boards, thick).value} bf" in said


def test_lines_not_understood_are_left_out_only_when_the_button_says_so(client: TestClient) -> None:
    text = "width\tlength\n7\t96\nwide\t96\n6\t90"
    page = look(client, text, **OAK)
    assert page.css_first("#understood button").text() == "Add 2 boards, leave out 1 line"
    row = next(row for row in page.css("tbody tr") if row.css(".problem"))
    assert row.css_first("th").text() == "Line 3"
    assert page.css_first("#text").text().strip() == text
    confirm(client, page)
    assert len(rack_of(client)) == 2
    assert "1 line left out" in client.get("/history").text


def test_what_became_another_list_since_it_was_shown_is_shown_again(client: TestClient) -> None:
    posted = {"step": "add 3", "text": "width,length\n7,96\n6,90"} | OAK
    reply = client.post("/rack/paste", data=posted)
    assert reply.status_code == 200
    assert "2 boards understood" in reply.text
    assert rack_of(client) == ()


def test_a_second_press_adds_nothing_twice(client: TestClient) -> None:
    posted = {"step": "add 1", "text": "7 x 96", "form_key": "one"} | OAK
    assert [client.post("/rack/paste", data=posted).status_code for _ in range(2)] == [303, 303]
    assert len(rack_of(client)) == 1


def test_the_racks_own_csv_is_such_a_list(client: TestClient) -> None:
    titles = "mark\twood\tthickness\tgrade\twidth\tlength\tprice\tnote"
    board = "=R1\tcherry\t8/4\tFAS\t7 1/64\t9' 10\t8.45\t@sum"
    text = "\n".join((titles, board, "R2\tmaple plywood\t23/32\t\t24\t48\t40\t"))
    confirm(client, look(client, text, place="in the shop"))
    raw = client.get("/rack.csv").content.decode("utf-8-sig")
    for row in csv.reader(StringIO(raw, newline="")):
        assert not any(cell.startswith(("=", "+", "-", "@")) for cell in row)
    before = rack_of(client)
    for piece in before:
        client.post(f"/rack/{piece.id}/remove")
    confirm(client, look(client, raw))
    after = rack_of(client)
    assert [(one.mark, one.material, one.width, one.length, one.price, one.place, one.note) for one in after] == [
        (one.mark, one.material, one.width, one.length, one.price, one.place, one.note) for one in before
    ]


def test_html_in_a_list_is_only_words(client: TestClient) -> None:
    page = look(client, "wood\twidth\tlength\tnote\n<script>x</script>\t7\t96\t<b>hi</b>", size="8/4", grade="FAS")
    assert not page.css("#understood ~ table script")
    assert "<script>" in page.css_first(".pasted").text()
    assert "note: <b>hi</b>" in page.css_first(".pasted").text()


@settings(max_examples=80)
@given(lines=st.lists(st.lists(st.sampled_from(CELLS), max_size=8), max_size=8), sign=st.sampled_from("\t,; x"))
def test_whatever_is_pasted_every_line_is_boards_or_says_why(lines: list[list[str]], sign: str) -> None:
    text = "\n".join(sign.join(line) for line in lines)
    pasted = read({"text": text} | OAK, Known(), USUAL)
    assert all(bool(line.pieces) != bool(line.problems) for line in pasted.lines)
    if not pasted.problem:
        given = sum(bool(line.strip()) for line in text.split("\n"))
        assert len(pasted.lines) in (given, given - 1)  # one may name the columns


@settings(max_examples=80)
@given(text=st.text(st.characters(exclude_characters="\0"), max_size=200), name=st.text(max_size=20))
def test_no_text_at_all_ends_in_a_fault(text: str, name: str) -> None:
    for posted in ({"text": text, "name": name}, {"text": f"width\tlength\n7\t{text}"} | OAK):
        assert read(posted, Known(), USUAL) == read(posted, Known(), USUAL)


def test_a_full_list_is_read_line_by_line_once_and_added(client: TestClient) -> None:
    text, _ = a_yard_list(MOST_LINES - 1)
    with patch.object(rack_forms, "read", wraps=rack_forms.read) as reads:
        page = look(client, text, **OAK)
    assert reads.call_count == MOST_LINES - 1
    assert "799 lines more" in page.css_first("main").text()
    confirm(client, page)
    assert len(rack_of(client)) == MOST_LINES - 1


def test_ten_thousand_lines_are_refused_before_one_is_read(client: TestClient) -> None:
    with patch("webapp.forms.rack_paste.cells_of") as cut, patch.object(rack_forms, "read") as reads:
        reply = client.post("/rack/paste", data={"step": "look", "text": "7 x 96\n" * 10_000})
    assert not cut.called
    assert not reads.called
    assert reply.status_code == 422
    assert "10,000 lines are more than 1,000 at a time" in page_of(reply).css_first("#text-problem").text()
