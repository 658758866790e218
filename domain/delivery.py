"""What the plan waits for: goods on order and goods still to be ordered."""

from collections.abc import Iterable
from datetime import datetime, tzinfo

from domain.material import MaterialKind
from domain.order import Order, due_at
from domain.shortage import SupplierList
from domain.task import Delivery


def supplier_key(supplier: str) -> str:
    """Return the key of the delivery that is still to be ordered from a supplier."""
    return f"supplier:{supplier}"


def deliveries(orders: Iterable[Order], unordered: Iterable[SupplierList], *, zone: tzinfo) -> tuple[Delivery, ...]:
    """Return what the plan waits for: one delivery per order, and one per supplier still to be ordered from.

    A delivery that came in part brings only the materials still outstanding, so the rest holds nobody up.
    """
    on_order = tuple(_ordered(order, zone) for order in orders if order.lines)
    to_come = tuple(
        Delivery(
            supplier_key(each.supplier),
            f"Delivery from {each.supplier}",
            frozenset(line.packages.price.material.key for line in each.lines),
            each.lead_time,
        )
        for each in unordered
    )
    return on_order + to_come


def _ordered(order: Order, zone: tzinfo) -> Delivery:
    lines = order.outstanding or order.lines
    lumber, lumber_at = _lumber(order)
    return Delivery(
        f"delivery:{order.id}",
        f"Delivery from {order.supplier}, order {order.number}",
        frozenset(line.material.key for line in lines),
        order.lead_time,
        ordered_at=order.ordered_at,
        expected_at=due_at(order, zone=zone) if order.expected_on else None,
        arrived_at=order.arrived_at,
        lumber=lumber,
        lumber_at=lumber_at,
    )


def _lumber(order: Order) -> tuple[frozenset[str], datetime | None]:
    """Return the lumber of an order and when the last of it came; none while some of it is still to come."""
    lines = [line for line in order.lines if line.material.kind is MaterialKind.LUMBER]
    if any(line.outstanding for line in lines):
        return frozenset(), None
    came = [receipt.received_at for line in lines for receipt in line.receipts]
    return frozenset(line.material.key for line in lines if came), max(came, default=None)
