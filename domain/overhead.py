"""An overhead rate from a year's books: what to type in the money terms."""

from fractions import Fraction

from domain.figure import Figure, Rule, Unit, typed
from domain.money import Money
from domain.price import recovery_rate
from domain.terms import OverheadBase

SOURCE = "contractor course page: a year's overhead over the same year's base"


def overhead_rate(overhead: Money, base: OverheadBase, in_a_year: Fraction) -> Figure:
    """Return a year's overhead as a share of its base, or as dollars for each labour hour.

    in_a_year: the base in the same year, dollars of cost or hours of labour. Raises ValueError when it is not positive.
    """
    if in_a_year <= 0:
        raise ValueError(f"overhead needs a base above zero to be shared over, not {in_a_year}")
    rule = Rule(f"overhead ÷ {base.value} of the same year", SOURCE)
    spent = typed("Overhead in a year", overhead)
    if base is OverheadBase.LABOUR_HOURS:
        hours = typed("Labour hours in a year", in_a_year, Unit.HOUR)
        return Figure("Overhead rate", overhead.dollars / in_a_year, Unit.DOLLAR_PER_HOUR, rule, (spent, hours))
    cost = typed(f"{base.value.capitalize()} in a year", Money.of(in_a_year))
    return Figure("Overhead rate", recovery_rate(overhead, cost.money), Unit.SHARE, rule, (spent, cost))
