"""Small sizes as a maker says them."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.length import Length
from domain.shop import Shop
from domain.tape import at_least, near

INCHES, METRIC = Shop(), Shop(unit="mm")


@pytest.mark.parametrize(
    ("size", "shop", "said"),
    [
        ("1/8", INCHES, "1/8 in"),
        ("-1/8", INCHES, "1/8 in"),
        ("0.27", INCHES, "about 1/4 in"),
        ("0.02", INCHES, "less than 1/16 in"),
        ("0", INCHES, "nothing to speak of"),
        ("0.01", METRIC, "less than 1 mm"),
        ("0.27", METRIC, "about 7 mm"),
    ],
)
def test_a_small_size_is_said_at_the_nearest_mark(size: str, shop: Shop, said: str) -> None:
    assert near(Fraction(size), shop) == said


@pytest.mark.parametrize(
    ("size", "shop", "said"),
    [("0.26", INCHES, "5/16 in"), ("1/4", INCHES, "1/4 in"), ("0.26", METRIC, "7 mm"), ("0.001", INCHES, "1/16 in")],
)
def test_what_must_be_left_is_said_at_a_mark_that_is_not_below_it(size: str, shop: Shop, said: str) -> None:
    assert at_least(Fraction(size), shop) == said


@given(st.fractions(min_value=0, max_value=20, max_denominator=1000), st.sampled_from([2, 4, 8, 16, 32, 64]))
def test_a_size_to_leave_never_rounds_down(size: Fraction, precision: int) -> None:
    said = at_least(size, Shop(precision=precision))
    assert Length.parse(said).inches >= size
