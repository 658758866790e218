"""What was typed about orders: what to ask for, when it was ordered, what came -> values, or problems."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime, tzinfo
from fractions import Fraction

from domain.left_over import LeftOver
from domain.order import Order, OrderLine, done_at, order_problems, received, receiving_problems
from domain.problem import Problem
from domain.shortage import SupplierList, ToOrder
from domain.stock import StockItem
from webapp.forms.field import LONGEST_NOTE, Fields
from webapp.forms.number import as_typed

LABELS = {
    "ordered_on": "Ordered on",
    "expected_on": "Expected on",
    "notes": "Notes",
    "received_on": "Came on",
    "note": "Note",
}

MOST = 100_000
"""Packages of one line; more was mistyped."""


@dataclass(frozen=True, slots=True)
class NewOrder:
    """An order as typed of a supplier's list. changed: the list is no longer what the person saw."""

    supplier: str
    lines: tuple[OrderLine, ...]
    problems: tuple[Problem, ...]
    changed: bool = False


def fill_new(wanted: SupplierList) -> dict[str, str]:
    """Return a supplier's list as its form shows it: every line ticked, in the packages that cover what is lacking."""
    typed = {"supplier": wanted.supplier}
    for line in wanted.lines:
        price = line.packages.price
        typed |= {
            f"take-{price.id}": "yes",
            f"packages-{price.id}": as_typed(line.packages.count),
            f"seen-{price.id}": str(price.version),
        }
    return typed


def read_new(posted: Mapping[str, str], wanted: SupplierList | None) -> NewOrder:
    """Return the order as typed. wanted: what is lacking from that supplier by now, None when nothing is."""
    fields = Fields(posted)
    supplier = fields.text("supplier", "Supplier", needed=True)
    lacking = {str(line.packages.price.id): line for line in (wanted.lines if wanted else ())}
    taken = [name.removeprefix("take-") for name, ticked in posted.items() if name.startswith("take-") and ticked]
    changed = [problem for price_id in taken for problem in _changed(posted, price_id, lacking.get(price_id))]
    counts = {
        price_id: _count(fields, f"packages-{price_id}", lacking[price_id]) for price_id in taken if price_id in lacking
    }
    if not taken:
        fields.problem("", "Nothing is ticked. Tick at least one line to order.")
    lines = tuple(_new_line(lacking[price_id], count) for price_id, count in counts.items() if count)
    return NewOrder(supplier, lines, (*changed, *fields.problems), bool(changed))


def counts_typed(posted: Mapping[str, str], wanted: SupplierList) -> Mapping[int, Fraction]:
    """Return the packages typed so far by the id of the price, nothing for what is not ticked or cannot be read."""
    fields = Fields(posted)
    ids = [(line, line.packages.price.id) for line in wanted.lines if posted.get(f"take-{line.packages.price.id}")]
    return {price_id: _count(fields, f"packages-{price_id}", line) or Fraction(0) for line, price_id in ids}


def _changed(posted: Mapping[str, str], price_id: str, line: ToOrder | None) -> list[Problem]:
    if line is None:
        words = "A line you ticked is not lacking any more: it was ordered, or it is in stock. Look again, then order."
        return [Problem("", words)]
    price = line.packages.price
    if posted.get(f"seen-{price_id}", str(price.version)) == str(price.version):
        return []
    words = f"The price of {line.short.label.removesuffix(' to order')} changed meanwhile. Look again, then order."
    return [Problem(f"packages-{price_id}", words)]


def _count(fields: Fields, name: str, line: ToOrder) -> Fraction | None:
    label = f"Packages of {line.packages.price.material.trade_words}"
    if line.packages.price.whole:
        whole = fields.whole(name, label, least=1, most=MOST)
        return None if whole is None else Fraction(whole)
    return fields.number(name, label, least=Fraction(1, 1000), most=MOST)


def _new_line(line: ToOrder, count: Fraction) -> OrderLine:
    price = line.packages.price
    own_words = price.description if price.description != price.material.title else ""
    return OrderLine(0, price.material, own_words, price.package, price.package_quantity, count, price.package_price,
                     line.parts)  # fmt: skip


def labels(order: Order) -> dict[str, str]:
    """Return the names of the fields of an order's form."""
    shown = {name: LABELS[name] for name in ("ordered_on", "expected_on", "notes")}
    return shown | {f"packages-{line.id}": f"Packages of {line.material.trade_words}" for line in order.lines}


def fill(order: Order, zone: tzinfo) -> dict[str, str]:
    """Return an order as its form shows it."""
    return {
        "ordered_on": order.ordered_at.astimezone(zone).date().isoformat() if order.ordered_at else "",
        "expected_on": order.expected_on.isoformat() if order.expected_on else "",
        "notes": order.notes,
    } | {f"packages-{line.id}": as_typed(line.packages) for line in order.lines}


def read(
    posted: Mapping[str, str], order: Order, now: datetime, *, zone: tzinfo, version: int
) -> tuple[Order | None, list[Problem]]:
    """Return the order as typed, or None and every problem. A button may say that it was ordered today.

    Packages can be changed until something has come; 0 takes a line off.
    """
    fields = Fields(posted)
    ordered_on = fields.day("ordered_on", LABELS["ordered_on"])
    expected_on = fields.day("expected_on", LABELS["expected_on"])
    notes = fields.text("notes", LABELS["notes"], most=LONGEST_NOTE)
    if fields.tick("ordered_today"):
        ordered_on = now.astimezone(zone).date()
    lines = _changed_lines(fields, order)
    ordered_at = done_at(ordered_on, now, zone=zone) if ordered_on else None
    if ordered_on and order.ordered_at and order.ordered_at.astimezone(zone).date() == ordered_on:
        ordered_at = order.ordered_at
    if ordered_at is None and order.has_come:
        fields.problem("ordered_on", "Something of this order has come, so it was ordered. Say on which day.")
    changed = replace(order, ordered_at=ordered_at, expected_on=expected_on, notes=notes, lines=lines, version=version)
    problems = [*fields.problems, *order_problems(changed, now, zone=zone)]
    return (None if problems else changed), problems


def _changed_lines(fields: Fields, order: Order) -> tuple[OrderLine, ...]:
    """Return the lines with packages as typed, without those that are typed as 0 or cannot be read."""
    if order.has_come:
        return order.lines
    lines = []
    for line in order.lines:
        name = f"packages-{line.id}"
        count = (
            fields.number(name, f"Packages of {line.material.trade_words}", most=MOST)
            if name in fields.posted
            else line.packages
        )
        lines.append(line if count is None else replace(line, packages=count))
    return tuple(line for line in lines if line.packages)


def fill_receiving(order: Order, now: datetime, zone: tzinfo) -> dict[str, str]:
    """Return the form for what came: everything outstanding, today."""
    counts = {f"came-{line.id}": as_typed(line.outstanding) for line in order.lines}
    return counts | {"received_on": now.astimezone(zone).date().isoformat(), "note": ""}


def receiving_labels(order: Order) -> dict[str, str]:
    """Return the names of the fields of the form for what came."""
    counts = {f"came-{line.id}": f"{line.material.trade_words} came" for line in order.lines}
    return counts | {name: LABELS[name] for name in ("received_on", "note")}


def read_receiving(
    posted: Mapping[str, str], order: Order, now: datetime, *, zone: tzinfo, version: int
) -> tuple[Order | None, list[Problem]]:
    """Return the order with what came, or None and every problem. A button may say that everything came."""
    fields = Fields(posted)
    known = receiving_labels(order)
    received_on = fields.day("received_on", LABELS["received_on"], needed=True)
    note = fields.text("note", LABELS["note"])
    if fields.tick("everything"):
        counts = {line.id: line.outstanding for line in order.lines}
    else:
        names = {line.id: f"came-{line.id}" for line in order.lines}
        typed = {id: fields.number(name, known[name], needed=False, most=MOST) for id, name in names.items()}
        counts = {line_id: count or Fraction(0) for line_id, count in typed.items()}
    if received_on is None or fields.problems:
        return None, fields.problems
    at = done_at(received_on, now, zone=zone)
    if problems := receiving_problems(order, counts, at=at, now=now, zone=zone):
        return None, list(problems)
    return replace(received(order, counts, at=at, note=note), version=version), []


def fill_left_over(left: Iterable[LeftOver]) -> dict[str, str]:
    """Return the form for what is left over, as reckoned, downwards to a hundredth."""
    typed: dict[str, str] = {}
    for place, each in enumerate(left):
        rounded = Fraction(each.quantity.value * 100 // 1, 100)
        typed |= {
            f"take-{place}": "yes",
            f"quantity-{place}": as_typed(rounded),
            f"material-{place}": each.material.key,
        }
    return typed


def read_left_over(
    posted: Mapping[str, str], left: Iterable[LeftOver], note: str
) -> tuple[tuple[StockItem, ...], list[Problem]]:
    """Return what goes into stock, or nothing and every problem. note: where it comes from."""
    fields = Fields(posted)
    known = {each.material.key: each.material for each in left}
    found = []
    for name, key in posted.items():
        place = name.removeprefix("material-")
        if place == name or key not in known or not fields.tick(f"take-{place}"):
            continue
        label = f"Left over of {known[key].trade_words}"
        quantity = fields.number(f"quantity-{place}", label, least=Fraction(1, 1000), most=MOST)
        if quantity is not None:
            found.append(StockItem(0, known[key], quantity, note=note))
    if not found and not fields.problems:
        fields.problem("", "Nothing is ticked. Tick what goes back on the shelf.")
    return (() if fields.problems else tuple(found)), fields.problems
