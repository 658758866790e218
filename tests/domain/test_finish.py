"""Finish for faces and coats, against worked examples and a general units library."""

import csv
from fractions import Fraction
from pathlib import Path

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.figure import Unit, typed
from domain.finish import (
    area,
    colour_families,
    discs_needed,
    dry_to_handle,
    finish,
    finish_families,
    finish_problems,
    full_cure,
    gallons,
    recoat_closes,
    recoat_opens,
    scuff_sheets_needed,
)
from domain.length import Length
from domain.part import Face, FinishChoice
from domain.practice import ShopPractice

USUAL = ShopPractice()
UNITS = pint.UnitRegistry(non_int_type=Fraction)
HARDWAX, OIL_POLY, WATER_POLY = "Hardwax oil", "Oil-modified polyurethane", "Waterborne polyurethane"
LACQUER, MINERAL = "Nitrocellulose or pre-catalyzed lacquer, sprayed", "Food-safe mineral oil, with or without wax"
OIL_STAIN, DYE = "Oil stain", "Waterborne dye stain"


def square_feet(number: int | Fraction):
    return typed("Area", Fraction(number), Unit.SQUARE_FOOT)


def a_face(width="25", length="108", count=1, *, family=OIL_POLY, coats=3, colour="") -> Face:
    return Face("top", count, Length.of(width), Length.of(length), FinishChoice(family, coats, colour=colour))


def test_sixty_square_feet_in_three_coats_take_four_tenths_of_a_gallon():
    # Source: computed: 60 ft2, 3 coats at 450 ft2/gal, no loss: 0.40 gal, 1.51 L (W22); pint for the litres
    practice = ShopPractice({
        "oil_modified_polyurethane_coverage_first": Fraction(450),
        "oil_modified_polyurethane_coverage_next": Fraction(450),
        "finish_loss": Fraction(0),
    })  # fmt: skip
    figure = gallons(square_feet(60), 3, OIL_POLY, practice)
    assert figure.value == Fraction("0.4")
    assert round(Fraction(UNITS.Quantity(figure.value, "gallon").to("liter").magnitude), 2) == Fraction("1.51")


def test_a_square_foot_per_gallon_is_as_many_square_metres_per_litre():
    # Source: exact definitions, lumber_measure.csv C6: 1 ft2/gal is 0.0245424 m2/L
    with (Path(__file__).parents[1] / "data" / "lumber_measure.csv").open(encoding="utf-8", newline="") as table:
        row = next(row for row in csv.DictReader(table) if row["id"] == "C6")
    metric = UNITS.Quantity(Fraction(1), "foot^2/gallon").to("meter^2/liter").magnitude
    assert float(metric) == pytest.approx(float(row["answer_value"]), rel=1e-5)


def test_the_first_coat_has_its_own_coverage():
    # Coverage: middle of 600 to 1000 and of 800 to 1200 ft2/gal, from memory; loss 10 %, common practice, no source
    figure = gallons(square_feet(100), 2, HARDWAX, USUAL)
    assert figure.value == (Fraction(100, 800) + Fraction(100, 1000)) * Fraction(11, 10)
    places = {one.rule.where for one in figure.walk()}
    assert {
        "practice:hardwax_oil_coverage_first",
        "practice:hardwax_oil_coverage_next",
        "practice:finish_loss",
    } <= places
    assert gallons(square_feet(100), 1, HARDWAX, USUAL).value == Fraction(100, 800) * Fraction(11, 10)
    assert gallons(square_feet(100), 0, HARDWAX, USUAL).value == 0


@given(st.integers(1, 500), st.integers(1, 8), st.sampled_from(finish_families()))
def test_another_coat_takes_more_and_never_more_than_the_first(feet, coats, family):
    one, more = (gallons(square_feet(feet), number, family, USUAL).value for number in (coats, coats + 1))
    first = gallons(square_feet(feet), 1, family, USUAL).value
    assert 0 < more - one <= first


def test_area_counts_every_face():
    assert area([a_face("24", "36", 2), a_face("12", "12")]).value == 13


def test_published_recoat_times_are_within_what_the_table_gives():
    # Source: how-to articles: oil-modified polyurethane 6 to 24 h and scuff after that; waterborne 2 to 4 h,
    # sand lightly after 12 h; shellac no maximum, each coat dissolves into the last
    assert 6 <= recoat_opens(OIL_POLY, USUAL).value <= recoat_closes(OIL_POLY, USUAL).value == 24
    assert 2 <= recoat_opens(WATER_POLY, USUAL).value <= 4
    assert recoat_closes(WATER_POLY, USUAL).value == 12
    assert recoat_closes("Shellac, 2 lb cut", USUAL) is None


def test_an_oil_stain_waits_longer_under_lacquer_and_waterborne():
    # Source: how-to pages: 24 to 48 h, up to 72 h; 72 h under lacquer or waterborne is the cautious value
    assert recoat_opens(OIL_STAIN, USUAL).value == 24
    assert recoat_opens(OIL_STAIN, USUAL, under=OIL_POLY).value == 24
    assert recoat_opens(OIL_STAIN, USUAL, under=WATER_POLY).value == 72
    assert recoat_opens(OIL_STAIN, USUAL, under=LACQUER).value == 72
    assert recoat_opens(DYE, USUAL, under=WATER_POLY).value == 4
    assert recoat_opens(WATER_POLY, USUAL, under=WATER_POLY).value == 4


def test_mineral_oil_never_cures():
    # Source: woodworking forum and university extension newsletter
    assert full_cure(MINERAL, USUAL) is None
    assert finish(MINERAL).never_cures
    # Source: how-to articles: oil-modified polyurethane takes 30 days
    assert full_cure(OIL_POLY, USUAL).value == 30


@pytest.mark.parametrize("family", [*finish_families(), *colour_families()])
def test_every_family_has_its_figures(family):
    found = finish(family)
    assert found.coats[0] <= found.coats[1] <= found.coats[2]
    assert found.temperature[0] < found.temperature[1]
    assert "from memory" in found.source
    closes = recoat_closes(family, USUAL)
    assert closes is None or closes.value >= recoat_opens(family, USUAL).value
    assert dry_to_handle(family, USUAL).unit is Unit.HOUR


def test_stains_are_no_finishes():
    assert set(colour_families()) == {OIL_STAIN, DYE}
    assert len(finish_families()) == 9
    with pytest.raises(KeyError):
        finish("ketchup")


@pytest.mark.parametrize(
    ("choice", "field", "words"),
    [
        (FinishChoice("ketchup", 2), "family", "is not a finish"),
        (FinishChoice(OIL_STAIN, 1), "family", "is not a finish"),
        (FinishChoice(OIL_POLY, 3, colour=HARDWAX), "colour", "is not a stain"),
        (FinishChoice(OIL_POLY, 0), "coats", "none at all. Try 3"),
        (FinishChoice(OIL_POLY, 9), "coats", "2 to 4 are usual"),
        (FinishChoice(MINERAL, 4, colour=OIL_STAIN), "colour", "never hardens"),
    ],
)
def test_a_choice_that_would_not_work_says_so(choice, field, words):
    (problem,) = finish_problems(choice)
    assert problem.field == field
    assert words in problem.words


def test_a_usual_choice_has_no_problem():
    assert finish_problems(FinishChoice(OIL_POLY, 3, colour=OIL_STAIN)) == ()


def test_coats_are_not_negative():
    with pytest.raises(ValueError, match="not -1"):
        gallons(square_feet(10), -1, OIL_POLY, USUAL)


def test_discs_and_sheets_are_whole():
    # 10 ft2 a disc, 30 ft2 a sheet: common practice, no source
    assert discs_needed(square_feet(30), "120", USUAL).value == 3
    assert discs_needed(square_feet(Fraction(61, 2)), "120", USUAL).value == 4
    assert discs_needed(square_feet(0), "120", USUAL).value == 0
    assert scuff_sheets_needed(square_feet(40), 2, USUAL).value == 3
