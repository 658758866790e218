"""Sheets for parts. Sheet sizes are public plywood size references; the rest is common practice, no source."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.length import Length
from domain.material import Material, MaterialKind
from domain.part import Grain, Part
from domain.practice import ShopPractice
from domain.sheet_goods import sheet_area, sheet_size, sheet_weight, sheets_needed

USUAL = ShopPractice()
PLYWOOD = Material(MaterialKind.SHEET, "maple plywood", "3/4")
FIBREBOARD = Material(MaterialKind.SHEET, "MDF", "3/4")


def a_panel(width="23", length="30", count=1, *, grain=Grain.LENGTH, material=PLYWOOD) -> Part:
    return Part("A", "side", count, Length.of("23/32"), Length.of(width), Length.of(length), material, grain)


def test_plywood_comes_4_by_8_ft_and_fibreboard_an_inch_larger():
    # Source: public plywood size references; fibreboard from memory
    plywood, fibreboard = sheet_size(PLYWOOD, USUAL), sheet_size(FIBREBOARD, USUAL)
    assert (plywood.width.length, plywood.length.length) == (Length.feet(4), Length.feet(8))
    assert (fibreboard.width.length, fibreboard.length.length) == (Length.of(49), Length.of(97))


def test_sheets_are_reckoned_by_area_with_kerf_trim_and_yield():
    need = sheets_needed([a_panel(count=10)], USUAL)
    with_kerfs = 10 * (23 + Fraction(1, 8)) * (30 + Fraction(1, 8))
    usable = (48 - Fraction(1, 2)) * (96 - Fraction(1, 2)) * Fraction(17, 20)
    assert 1 < with_kerfs / usable < 2
    assert need.sheets.value == 2
    assert need.problems == ()
    places = {figure.rule.where for figure in need.sheets.walk()}
    assert {"practice:kerf", "practice:sheet_trim", "practice:sheet_yield", "practice:sheet_width"} <= places


def test_a_part_nearly_as_large_as_a_sheet_takes_one_sheet_not_two():
    assert sheets_needed([a_panel("47", "95")], USUAL).sheets.value == 1
    assert sheets_needed([a_panel("47", "95", 3)], USUAL).sheets.value == 3


def test_parts_too_large_to_share_a_sheet_take_one_each():
    generous = ShopPractice({"sheet_yield": Fraction(1), "kerf": Fraction(0)})
    assert sheets_needed([a_panel("47", "49", 4)], generous).sheets.value == 4


@pytest.mark.parametrize(
    ("part", "fits"),
    [
        (a_panel("47.5", "95.5"), True),
        (a_panel("47.5", "96"), False),
        (a_panel("48", "90"), False),
        (a_panel("90", "40"), False),
        (a_panel("90", "40", grain=Grain.WIDTH), True),
        (a_panel("90", "40", grain=Grain.FREE), True),
        (a_panel("90", "60", grain=Grain.FREE), False),
    ],
)
def test_a_part_larger_than_any_sheet_is_refused_with_what_would_work(part, fits):
    need = sheets_needed([part, a_panel()], USUAL)
    assert (need.problems == ()) is fits
    if not fits:
        assert "larger than the 47 1/2 in by 95 1/2 in of a trimmed sheet" in need.problems[0].words
        assert "Join it from two parts" in need.problems[0].words
        assert need.sheets.value == 1


def test_a_larger_sheet_takes_a_longer_part():
    assert sheets_needed([a_panel("24", "110")], USUAL).problems
    assert not sheets_needed([a_panel("24", "110")], ShopPractice({"sheet_length": Fraction(120)})).problems


def test_two_materials_are_never_counted_as_one():
    with pytest.raises(ValueError, match="one material"):
        sheets_needed([a_panel(), a_panel(material=FIBREBOARD)], USUAL)
    with pytest.raises(ValueError, match="one material"):
        sheets_needed([], USUAL)


sizes = st.integers(2, 47)


@given(st.lists(st.tuples(sizes, sizes, st.integers(1, 9)), min_size=1, max_size=8))
def test_there_is_never_less_sheet_than_part_nor_more_sheets_than_parts(panels):
    parts = [a_panel(str(width), str(length), count) for width, length, count in panels]
    sheets = sheets_needed(parts, USUAL).sheets.value
    assert sheets * 48 * 96 >= sum(width * length * count for width, length, count in panels)
    assert sheets <= sum(count for _, _, count in panels)
    assert sheets <= sheets_needed([*parts, a_panel()], USUAL).sheets.value


def test_area_counts_every_part():
    assert sheet_area(a_panel("24", "48", 3)).value == 24
    assert sheet_area(replace(a_panel("12", "12"), count=1)).value == 1


def test_a_full_sheet_of_plywood_weighs_about_70_lb():
    # Source: trade figure for 3/4 in hardwood plywood, 4 by 8 ft: about 60 to 75 lb; from memory
    assert 60 < sheet_weight(a_panel("48", "96"), USUAL).value < 75
    assert 85 < sheet_weight(a_panel("49", "97", material=FIBREBOARD), USUAL).value < 105
