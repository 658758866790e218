"""What the pages about orders show, gathered and worked out."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime

from sqlmodel import Session

from domain.delivery import supplier_key
from domain.figure import Figure, Unit, add_up
from domain.job import Job
from domain.job_tasks import delivery_key
from domain.left_over import LeftOver, left_over
from domain.option import apply
from domain.order import Order, OrderLine, due_at, late_words
from domain.order_sum import line_sum, order_sum
from domain.plan import latest_order_day
from domain.price import Price
from domain.problem import Problem
from domain.shop import Shop
from domain.shortage import Shortage, SupplierList, ToOrder, order_by_words
from domain.take_off import WasteMethod
from webapp.store import history
from webapp.store import order as store
from webapp.store.job import load_job
from webapp.store.option import load_options
from webapp.store.piece import load_pieces
from webapp.store.plan import load_job_facts, load_one_plan
from webapp.store.quote import load_accepted
from webapp.store.shop import load_shop
from webapp.store.take_off import load_take_off
from webapp.store.terms import load_terms
from webapp.working import PAGES

LEFT_OVER = "What was left over put in stock"
"""The words of that action in the history, by which the page knows that it was done."""


@dataclass(frozen=True)
class WantedLine:
    """A line still to be ordered. short: what is lacking; each: price of one package; extension: of all."""

    line: ToOrder
    short: Figure
    each: Figure
    extension: Figure

    @property
    def price(self) -> Price:
        return self.line.packages.price


@dataclass(frozen=True)
class Wanted:
    """What is still to be ordered from one supplier. order_by: in words, empty while the plan cannot say."""

    list: SupplierList
    lines: tuple[WantedLine, ...]
    total: Figure
    order_by: str
    is_late: bool

    @property
    def supplier(self) -> str:
        return self.list.supplier


@dataclass(frozen=True)
class OrderView:
    """An order with its figures. due: the day it should be here; late: in words, empty when it is not."""

    order: Order
    sums: tuple[Figure, ...]
    total: Figure
    due: date | None
    late: str

    @property
    def lines(self) -> Iterator[tuple[OrderLine, Figure]]:
        return zip(self.order.lines, self.sums, strict=True)


@dataclass(frozen=True)
class JobOrderPage:
    """What a job still has to order, and its orders by id. needs: materials it takes at all; unpriced: materials
    without a price; left_out: pieces the take-off leaves out; unplanned: why no latest day can be said;
    not_agreed: the option the client took, while the pieces do not follow it yet, empty otherwise;
    left: what came beyond what was needed, once there is no more work; put_back: when it was put in stock.
    """

    job: Job
    wanted: tuple[Wanted, ...]
    orders: Mapping[int, OrderView]
    needs: int
    unpriced: tuple[Problem, ...]
    left_out: tuple[Problem, ...]
    unplanned: tuple[Problem, ...]
    not_agreed: str
    left: tuple[LeftOver, ...]
    put_back: history.Action | None

    def of_supplier(self, supplier: str) -> Wanted | None:
        return next((each for each in self.wanted if each.supplier == supplier), None)


@dataclass(frozen=True)
class OrdersPage:
    """open: by supplier, those with something late first; here: all come, newest first; jobs: names by id."""

    open: Mapping[str, tuple[OrderView, ...]]
    here: tuple[OrderView, ...]
    jobs: Mapping[int, str]
    words: str

    @property
    def late(self) -> int:
        return sum(bool(view.late) for views in self.open.values() for view in views)


def job_order_page(db: Session, job_id: int, now: datetime) -> JobOrderPage:
    """Return what a job still has to order, and its orders. Raises Missing."""
    job, shop, needs = load_job(db, job_id), load_shop(db), load_take_off(db, job_id)
    orders = store.load_orders(db, job_id)
    short = store.load_shortage(db, job_id)
    days, unplanned = _latest_days(db, job, short, now)
    today = shop.day_of(now)
    laid_out = load_terms(db, job_id).waste.method is WasteMethod.LAYOUT
    return JobOrderPage(
        job=job,
        wanted=tuple(_wanted(each, days.get(each.supplier), today) for each in short.suppliers),
        orders={order.id: order_view(order, now, shop) for order in orders},
        needs=len(needs.lines),
        unpriced=short.problems,
        left_out=needs.problems,
        unplanned=unplanned,
        not_agreed=_not_agreed(db, job_id),
        left=left_over(needs.lines, orders, job_id=job_id, laid_out=laid_out) if job.state.is_built else (),
        put_back=_put_back(db, job_id),
    )


PAGES["order"] = job_order_page


def order_view(order: Order, now: datetime, shop: Shop) -> OrderView:
    """Return an order with its figures and where it stands."""
    due = due_at(order, zone=shop.tz)
    sums = tuple(line_sum(order, line) for line in order.lines)
    day = shop.day_of(due) if due else None
    return OrderView(order, sums, order_sum(order), day, late_words(order, now, zone=shop.tz))


def orders_page(db: Session, words: str, now: datetime) -> OrdersPage:
    """Return all orders that hold the words, open ones by supplier first."""
    shop, found = load_shop(db), store.search_orders(db, words)
    views = [order_view(order, now, shop) for order in found]
    open_views = sorted((view for view in views if view.order.is_open), key=_urgency)
    by_supplier: dict[str, tuple[OrderView, ...]] = {}
    for view in open_views:
        by_supplier[view.order.supplier] = (*by_supplier.get(view.order.supplier, ()), view)
    here = tuple(view for view in views if not view.order.is_open)
    return OrdersPage(by_supplier, here, store.load_job_names(db, found), words)


def _urgency(view: OrderView) -> tuple[bool, date, int]:
    """Late ones first, then by the day they are due; those not ordered yet last."""
    return not view.late, view.due or date.max, view.order.id


def _wanted(each: SupplierList, order_by: date | None, today: date) -> Wanted:
    lines = tuple(_wanted_line(line) for line in each.lines)
    return Wanted(
        list=each,
        lines=lines,
        total=add_up(f"All lines from {each.supplier}", (line.extension for line in lines), Unit.DOLLAR),
        order_by=order_by_words(order_by, today) if order_by else "",
        is_late=order_by is not None and order_by < today,
    )


def _wanted_line(line: ToOrder) -> WantedLine:
    extension = line.packages.figure(line.short)
    return WantedLine(line, line.short, extension.came_from[1], extension)


def _latest_days(
    db: Session, job: Job, short: Shortage, now: datetime
) -> tuple[Mapping[str, date], tuple[Problem, ...]]:
    """Return the latest day to order from each supplier so that nothing waits, and why the plan cannot say it."""
    if not short.suppliers:
        return {}, ()
    facts = load_job_facts(db, now, job.id)
    plan, problems = load_one_plan(db, now, facts).plan()
    if plan is None or problems:
        return {}, problems
    found = {}
    for supplier in (each.supplier for each in short.suppliers):
        key = delivery_key(job.id, supplier_key(supplier))
        if key in plan.tasks and (latest := latest_order_day(plan, key)):
            found[supplier] = latest
    return found, ()


def _not_agreed(db: Session, job_id: int) -> str:
    """Return the name of the option that the client took and that would still change pieces of the job."""
    accepted = load_accepted(db, job_id)
    taken = accepted.answer.option if accepted and accepted.answer else ""
    option = next((option for option in load_options(db, job_id) if option.name == taken), None)
    placed = load_pieces(db, job_id)
    return taken if option and apply(option, placed) != placed else ""


def _put_back(db: Session, job_id: int) -> history.Action | None:
    actions: Iterable[history.Action] = history.load_actions(db, job_id=job_id)
    return next((action for action in actions if action.words == LEFT_OVER and not action.undone), None)
