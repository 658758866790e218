"""Instants and durations in words."""

from fractions import Fraction

import pytest

from domain.when import clock


@pytest.mark.parametrize(
    ("minutes", "words"),
    [
        (Fraction(0), "0 s"),
        (Fraction(1, 2), "30 s"),
        (Fraction(5), "5 min"),
        (Fraction("2.25"), "2 min 15 s"),
        (Fraction(1, 7), "9 s"),
        (Fraction(-4, 3), "−1 min 20 s"),
    ],
)
def test_minutes_of_a_glue_up_are_counted_to_the_second_that_has_begun(minutes, words):
    assert clock(minutes) == words
