"""Lengths against pint as an independent reference, and the ways makers type them."""

from fractions import Fraction

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.length import ZERO, Length, total
from domain.words import LONGEST_SHOWN

UNITS = pint.UnitRegistry(non_int_type=Fraction)
"""pint with exact numbers, a general-purpose library that knows nothing of this project."""


def pint_inches(amount: Fraction, unit: str) -> Fraction:
    return Fraction(UNITS.Quantity(amount, unit).to("inch").magnitude)


positive = st.fractions(min_value=0, max_value=10_000, max_denominator=64)
decimals = st.decimals(min_value=0, max_value=99_999, places=3).map(str)


@given(decimals, st.sampled_from(["in", "mm", "cm", "m"]))
def test_a_typed_size_is_as_long_as_pint_says(number, unit):
    assert Length.parse(f"{number} {unit}").inches == pint_inches(Fraction(number), unit)


@given(st.integers(0, 500), st.fractions(min_value=0, max_value=Fraction(767, 64), max_denominator=64))
def test_feet_and_inches_are_as_long_as_pint_says(feet, inches):
    typed = f"{feet}' {Length(inches).exact()}\""
    assert Length.parse(typed).inches == pint_inches(Fraction(feet), "foot") + inches


@given(decimals, st.sampled_from(["in", "mm"]))
def test_a_bare_number_is_in_the_unit_the_shop_chose(number, unit):
    assert Length.parse(number, bare=unit).inches == pint_inches(Fraction(number), unit)


@given(positive)
def test_conversions_agree_with_pint(number):
    assert Length.mm(number).inches == pint_inches(number, "mm")
    assert Length.feet(number).inches == pint_inches(number, "foot")
    assert Length(number).in_mm == Fraction(UNITS.Quantity(number, "inch").to("mm").magnitude)
    assert Length(number).in_feet == Fraction(UNITS.Quantity(number, "inch").to("foot").magnitude)


def test_an_inch_is_25_4_mm_exactly():
    # Source: international yard and pound agreement, 1959; lumber_measure.csv C4
    assert Length.of(1).in_mm == Fraction("25.4")
    assert Length.mm("25.4") == Length.of(1)
    assert Length.mm(18).inches == Fraction(90, 127)


# The trade's ways of typing: common practice, no source.


@pytest.mark.parametrize(
    ("typed", "inches"),
    [
        ("25 1/4", "101/4"),
        ('25-1/4"', "101/4"),
        ("25¼", "101/4"),
        ("½", "1/2"),
        ("1⁄2", "1/2"),
        ("1 / 2", "1/2"),
        (".5", "1/2"),
        ("5/4", "5/4"),
        ("25.25 in", "101/4"),
        ("8' 6", "102"),
        ("8'6", "102"),
        ("8' 6\"", "102"),
        ("8'-6 1/2\"", "205/2"),
        ("8’ 6½”", "205/2"),
        ("8 ft", "96"),
        ("8 ft. 6 in.", "102"),
        ("8 feet 6 inches", "102"),
        ("8 1/2'", "102"),
        ("3''", "3"),
        ("641 mm", "3205/127"),
        ("641mm", "3205/127"),
        ("64.1 CM", "3205/127"),
        ("0.641 m", "3205/127"),
        ("0", "0"),
        ("\u00a07/8\u202f", "7/8"),
        ("25–1/4", "101/4"),
    ],
)
def test_sizes_are_read_the_way_makers_type_them(typed, inches):
    assert Length.parse(typed) == Length.of(inches)


@pytest.mark.parametrize(
    "typed",
    [
        *["", " ", "x", "' 6", "8' six", "8'-", "25 . 4", "25..4", "1/2/3", "1 2 3", "25 mm mm", "5 furlongs"],
        *["٢٥", "२५", "２５", "²", "①", "1/0", "25 1/0", "-3", "+3", "--3"],
        *["1e3", "NaN", "inf", "0x10", "1_000", "9" * 8, "1" * 400],
    ],
)
def test_what_is_not_a_size_is_refused_with_what_would_work(typed):
    with pytest.raises(ValueError, match="is not a size") as caught:
        Length.parse(typed)
    assert f"“{typed[:LONGEST_SHOWN]}" in str(caught.value)
    assert "Try 25 1/4, 8' 6 or 641 mm." in str(caught.value)
    assert len(str(caught.value)) < 120


@pytest.mark.parametrize("typed", ["1,5", "1,250 mm", "25,4 cm"])
def test_a_comma_is_refused_with_the_way_to_write_it(typed):
    with pytest.raises(ValueError, match=r"has a comma.*1\.5 or 1500"):
        Length.parse(typed)


@pytest.mark.parametrize("typed", ["8' 14", "8.5' 6", "8 1/2' 6", "8' 12"])
def test_feet_and_inches_that_do_not_fit_together_are_refused(typed):
    with pytest.raises(ValueError, match="do not fit together"):
        Length.parse(typed)


def test_a_whole_number_is_not_followed_by_a_fraction_of_one_or_more():
    with pytest.raises(ValueError, match="25 5/4"):
        Length.parse("25 5/4")


@pytest.mark.parametrize(("typed", "inches"), [("-1/4", "-1/4"), ("−3 mm", "-15/127"), ("+2", "2"), ("2", "2")])
def test_a_difference_may_be_signed_where_that_makes_sense(typed, inches):
    assert Length.parse(typed, signed=True) == Length.of(inches)


@given(st.text(max_size=60))
def test_any_text_is_a_size_or_a_message(text):
    message = ""
    try:
        read = Length.parse(text)
    except ValueError as error:
        message = str(error)
    assert text[:LONGEST_SHOWN] in message if message else read >= ZERO


@given(decimals, st.sampled_from(["in", "mm", "cm", "m", "ft"]))
def test_a_typed_size_is_written_so_that_it_reads_back_to_itself(number, unit):
    length = Length.parse(f"{number} {unit}")
    assert Length.parse(length.exact()) == length


@given(st.fractions(min_value=-5000, max_value=5000, max_denominator=10**6))
def test_a_difference_reads_back_to_itself(inches):
    assert Length.parse(Length(inches).exact(), signed=True) == Length(inches)


@given(positive, st.sampled_from([4, 8, 16, 32, 64]))
def test_a_tape_mark_is_never_further_off_than_half_a_mark(inches, precision):
    shown = Length(inches).tape(precision=precision)
    mark = Length.parse(shown.removeprefix("about "))
    assert abs(mark.inches - inches) <= Fraction(1, 2 * precision)
    assert shown.startswith("about ") == (mark.inches != inches)


@given(positive)
def test_a_metric_tape_shows_the_nearest_half_millimetre(inches):
    shown = Length(inches).tape(unit="mm")
    mark = Length.parse(shown.removeprefix("about "))
    assert abs(mark.in_mm - Length(inches).in_mm) <= Fraction(1, 4)


def test_tapes_are_written_as_makers_write_them():
    assert Length.of("101/4").tape() == "25 1/4 in"
    assert Length.of("7/8").tape() == "7/8 in"
    assert Length.of("1/32").tape() == "about 1/16 in"
    assert Length.of("-1/4").tape() == "-1/4 in"
    assert Length.of("-1/100").tape() == "about 0 in"
    assert Length.mm("641.5").tape(unit="mm") == "641.5 mm"
    assert Length.mm(1_234_567).tape(unit="mm") == "1234567 mm"


@given(st.lists(positive.map(Length), max_size=8))
def test_lengths_add_up_in_any_order(lengths):
    assert total(lengths) == total(reversed(lengths))
    assert total(lengths) - total(lengths) == ZERO


def test_lengths_are_never_made_from_floats():
    for make in (Length, Length.of, Length.feet, Length.mm):
        with pytest.raises(TypeError):
            make(0.1)
    with pytest.raises(TypeError):
        Length.of(1) * 0.5
