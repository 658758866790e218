"""What a job still has to order: needed less in stock less ordered, in whole packages per supplier."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from fractions import Fraction
from math import ceil

from domain.figure import Figure, Rule
from domain.money import Money, total
from domain.order import Order
from domain.price import Packages, PriceBook
from domain.problem import Problem
from domain.rack import ONE_OF
from domain.stock import StockItem, in_stock
from domain.take_off import PartRef, TakeOffLine
from domain.when import day


@dataclass(frozen=True, slots=True)
class ToOrder:
    """Packages of one material still to be ordered. short: what is lacking, with its working;
    order_by: the latest day that keeps the plan, None when the plan does not say.
    """

    packages: Packages
    short: Figure
    parts: str
    order_by: date | None = None


@dataclass(frozen=True, slots=True)
class SupplierList:
    """What is still to be ordered from one supplier."""

    supplier: str
    lines: tuple[ToOrder, ...]

    @property
    def total(self) -> Money:
        return total(line.packages.extension for line in self.lines)

    @property
    def lead_time(self) -> timedelta:
        """Return the longest lead time of its lines."""
        return max((line.packages.price.lead_time for line in self.lines), default=timedelta())

    @property
    def order_by(self) -> date | None:
        """Return the earliest of its lines' latest days."""
        return min((line.order_by for line in self.lines if line.order_by), default=None)


@dataclass(frozen=True, slots=True)
class Shortage:
    """What a job lacks, per supplier; problems: materials that have no price, so nobody to order from."""

    suppliers: tuple[SupplierList, ...]
    problems: tuple[Problem, ...] = ()


def short_of(need: TakeOffLine, stock: Iterable[StockItem], orders: Iterable[Order], *, job_id: int) -> Figure:
    """Return what a job lacks of one material at the book's prices: needed less in stock less ordered, at least 0."""
    material, unit = need.material, need.needed.unit
    stocked = Figure("In stock", in_stock(stock, material, job_id=job_id), unit, Rule("counted", where="stock"))
    lines = [line for order in orders if order.job_id == job_id for line in order.lines]
    loose = (line for line in lines if line.package not in ONE_OF.values())
    ordered = sum((line.quantity for line in loose if line.material == material), Fraction(0))
    rule = Rule("from this job's orders", where=f"job:{job_id}:order")
    on_order = Figure("Ordered, come or not", ordered, unit, rule)
    lacking = max(need.by_the_book - stocked.value - ordered, Fraction(0))
    rule = Rule("needed less in stock less ordered, at least 0")
    if need.by_the_book != need.needed.value:
        rule = Rule("needed, less boards listed with a price of their own, less in stock less ordered, at least 0")
    return Figure(f"{material.title} to order", lacking, unit, rule, (need.needed, stocked, on_order))


def _listed(need: TakeOffLine, orders: Iterable[Order], *, job_id: int) -> Iterator[ToOrder]:
    """Yield the boards and sheets of the layout that are listed with a price of their own and not yet ordered."""
    lines = [line for order in orders if order.job_id == job_id for line in order.lines]
    asked = {line.description for line in lines if line.package in ONE_OF.values()}
    for packages in (one.packages for one in need.chosen if not one.in_shop):
        price = packages.price
        if price.description not in asked:
            rule = Rule("in the layout, listed at the yard", where=price.where)
            quantity = Figure(f"{price.description} to order", packages.holds, need.needed.unit, rule)
            yield ToOrder(packages, quantity, in_words(need.parts))


def to_order(
    needs: Iterable[TakeOffLine],
    stock: Sequence[StockItem],
    orders: Sequence[Order],
    prices: PriceBook,
    *,
    job_id: int,
    order_by: Mapping[str, date] | None = None,
) -> Shortage:
    """Return what a job still has to order, per supplier by name, in the cheapest whole packages.

    orders: all of the job's, written down or sent; order_by: latest day by the material's key.
    """
    found: dict[str, list[ToOrder]] = {}
    problems: list[Problem] = []
    for need in needs:
        latest = (order_by or {}).get(need.material.key)
        for one in _listed(need, orders, job_id=job_id):
            found.setdefault(one.packages.price.supplier, []).append(replace(one, order_by=latest))
        short = short_of(need, stock, orders, job_id=job_id)
        if not short.value:
            continue
        if missing := prices.missing(need.material):
            problems.append(missing)
            continue
        for packages in map(as_asked_for, prices.cover(need.material, short.value)):
            found.setdefault(packages.price.supplier, []).append(ToOrder(packages, short, parts_words(need), latest))
    lists = tuple(SupplierList(supplier, tuple(lines)) for supplier, lines in sorted(found.items()))
    return Shortage(lists, tuple(problems))


def parts_words(need: TakeOffLine) -> str:
    """Return what a line of an order says beside the material: the parts it is for, and the sizes asked for."""
    parts = in_words(need.parts)
    return f"{parts}: {need.asked_for}" if need.asked_for else parts


def as_asked_for(packages: Packages) -> Packages:
    """Return packages as one asks a supplier for them: what is sold by any quantity goes up to the next tenth.

    Source: common practice, no source.
    """
    return packages if packages.price.whole else replace(packages, count=Fraction(ceil(packages.count * 10), 10))


def order_by_words(order_by: date, today: date) -> str:
    """Return the latest day to order as a maker reads it."""
    if order_by < today:
        return f"The latest day to order was {day(order_by, today)}: from now on each day moves the finish."
    if order_by == today:
        return "Order today, so that nothing waits."
    return f"Order by {day(order_by, today)}, so that nothing waits."


def in_words(parts: Iterable[PartRef]) -> str:
    """Return part references as written on an order: `Top A 1, 2; Base B`."""
    marks: dict[str, list[str]] = {}
    for ref in dict.fromkeys(parts):
        marks.setdefault(ref.piece, []).append(ref.mark)
    return "; ".join(f"{piece} {', '.join(filter(None, found))}".rstrip() for piece, found in marks.items())
