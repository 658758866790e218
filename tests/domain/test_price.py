"""The price book, whole packages, markup and margin."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from fractions import Fraction
from itertools import product
from math import floor

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.figure import Unit, typed
from domain.material import Material, MaterialKind
from domain.money import Money, total
from domain.practice import ShopPractice
from domain.price import Margin, Markup, Packages, Price, PriceBook, cheapest, recovery_rate

GLUE = Material(MaterialKind.GLUE, "yellow PVA")
MAPLE = Material(MaterialKind.LUMBER, "hard maple", "8/4", "FAS")
TODAY = date(2026, 3, 2)


def a_price(id=1, holds="16", dollars="7.85", *, whole=True, on=TODAY, material=GLUE) -> Price:
    cents = Money.of(Fraction(dollars))
    bottle = f"{holds} fl oz bottle"
    return Price(id, material, bottle, "Mill Street Supply", bottle, Fraction(holds), cents, on, whole=whole)


def cost(packages: tuple[Packages, ...]) -> Money:
    return total(line.extension for line in packages)


# Against the outside


def test_markup_and_margin_agree_with_the_published_example():
    # Source: a contractor finance page's worked example: cost 80 000 at 20 % markup sells at 96 000, a margin
    # of 16.7 %; at 20 % margin it sells at 100 000, a markup of 25 %.
    cost = Money.parse("80000")
    assert Markup(Fraction("0.20")).price(cost) == Money.parse("96000")
    assert Markup(Fraction("0.20")).as_margin().of_price == Fraction(1, 6)
    assert Margin(Fraction("0.20")).price(cost) == Money.parse("100000")
    assert Margin(Fraction("0.20")).as_markup().of_cost == Fraction("0.25")


def test_a_recovery_rate_agrees_with_the_published_example():
    # Source: a contractor course page's worked example: overhead 300 000 on revenue 2 000 000 is 15 %.
    assert recovery_rate(Money.parse("300000"), Money.parse("2000000")) == Fraction("0.15")


# Profit


@given(st.fractions(0, 5), st.integers(0, 10**9))
def test_a_markup_and_its_margin_give_the_same_price(share, cents):
    markup = Markup(share)
    assert markup.as_margin().as_markup() == markup
    assert markup.as_margin().price(Money(cents)) == markup.price(Money(cents))


@given(st.fractions(0, Fraction(99, 100)), st.integers(0, 10**9))
def test_a_margin_is_that_share_of_the_price_to_half_a_cent(share, cents):
    price = Margin(share).price(Money(cents))
    assert abs((price - Money(cents)).dollars - price.dollars * share) <= Fraction(1, 200)


@pytest.mark.parametrize("wrong", [Fraction(1), Fraction(3, 2), Fraction(-1, 10)])
def test_a_margin_no_price_can_give_is_refused(wrong):
    with pytest.raises(ValueError, match="below 100 %"):
        Margin(wrong)


def test_a_negative_markup_and_a_base_of_nothing_are_refused():
    with pytest.raises(ValueError, match="at least 0 %"):
        Markup(Fraction(-1, 100))
    with pytest.raises(ValueError, match="above zero"):
        recovery_rate(Money(100), Money(0))


# Packages


def test_nothing_needed_buys_nothing():
    assert cheapest([a_price()], Fraction(0)) == ()


def test_a_part_bottle_is_bought_whole():
    (line,) = cheapest([a_price()], Fraction("16.5"))
    assert (line.count, line.extension) == (2, Money(2 * 785))


def test_a_small_box_tops_up_large_ones():
    boxes = [a_price(1, "100", "10.00"), a_price(2, "250", "23.75")]
    bought = cheapest(boxes, Fraction(590))
    assert {line.price.id: line.count for line in bought} == {1: 1, 2: 2}
    assert cost(bought) == Money(1000 + 2 * 2375)


def test_one_large_package_replaces_several_small_ones_when_it_is_cheaper():
    assert cheapest([a_price(1, "16", "9.00"), a_price(2, "128", "30.00")], Fraction(60)) == (
        Packages(a_price(2, "128", "30.00"), Fraction(1)),
    )


def test_boards_are_charged_by_the_very_board_foot():
    board = a_price(3, "1", "9.40", whole=False, material=MAPLE)
    (line,) = cheapest([board], Fraction("37.25"))
    assert line.count == Fraction("37.25")
    assert line.extension == Money.of(Fraction("37.25") * Fraction("9.40"))


def test_a_loose_rest_tops_up_whole_packages_when_that_is_cheaper():
    bought = cheapest([a_price(1, "10", "10.00"), a_price(2, "1", "2.00", whole=False)], Fraction("21.5"))
    assert {line.price.id: line.count for line in bought} == {1: 2, 2: Fraction("1.5")}


SIZES = st.tuples(st.integers(1, 9), st.integers(0, 900))


def prices_of(sizes: list[tuple[int, int]]) -> list[Price]:
    return [a_price(n, str(holds), f"{cents}/100") for n, (holds, cents) in enumerate(sizes)]


def mixes(sizes: list[tuple[int, int]], most: int) -> Iterator[tuple[int, int]]:
    """Yield what every mix of enough packages of each size holds and costs [cents]."""
    for counts in product(*(range(-(-most // holds) + 1) for holds, _ in sizes)):
        mix = list(zip(counts, sizes, strict=True))
        yield sum(n * holds for n, (holds, _) in mix), sum(n * cents for n, (_, cents) in mix)


@given(st.lists(SIZES, min_size=1, max_size=3), st.integers(1, 24), st.sampled_from([1, 2, 3]))
def test_packages_cover_the_need_and_no_mix_is_cheaper(sizes, needed, parts):
    """Reference: every mix of up to `needed` of each size, tried one by one."""
    need = Fraction(needed, parts)
    bought = cheapest(prices_of(sizes), need)
    assert sum(line.holds for line in bought) >= need
    assert all(line.count.denominator == 1 and line.count > 0 for line in bought)
    assert cost(bought).cents == min(cents for holds, cents in mixes(sizes, needed) if holds >= need)


@given(st.lists(SIZES, min_size=1, max_size=2), SIZES, st.integers(1, 40))
def test_with_a_loose_rest_no_mix_is_cheaper_either(sizes, loose, quarters):
    """Reference: every count of whole packages, the rest bought loose to the cent."""
    need = Fraction(quarters, 4)
    holds, cents = loose
    by_the_ounce = Fraction(cents, holds)
    each = replace(prices_of([loose])[0], id=9, whole=False)
    bought = cheapest([*prices_of(sizes), each], need)
    assert sum(line.holds for line in bought) >= need
    rests = [(max(need - holds, 0), cents) for holds, cents in mixes(sizes, quarters)]
    assert cost(bought).cents == min(cents + floor(rest * by_the_ounce + Fraction(1, 2)) for rest, cents in rests)


def test_many_sizes_at_one_unit_price_are_still_settled_at_once():
    sizes = ["7", "11", "13", "17", "19", "23", "29"]
    bought = cheapest([a_price(n, size, size) for n, size in enumerate(sizes)], Fraction(9_999))
    assert cost(bought) == Money.parse("9999")


# The book


def test_a_material_without_a_price_is_named_and_never_free():
    book = PriceBook((a_price(),))
    assert book.missing(GLUE) is None
    problem = book.missing(MAPLE)
    assert problem is not None
    assert problem.field == f"material:{MAPLE.key}"
    assert "8/4 hard maple FAS" in problem.words
    with pytest.raises(KeyError):
        book.cover(MAPLE, Fraction(1))


def test_a_price_is_old_the_day_after_the_shop_lets_it_stand():
    shop = ShopPractice({"price_age_days": Fraction(30)})
    assert not a_price(on=date(2026, 1, 31)).is_old(TODAY, shop)
    assert a_price(on=date(2026, 1, 30)).is_old(TODAY, shop)


def test_an_extension_opens_to_need_package_and_price():
    needed = typed("Glue needed", Fraction("20.4"), Unit.FLUID_OUNCE)
    figure = cheapest([a_price()], needed.value)[0].figure(needed)
    assert figure.money == Money(2 * 785)
    assert {f.rule.where for f in figure.walk()} >= {"price:1"}
    assert needed in figure.walk()


def test_a_package_that_holds_nothing_or_costs_less_than_nothing_is_refused():
    with pytest.raises(ValueError, match="holds more than"):
        a_price(holds="0")
    with pytest.raises(ValueError, match="at least 0"):
        a_price(dollars="-1")
