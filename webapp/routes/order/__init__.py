"""Orders: what a job still has to order, orders made of it, what came; all orders of the shop; on paper and as CSV."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from fractions import Fraction

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from domain.job import Job
from domain.money import Money, total
from domain.number import next_number
from domain.order import Order, remove_problems
from domain.problem import Problem
from domain.shop import Shop
from webapp import csv_text, desk
from webapp.conflict import conflict
from webapp.desk import Posted, reading, see_other, version_of, writing
from webapp.forms import order as forms
from webapp.render import fragments, page
from webapp.routes.order.pages import LEFT_OVER, Wanted, job_order_page, order_view, orders_page
from webapp.store import order as store
from webapp.store.form_key import leads_to
from webapp.store.job import load_job
from webapp.store.rows import ChangedMeanwhile, Missing
from webapp.store.shop import load_shop, today
from webapp.store.stock import add_stock_item

router = APIRouter()

COLUMNS = (
    "Order", "Supplier", "Ordered on", "Expected on", "Job", "Material", "Their name", "For", "Packages", "Package",
    "Holds", "Unit", "Price of one", "Sum", "Came", "To come",
)  # fmt: skip


class Refused(Exception):
    """What was typed cannot be done; the problems say why. Raised inside a writing session, it undoes it."""

    def __init__(self, problems: Sequence[Problem], *, changed: bool = False) -> None:
        super().__init__(problems)
        self.problems, self.changed = tuple(problems), changed


@router.get("/jobs/{job_id}/order")
def show_job_order(request: Request, job_id: int) -> Response:
    return _job_order(request, job_id)


@router.post("/jobs/{job_id}/orders")
def add_order(request: Request, job_id: int, posted: Posted) -> Response:
    """Write an order of what is lacking from one supplier, as typed. It is looked up again as it is written."""
    try:
        with writing(request, f"Order to {posted.get('supplier', '').strip()[:80]} written", job_id=job_id) as db:
            order_id = store.add_order(db, _new_order(db, job_id, posted, desk.now(request)))
            url = leads_to(db, f"/orders/{order_id}")
    except Refused as refused:
        return _job_order(request, job_id, posted, refused.problems, status=409 if refused.changed else 422)
    return see_other(request, url)


@router.post("/jobs/{job_id}/orders/try")
def try_order(request: Request, job_id: int, posted: Posted) -> Response:
    """Return what the lines of one supplier come to as typed so far; nothing is saved."""
    with reading(request) as db:
        shown = job_order_page(db, job_id, desk.now(request))
    wanted = shown.of_supplier(posted.get("from", ""))
    if wanted is None:
        raise Missing("supplier")
    sums, place = _sums(wanted, posted), shown.wanted.index(wanted)
    lines = [
        ("line_sum", {"line": line, "sum": sums[line.price.id], "at": f"wanted.{place}.lines.{row}."})
        for row, line in enumerate(wanted.lines)
    ]
    whole = ("sum", {"wanted": wanted, "place": place, "sum": total(sums.values())})
    return fragments(request, "order", *lines, whole, job=shown.job)


@router.post("/jobs/{job_id}/order/left-over")
def put_back(request: Request, job_id: int, posted: Posted) -> Response:
    with reading(request) as db:
        shown = job_order_page(db, job_id, desk.now(request))
    items, problems = forms.read_left_over(posted, shown.left, f"Left over from {shown.job.name}")
    if problems:
        return _job_order(request, job_id, posted, problems, status=422)
    with writing(request, LEFT_OVER, job_id=job_id) as db:
        for item in items:
            add_stock_item(db, item)
        url = leads_to(db, f"/jobs/{job_id}/order")
    return see_other(request, url)


@router.get("/orders")
def show_orders(request: Request, words: str = "") -> Response:
    with reading(request) as db:
        shown = orders_page(db, words[:200], desk.now(request))
    return page(request, "orders", page=shown)


@router.get("/orders/{order_id}.csv")
def order_csv(request: Request, order_id: int) -> Response:
    with reading(request) as db:
        order, job, shop = _found(db, order_id)
    return csv_text.download(f"order-{order.number}", COLUMNS, csv_rows(order, job, shop))


@router.get("/orders/{order_id}/print")
def print_order(request: Request, order_id: int) -> Response:
    with reading(request) as db:
        order, job, _ = _found(db, order_id)
    return page(request, "order_print", order=order, job=job)


@router.get("/orders/{order_id}")
def show_order(request: Request, order_id: int) -> Response:
    return _order(request, order_id)


@router.post("/orders/{order_id}")
def save_order(request: Request, order_id: int, posted: Posted) -> Response:
    with reading(request) as db:
        saved, _, shop = _found(db, order_id)
    now, zone, url = desk.now(request), shop.tz, f"/orders/{order_id}"
    order, problems = forms.read(posted, saved, now, zone=zone, version=version_of(posted))
    if order is None:
        return _order(request, order_id, posted, problems)
    words = f"Order {order.number} marked as ordered" if order.ordered_at and not saved.ordered_at else ""
    try:
        with writing(request, words or f"Order {order.number} changed", job_id=order.job_id) as db:
            store.save_order(db, order)
            leads_to(db, url)
    except ChangedMeanwhile as changed:
        with reading(request) as db:
            stored = store.load_order(db, order_id)
        return conflict(request, changed, labels=forms.labels(stored), stored=forms.fill(stored, zone), theirs=url)
    return see_other(request, url)


@router.post("/orders/{order_id}/receive")
def receive(request: Request, order_id: int, posted: Posted) -> Response:
    with reading(request) as db:
        saved, _, shop = _found(db, order_id)
    now, zone, url = desk.now(request), shop.tz, f"/orders/{order_id}"
    order, problems = forms.read_receiving(posted, saved, now, zone=zone, version=version_of(posted))
    part = "All" if order and not order.outstanding else "Part"
    try:
        with writing(request, f"{part} of order {saved.number} received", job_id=saved.job_id) as db:
            stored = store.load_order(db, order_id)
            if stored.version != version_of(posted):
                raise ChangedMeanwhile(stored.version)
            if order is None:
                raise Refused(problems)
            store.save_order(db, order)
            leads_to(db, url)
    except Refused as refused:
        return _order(request, order_id, came=posted, problems=refused.problems)
    except ChangedMeanwhile as changed:
        with reading(request) as db:
            stored = store.load_order(db, order_id)
        outstanding, labels = forms.fill_receiving(stored, now, zone), forms.receiving_labels(stored)
        return conflict(request, changed, labels=labels, stored=outstanding, theirs=url)
    return see_other(request, url)


@router.post("/orders/{order_id}/remove")
def remove_order(request: Request, order_id: int, posted: Posted) -> Response:
    with reading(request) as db:
        order, _, _ = _found(db, order_id)
    if problems := remove_problems(order):
        return _order(request, order_id, problems=problems)
    with writing(request, f"Order {order.number} removed", job_id=order.job_id) as db:
        store.remove_order(db, order_id, at=desk.now(request))
        url = leads_to(db, f"/jobs/{order.job_id}/order")
    return see_other(request, url)


def csv_rows(order: Order, job: Job, shop: Shop) -> list[tuple[csv_text.Cell, ...]]:
    """Return the lines of an order under COLUMNS."""
    ordered_on = shop.day_of(order.ordered_at).isoformat() if order.ordered_at else None
    expected_on = order.expected_on.isoformat() if order.expected_on else None
    return [
        (
            order.number, order.supplier, ordered_on, expected_on, job.name, line.material.trade_words,
            line.description, line.parts, line.packages, line.package, line.package_quantity,
            line.material.unit.value or "pieces", line.package_price, line.extension, line.received, line.outstanding,
        )
        for line in order.lines
    ]  # fmt: skip


def _found(db: Session, order_id: int) -> tuple[Order, Job, Shop]:
    order = store.load_order(db, order_id)
    return order, load_job(db, order.job_id), load_shop(db)


def _new_order(db: Session, job_id: int, posted: Mapping[str, str], now: datetime) -> Order:
    """Return the order to write, numbered. Raises Refused, Missing."""
    load_job(db, job_id)
    lists = {each.supplier: each for each in store.load_shortage(db, job_id).suppliers}
    wanted = lists.get(posted.get("from", ""))
    new = forms.read_new(posted, wanted)
    if new.problems or wanted is None:
        raise Refused(new.problems, changed=new.changed)
    number = next_number(store.load_numbers(db), today(db, now), prefix="P")
    return Order(0, job_id, number, new.supplier, new.lines, lead_time=wanted.lead_time)


def _sums(wanted: Wanted, typed: Mapping[str, str]) -> Mapping[int, Money]:
    """Return what each line comes to as typed, by the id of its price; one that is not ticked, nothing."""
    counts = forms.counts_typed(typed, wanted.list)
    prices = (each.price for each in wanted.lines)
    return {price.id: Money.of(counts.get(price.id, Fraction(0)) * price.package_price.dollars) for price in prices}


def _job_order(
    request: Request,
    job_id: int,
    posted: Mapping[str, str] | None = None,
    problems: Sequence[Problem] = (),
    *,
    status: int = 200,
) -> Response:
    """Return the page of what a job has to order; what was typed stands in its own form again."""
    with reading(request) as db:
        shown = job_order_page(db, job_id, desk.now(request))
    typed = {each.supplier: forms.fill_new(each.list) for each in shown.wanted}
    if posted and posted.get("from", "") in typed:
        blank = dict.fromkeys(typed[posted["from"]], "")
        seen = {name: text for name, text in typed[posted["from"]].items() if name.startswith("seen-")}
        typed[posted["from"]] = blank | dict(posted) | seen
    left = forms.fill_left_over(shown.left)
    if posted and "from" not in posted:
        left = dict.fromkeys(left, "") | dict(posted)
    sums = {each.supplier: _sums(each, typed[each.supplier]) for each in shown.wanted}
    return page(
        request, "order", status=status, job=shown.job, page=shown, typed=typed, left=left, problems=problems,
        sums=sums, totals={supplier: total(found.values()) for supplier, found in sums.items()},
    )  # fmt: skip


def _order(
    request: Request,
    order_id: int,
    typed: Mapping[str, str] | None = None,
    problems: Sequence[Problem] = (),
    *,
    came: Mapping[str, str] | None = None,
) -> Response:
    """Return the page of one order. typed: what was typed about it; came: what was typed of a delivery."""
    now = desk.now(request)
    with reading(request) as db:
        order, job, shop = _found(db, order_id)
    return page(
        request, "order_one", status=422 if problems else 200, job=job, view=order_view(order, now, shop),
        typed=forms.fill(order, shop.tz) | dict(typed or {}),
        came=forms.fill_receiving(order, now, shop.tz) | dict(came or {}),
        problems=() if came else problems, came_problems=problems if came else (),
        labels=forms.LABELS,
    )  # fmt: skip
