"""Orders: what is on order, what has come, and what is late."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from enum import Enum
from fractions import Fraction

from domain.material import Material
from domain.money import Money, total
from domain.problem import Problem
from domain.when import day, when

NOON = time(12)
"""Goods expected on a day may come until then; what was done on a day gone by is written down as done then."""


class OrderState(Enum):
    """How far along an order is; the value is what a person reads."""

    WRITTEN = "not ordered yet"
    ORDERED = "on order"
    PARTLY = "came in part"
    HERE = "all here"


@dataclass(frozen=True, slots=True)
class Receipt:
    """So many packages of an order line that came in one delivery."""

    packages: Fraction
    received_at: datetime
    note: str = ""


@dataclass(frozen=True, slots=True)
class OrderLine:
    """Packages ordered, at the price charged. parts: what they are for, such as `Top A 1, 2`."""

    id: int
    material: Material
    description: str
    package: str
    package_quantity: Fraction
    packages: Fraction
    package_price: Money
    parts: str = ""
    receipts: tuple[Receipt, ...] = ()
    version: int = 1

    @property
    def extension(self) -> Money:
        return Money.of(self.packages * self.package_price.dollars)

    @property
    def quantity(self) -> Fraction:
        """Return how much material was ordered, in its base unit."""
        return self.packages * self.package_quantity

    @property
    def received(self) -> Fraction:
        """Return how many packages have come."""
        return sum((receipt.packages for receipt in self.receipts), Fraction(0))

    @property
    def outstanding(self) -> Fraction:
        """Return how many packages are still to come."""
        return max(self.packages - self.received, Fraction(0))


@dataclass(frozen=True, slots=True)
class Order:
    """An order to one supplier for one job. ordered_at: None while it is only written down.

    lead_time: the longest of its lines when it was written; expected_on: the day the supplier says, if any.
    """

    id: int
    job_id: int
    number: str
    supplier: str
    lines: tuple[OrderLine, ...]
    ordered_at: datetime | None = None
    lead_time: timedelta = timedelta()
    expected_on: date | None = None
    notes: str = ""
    version: int = 1

    @property
    def total(self) -> Money:
        return total(line.extension for line in self.lines)

    @property
    def arrived_at(self) -> datetime | None:
        """Return when the last of it came; None while something is outstanding."""
        if any(line.outstanding for line in self.lines):
            return None
        return max((receipt.received_at for line in self.lines for receipt in line.receipts), default=None)

    @property
    def outstanding(self) -> tuple[OrderLine, ...]:
        return tuple(line for line in self.lines if line.outstanding)

    @property
    def state(self) -> OrderState:
        if self.has_come:
            return OrderState.PARTLY if self.outstanding else OrderState.HERE
        return OrderState.ORDERED if self.ordered_at else OrderState.WRITTEN

    @property
    def has_come(self) -> bool:
        """Whether something of it has come."""
        return any(line.receipts for line in self.lines)

    @property
    def is_open(self) -> bool:
        """Whether something of it has still to be ordered or to come."""
        return self.state is not OrderState.HERE


def receipt_problems(line: OrderLine, packages: Fraction) -> tuple[Problem, ...]:
    """Return what is wrong with receiving so many packages of a line now."""
    if packages <= 0:
        return (Problem("packages", "Say how many came: more than 0."),)
    if packages > line.outstanding == 0:
        return (Problem("packages", f"All of {line.material.trade_words} has come already."),)
    if packages > line.outstanding:
        name = line.material.trade_words
        words = f"Only {_count(line.outstanding)} of {name} to come. Receive that; put what is more in stock."
        return (Problem("packages", words),)
    return ()


def receive(line: OrderLine, packages: Fraction, *, at: datetime, note: str = "") -> OrderLine:
    """Return the line with packages received. Raises ValueError for what receipt_problems() finds fault with."""
    if problems := receipt_problems(line, packages):
        raise ValueError(problems[0].words)
    return replace(line, receipts=(*line.receipts, Receipt(packages, at, note)))


def due_at(order: Order, *, zone: tzinfo) -> datetime | None:
    """Return when an order should be here; None while it is only written down or nobody has said.

    It may come until noon of the day the supplier says; without such a day, the lead time passes day and night;
    without either nobody has said when it comes, so it is due at no time and never late.
    """
    if order.ordered_at is None or not (order.expected_on or order.lead_time):
        return None
    if order.expected_on:
        return datetime.combine(order.expected_on, NOON, zone)
    return (order.ordered_at.astimezone(UTC) + order.lead_time).astimezone(zone)


def is_late(order: Order, now: datetime, *, zone: tzinfo) -> bool:
    due = due_at(order, zone=zone)
    return bool(order.outstanding) and due is not None and due < now


def late_words(order: Order, now: datetime, *, zone: tzinfo) -> str:
    """Return since when an order is late and who said so: `Late: due Tue 2 Jun, the supplier said`; else empty."""
    due = due_at(order, zone=zone)
    if due is None or not is_late(order, now, zone=zone):
        return ""
    said = "the supplier said" if order.expected_on else "by its lead time"
    return f"Late: due {day(due.date(), now.astimezone(zone).date())}, {said}"


def done_at(on: date, now: datetime, *, zone: tzinfo) -> datetime:
    """Return when something was done that a person says was done on a day: now when that is today, else at noon."""
    local = now.astimezone(zone)
    at = now if on == local.date() else datetime.combine(on, NOON, zone)
    return at.astimezone(UTC).replace(second=0, microsecond=0)


def order_problems(order: Order, now: datetime, *, zone: tzinfo) -> tuple[Problem, ...]:
    """Return what cannot be: ordered in time to come, expected before it was ordered, nothing on it."""
    problems = []
    if not order.lines:
        problems.append(Problem("", "An order has at least one line. Keep one, or remove the order."))
    if order.ordered_at is not None and order.ordered_at > now:
        problems.append(Problem("ordered_on", f"Ordered {when(order.ordered_at, now, zone)} is still to come."))
    if order.expected_on and order.ordered_at and order.expected_on < order.ordered_at.astimezone(zone).date():
        words = f"Expected {order.expected_on.isoformat()} is before the day it was ordered. Try a later day."
        problems.append(Problem("expected_on", words))
    return tuple(problems)


def remove_problems(order: Order) -> tuple[Problem, ...]:
    """Return why an order cannot be removed."""
    if not order.has_come:
        return ()
    words = "Something of this order has come, so it stays. Undo what was received first: see History."
    return (Problem("", words),)


def receiving_problems(
    order: Order, packages: Mapping[int, Fraction], *, at: datetime, now: datetime, zone: tzinfo
) -> tuple[Problem, ...]:
    """Return what is wrong with receiving these packages, by line id; fields are `came-ID` and `received_on`."""
    wanted = [(line, packages[line.id]) for line in order.lines if packages.get(line.id)]
    problems = [
        replace(problem, field=f"came-{line.id}") for line, count in wanted for problem in receipt_problems(line, count)
    ]
    if not wanted:
        problems.append(Problem("", "Nothing to receive: type how many came of at least one line."))
    if at > now:
        problems.append(Problem("received_on", f"Received {when(at, now, zone)} is still to come. Give a day gone by."))
    if order.ordered_at and at.astimezone(zone).date() < order.ordered_at.astimezone(zone).date():
        words = f"Received before it was ordered, {when(order.ordered_at, now, zone)}. Give that day or a later one."
        problems.append(Problem("received_on", words))
    return tuple(problems)


def received(order: Order, packages: Mapping[int, Fraction], *, at: datetime, note: str = "") -> Order:
    """Return the order with packages received, by line id; one that nobody had marked as ordered was ordered by then.

    Nothing comes before it was ordered: what came earlier on that day came then.
    Raises ValueError for what receipt_problems() finds fault with.
    """
    at = max(at, order.ordered_at or at)
    came = (
        receive(line, packages[line.id], at=at, note=note) if packages.get(line.id) else line for line in order.lines
    )
    return replace(order, lines=tuple(came), ordered_at=order.ordered_at or at)


def _count(packages: Fraction) -> str:
    return f"{float(packages):.6f}".rstrip("0").rstrip(".")
