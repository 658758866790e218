"""Money: the one rounding, and splits that lose nothing. Decimal of the standard library is the reference."""

from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.money import NOTHING, Money, split, total

amounts = st.integers(-(10**9), 10**9).map(Money)
weights = st.lists(st.integers(0, 1000), min_size=1, max_size=12).filter(any)


@given(st.decimals(min_value=-(10**9), max_value=10**9, places=6))
def test_rounding_agrees_with_decimals_half_up(dollars):
    expected = dollars.quantize(Decimal("0.01"), ROUND_HALF_UP)
    assert Money.of(Fraction(dollars)).dollars == Fraction(expected)


def test_half_a_cent_goes_away_from_zero():
    assert Money.of(Fraction("0.005")) == Money(1)
    assert Money.of(Fraction("-0.005")) == Money(-1)
    assert Money.of(Fraction("0.00499")) == NOTHING


@given(amounts, weights)
def test_a_split_never_loses_a_cent(amount, weights):
    shares = [Fraction(weight, sum(weights)) for weight in weights]
    parts = split(amount, shares)
    assert total(parts) == amount
    for part, share in zip(parts, shares, strict=True):
        assert abs(part.dollars - amount.dollars * share) < Fraction(1, 100)


def test_thirds_of_a_dollar_add_back_up():
    assert split(Money(100), [Fraction(1, 3)] * 3) == (Money(33), Money(34), Money(33))


@pytest.mark.parametrize("shares", [[], [Fraction(1, 2)], [Fraction(2, 3), Fraction(2, 3)]])
def test_shares_that_do_not_add_up_to_one_are_refused(shares):
    with pytest.raises(ValueError, match="not to 1"):
        split(Money(100), shares)


@pytest.mark.parametrize(
    ("typed", "cents"),
    [
        ("7.85", 785),
        ("$1,250", 125000),
        ("$ 5", 500),
        ("0", 0),
        (".85", 85),
        ("1,250.5", 125050),
        (" 12 ", 1200),
        ("9999999999", 999999999900),
    ],
)
def test_amounts_are_read_the_way_people_type_them(typed, cents):
    assert Money.parse(typed) == Money(cents)


@pytest.mark.parametrize("typed", ["", "x", "٢", "２", "1.234", "-5", "1,2,3", "1e3", "1,23,456", "$", "1/2", "9" * 11])
def test_what_is_not_an_amount_is_refused_with_what_would_work(typed):
    with pytest.raises(ValueError, match=r"is not an amount\. Try 7\.85 or 1250\."):
        Money.parse(typed)


@pytest.mark.parametrize("typed", ["1,5", "$12,34"])
def test_a_comma_where_cents_go_is_refused_as_ambiguous(typed):
    with pytest.raises(ValueError, match="has a comma where cents go"):
        Money.parse(typed)


@given(st.text(max_size=50))
def test_any_text_is_an_amount_or_a_message(text):
    message = ""
    try:
        read = Money.parse(text)
    except ValueError as error:
        message = str(error)
    assert text[:40] in message if message else read >= NOTHING


@given(st.integers(0, 10**12 - 1).map(Money))
def test_a_plain_amount_reads_back_to_itself(amount):
    assert Money.parse(amount.plain()) == amount


def test_a_credit_is_written_with_its_sign():
    assert Money(-5).plain() == "-0.05"


@given(st.lists(amounts))
def test_a_total_is_the_sum_of_the_cents(amounts):
    assert total(amounts).cents == sum(amount.cents for amount in amounts)


def test_money_is_never_made_from_a_float():
    with pytest.raises(TypeError):
        Money(1.5)
    with pytest.raises(TypeError):
        Money.of(0.1)
