"""The drawer: box, slides and front by hand."""

from fractions import Fraction
from typing import Any

import pytest

from builders import a_piece, build, with_habits
from domain.length import Length
from domain.part import Built, Part
from domain.pieces.piece import problems_of

NOMINAL = with_habits(actual_1_2="1/2", actual_1_4="1/4", actual_3_4="3/4")


def drawer(**typed: Any) -> Built:
    return build(a_piece("drawer", **typed), NOMINAL)


def part(built: Built, name: str) -> Part:
    (found,) = (one for one in built.parts if one.name == name)
    return found


@pytest.mark.parametrize(
    ("depth", "slide"), [("23", "22"), ("22 1/2", "22"), ("22 3/8", "21"), ("10 1/2", "10"), ("40", "28")]
)
def test_the_slide_is_the_longest_that_fits(depth: str, slide: str) -> None:
    # common lengths, 1/2 in left free behind
    built = drawer(depth=depth)
    (pair,) = (item for item in built.items if "slide" in item.material.name)
    assert pair.material.title == f"{slide} in drawer slide pair, side-mounted"
    assert part(built, "Box side").length == Length.of(slide)


def test_a_side_mounted_box_is_an_inch_narrower_and_lower_than_its_opening() -> None:
    built = drawer(width="16 1/2", height="6", corners="dovetails")
    assert part(built, "Box front and back").length == Length.of("31/2"), "16 1/2 − 2 × 1/2"
    assert part(built, "Box side").width == Length.of(5), "6 − 1"


@pytest.mark.parametrize(
    ("corners", "length"), [("dovetails", "31/2"), ("rabbets", "15"), ("butted and screwed", "29/2")]
)
def test_corners_decide_how_long_front_and_back_are(corners: str, length: str) -> None:
    # box 15 1/2 wide, sides 1/2: full width; less half a side twice; less both sides
    assert part(drawer(width="16 1/2", corners=corners), "Box front and back").length == Length.of(length)


def test_the_bottom_moves_freely_in_its_grooves() -> None:
    # box 15 1/2 × 22 outside, sides 1/2, grooves 1/4 deep, 1/8 play: 15 1/2 − 1 + 1/2 − 1/8
    bottom = part(drawer(width="16 1/2", depth="23"), "Bottom")
    assert bottom.width == Length.of(Fraction("15.5") - 1 + Fraction("0.5") - Fraction("0.125"))
    assert bottom.length == Length.of(22 - 1 + Fraction("0.5") - Fraction("0.125"))


def test_a_front_over_the_opening_reaches_past_it() -> None:
    front = part(drawer(width="16 1/2", height="6", overlay="1/2"), "Front")
    assert (front.width, front.length) == (Length.of(7), Length.of("35/2"))


def test_an_inset_front_leaves_a_gap_all_round() -> None:
    front = part(drawer(width="16 1/2", height="6", fit="inside the opening"), "Front")
    assert (front.width, front.length) == (
        Length.of(6 - Fraction(3, 16)),
        Length.of(Fraction("16.5") - Fraction(3, 16)),
    )


def test_a_solid_front_wider_than_a_board_is_glued_up() -> None:
    built = drawer(height="12", overlay="1/2")
    boards = part(built, "Front board")
    assert boards.count == 2, "13 + 2 × 1/2 in boards up to 8"
    assert boards.width == Length.of(7)
    assert "glue-up-1" in [step.key for step in built.steps]
    assert "glue-up-1" not in [step.key for step in drawer(height="6").steps]


def test_a_sheet_front_gets_edge_strip_all_round() -> None:
    built = drawer(width="16 1/2", height="6", overlay="1/2", made_of="sheet")
    (strip,) = (item for item in built.items if "edge strip" in item.material.name)
    assert strip.quantity.value == Fraction(2) * (Fraction("17.5") + 7) / 12


def test_a_box_that_is_finished_has_all_its_faces() -> None:
    names = {face.name for face in drawer(finish_box=True).faces}
    assert {"Box sides, both faces", "Bottom, both faces"} <= names
    assert all("Box" not in face.name for face in drawer().faces)


@pytest.mark.parametrize(
    ("typed", "field"), [({"height": "2"}, "height"), ({"width": "4", "box_sheet_thickness": "3/4"}, "width")]
)
def test_an_opening_too_small_for_a_box_is_refused(typed: dict[str, str], field: str) -> None:
    problems = problems_of(a_piece("drawer", corners="butted and screwed", **typed))
    assert [problem.field for problem in problems] == [field]


def test_a_shop_that_leaves_more_behind_needs_a_deeper_opening() -> None:
    (problem,) = problems_of(a_piece("drawer", depth="11"), with_habits(behind_drawer="2"))
    assert problem.field == "depth"
    assert problem.words == "Opening depth “11 in” is too little for a slide of 10 in. Try 12 in."


def test_the_box_is_fitted_when_its_clamps_are_off() -> None:
    steps = {step.key: step for step in drawer().steps}
    assert [wait.step for wait in steps["fit"].after] == ["unclamp-box"]
    assert {wait.step for wait in steps["sand"].after} == {"cut", "unclamp-box"}
