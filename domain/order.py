"""Orders: what is on order, what has come, and what is late."""

from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from fractions import Fraction

from domain.material import Material
from domain.money import Money, total
from domain.problem import Problem


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


def receipt_problems(line: OrderLine, packages: Fraction) -> tuple[Problem, ...]:
    """Return what is wrong with receiving so many packages of a line now."""
    if packages <= 0:
        return (Problem("packages", "Say how many came: more than 0."),)
    if packages > line.outstanding:
        words = f"Only {_count(line.outstanding)} of {line.description} to come. Receive that; the rest goes to stock."
        return (Problem("packages", words),)
    return ()


def receive(line: OrderLine, packages: Fraction, *, at: datetime, note: str = "") -> OrderLine:
    """Return the line with packages received. Raises ValueError for what receipt_problems() finds fault with."""
    if problems := receipt_problems(line, packages):
        raise ValueError(problems[0].words)
    return replace(line, receipts=(*line.receipts, Receipt(packages, at, note)))


def due_at(order: Order, *, zone: tzinfo, by: time = time(12)) -> datetime | None:
    """Return when an order should be here; None while it is only written down.

    by: the time of the expected day until which it may come; without such a day, the lead time passes day and night.
    """
    if order.ordered_at is None:
        return None
    if order.expected_on:
        return datetime.combine(order.expected_on, by, zone)
    return (order.ordered_at.astimezone(UTC) + order.lead_time).astimezone(zone)


def is_late(order: Order, now: datetime, *, zone: tzinfo, by: time = time(12)) -> bool:
    due = due_at(order, zone=zone, by=by)
    return bool(order.outstanding) and due is not None and due < now


def _count(packages: Fraction) -> str:
    return str(packages) if packages.denominator == 1 else f"{float(packages):g}"
