"""Whole cans and what is left of them, against a worked example."""

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builders import leaves, with_habits
from domain.cans import cans
from domain.figure import Figure, Unit, typed
from domain.finish import coat_gallons, finish_families, gallons
from domain.material import Material, MaterialKind
from domain.practice import ShopPractice
from domain.price import cheapest
from money_builders import a_price

OIL_POLY = "Oil-modified polyurethane"
FINISH = Material(MaterialKind.FINISH, OIL_POLY)
QUART = a_price(1, FINISH, "1/4", "24")
GALLON = a_price(2, FINISH, "1", "80")


def area(feet: int | Fraction) -> Figure:
    return typed("Area", Fraction(feet), Unit.SQUARE_FOOT)


def test_sixty_square_feet_in_three_coats_leave_a_tenth_of_a_gallon_of_two_quarts() -> None:
    # Source: worked example W22, computed: 60 ft2, 3 coats at 450 ft2/gal, no loss, take 0.40 gal; two quart cans
    # hold 0.50 gal, so 0.10 gal is left, 40 % of a quart
    practice = with_habits(oil_modified_polyurethane_coverage_first="450", finish_loss="0",
                           oil_modified_polyurethane_coverage_next="450")  # fmt: skip
    needed = gallons(area(60), 3, OIL_POLY, practice)
    found = cans(FINISH, needed, cheapest([QUART], needed.value))
    assert (found.needed.value, found.bought.value, found.left.value) == (
        Fraction("0.4"),
        Fraction("0.5"),
        Fraction("0.1"),
    )
    assert found.share_left.value == Fraction("0.4")
    assert found.is_worth_keeping


def test_the_smallest_can_is_the_one_left_open() -> None:
    needed = typed("Needed", Fraction(11, 10), Unit.GALLON)
    found = cans(FINISH, needed, cheapest([QUART, GALLON], needed.value))
    assert found.last == QUART.package
    assert found.left.value == Fraction(5, 4) - Fraction(11, 10)


def test_cans_that_hold_too_little_or_none_are_refused() -> None:
    needed = typed("Needed", Fraction(2), Unit.GALLON)
    with pytest.raises(ValueError, match="less than"):
        cans(FINISH, needed, cheapest([QUART], Fraction(1)))
    with pytest.raises(ValueError, match="no cans"):
        cans(FINISH, needed, ())


def test_what_is_left_opens_to_the_price_book_and_the_need() -> None:
    needed = gallons(area(60), 3, OIL_POLY, ShopPractice())
    found = cans(FINISH, needed, cheapest([QUART], needed.value))
    assert {leaf.rule.source for leaf in leaves(found.left)} >= {"price book"}
    assert needed in found.left.came_from


amounts = st.integers(1, 4000).map(lambda hundredths: Fraction(hundredths, 100))


@given(amounts, st.booleans(), st.booleans())
def test_left_over_and_needed_are_always_what_was_bought(need: Fraction, has_quarts: bool, has_fives: bool) -> None:
    offers = [GALLON, *([QUART] if has_quarts else []), *([a_price(3, FINISH, "5", "310")] if has_fives else [])]
    needed = typed("Needed", need, Unit.GALLON)
    found = cans(FINISH, needed, cheapest(offers, need))
    assert found.left.value + found.needed.value == found.bought.value
    assert found.left.value >= 0
    assert 0 <= found.share_left.value <= 1


@given(amounts, st.integers(1, 6), st.sampled_from(finish_families()))
def test_the_coats_one_by_one_take_what_they_take_together(feet: Fraction, coats: int, family: str) -> None:
    practice = ShopPractice()
    each = [coat_gallons(area(feet), number, family, practice).value for number in range(1, coats + 1)]
    assert sum(each) == gallons(area(feet), coats, family, practice).value
    assert all(first >= later for first, later in pairwise(each)), "the first is the thirstiest"


def test_coats_are_numbered_from_one() -> None:
    with pytest.raises(ValueError, match="numbered from 1"):
        coat_gallons(area(1), 0, OIL_POLY, ShopPractice())
