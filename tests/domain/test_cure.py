"""Clamp time and cure by the shop's temperature."""

from fractions import Fraction

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from builders import with_habits
from domain.adhesive import adhesive, adhesive_families
from domain.cure import clamp_time, cold_factor, cold_problems, cure_before_machining, degrees, least_temperature
from domain.practice import COMMON, PRACTICES, ShopPractice, fahrenheit

USUAL = ShopPractice()
PVA = "PVA interior"
UREA = "Urea-formaldehyde, powder mixed with water"
UNITS = pint.UnitRegistry()


@pytest.mark.parametrize("family", adhesive_families())
def test_at_the_usual_temperature_nothing_changes_and_every_glue_may_be_used(family):
    # the times of data/adhesives.csv are for 21 °C, by the thermometer 70 °F
    assert USUAL.value("shop_temperature") == 70
    assert clamp_time(family, USUAL).rule.where.startswith("practice:")
    assert cure_before_machining(family, USUAL).value == adhesive(family).before_machining
    assert not list(cold_problems(family, USUAL))


@pytest.mark.parametrize("family", adhesive_families())
def test_the_least_temperature_is_that_of_the_table_in_fahrenheit(family):
    # by way of pint: °C × 9/5 + 32
    celsius = adhesive(family).least_temperature
    assert least_temperature(family, USUAL).value == fahrenheit(celsius)
    expected = UNITS.Quantity(float(celsius), "degC").to("degF").magnitude
    assert float(least_temperature(family, USUAL).value) == pytest.approx(expected)


def test_ten_degrees_celsius_colder_takes_twice_as_long():
    # Source: common practice, no source: twice as long for each 10 °C; 70 − 18 °F
    cold = with_habits(shop_temperature="52")
    assert cold_factor(cold).value == 2
    assert cold_factor(cold).rule.source == COMMON
    assert clamp_time(PVA, cold).value == 2 * clamp_time(PVA, USUAL).value
    assert cure_before_machining(PVA, cold).value == 2 * 24
    assert "practice:shop_temperature" in {figure.rule.where for figure in clamp_time(PVA, cold).walk()}


def test_between_the_doublings_the_line_is_straight():
    assert cold_factor(with_habits(shop_temperature="61")).value == Fraction(3, 2)
    assert cold_factor(with_habits(shop_temperature="34")).value == 4
    assert cold_factor(with_habits(shop_temperature="43")).value == 3


def test_the_label_may_say_that_cold_changes_nothing():
    assert cold_factor(with_habits(shop_temperature="52", cold_doubling="0")).value == 1


@given(st.integers(-20, 119))
def test_colder_is_never_quicker_nor_quicker_than_the_curve(shop):
    here, warmer = (cold_factor(ShopPractice({"shop_temperature": Fraction(at)})).value for at in (shop, shop + 1))
    assert here >= warmer >= 1
    assert float(here) >= 2 ** ((70 - shop) / 18) - 1e-9


def test_under_its_least_temperature_a_glue_is_refused_with_what_would_work():
    (problem,) = cold_problems(UREA, with_habits(shop_temperature="60"))
    assert problem.words == (
        "The shop is at 60 °F (15.6 °C) and Urea-formaldehyde, powder mixed with water needs 69.8 °F (21 °C) at least: "
        "below that it does not hold. Warm the shop, the wood and the glue, or take a glue for the cold such as "
        "Polyurethane liquid, one part moisture cure. The label governs."
    )
    assert not list(cold_problems(PVA, with_habits(shop_temperature="50")))
    (colder,) = cold_problems(PVA, with_habits(shop_temperature="40"))
    assert "Warm the shop, the wood and the glue. The label governs." in colder.words, "no glue is for this cold"


def test_degrees_are_said_as_both_thermometers_do():
    assert degrees(Fraction(70)) == "70 °F (21.1 °C)"
    assert degrees(Fraction(14)) == "14 °F (−10 °C)"
    assert degrees(Fraction(32)) == "32 °F (0 °C)"


def test_every_label_figure_of_the_cold_names_its_source():
    for family in adhesive_families():
        assert least_temperature(family, USUAL).rule.source
    assert PRACTICES["cold_doubling"].source == COMMON
