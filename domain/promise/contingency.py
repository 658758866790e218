"""What to hold back in a quote for work that takes longer and prices that rise."""

from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from domain.estimate import Estimate, MaterialLine
from domain.figure import Figure, Rule, Unit, add_up, typed
from domain.money import Money
from domain.practice import ShopPractice
from domain.promise.of_plan import Promise
from domain.terms import ContingencyBase, Terms

YEAR = 365


@dataclass(frozen=True, slots=True)
class Contingency:
    """hours, prices, amount: what more time, older prices and both may cost [$]; share: of the base the terms name."""

    hours: Figure
    prices: Figure
    amount: Figure
    share: Figure


def contingency(found: Promise, priced: Estimate, terms: Terms, practice: ShopPractice) -> Contingency | None:
    """Return the contingency that covers eight of ten cases; None while the job has no price to be a share of."""
    totals = priced.totals
    base = totals.direct_cost
    if terms.contingency_base is ContingencyBase.DIRECT_COST_AND_OVERHEAD:
        base = add_up("Direct cost and overhead", [totals.direct_cost, totals.overhead], Unit.DOLLAR)
    if not base.value:
        return None
    hours, prices = _hours(found, terms), _prices(priced, practice)
    amount = add_up("What may come on top", [hours, prices], Unit.DOLLAR)
    rule = Rule("what may come on top ÷ what the contingency is a share of, to the next half percent")
    share = Fraction(-(-(amount.value / base.value) // Fraction(1, 200)), 200)
    return Contingency(hours, prices, amount, Figure("Suggested contingency", share, Unit.SHARE, rule, (amount, base)))


def _hours(found: Promise, terms: Terms) -> Figure:
    rate = Money(0) if terms.shop_rate is None else terms.shop_rate
    more = max(found.hours_most - found.hours, Fraction(0))
    words = f"{found.replays} cases of the plan, with the spreads of its tasks"
    hours = (
        Figure("Hours in eight of ten cases", found.hours_most, Unit.HOUR, Rule(words, "Monte Carlo")),
        Figure("Hours as planned", found.hours, Unit.HOUR, Rule("hands-on work still to come, all hands", "the plan")),
    )
    shop_rate = typed("Shop rate", rate.dollars, Unit.DOLLAR_PER_HOUR, where=f"{terms.where}:shop_rate")
    rule = Rule("hours beyond the plan × shop rate, to the cent")
    return Figure("More hours", Money.of(more * rate.dollars).dollars, Unit.DOLLAR, rule, (*hours, shop_rate))


def _prices(priced: Estimate, practice: ShopPractice) -> Figure:
    """Return what materials may cost more by now, for the age of their prices."""
    rise = practice.figure("price_rise")
    bought = (line for line in priced.materials if line.packages)
    years = rise.value / YEAR
    more = sum((line.extension.value * _age(line, priced.on) * years for line in bought), Fraction())
    rule = Rule("each material's cost × rise in a year × age of its price in years, to the cent")
    came_from = (priced.totals.materials, rise)
    return Figure("Older prices", Money.of(more).dollars, Unit.DOLLAR, rule, came_from)


def _age(line: MaterialLine, on: date) -> Fraction:
    """Return how old a material's prices are [days], on the average of its packages."""
    days = sum(max((on - each.price.priced_on).days, 0) for each in line.packages)
    return Fraction(days, len(line.packages))
