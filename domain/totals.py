"""From the cost of materials and hands to the total the client pays, every subtotal named and with its working."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from domain.figure import Figure, Rule, Unit, add_up, typed
from domain.money import Money
from domain.price import Markup, Profit
from domain.terms import ContingencyBase, CostLine, OverheadBase, TaxBase, Terms

NOT_SAID = "nobody has said yet"


@dataclass(frozen=True, slots=True)
class Totals:
    """Every subtotal in the order it is reckoned, in dollars [$] to the cent; hours: of all hands [h].

    other: costs typed as amounts; cost: all of it before profit; price: before tax; taxed: what tax is a share of.
    """

    materials: Figure
    hours: Figure
    labour: Figure
    other: Figure
    direct_cost: Figure
    overhead: Figure
    contingency: Figure
    cost: Figure
    profit: Figure
    rounding: Figure
    price: Figure
    taxed: Figure
    tax: Figure
    total: Figure


def totals(
    materials: Figure, taxed_materials: Figure, hours: Figure, labour: Figure, costs: Sequence[CostLine], terms: Terms
) -> Totals:
    """Return the totals of a job. materials, taxed_materials, labour [$]: sums of lines already in cents; hours [h].

    A rate that nobody has said lays nothing on; Terms.missing says so and the estimate repeats it.
    """
    other = add_up("Other direct costs", [cost_figure(cost) for cost in costs], Unit.DOLLAR)
    direct = add_up("Direct cost", [materials, labour, other], Unit.DOLLAR)
    overhead = _overhead(direct, labour, hours, terms)
    contingency = _contingency(direct, overhead, terms)
    cost = add_up("Cost", [direct, overhead, contingency], Unit.DOLLAR)
    profit = _profit(cost, costs, terms)
    rounding = _rounding(cost.money + profit.money, terms)
    price = add_up("Price before tax", [cost, profit, rounding], Unit.DOLLAR)
    taxed = _taxed(price, taxed_materials, costs, terms)
    tax = _share_of("Tax", taxed, terms.tax, "tax", terms)
    total = add_up("Total", [price, tax], Unit.DOLLAR)
    return Totals(
        materials, hours, labour, other, direct, overhead, contingency, cost, profit, rounding, price, taxed, tax, total
    )


def cost_figure(cost: CostLine) -> Figure:
    return typed(f"{cost.description} ({cost.kind.value})", cost.amount, where=cost.where)


def charged(cost: CostLine, profit: Profit | None) -> Money:
    """Return what a cost adds to the price: itself, and the profit on it where it is marked up."""
    return profit.price(cost.amount) if profit and cost.marked_up else cost.amount


def _share_of(label: str, base: Figure, share: Fraction, field: str, terms: Terms) -> Figure:
    rate = typed(f"{label} rate", share, Unit.SHARE, where=f"{terms.where}:{field}")
    amount = Money.of(base.value * share)
    return Figure(label, amount.dollars, Unit.DOLLAR, Rule(f"share of {base.label.lower()}"), (base, rate))


def _overhead(direct: Figure, labour: Figure, hours: Figure, terms: Terms) -> Figure:
    if terms.overhead is None:
        return Figure("Overhead", Fraction(0), Unit.DOLLAR, Rule(NOT_SAID, where=f"{terms.where}:overhead"))
    if terms.overhead_base is OverheadBase.LABOUR_HOURS:
        rate = typed("Overhead rate", terms.overhead, Unit.DOLLAR_PER_HOUR, where=f"{terms.where}:overhead")
        amount = Money.of(hours.value * terms.overhead)
        return Figure("Overhead", amount.dollars, Unit.DOLLAR, Rule("labour hours × rate"), (hours, rate))
    base = direct if terms.overhead_base is OverheadBase.DIRECT_COST else labour
    return _share_of("Overhead", base, terms.overhead, "overhead", terms)


def _contingency(direct: Figure, overhead: Figure, terms: Terms) -> Figure:
    base = direct
    if terms.contingency_base is ContingencyBase.DIRECT_COST_AND_OVERHEAD:
        base = add_up("Direct cost and overhead", [direct, overhead], Unit.DOLLAR)
    return _share_of("Contingency", base, terms.contingency, "contingency", terms)


def _profit(cost: Figure, costs: Iterable[CostLine], terms: Terms) -> Figure:
    where = f"{terms.where}:profit"
    if terms.profit is None:
        return Figure("Profit", Fraction(0), Unit.DOLLAR, Rule(NOT_SAID, where=where))
    base = _less("Cost that bears profit", cost, [each for each in costs if not each.marked_up], None)
    amount = terms.profit.price(base.money) - base.money
    if isinstance(terms.profit, Markup):
        rate, rule = typed("Markup", terms.profit.of_cost, Unit.SHARE, where=where), Rule("share of the cost")
    else:
        rate = typed("Margin", terms.profit.of_price, Unit.SHARE, where=where)
        rule = Rule("share of the price: cost ÷ (1 − margin) − cost")
    return Figure("Profit", amount.dollars, Unit.DOLLAR, rule, (base, rate))


def _less(label: str, whole: Figure, out: Iterable[CostLine], profit: Profit | None) -> Figure:
    """Return the whole less costs, at what they add to it; the whole itself when there are none."""
    left_out = [
        Figure(f"Less {cost.description}", -charged(cost, profit).dollars, Unit.DOLLAR, Rule("as it was laid on"),
               (cost_figure(cost),))
        for cost in out
    ]  # fmt: skip
    return add_up(label, [whole, *left_out], Unit.DOLLAR) if left_out else whole


def _rounding(price: Money, terms: Terms) -> Figure:
    where = f"{terms.where}:round_to"
    if terms.round_to is None:
        return Figure("Rounding", Fraction(0), Unit.DOLLAR, Rule("none: the price keeps its cents", where=where))
    step = typed("Round up to the next", terms.round_to, where=where)
    up = Money(ceil(Fraction(price.cents, terms.round_to.cents)) * terms.round_to.cents) - price
    return Figure("Rounding", up.dollars, Unit.DOLLAR, Rule("up to the next whole step"), (step,))


def _taxed(price: Figure, materials: Figure, costs: Sequence[CostLine], terms: Terms) -> Figure:
    label, where = "Taxed", f"{terms.where}:tax_base"
    if terms.tax_base is TaxBase.NOTHING:
        return Figure(label, Fraction(0), Unit.DOLLAR, Rule("nothing is taxed", where=where))
    if terms.tax_base is TaxBase.MATERIALS:
        return add_up(label, [materials, *(cost_figure(cost) for cost in costs if cost.taxed)], Unit.DOLLAR)
    return _less(label, price, [cost for cost in costs if not cost.taxed], terms.profit)
