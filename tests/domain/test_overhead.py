from fractions import Fraction

import pytest

from domain.figure import Unit
from domain.money import Money
from domain.overhead import overhead_rate
from domain.terms import OverheadBase


def test_overhead_of_300_000_over_2_000_000_is_15_percent() -> None:
    # Source: contractor course page: overhead 300 000 on revenue 2 000 000, 15 % recovery rate
    rate = overhead_rate(Money(300_000_00), OverheadBase.DIRECT_COST, Fraction(2_000_000))
    assert (rate.value, rate.unit) == (Fraction(15, 100), Unit.SHARE)


def test_overhead_over_labour_hours_is_money_for_each() -> None:
    # Source: the same rule, a year's overhead over the year's base, here hours
    rate = overhead_rate(Money(90_000_00), OverheadBase.LABOUR_HOURS, Fraction(3_600))
    assert (rate.value, rate.unit) == (Fraction(25), Unit.DOLLAR_PER_HOUR)
    assert [figure.value for figure in rate.came_from] == [Fraction(90_000), Fraction(3_600)]


def test_overhead_over_nothing_has_no_rate() -> None:
    with pytest.raises(ValueError, match="above zero"):
        overhead_rate(Money(100), OverheadBase.LABOUR_COST, Fraction(0))
