"""What boards and sheets cost in the packages they are sold in, as an estimate reckons it."""

from collections.abc import Iterable

from domain.estimate import paid_for, unpriced
from domain.figure import Figure, Unit, add_up
from domain.price import PriceBook
from domain.take_off import TakeOffLine


def cost_of(label: str, lines: Iterable[TakeOffLine], prices: PriceBook) -> Figure | None:
    """Return what take-off lines cost [$], each package line to the cent, added; None where one has no price."""
    found: list[Figure] = []
    for line in lines:
        if unpriced(line, prices):
            return None
        found += [each.figure(line.needed) for each in paid_for(line, prices)]
    return add_up(label, found, Unit.DOLLAR, "added up" if found else "nothing of it has to be bought")
