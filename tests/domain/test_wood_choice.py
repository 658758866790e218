"""Woods side by side, against the Wood Handbook."""

from fractions import Fraction

import pytest

from builders import leaves, with_habits
from domain.figure import typed
from domain.length import Length
from domain.material import Material, MaterialKind
from domain.price import Price, PriceBook
from domain.wood_choice import WoodChoice, sources, wood_choice
from money_builders import a_price

EMPTY = PriceBook()


def chosen(*names: str, width: str = "25 1/2", book: PriceBook = EMPTY) -> WoodChoice:
    seasons = with_habits(moisture_driest="8", moisture_dampest="11").seasons
    return wood_choice(names, typed("Width", Length.parse(width)), seasons, book)


def oak(size: str, dollars: str, id: int, *, supplier: str = "Hill yard", grade: str = "FAS") -> Price:
    return a_price(id, Material(MaterialKind.LUMBER, "White oak", size, grade), "1", dollars, supplier=supplier)


def test_white_oak_stands_as_the_handbook_has_it() -> None:
    # Source: Wood Handbook (2010), Table 5-3b: white oak side hardness 1360 lbf, SG 0.68; density relation: 10 bf weigh
    # 39.6 lb (W23); Table 13-5: 25 1/2 in moves 0.279 in flat-sawn and 0.138 in quarter-sawn from 8 to 11 % (W11)
    white_oak = chosen("White oak", "Black walnut").woods[0]
    assert white_oak.hardness is not None
    assert white_oak.weight is not None
    assert white_oak.flat is not None
    assert white_oak.quarter is not None
    assert white_oak.hardness.value == 1360
    assert round(10 * white_oak.weight.value, 1) == Fraction("39.6")
    assert round(white_oak.flat.value, 3) == Fraction("0.279")
    assert round(white_oak.quarter.value, 3) == Fraction("0.138")


def test_what_the_table_does_not_know_stays_unknown() -> None:
    choice = chosen("Sassafras", "Padauk, African", "Sweetgum")
    assert choice.woods[0].hardness is None
    assert choice.woods[1].weight is None
    assert choice.woods[2].light == ""


def test_prices_stand_by_thickness_the_cheapest_supplier_of_each_grade() -> None:
    book = PriceBook((oak("4/4", "7.40", 1), oak("4/4", "6.90", 2, supplier="Dell yard"), oak("8/4", "9.80", 3),
                      oak("4/4", "4.10", 4, grade="No. 1 Common")))  # fmt: skip
    choice = chosen("White oak", "Black walnut", book=book)
    assert choice.thicknesses == ("4/4", "8/4")
    found = [(offer.grade, offer.price.id) for offer in choice.woods[0].prices["4/4"]]
    assert found == [("FAS", 2), ("No. 1 Common", 4)]
    assert choice.woods[1].prices == {}


def test_thicknesses_stand_in_their_order() -> None:
    book = PriceBook((oak("10/4", "12", 1), oak("8/4", "9", 2), oak("5/4", "8", 3)))
    assert chosen("White oak", "Black walnut", book=book).thicknesses == ("5/4", "8/4", "10/4")


@pytest.mark.parametrize("names", [("White oak",), ("White oak",) * 7])
def test_too_few_and_too_many_are_refused(names: tuple[str, ...]) -> None:
    with pytest.raises(ValueError, match="2 to 6 woods"):
        chosen(*names)


def test_a_wood_nobody_knows_is_refused() -> None:
    with pytest.raises(KeyError):
        chosen("White oak", "Moonwood")


def test_every_figure_names_where_it_comes_from() -> None:
    choice = chosen("White oak", "Black walnut", book=PriceBook((oak("4/4", "7.40", 1),)))
    for wood in choice.woods:
        offers = [offer.a_board_foot for prices in wood.prices.values() for offer in prices]
        for figure in (wood.hardness, wood.weight, wood.flat, wood.quarter, *offers):
            assert figure is not None
            assert all(leaf.rule.source for leaf in leaves(figure)), figure.label


def test_each_source_says_which_woods_it_speaks_for() -> None:
    named = dict(sources(chosen("White oak", "Northern red oak", "Black walnut").woods))
    assert "White oak, Northern red oak" in named.values()
