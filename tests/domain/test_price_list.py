from dataclasses import replace
from datetime import date
from fractions import Fraction

from domain.material import Material, MaterialKind
from domain.money import Money
from domain.price import Price, PriceBook
from domain.price_list import listed, unit_price

SCREWS = Price(7, Material(MaterialKind.FASTENER, "wood screw", "#8 x 1 1/4"), "Screws", "Yard", "box of 100",
               Fraction(100), Money(840), date(2026, 1, 1), version=3)  # fmt: skip


def test_the_same_material_supplier_and_package_replaces_what_is_stored() -> None:
    new = replace(SCREWS, id=0, version=1, supplier="YARD", package="Box of 100", package_price=Money(900))
    (found,) = listed([new], PriceBook((SCREWS,)))
    assert found.replaces == SCREWS
    assert (found.price.id, found.price.version, found.price.package_price) == (7, 3, Money(900))


def test_another_package_or_supplier_is_a_price_of_its_own() -> None:
    others = [
        replace(SCREWS, id=0, supplier="Other"),
        replace(SCREWS, id=0, package_quantity=Fraction(50)),
        replace(SCREWS, id=0, package="bag"),
    ]
    assert [one.replaces for one in listed(others, PriceBook((SCREWS,)))] == [None, None, None]


def test_an_unchanged_price_changes_nothing() -> None:
    (found,) = listed([replace(SCREWS, id=0, version=1)], PriceBook((SCREWS,)))
    assert found.is_same


def test_a_unit_price_is_exact_and_shows_what_it_came_from() -> None:
    figure = unit_price(SCREWS)
    assert figure.value == Fraction(84, 1000)
    assert [source.value for source in figure.came_from] == [Fraction(840, 100), Fraction(100)]
    assert figure.came_from[0].rule.where == "price:7"
