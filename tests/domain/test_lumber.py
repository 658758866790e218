"""Board feet, tallies and yields against published rules and worked examples."""

import csv
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.figure import Figure, Unit, count, typed
from domain.length import Length
from domain.lumber import (
    AddOn,
    GradeYield,
    RoughSize,
    WasteShare,
    board_feet,
    bundle_tally,
    cutting_units,
    grade,
    grade_names,
    grade_yield,
    gross,
    quarter_for,
    quarters,
    rough_size,
    surface_measure,
    tally,
    usual_extra,
)
from domain.material import Material, MaterialKind
from domain.part import Part
from domain.practice import ShopPractice
from domain.problem import Problem

DATA = Path(__file__).parents[1] / "data"
USUAL = ShopPractice()


def published(record_type: str) -> list[dict[str, str]]:
    with (DATA / "lumber_measure.csv").open(encoding="utf-8", newline="") as table:
        return [row for row in csv.DictReader(table) if row["record_type"] == record_type]


def exact(thickness: str, width: str, length: str, pieces: int = 1) -> Fraction:
    sizes = [
        typed(label, Length.of(size))
        for label, size in (("Thickness", thickness), ("Width", width), ("Length", length))
    ]
    return board_feet(*sizes, count("Pieces", pieces, "counted")).value


def by_method(row: dict[str, str]) -> Fraction:
    """Return what our functions make of a published example, by the method it names."""
    pieces = int(row["quantity"])
    boards = [(Length.of(row["width_in"]), Length.of(row["length_in"]))] * pieces
    if row["method"] == "exact":
        return exact(row["thickness_in"], row["width_in"], row["length_in"], pieces)
    if row["method"] == "bundle tally":
        return bundle_tally(boards).value
    if row["answer_unit"] == "ft2 SM":
        return Fraction(sum(surface_measure(boards)))
    return tally(boards, Length.of(row["thickness_in"])).value


@pytest.mark.parametrize("row", published("example"), ids=lambda row: row["id"])
def test_measure_agrees_with_every_published_example(row):
    # Source: AHEC grading guide, NHLA restatements, dealers' and sawmill pages; each row names its own
    assert abs(by_method(row) - Fraction(row["answer_value"])) <= Fraction("0.00005")


def test_a_board_of_the_american_hardwood_export_council():
    # Source: AHEC grading guide, Measurement page: 2 in x 6-1/4 in x 8 ft, SM 4, 8 bf, exactly 8.333 (W1)
    board = [(Length.of("6.25"), Length.feet(8))]
    assert surface_measure(board) == (4,)
    assert tally(board, Length.of(2)).value == 8
    assert exact("2", "6.25", "96") == Fraction(25, 3)


def test_surface_measure_as_the_rules_are_restated():
    # Source: NHLA measurement restated by an importer: 10 in x 13 ft is 10-10/12, SM 11 (W2)
    assert surface_measure([(Length.of(10), Length.feet(13))]) == (11,)


def test_a_number_1_common_board_and_its_cuttings():
    # Source: extension author's grading article: 6-7/16 in x 10 ft 9 in, SM 5, 40 units in at most 2 cuttings (W3)
    assert surface_measure([(Length.of("6.4375"), Length.parse("10' 9"))]) == (5,)
    units, cuttings = cutting_units("No. 1 Common", 5)
    assert cuttings is not None
    assert (units.value, cuttings.value) == (40, 2)


def test_board_feet_of_two_worked_examples():
    # Source: woodworking tip sheet: 1-1/2 x 9 x 96 in is 9 bf (W4); stock-sizing page: 5/4 x 6 x 72 in is 3.75 (W5)
    assert exact("1.5", "9", "96") == 9
    assert exact("1.25", "6", "72") == Fraction("3.75")


def test_half_feet_go_down_and_up_by_turns():
    # Source: NHLA rules of measurement, tally section, from memory (R5; E24 tallies 4 then 5)
    board = (Length.of(6), Length.feet(9))
    assert surface_measure([board] * 5) == (4, 5, 4, 5, 4)
    between = (Length.of(7), Length.feet(12))
    assert surface_measure([board, between, board]) == (4, 7, 5)


def test_a_bundle_rounds_half_inches_down_and_up_by_turns_and_lengths_down():
    # Source: AHEC grading guide, Measurement page (R6)
    wide = (Length.of("5.5"), Length.parse("8' 11"))
    assert bundle_tally([wide, wide]).value == Fraction((5 + 6) * 8, 12)
    assert bundle_tally([(Length.of("5.75"), Length.feet(8))]).value == Fraction(6 * 8, 12)


UNITS = pint.UnitRegistry(non_int_type=Fraction)
VOLUMES = {"C1": (1, "board_foot", "m^3"), "C2": (1, "m^3", "board_foot"), "C3": (1000, "board_foot", "m^3")}


@pytest.mark.parametrize(
    "row", [row for row in published("conversion") if row["id"] in VOLUMES], ids=lambda row: row["id"]
)
def test_a_board_foot_is_as_much_wood_as_the_exact_definitions_say(row):
    # Source: exact definitions of the inch, by way of pint and of the conversion rows
    amount, given_in, wanted = VOLUMES[row["id"]]
    one = exact("1", "12", "12")
    cubic_metres = UNITS.Quantity(one * 144, "inch^3").to("m^3").magnitude
    ours = amount * cubic_metres if given_in == "board_foot" else amount / cubic_metres
    assert abs(ours - UNITS.Quantity(Fraction(amount), given_in).to(wanted).magnitude) < Fraction(1, 10**12)
    assert abs(ours - Fraction(row["answer_value"])) < Fraction(row["answer_value"]) / 10**5


@given(st.fractions(1, 4), st.fractions(1, 24), st.fractions(1, 200), st.integers(1, 40))
def test_board_feet_are_the_volume_of_stock_an_inch_or_more_thick(thickness, width, length, pieces):
    volume = UNITS.Quantity(thickness * width * length * pieces, "inch^3").to("board_foot").magnitude
    assert exact(str(thickness), str(width), str(length), pieces) == volume


@pytest.mark.parametrize("sizes", [("0", "6", "96"), ("1", "-6", "96"), ("1", "6", "0")])
def test_a_board_without_a_size_is_refused(sizes):
    with pytest.raises(ValueError, match="must be more than zero"):
        exact(*sizes)


# What to buy for a net quantity.


def share(value: str) -> Figure:
    return typed("share", Fraction(value), Unit.SHARE)


NET = typed("Net", 100, Unit.BOARD_FOOT)


def test_a_waste_share_is_of_what_is_bought():
    # Source: cabinetmakers' forum survey: net 100 bf at 30 % waste is 142.86 bf to buy (W16)
    assert round(gross(NET, WasteShare(share("0.3"))).value, 2) == Fraction("142.86")


def test_buying_half_more_is_a_third_of_waste():
    # Source: woodworking magazine: buying 50 % more than net is a waste share of 33-1/3 % (W17)
    assert gross(NET, AddOn(share("0.5"))).value == gross(NET, WasteShare(share("1/3"))).value == 150


def test_a_grade_yield_divides():
    # Source: AHEC and NHLA grade chart: FAS yields 83-1/3 %, No. 1 Common 66-2/3 %, No. 2A 50 %
    yields = {"FAS": "5/6", "FAS One Face (F1F)": "5/6", "Selects": "5/6", "No. 1 Common": "2/3"}
    yields |= {"No. 2A Common": "1/2", "No. 2B Common": "1/2", "No. 3A Common": "1/3", "No. 3B Common": "1/4"}
    assert {name: str(grade_yield(name).share.value) for name in grade_names()} == yields
    assert gross(NET, grade_yield("FAS")).value == 120


@pytest.mark.parametrize(
    ("kind", "value"),
    [(AddOn, "-0.1"), (WasteShare, "1"), (WasteShare, "-0.1"), (GradeYield, "0"), (GradeYield, "1.1")],
)
def test_shares_that_cannot_be_are_refused(kind, value):
    with pytest.raises(ValueError, match="not"):
        kind(share(value))
    with pytest.raises(ValueError, match="not"):
        kind(typed("a length, not a share", Length.of("1/2")))


def test_a_figure_to_buy_says_which_percentage_it_is():
    assert "of what is bought" in gross(NET, WasteShare(share("0.3"))).rule.words
    assert "of the net" in gross(NET, AddOn(share("0.3"))).rule.words


def test_usual_extras_add_up_by_wood_and_grade():
    # Source: furniture-making textbook (17.5 % hardwood, 7.5 % softwood); magazine reader service (7.5, 30 %)
    assert usual_extra("White oak", "FAS", USUAL).share.value == Fraction("0.175")
    assert usual_extra("Ponderosa pine", "", USUAL).share.value == Fraction("0.075")
    assert usual_extra("Black walnut", "No. 1 Common", USUAL).share.value == Fraction("0.175") + Fraction("0.375")


# Grades.


def test_grades_ask_their_cutting_units():
    # Source: NHLA grade chart as published by AHEC and by a lumber distributor
    assert [cutting_units(name, 12)[0].value for name in ("FAS", "Selects", "No. 1 Common", "No. 2A Common")] == [
        120, 120, 96, 72,
    ]  # fmt: skip
    assert [cutting_units(name, 12)[1].value for name in ("FAS", "No. 1 Common", "No. 2A Common")] == [3, 4, 6]
    assert cutting_units("FAS", 40)[1].value == 4
    assert cutting_units("No. 3A Common", 12)[1] is None


def test_small_boards_follow_their_own_rule():
    # Source: the same chart, notes: SM 1 of No. 1 Common is clear, SM 2 gives SM x 9; Selects of 2 and 3, SM x 11
    assert cutting_units("No. 1 Common", 1)[0].value == 12
    assert cutting_units("No. 1 Common", 2)[0].value == 18
    assert cutting_units("Selects", 3)[0].value == 33
    with pytest.raises(ValueError, match="too small for FAS"):
        cutting_units("FAS", 3)


def test_the_least_board_of_fas_is_6_in_by_8_ft():
    # Source: the same chart
    assert (grade("FAS").least_width, grade("FAS").least_length) == (Length.of(6), Length.feet(8))


# Rough size from finished size: common practice, no source.


def a_part(thickness="3/4", width="4", length="30", *, extra="0", size="") -> Part:
    return Part(
        "A",
        "stile",
        2,
        Length.of(thickness),
        Length.of(width),
        Length.of(length),
        Material(MaterialKind.LUMBER, "White oak", size, "FAS"),
        extra_length=Length.of(extra),
    )


def test_the_usual_stock_dresses_as_the_thickness_table_says():
    # Source: NHLA thickness table as in Wood Handbook ch. 6, from memory
    stock = {quarter.name: quarter.dressed.length.exact() for quarter in quarters(USUAL)}
    assert stock == {
        "4/4": "13/16",
        "5/4": "1 1/16",
        "6/4": "1 5/16",
        "8/4": "1 3/4",
        "10/4": "2 1/4",
        "12/4": "2 3/4",
        "16/4": "3 3/4",
    }


@pytest.mark.parametrize(
    ("finished", "quarter"),
    [("1/4", "4/4"), ("3/4", "4/4"), ("13/16", "4/4"), ("1", "5/4"), ("3/2", "8/4"), ("7/4", "8/4"), ("15/4", "16/4")],
)
def test_the_thinnest_stock_that_dresses_to_the_thickness_is_taken(finished, quarter):
    found = quarter_for(Length.of(finished), USUAL)
    assert found.name == quarter


def test_a_shop_may_buy_seven_quarter_stock_or_keep_thickness_for_sanding():
    practice = ShopPractice({"dressed_7_4": Fraction(3, 2)})
    assert quarter_for(Length.of("3/2"), practice).name == "7/4"
    assert quarter_for(Length.of("7/4"), ShopPractice({"thickness_per_face": Fraction(1, 64)})).name == "10/4"


def test_rough_size_leaves_what_milling_takes():
    rough = rough_size(a_part(extra="7/2"), USUAL, where="piece:7")
    assert isinstance(rough, RoughSize)
    assert (rough.quarter, rough.thickness.length) == ("4/4", Length.of(1))
    assert rough.width.value == 4 + 2 * Fraction(1, 8) + Fraction(1, 8)
    assert rough.length.value == 30 + Fraction(7, 2) + 1 + Fraction(1, 8)
    places = {figure.rule.where for figure in rough.length.walk()}
    assert {"piece:7", "practice:length_per_part", "practice:kerf"} <= places


def test_rough_size_uses_the_working_of_the_parts_own_sizes():
    sizes = tuple(
        typed(name, Length.of(size), where=f"piece:7:{name}") for name, size in (("t", "3/4"), ("w", 4), ("l", 30))
    )
    rough = rough_size(replace(a_part(), sizes=sizes), USUAL)
    assert isinstance(rough, RoughSize)
    assert sizes[1] in rough.width.came_from


def test_stock_named_by_the_part_is_taken_though_thinner_would_do():
    rough = rough_size(a_part(size="8/4"), USUAL)
    assert isinstance(rough, RoughSize)
    assert rough.thickness.length == Length.of(2)


@pytest.mark.parametrize(
    ("part", "words"),
    [
        (a_part(thickness="4"), "Glue it up from thinner layers"),
        (a_part(thickness="1", size="4/4"), "too thin"),
        (a_part(size="9/4"), "not stock you buy"),
    ],
)
def test_stock_that_cannot_be_is_refused_in_words(part, words):
    problem = rough_size(part, USUAL)
    assert isinstance(problem, Problem)
    assert words in problem.words
