"""Figures open to what they came from, down to what was typed."""

from fractions import Fraction

import pytest

from domain.figure import Figure, Rule, Unit, add_up, count, typed
from domain.length import Length
from domain.money import Money


def test_a_typed_size_is_a_figure_in_inches_that_says_where_it_was_typed():
    figure = typed("Length", Length.feet(9), where="piece:7:length")
    assert (figure.value, figure.unit, figure.length) == (Fraction(108), Unit.INCH, Length.feet(9))
    assert (figure.rule.source, figure.rule.where) == ("typed", "piece:7:length")


def test_a_typed_amount_is_a_figure_in_dollars():
    assert typed("Price", Money(785)).money == Money(785)
    assert typed("Boards", 7).unit is Unit.EACH


def test_a_sum_opens_to_its_parts():
    parts = [typed("one", Length.of("1/3")), typed("two", Length.of("2/3"))]
    whole = add_up("both", parts, Unit.INCH)
    assert whole.value == Fraction(1)
    assert whole.came_from == tuple(parts)
    assert add_up("none", [], Unit.INCH).value == 0


def test_feet_and_pounds_do_not_add_up():
    with pytest.raises(ValueError, match="cannot add"):
        add_up("nonsense", [count("Boards", 7, "counted"), typed("Length", Length.of(1))], Unit.INCH)


def test_a_figure_is_no_length_or_money_in_another_unit():
    board_feet = Figure("Net", Fraction(8), Unit.BOARD_FOOT, Rule("measured"))
    with pytest.raises(ValueError, match="not in inches"):
        _ = board_feet.length
    with pytest.raises(ValueError, match="not in dollars"):
        _ = board_feet.money


def test_walking_a_figure_visits_everything_it_came_from():
    inner = typed("inner", Length.of(1))
    middle = add_up("middle", [inner, inner], Unit.INCH)
    outer = add_up("outer", [middle, inner], Unit.INCH)
    assert [figure.label for figure in outer.walk()] == ["outer", "middle", "inner", "inner", "inner"]
