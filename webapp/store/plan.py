"""Everything the plan is made from: tasks of the open jobs, shop hours, hands, clamps, benches and promises."""

from collections.abc import Callable, Hashable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime
from functools import cached_property, lru_cache
from typing import Any, TypeVar
from zoneinfo import ZoneInfo

from sqlmodel import Session

from domain.buying import OnHand, job_take_off
from domain.delivery import deliveries
from domain.job import Job
from domain.job_tasks import JobTasks, depends_on_time, job_tasks
from domain.open_minutes import minute_after
from domain.operation import OperationTime
from domain.order import Order
from domain.person import Absence, Person
from domain.pieces.piece import PlacedPiece
from domain.plan import Plan, Resources
from domain.plan.kept import KeptPlan, fingerprint
from domain.plan.several import plan_several, promises, weights
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
from webapp.store.database import written
from webapp.store.job import load_job, load_open_jobs
from webapp.store.kept_plan import load_kept_plan
from webapp.store.on_hand import load_on_hand_of
from webapp.store.order import load_orders_of
from webapp.store.person import load_absences, load_people
from webapp.store.piece import load_pieces_of
from webapp.store.price import load_price_book
from webapp.store.stock import load_stock
from webapp.store.terms import load_terms_of

T = TypeVar("T")

JOBS_IN_MEMORY = 32
PLANS_IN_MEMORY = 4


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


@dataclass(frozen=True)
class PlanFacts:
    """What is known for the plan. calendar: None while the shop has no hours; kept: the plan people follow;
    worked_out: what pages have found out about it, see once().
    """

    now: datetime
    shop: Shop
    jobs: Mapping[int, JobFacts]
    calendar: ShopCalendar | None
    people: tuple[Person, ...] = ()
    absences: tuple[Absence, ...] = ()
    kept: KeptPlan | None = None
    worked_out: dict[Hashable, Any] = field(default_factory=dict, repr=False, compare=False)

    def once(self, key: Hashable, make: Callable[[], T]) -> T:
        """Return what make() gives, worked out once while these facts are in memory."""
        if key not in self.worked_out:
            self.worked_out[key] = make()
        found: T = self.worked_out[key]
        return found

    @property
    def resources(self) -> Resources:
        shop = self.shop
        return Resources(
            shop.hands, shop.clamps, shop.benches, self.people, self.absences, shop.clamps_of, shop.dry_places,
            shop.finishing_room, shop.aim,
        )  # fmt: skip

    @cached_property
    def fingerprint(self) -> str:
        """What tells these facts from others, whatever time it is; empty while the shop has no hours."""
        if self.calendar is None:
            return ""
        jobs = [facts.job for facts in self.jobs.values()]
        tasks = [task for facts in self.jobs.values() for task in facts.tasks]
        return fingerprint(tasks, self.calendar, self.resources, promises(jobs), weights(jobs))

    def plan(self) -> tuple[Plan | None, tuple[Problem, ...]]:
        """Return the plan of all these jobs, and what kept it from being made of some of them, or at all."""
        return self._made

    @cached_property
    def _made(self) -> tuple[Plan | None, tuple[Problem, ...]]:
        jobs = [(facts.job, facts.tasks) for facts in self.jobs.values()]
        return plan_several(jobs, self.calendar, self.now, self.resources, kept=self.kept)


def load_plan_facts(db: Session, now: datetime, *, job_id: int | None = None) -> PlanFacts:
    """Return what the plan of all open jobs is made from, of this job too even if it is not open. Raises Missing.

    While nothing was written and the minute is the same it comes from memory, with its plan once that was asked for.
    """
    jobs = {job.id: job for job in load_open_jobs(db)}
    if job_id is not None and job_id not in jobs:
        jobs[job_id] = load_job(db, job_id)
    key = (written(db), minute_after(now), tuple(jobs))
    if key[0] is not None and (known := _MEMORY.get(key)) is not None:
        return known
    known = _plan_facts(db, now, tuple(jobs.values()))
    if key[0] is not None:
        while len(_MEMORY) >= PLANS_IN_MEMORY:
            _MEMORY.pop(next(iter(_MEMORY)), None)
        _MEMORY[key] = known
    return known


_Known = tuple[object, int, tuple[int, ...]]
_MEMORY: dict[_Known, PlanFacts] = {}


def _plan_facts(db: Session, now: datetime, jobs: Sequence[Job]) -> PlanFacts:
    shop = shop_store.load_shop(db)
    found = _Loader(db, now, shop).job_facts(jobs)
    return _facts(db, now, shop, found)


def _facts(db: Session, now: datetime, shop: Shop, found: Mapping[int, JobFacts]) -> PlanFacts:
    return PlanFacts(
        now=now,
        shop=shop,
        jobs=found,
        calendar=shop_store.load_calendar(db),
        people=load_people(db),
        absences=load_absences(db, now),
        kept=load_kept_plan(db),
    )


def load_one_plan(db: Session, now: datetime, facts: JobFacts) -> PlanFacts:
    """Return what the plan of one job alone is made from, as if the shop had no other."""
    return replace(_facts(db, now, shop_store.load_shop(db), {facts.job.id: facts}), kept=None)


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
