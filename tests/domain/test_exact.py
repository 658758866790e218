"""Sums and products reduced once equal the standard library's fractions, added and multiplied one by one."""

from fractions import Fraction
from functools import reduce
from operator import mul

from hypothesis import given
from hypothesis import strategies as st

from domain.exact import product, summed

numbers = st.lists(st.one_of(st.integers(), st.fractions()), max_size=8)


@given(st.lists(st.fractions(), max_size=20))
def test_a_sum_is_that_of_fractions_one_by_one(values):
    assert summed(values) == sum(values, Fraction(0))
    assert type(summed(values)) is Fraction


@given(numbers, st.integers(min_value=1))
def test_a_product_is_that_of_fractions_one_by_one(factors, over):
    assert product(*factors, over=over) == reduce(mul, factors, Fraction(1)) / over
    assert type(product(*factors, over=over)) is Fraction


def test_square_feet_of_alike_boards():
    assert product(3, Fraction("5.5"), Fraction(96), over=144) == 11
