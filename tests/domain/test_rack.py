"""Marks, the stock that a measured thickness is of, and what a rack comes to."""

from dataclasses import replace
from fractions import Fraction

import pytest

from builders import USUAL, with_habits
from domain.figure import Unit
from domain.length import Length
from domain.material import Material, MaterialKind
from domain.rack import RackPiece, RackPlace, next_mark, serves, to_use
from domain.rack_list import amount, grouped, marked, stock_size

OAK = Material(MaterialKind.LUMBER, "White oak", "8/4", "FAS")
PLY = Material(MaterialKind.SHEET, "maple plywood", "3/4")


def a_board(
    mark: str = "", *, id: int = 0, material: Material = OAK, width: str = "6", length: str = "96"
) -> RackPiece:
    return RackPiece(id, mark, material, Length.parse(width), Length.parse(length))


def test_a_board_has_a_size_and_a_material_that_is_cut() -> None:
    with pytest.raises(ValueError, match="a board has a size"):
        a_board(width="0")
    with pytest.raises(ValueError, match="only boards and sheets"):
        a_board(material=Material(MaterialKind.GLUE, "PVA"))


def test_the_board_feet_of_a_board_agree_with_the_published_example() -> None:
    # Source: American Hardwood Export Council, public grading guide, Measurement page: width [in] × length [ft] ÷ 12
    # gives surface measure, × thickness the board feet; a 2 in board of 6 in by 8 ft is 6 × 8 ÷ 12 × 2.
    assert a_board().quantity(USUAL).value == Fraction(6 * 8 * 2, 12)


def test_an_offcut_of_a_sheet_is_its_share_of_one_and_looked_at_by_its_area() -> None:
    offcut = a_board(material=PLY, width="24", length="36")
    assert (offcut.quantity(USUAL).value, offcut.quantity(USUAL).unit) == (Fraction(24 * 36, 48 * 96), Unit.SHEET)
    assert (amount(offcut, USUAL).value, amount(offcut, USUAL).unit) == (Fraction(24 * 36, 144), Unit.SQUARE_FOOT)


@pytest.mark.parametrize(
    ("measured", "stock"),
    [
        ("5/4", "5/4"), ("2", "8/4"), ("1 1/16", "5/4"), ("13/16", "4/4"), ("15/16", "4/4"), ("1 3/4", "8/4"),
        ("27 mm", "5/4"), ("1 1/2", "6/4"), ("3/4", ""), ("6", ""), ("1/16", ""),
    ],
)  # fmt: skip
def test_a_measured_thickness_is_of_the_stock_it_was_sawn_as(measured: str, stock: str) -> None:
    # Source of the dressed thicknesses: domain/data/thickness.csv (NHLA, as tabulated in Wood Handbook ch. 6):
    # 4/4 is dressed to 13/16, 5/4 to 1 1/16, 8/4 to 1 3/4.
    assert stock_size(Length.parse(measured), MaterialKind.LUMBER, USUAL) == stock


def test_a_sheet_is_told_by_what_the_shop_measured_of_its_nominal_thickness() -> None:
    assert stock_size(Length.parse("23/32"), MaterialKind.SHEET, USUAL) == "3/4"
    measured = with_habits(actual_3_4="11/16")
    assert stock_size(Length.parse("11/16"), MaterialKind.SHEET, measured) == "3/4"
    assert stock_size(Length.parse("23/32"), MaterialKind.SHEET, measured) == ""


def test_marks_go_on_after_those_that_are_taken() -> None:
    rack = [a_board("R3"), a_board("R12"), a_board("Y2"), a_board("R7b"), a_board("Red 99")]
    assert next_mark(rack) == "R13"
    new = [a_board(), replace(a_board(), place=RackPlace.YARD), a_board("R13"), a_board()]
    assert [piece.mark for piece in marked(new, rack)] == ["R14", "Y3", "R13", "R15"]


def test_marks_of_a_long_list_are_all_different() -> None:
    found = [piece.mark for piece in marked([a_board()] * 300, [a_board("R5")])]
    assert found == [f"R{number}" for number in range(6, 306)]


def test_a_better_grade_serves_and_a_worse_does_not() -> None:
    common = replace(OAK, grade="No. 1 Common")
    assert serves(a_board(), common)
    assert not serves(a_board(material=common), OAK)
    assert not serves(a_board(), replace(OAK, size="4/4"))
    assert serves(a_board(material=replace(OAK, name="WHITE OAK")), OAK)


def test_a_job_uses_its_own_boards_first_then_the_shops_then_the_yards() -> None:
    rack = [
        replace(a_board("Y1", id=1), place=RackPlace.YARD),
        a_board("R1", id=2),
        replace(a_board("R2", id=3), set_aside_for=7),
        replace(a_board("R3", id=4), set_aside_for=8),
        replace(a_board("R4", id=5), cut_for=7),
    ]
    assert [piece.mark for piece in to_use(rack, OAK, job_id=7)] == ["R2", "R1", "Y1"]


def test_groups_stand_by_place_and_thickness_and_add_up() -> None:
    thin = replace(OAK, size="4/4")
    rack = [
        replace(a_board(id=1), place=RackPlace.YARD),
        a_board(id=2, material=PLY, width="24", length="48"),
        a_board(id=3),
        a_board(id=4, material=replace(OAK, size="10/4")),
        a_board(id=5, material=thin, length="9'"),
        a_board(id=6, material=thin, length="10'"),
    ]
    groups = grouped(rack, USUAL)
    assert [(group.place, group.material.size) for group in groups] == [
        (RackPlace.SHOP, "4/4"), (RackPlace.SHOP, "8/4"), (RackPlace.SHOP, "10/4"), (RackPlace.SHOP, "3/4"),
        (RackPlace.YARD, "8/4"),
    ]  # fmt: skip
    assert [piece.id for piece in groups[0].pieces] == [6, 5]
    assert groups[0].key == "5"
    assert groups[0].amount.value == Fraction(6 * (9 + 10), 12)


def test_the_yard_charges_by_surface_measure_and_the_shop_does_not_measure_so() -> None:
    # Source: AHEC grading guide, Measurement page: parts of a foot of length are dropped, the surface measure is
    # rounded to the whole foot. 7 1/4 in × 9 ft ÷ 12 = 5.44, so 5, × 2 in = 10; the exact board feet are 11.88.
    board = a_board(id=1, width="7 1/4", length="9' 10")
    here, seen = grouped([board, replace(board, id=2, place=RackPlace.YARD)], USUAL)
    assert here.tally is None
    assert seen.tally is not None
    assert seen.tally.value == 5 * 2
    assert seen.amount.value == Fraction("7.25") * 118 * 2 / 144
