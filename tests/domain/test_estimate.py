"""From take-off and prices to the total: every subtotal by hand, and what must always hold."""

from dataclasses import replace
from datetime import date
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.estimate import Estimate, estimate
from domain.figure import Unit, typed
from domain.finish import finish_families
from domain.length import Length
from domain.lumber import WasteShare, gross
from domain.money import Money, split, total
from domain.operation import OperationTime
from domain.part import Face, FinishChoice
from domain.price import Margin, Markup, PriceBook
from domain.take_off import FinishArea, TakeOff
from domain.terms import ContingencyBase, CostKind, CostLine, OverheadBase, TaxBase, Terms
from money_builders import (
    GLUE,
    MAPLE,
    NO_TIME,
    PLYWOOD,
    PRACTICE,
    PULL,
    TIMES,
    TODAY,
    a_cut,
    a_piece,
    a_price,
    a_step,
    a_take_off,
    needs,
    some_terms,
)

BOARDS = a_price(1, MAPLE, "1", "9.40", whole=False)
SHEETS = a_price(2, PLYWOOD, "1", "88.00")
BOTTLES = a_price(3, GLUE, "16", "7.85")
BOOK = PriceBook((BOARDS, SHEETS, BOTTLES))


def priced(
    take_off: TakeOff,
    terms: Terms | None = None,
    costs: tuple[CostLine, ...] = (),
    *,
    book: PriceBook = BOOK,
    on: date = TODAY,
) -> Estimate:
    return estimate(take_off, book, TIMES, terms or some_terms(), costs, PRACTICE, on)


def cost_of(dollars: str, **change: object) -> CostLine:
    line = CostLine(1, CostKind.DELIVERY, "Delivery", Money.parse(dollars))
    return replace(line, **change)  # type: ignore[arg-type]


TOP = a_take_off(a_piece(1, a_step(quantity="25")), lines=[needs(MAPLE, "37.25", 1), needs(GLUE, "20", 1)])


# Against the outside


def test_a_waste_share_buys_what_the_worked_example_buys():
    # Source: a cabinetmakers' forum's worked example: 100 bf net at a waste share of 30 % is 142.86 bf to buy.
    net = typed("Net", Fraction(100), Unit.BOARD_FOOT)
    to_buy = gross(net, WasteShare(typed("Waste", Fraction("0.30"), Unit.SHARE)))
    line = replace(needs(MAPLE, "1", 1), needed=to_buy)
    (bought,) = priced(a_take_off(a_piece(1), lines=[line])).materials
    assert round(bought.packages[0].count, 2) == Fraction("142.86")
    assert bought.extension.money == Money.of(Fraction(1000, 7) * Fraction("9.40"))


# By hand


def test_a_small_job_is_priced_as_one_would_with_a_pencil():
    materials = 35015 + 2 * 785  # 37.25 bf at $9.40; 20 fl oz in two bottles
    labour = 3000  # 5 min + 25 ft² at 1 min, at $60 an hour
    overhead, delivery = 1000, 12000  # half an hour at $20; typed
    direct = materials + labour + delivery
    contingency = 2579  # 5 % of 515.85 is 25.79
    cost = direct + overhead + contingency
    profit = 13791  # 25 % of 551.64
    terms = some_terms(contingency=Fraction(1, 20), tax=Fraction("0.06"), tax_base=TaxBase.EVERYTHING)
    added = priced(TOP, terms, (cost_of("120", taxed=True),)).totals
    assert added.materials.money == Money(materials)
    assert added.labour.money == Money(labour)
    assert added.hours.value == Fraction(1, 2)
    assert added.other.money == Money(delivery)
    assert added.direct_cost.money == Money(direct)
    assert added.overhead.money == Money(overhead)
    assert added.contingency.money == Money(contingency)
    assert added.cost.money == Money(cost)
    assert added.profit.money == Money(profit)
    assert added.price.money == Money(cost + profit)
    assert added.tax.money == Money.of(Fraction(cost + profit, 100) * Fraction("0.06"))
    assert added.total.money == added.price.money + added.tax.money


def test_two_people_at_a_glue_up_are_paid_for_both():
    step = a_step("glue", "30", operation="glue-up")
    line, *_ = priced(a_take_off(a_piece(1, step))).labour
    assert line.minutes.value == 2 * (15 + 30)
    assert line.extension.money == Money(2 * 45 * 100)


def test_each_step_is_set_up_once_and_an_operation_is_one_line_of_its_piece():
    job = a_take_off(a_piece(1, a_step("first", "10"), a_step("second", "20")), a_piece(2, a_step("first", "4")))
    lines = [line for line in priced(job).labour if line.piece_id]
    assert [(line.piece_id, line.minutes.value) for line in lines] == [(1, 5 + 10 + 5 + 20), (2, 5 + 4)]


def test_a_step_of_the_job_itself_is_paid_and_spread_over_the_pieces():
    job = a_take_off(a_piece(1, a_step()), a_piece(2, a_step()))
    times = TIMES | {"deliver": OperationTime(Fraction(15), Fraction(15))}
    delivered = estimate(job, BOOK, times, some_terms(), (), PRACTICE, TODAY)
    trip = next(line for line in delivered.labour if line.operation == "deliver")
    assert (trip.piece_id, trip.minutes.value) == (None, 2 * 30)  # the step asks for two people
    assert delivered.totals.labour.money == priced(job).totals.labour.money + Money(6000)
    first, second = delivered.shares
    assert first.amount == second.amount


def test_coats_are_paid_by_area_and_borne_by_the_pieces_that_get_them():
    choice = FinishChoice(finish_families()[0], 2)
    large, small = (Face("face", 1, Length.of(12), Length.of(length), choice) for length in (36, 12))
    pieces = (replace(a_piece(1), faces=(large,)), replace(a_piece(2), faces=(small,)), a_piece(3))
    four_feet = typed("Area", Fraction(4), Unit.SQUARE_FOOT)
    finish = FinishArea(choice, four_feet, (large, small), {1: Fraction(3), 2: Fraction(1)})
    times = TIMES | {"coat": OperationTime(Fraction(10), Fraction(5)), "scuff": OperationTime(Fraction(0), Fraction(0))}
    found = estimate(replace(a_take_off(*pieces), finishes=(finish,)), BOOK, times, some_terms(), (), PRACTICE, TODAY)
    coats = next(line for line in found.labour if line.operation == "coat")
    assert coats.minutes.value == 2 * (10 + 4 * 5)
    assert not found.problems
    assert [share.amount for share in found.shares] == list(
        split(found.price.money, [Fraction(3, 4), Fraction(1, 4), Fraction(0)])
    )


@pytest.mark.parametrize(
    ("base", "rate", "expected"),
    [
        (OverheadBase.DIRECT_COST, "0.15", Money.of(Fraction("395.85") * Fraction("0.15"))),
        (OverheadBase.LABOUR_COST, "0.15", Money(450)),
        (OverheadBase.LABOUR_HOURS, "15", Money(750)),
    ],
)
def test_overhead_is_laid_on_the_base_it_states(base, rate, expected):
    added = priced(TOP, some_terms(overhead=Fraction(rate), overhead_base=base)).totals
    assert added.direct_cost.money == Money(39585)
    assert added.overhead.money == expected


def test_contingency_is_laid_on_the_base_it_states():
    share = Fraction(1, 10)
    on_direct = priced(TOP, some_terms(contingency=share)).totals
    both = some_terms(contingency=share, contingency_base=ContingencyBase.DIRECT_COST_AND_OVERHEAD)
    on_both = priced(TOP, both).totals
    assert on_direct.contingency.money == Money.of(Fraction("39.585"))
    assert on_both.contingency.money == Money.of(Fraction("40.585"))


def test_a_cost_that_passes_at_cost_bears_no_profit():
    marked, passed = (cost_of("100", marked_up=flag) for flag in (True, False))
    difference = priced(TOP, costs=(marked,)).price.money - priced(TOP, costs=(passed,)).price.money
    assert difference == Money(2500)


def test_a_margin_is_reckoned_on_the_price_and_a_markup_on_the_cost():
    by_markup = priced(TOP, some_terms(profit=Markup(Fraction(1, 4)))).totals
    by_margin = priced(TOP, some_terms(profit=Margin(Fraction(1, 4)))).totals
    assert by_markup.profit.money == Money.of(by_markup.cost.value / 4)
    assert by_margin.price.money == Money.of(by_margin.cost.value * 4 / 3)


def test_the_price_goes_up_to_the_next_whole_step_and_the_step_is_shown():
    plain = priced(TOP).totals
    stepped = priced(TOP, some_terms(round_to=Money.parse("25"))).totals
    assert stepped.price.money.cents % 2500 == 0
    assert Money(0) <= stepped.rounding.money < Money(2500)
    assert stepped.price.money == plain.price.money + stepped.rounding.money
    assert priced(TOP, some_terms(round_to=Money(1))).totals.rounding.money == Money(0)


# Tax


def test_only_taxed_materials_and_taxed_costs_bear_tax_when_materials_do():
    free = replace(BOARDS, taxed=False)
    book = PriceBook((free, BOTTLES))
    costs = (cost_of("120"), cost_of("40", id=2, taxed=True))
    added = priced(TOP, some_terms(tax=Fraction("0.06"), tax_base=TaxBase.MATERIALS), costs, book=book).totals
    assert added.taxed.money == Money(2 * 785 + 4000)
    assert added.tax.money == Money.of(Fraction("55.70") * Fraction("0.06"))


def test_an_untaxed_cost_comes_off_the_taxed_price_with_its_profit():
    terms = some_terms(tax=Fraction("0.06"), tax_base=TaxBase.EVERYTHING)
    added = priced(TOP, terms, (cost_of("100"), cost_of("40", id=2, marked_up=False))).totals
    assert added.taxed.money == added.price.money - Money(12500) - Money(4000)


def test_nothing_is_taxed_where_nothing_is():
    added = priced(TOP, some_terms(tax=Fraction("0.06"), tax_base=TaxBase.NOTHING)).totals
    assert added.taxed.money == added.tax.money == Money(0)


# What is not known is never nothing


def test_a_material_without_a_price_is_named_and_the_rest_still_priced():
    job = replace(TOP, lines=(*TOP.lines, needs(PULL, "4", 1)))
    found = priced(job)
    assert [problem.field for problem in found.problems] == [f"material:{PULL.key}"]
    assert found.totals.materials.money == priced(TOP).totals.materials.money


def test_an_operation_without_a_time_is_named_once():
    job = a_take_off(a_piece(1, a_step("a", operation="mill"), a_step("b", operation="mill")), a_piece(2, a_step()))
    found = priced(job)
    assert [problem.field for problem in found.problems] == ["operation:mill"]
    assert found.totals.labour.money == Money(1500)


def test_a_time_said_to_be_nothing_is_nothing():
    found = estimate(TOP, BOOK, dict.fromkeys(TIMES, NO_TIME), some_terms(), (), PRACTICE, TODAY)
    assert not found.problems
    assert found.totals.labour.money == Money(0)


def test_rates_nobody_has_said_are_asked_for():
    found = priced(TOP, Terms())
    assert [problem.field for problem in found.problems] == ["shop_rate", "overhead", "profit"]


def test_old_prices_are_listed_and_still_count():
    book = PriceBook((BOARDS, replace(BOTTLES, priced_on=date(2025, 3, 2))))
    found = priced(TOP, book=book)
    assert [packages.price.id for packages in found.old] == [3]
    assert [line.is_old for line in found.materials] == [False, True]
    assert found.totals.materials.money == priced(TOP).totals.materials.money


# Working


def test_the_total_opens_down_to_terms_prices_operations_and_costs():
    terms = some_terms(
        contingency=Fraction(1, 20), tax=Fraction("0.06"), tax_base=TaxBase.EVERYTHING, round_to=Money(100)
    )
    wheres = {figure.rule.where for figure in priced(TOP, terms, (cost_of("120"),)).total.walk()}
    fields = ("shop_rate", "overhead", "contingency", "profit", "round_to", "tax")
    assert wheres >= {f"job:3:terms:{field}" for field in fields}
    assert wheres >= {"price:1", "price:3", "operation:sand", "cost:1"}


def test_every_sum_in_the_working_is_the_sum_of_what_it_opens_to():
    terms = some_terms(contingency=Fraction(1, 20), tax=Fraction("0.06"), tax_base=TaxBase.EVERYTHING)
    for figure in priced(TOP, terms, (cost_of("120"),)).total.walk():
        if figure.rule.words == "added up":
            assert figure.value == sum(part.value for part in figure.came_from)


# Shares


def test_what_belongs_to_a_piece_is_priced_with_it():
    job = a_take_off(a_piece(1, a_step()), a_piece(2, a_step(), belongs_to=1), a_piece(3, a_step(quantity="25")))
    shares = priced(job).shares
    assert [share.piece_id for share in shares] == [1, 3]
    assert shares[0].amount == shares[1].amount  # twice 15 min against once 30 min


def test_boards_are_shared_by_net_quantity_and_the_rest_by_count():
    cuts = [
        a_cut(1, MAPLE, typed("net", Fraction(30), Unit.BOARD_FOOT)),
        a_cut(2, MAPLE, typed("net", Fraction(10), Unit.BOARD_FOOT)),
    ]
    boards = replace(needs(MAPLE, "50"), parts=tuple(cut.ref for cut in cuts))
    job = a_take_off(a_piece(1), a_piece(2), lines=[boards], cuts=cuts)
    found = priced(job)
    assert [share.amount for share in found.shares] == list(split(found.price.money, [Fraction(3, 4), Fraction(1, 4)]))
    glued = a_take_off(a_piece(1), a_piece(2, quantity=3), lines=[needs(GLUE, "5", 1, 2)])
    found = priced(glued)
    assert [share.amount for share in found.shares] == list(split(found.price.money, [Fraction(1, 4), Fraction(3, 4)]))


def test_an_allowance_reads_as_what_it_adds_and_the_pieces_share_the_rest():
    allowance = cost_of("300", kind=CostKind.ALLOWANCE, description="Pulls to be chosen", marked_up=False)
    found = priced(TOP, costs=(allowance,))
    assert [(share.title, share.piece_id, share.cost_id) for share in found.shares] == [
        ("Piece 1", 1, None),
        ("Pulls to be chosen", None, 1),
    ]
    assert found.shares[1].amount == Money(30000)


def test_a_job_of_costs_alone_still_shares_its_price():
    found = priced(a_take_off(), costs=(cost_of("100"), cost_of("50", id=2)))
    assert [share.cost_id for share in found.shares] == [1, 2]
    assert total(share.amount for share in found.shares) == found.price.money


SHARE = st.fractions(0, 1, max_denominator=400)
CENTS = st.integers(0, 10**7)
PROFIT = st.one_of(SHARE.map(Markup), st.fractions(0, Fraction(9, 10), max_denominator=400).map(Margin))
COST = st.builds(
    CostLine,
    st.integers(1, 99),
    st.sampled_from(CostKind),
    st.just("Cost"),
    CENTS.map(Money),
    st.booleans(),
    st.booleans(),
    st.booleans(),
)
TERMS = st.builds(
    Terms,
    shop_rate=CENTS.map(Money),
    overhead=SHARE,
    overhead_base=st.sampled_from(OverheadBase),
    contingency=SHARE,
    contingency_base=st.sampled_from(ContingencyBase),
    profit=PROFIT,
    tax=SHARE,
    tax_base=st.sampled_from(TaxBase),
    round_to=st.none() | st.integers(1, 10**4).map(Money),
)
PIECES = st.lists(
    st.tuples(st.integers(0, 4), st.fractions(0, 50, max_denominator=8)), max_size=5
)  # belongs to, square feet


@given(PIECES, TERMS, st.lists(COST, max_size=4), st.fractions(0, 90, max_denominator=16))
def test_subtotals_foot_and_shares_add_up_whatever_the_terms(pieces, terms, costs, feet):
    ids = range(1, len(pieces) + 1)
    built = [
        a_piece(id, a_step(quantity=str(ft)), belongs_to=owner if 0 < owner < id else None)
        for id, (owner, ft) in zip(ids, pieces, strict=True)
    ]
    lines = [needs(MAPLE, str(feet), *ids), needs(GLUE, str(feet), *ids)] if pieces else []
    found = priced(a_take_off(*built, lines=lines), terms, tuple(costs))
    added = found.totals
    assert added.materials.money == total(line.extension.money for line in found.materials)
    assert added.labour.money == total(line.extension.money for line in found.labour)
    assert added.direct_cost.money == added.materials.money + added.labour.money + added.other.money
    assert added.cost.money == added.direct_cost.money + added.overhead.money + added.contingency.money
    assert added.price.money == added.cost.money + added.profit.money + added.rounding.money
    assert added.total.money == added.price.money + added.tax.money
    assert added.price.money >= added.cost.money >= added.direct_cost.money
    if pieces or costs:
        assert total(share.amount for share in found.shares) == added.price.money
    assert not found.problems
