"""Everything the plan is made from: tasks of the open jobs, shop hours, hands, clamps, benches and promises."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import cached_property, lru_cache
from zoneinfo import ZoneInfo

from sqlmodel import Session

from domain.buying import OnHand, job_take_off
from domain.delivery import deliveries
from domain.job import Job
from domain.job_tasks import JobTasks, depends_on_time, job_tasks
from domain.operation import OperationTime
from domain.order import Order
from domain.pieces.piece import PlacedPiece
from domain.plan import Plan, Resources
from domain.plan.several import plan_several
from domain.practice import ShopPractice
from domain.price import Price, PriceBook
from domain.problem import Problem
from domain.shop import Shop
from domain.shop_calendar import ShopCalendar
from domain.shortage import to_order
from domain.stock import StockItem
from domain.take_off import TakeOff, WasteChoice
from domain.task import OwnLink, Task, TaskRecord
from webapp.store import shop as shop_store
from webapp.store import task as task_store
from webapp.store.job import load_job, load_open_jobs
from webapp.store.on_hand import load_on_hand_of
from webapp.store.order import load_orders_of
from webapp.store.piece import load_pieces_of
from webapp.store.price import load_price_book
from webapp.store.stock import load_stock
from webapp.store.terms import load_terms_of

JOBS_IN_MEMORY = 32


@dataclass(frozen=True, slots=True)
class JobFacts:
    """A job as it is planned. problems: what nobody has timed, links left out, materials nobody can order."""

    job: Job
    needs: TakeOff
    made: JobTasks
    links: tuple[OwnLink, ...]
    problems: tuple[Problem, ...]

    @property
    def tasks(self) -> tuple[Task, ...]:
        return self.made.tasks


@dataclass(frozen=True, slots=True)
class PlanFacts:
    """What is known for the plan. calendar: None while the shop has no hours."""

    now: datetime
    shop: Shop
    jobs: Mapping[int, JobFacts]
    calendar: ShopCalendar | None

    @property
    def resources(self) -> Resources:
        return Resources(self.shop.hands, self.shop.clamps, self.shop.benches)

    def plan(self) -> tuple[Plan | None, tuple[Problem, ...]]:
        """Return the plan of all these jobs, and what kept it from being made of some of them, or at all."""
        jobs = [(facts.job, facts.tasks) for facts in self.jobs.values()]
        return plan_several(jobs, self.calendar, self.now, self.resources)


def load_plan_facts(db: Session, now: datetime, *, job_id: int | None = None) -> PlanFacts:
    """Return what the plan of all open jobs is made from, of this job too even if it is not open. Raises Missing."""
    jobs = {job.id: job for job in load_open_jobs(db)}
    if job_id is not None:
        jobs[job_id] = load_job(db, job_id)
    shop = shop_store.load_shop(db)
    found = _Loader(db, now, shop).job_facts(tuple(jobs.values()))
    return PlanFacts(now, shop, found, shop_store.load_calendar(db))


def load_job_facts(db: Session, now: datetime, job_id: int) -> JobFacts:
    """Return the tasks of one job alone, without a plan. Raises Missing."""
    return _Loader(db, now, shop_store.load_shop(db)).job_facts((load_job(db, job_id),))[job_id]


class _Loader:
    """What all jobs share, read once, and the facts of each job, from memory while nothing of them has changed."""

    def __init__(self, db: Session, now: datetime, shop: Shop) -> None:
        self.db, self.now = db, now
        times = tuple(sorted(shop_store.load_operation_times(db).items()))
        practice, prices = shop_store.load_practice(db), load_price_book(db).prices
        self.shared = _known(_Shared(practice, times, prices, load_stock(db), shop.zone))

    def job_facts(self, jobs: Sequence[Job]) -> Mapping[int, JobFacts]:
        ids = [job.id for job in jobs]
        records, links = task_store.load_records(self.db, ids), task_store.load_links(self.db, ids)
        placed, terms = load_pieces_of(self.db, ids), load_terms_of(self.db, ids)
        orders, on_hand = load_orders_of(self.db, ids), load_on_hand_of(self.db, ids, self.shared.book)
        return {
            job.id: _job_facts(
                self.shared, job, placed[job.id], terms[job.id].waste, on_hand[job.id], orders[job.id], records[job.id],
                links[job.id], self.now if depends_on_time(records[job.id]) else _ANY_TIME,
            )
            for job in jobs
        }  # fmt: skip


@dataclass(frozen=True)
class _Shared:
    """What the tasks of all jobs depend on. Its hash is found once, since jobs are looked up by it."""

    practice: ShopPractice
    times: tuple[tuple[str, OperationTime], ...]
    prices: tuple[Price, ...]
    stock: tuple[StockItem, ...]
    zone: str

    @cached_property
    def _hash(self) -> int:
        return hash((self.practice, self.times, self.prices, self.stock, self.zone))

    def __hash__(self) -> int:
        return self._hash

    @cached_property
    def book(self) -> PriceBook:
        return PriceBook(self.prices)


_ANY_TIME = datetime(2000, 1, 1, tzinfo=UTC)


@lru_cache(maxsize=4)
def _known(shared: _Shared) -> _Shared:
    """Return the one in memory that equals this, so that jobs are found by it at a glance."""
    return shared


@lru_cache(maxsize=JOBS_IN_MEMORY)
def _job_facts(
    shared: _Shared,
    job: Job,
    placed: tuple[PlacedPiece, ...],
    waste: WasteChoice,
    on_hand: OnHand,
    orders: tuple[Order, ...],
    records: tuple[TaskRecord, ...],
    links: tuple[OwnLink, ...],
    now: datetime,
) -> JobFacts:
    """Return a job's tasks with what they wait for: goods on order, and goods still to be ordered."""
    needs = job_take_off(placed, shared.practice, waste, on_hand)
    short = to_order(needs.lines, shared.stock, orders, shared.book, job_id=job.id)
    coming = deliveries(orders, short.suppliers, zone=ZoneInfo(shared.zone))
    times = dict(shared.times)
    made = job_tasks(job, needs, times, shared.practice, now, deliveries=coming, records=records, links=links)
    return JobFacts(job, needs, made, links, (*made.problems, *short.problems))
