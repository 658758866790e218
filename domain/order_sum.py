"""What an order comes to: the figures behind its sums, at the prices it was written with."""

from domain.figure import Figure, Rule, Unit, add_up
from domain.order import Order, OrderLine


def line_sum(order: Order, line: OrderLine) -> Figure:
    """Return what a line comes to, from the packages asked for and the price of one when the order was written."""
    where = f"order:{order.id}"
    name = line.material.trade_words
    count = Figure("Packages ordered", line.packages, Unit.PACKAGE, Rule("as written on the order", "typed", where))
    kept = Rule("kept as it was when the order was written", f"order {order.number}", where)
    each = Figure(f"One {line.package} of {name}", line.package_price.dollars, Unit.DOLLAR, kept)
    rule = Rule("packages × price of one, to the cent", where=where)
    return Figure(name, line.extension.dollars, Unit.DOLLAR, rule, (count, each))


def order_sum(order: Order) -> Figure:
    """Return what the whole order comes to."""
    return add_up(f"Order {order.number}", (line_sum(order, line) for line in order.lines), Unit.DOLLAR)
