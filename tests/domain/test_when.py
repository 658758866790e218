"""Instants and durations in words."""

from fractions import Fraction

import pytest

from domain.when import clock, clock_left


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


@pytest.mark.parametrize("passed", [Fraction("4.575"), Fraction(5), Fraction(1, 7)])
def test_what_has_passed_and_what_is_left_make_up_the_whole(passed):
    def seconds(words):
        return sum(
            int(number) * (60 if unit == "min" else 1) for number, unit in zip(*[iter(words.split())] * 2, strict=True)
        )

    assert seconds(clock(passed)) + seconds(clock_left(5 - passed)) == 300
