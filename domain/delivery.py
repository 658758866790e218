"""What the plan waits for: goods on order and goods still to be ordered."""

from collections.abc import Iterable
from datetime import time, tzinfo

from domain.order import Order, due_at
from domain.shortage import SupplierList
from domain.task import Delivery


def deliveries(
    orders: Iterable[Order], unordered: Iterable[SupplierList], *, zone: tzinfo, by: time = time(12)
) -> tuple[Delivery, ...]:
    """Return what the plan waits for: one delivery per order, and one per supplier still to be ordered from.

    A delivery that came in part brings only the materials still outstanding, so the rest holds nobody up.
    """
    on_order = tuple(_ordered(order, zone, by) for order in orders if order.lines)
    to_come = tuple(
        Delivery(
            f"supplier:{each.supplier}",
            f"Delivery from {each.supplier}",
            frozenset(line.packages.price.material.key for line in each.lines),
            each.lead_time,
        )
        for each in unordered
    )
    return on_order + to_come


def _ordered(order: Order, zone: tzinfo, by: time) -> Delivery:
    lines = order.outstanding or order.lines
    return Delivery(
        f"delivery:{order.id}",
        f"Delivery from {order.supplier}, order {order.number}",
        frozenset(line.material.key for line in lines),
        order.lead_time,
        ordered_at=order.ordered_at,
        expected_at=due_at(order, zone=zone, by=by) if order.expected_on else None,
        arrived_at=order.arrived_at,
    )
