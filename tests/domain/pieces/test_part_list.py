"""The part list: what can be pasted, and what is said about a line that cannot be read."""

from typing import Any
from unittest.mock import patch

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builders import a_piece, build, with_habits
from domain.length import Length
from domain.material import MaterialKind
from domain.part import Part
from domain.pieces.part_list import MOST_LINES, MOST_PROBLEMS, read_list
from domain.pieces.piece import problems_of


def parts(lines: str, **typed: Any) -> tuple[Part, ...]:
    return build(a_piece("part_list", lines=lines, **typed)).parts


def problems(lines: str, **typed: Any) -> list[str]:
    found = problems_of(a_piece("part_list", lines=lines, **typed))
    assert {problem.field for problem in found} <= {"lines"}
    return [problem.words for problem in found]


LINE = "Bracket, 4, 3/4, 3, 12, White oak"


@pytest.mark.parametrize("separator", [",", ";", "\t", " , ", ";  "])
def test_cells_are_cut_at_tabs_semicolons_or_commas(separator: str) -> None:
    (part,) = parts(LINE.replace(", ", separator))
    assert (part.name, part.count, part.mark) == ("Bracket", 4, "A")
    assert (part.thickness, part.width, part.length) == (Length.of("3/4"), Length.of(3), Length.of(12))


def test_a_cell_may_hold_commas_when_tabs_or_semicolons_cut() -> None:
    assert parts("Cleat, left; 2; 3/4; 4; 30; MDF")[0].name == "Cleat, left"


def test_headings_and_empty_lines_are_skipped() -> None:
    assert len(parts(f"name, count, thickness, width, length, material\n\n{LINE}\n\n{LINE}\n")) == 2


@pytest.mark.parametrize(
    ("typed", "species", "quarter", "grade"),
    [
        ("White oak", "White oak", "4/4", "FAS"),
        ("white OAK", "White oak", "4/4", "FAS"),
        ("White oak 8/4", "White oak", "8/4", "FAS"),
        ("White oak 5/4 No. 1 Common", "White oak", "5/4", "No. 1 Common"),
        ("hard maple", "Hard maple (sugar maple)", "4/4", "FAS"),
        ("sugar maple", "Hard maple (sugar maple)", "4/4", "FAS"),
        ("poplar 8/4", "Yellow-poplar", "8/4", "FAS"),
        ("walnut No. 1 Common", "Black walnut", "4/4", "No. 1 Common"),
    ],
)
def test_a_wood_is_known_by_its_names(typed: str, species: str, quarter: str, grade: str) -> None:
    (part,) = parts(f"Bracket, 4, 3/4, 3, 12, {typed}")
    assert part.material.kind is MaterialKind.LUMBER
    assert (part.material.name, part.material.size, part.material.grade) == (species, quarter, grade)


@pytest.mark.parametrize(("thickness", "nominal"), [("3/4", "3/4"), ("23/32", "3/4"), ("18 mm", "3/4"), ("1/4", "1/4")])
def test_a_sheet_is_known_by_its_name_and_its_nominal_or_real_thickness(thickness: str, nominal: str) -> None:
    (part,) = parts(f"Panel, 1, {thickness}, 20, 30, maple plywood")
    assert part.material.kind is MaterialKind.SHEET
    assert part.material.title == f"{nominal} maple plywood"


def test_bare_numbers_may_be_millimetres() -> None:
    (part,) = parts("Panel, 1, 18, 400, 600, MDF", unit="millimetres")
    assert (part.width, part.length) == (Length.mm(400), Length.mm(600))


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("Bracket, 4, 3/4, 3, 12", "Line 2: “Bracket, 4, 3/4, 3, 12” holds 5 things; a line holds 6. Type"),
        ("Bracket, none, 3/4, 3, 12, White oak", "Line 2: count “none” must be a whole number from 1 to 1,000. Try 2."),
        ("Bracket, 0, 3/4, 3, 12, White oak", "Line 2: count “0” must be"),
        ("Bracket, 1.5, 3/4, 3, 12, White oak", "Line 2: count “1.5” must be"),
        ("Bracket, ٣, 3/4, 3, 12, White oak", "Line 2: count “٣” must be"),
        ("Bracket, 4, 5/0, 3, 12, White oak", "Line 2: thickness “5/0” is not a size. Try 25 1/4"),
        ("Bracket, 4, 3/4, wide, 12, White oak", "Line 2: width “wide” is not a size."),
        ("Bracket, 4, 3/4, 3, 0, White oak", "Line 2: length “0” must be from 1/32 in to 40 ft."),
        ("Bracket, 4, 3/4, 3, 4000 m, White oak", "Line 2: length “4000 m” must be from"),
        ("Bracket, 4, 3/4, 3, 12, unobtainium", "Line 2: material “unobtainium” is neither a wood of the handbook"),
        ("Bracket, 4, 3/4, 3, 12, oak", "Line 2: material “oak” may be White oak, Northern red oak. Type which."),
        ("Bracket", "Line 2: “Bracket” holds 1 thing; a line holds 6."),
        ("Bracket, 4, 3/4, 3, 12,", "Line 2: name “Bracket” or material “” is empty"),
        ("Bracket, 4, 3/4, 3, 12, ply|wood", "Line 2: name “Bracket” or material “ply|wood” is empty, too long or has"),
        ("Bracket, 4, 5, 3, 12, White oak", "Line 2: No stock you buy can be dressed to 5 in."),
        ("Bracket, 4, 2, 3, 12, White oak 4/4", "Line 2: Bracket: 4/4 dresses to 13/16 in, too thin for 2 in."),
        ("Bracket, 4, 1, 3, 12, maple plywood", "Line 2: thickness “1 in” is not a sheet's. Try 1/4, 1/2, 5/8, 3/4."),
        (
            "Bracket, 4, 3/4, 3, 1,5, White oak",
            "Line 2: “Bracket, 4, 3/4, 3, 1, 5, White oak” holds 7 things; a line holds 6.",
        ),
    ],
)
def test_a_line_that_cannot_be_read_is_named(line: str, said: str) -> None:
    (words,) = problems(f"{LINE}\n{line}")
    assert words.startswith(said)


def test_every_bad_line_is_named_up_to_a_screenful() -> None:
    words = problems("\n".join(["nonsense"] * 30))
    assert len(words) == MOST_PROBLEMS + 1
    assert words[0].startswith("Line 1: ")
    assert words[-1] == "And 10 more lines that cannot be read."


def test_an_empty_list_is_asked_for() -> None:
    assert problems("")[0].startswith("Parts is empty.")
    assert problems(" \n \n")[0].startswith("Parts is empty.")
    assert problems("name\tcount\tmaterial")[0].startswith("Parts is empty."), "headings alone are no parts"


def test_five_hundred_lines_fit_and_one_more_does_not() -> None:
    assert len(parts("\n".join([LINE] * MOST_LINES))) == MOST_LINES
    assert len(parts("\n".join(["name,count,thickness,width,length,material", *[LINE] * MOST_LINES]))) == MOST_LINES
    (words,) = problems("\n".join([LINE] * (MOST_LINES + 2)))
    assert words == "502 lines are too many for one list: up to 500 fit. Split it over several pieces."


def test_a_paste_of_ten_thousand_lines_is_refused_before_one_is_read() -> None:
    paste = "\n".join([LINE] * 10_000)
    with patch("domain.pieces.part_list._read") as reads:
        (words,) = problems(paste)
    assert not reads.called
    assert words.startswith("10,000 lines are too many for one list")


def test_one_endless_line_is_refused() -> None:
    (words,) = problems("x" * 150_000)
    assert words.startswith("150,000 characters are too many for one list.")


@given(text=st.text(max_size=200), unit=st.sampled_from(["in", "mm"]))
def test_any_text_is_read_or_refused_in_words(text: str, unit: Any) -> None:
    listed, said = read_list(text, unit)
    assert listed or said
    assert all(words.startswith(("Line ", "Parts is empty")) for words in said)


def test_steps_count_what_is_on_the_list() -> None:
    built = build(a_piece("part_list", lines=f"{LINE}\nPanel, 3, 3/4, 20, 30, MDF"))
    work = {one.operation: one.quantity.value for step in built.steps for one in step.work if step.key != "sand"}
    assert work == {"mill": 4, "cut-solid": 4, "cut-sheet": 3, "install-part": 7}


def test_a_list_of_sheets_alone_is_not_milled() -> None:
    steps = build(a_piece("part_list", lines="Panel, 3, 3/4, 20, 30, MDF")).steps
    assert [step.key for step in steps] == ["cut", "sand", "install"]


def test_a_sheet_the_shop_measured_otherwise_is_still_known() -> None:
    (problem,) = problems_of(a_piece("part_list", lines="Panel, 1, 16 mm, 20, 30, birch plywood"))
    assert "not a sheet's" in problem.words
    assert problems_of(a_piece("part_list", lines="Panel, 1, 16 mm, 20, 30, birch plywood"),
                       with_habits(actual_3_4="80/127")) == ()  # fmt: skip


@pytest.mark.parametrize("typed", ["maple plywood", "3/4 maple plywood", "3/4 in maple plywood", '3/4" maple plywood'])
def test_a_thickness_said_again_with_a_sheet_is_no_part_of_its_name(typed: str) -> None:
    (found,) = parts(f"Panel, 1, 3/4, 20, 30, {typed}")
    assert (found.material.name, found.material.size) == ("maple plywood", "3/4")
