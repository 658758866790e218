"""Exact sums and products of many numbers, brought to lowest terms once at the end instead of at every step."""

from collections.abc import Iterable
from fractions import Fraction
from math import lcm


def summed(values: Iterable[Fraction]) -> Fraction:
    """Return the sum; of none, zero."""
    numbers = list(values)
    if len(numbers) == 1:
        return numbers[0]
    ratios = [number.as_integer_ratio() for number in numbers]
    common = lcm(*(under for _, under in ratios))
    return Fraction(sum(above * (common // under) for above, under in ratios), common)


def product(*factors: Fraction | int, over: int = 1) -> Fraction:
    """Return the product of the factors ÷ over."""
    above, under = 1, over
    for factor in factors:
        above *= factor.numerator
        under *= factor.denominator
    return Fraction(above, under)
