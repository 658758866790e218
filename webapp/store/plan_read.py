"""What the tasks of jobs depend on, read once and known until something of it is written."""

from collections.abc import Callable, Hashable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Any, TypeVar

from sqlmodel import Session

from domain.buying import OnHand
from domain.job import Job
from domain.operation import OperationTime
from domain.order import Order
from domain.person import Person
from domain.pieces.piece import PlacedPiece
from domain.practice import ShopPractice
from domain.price import Price, PriceBook
from domain.shop import Shop
from domain.shop_calendar import ShopCalendar
from domain.stock import StockItem
from domain.take_off import WasteChoice
from webapp.store import shop as shop_store
from webapp.store.job import load_job, load_open_jobs
from webapp.store.on_hand import load_on_hand_of
from webapp.store.order import load_orders_of
from webapp.store.person import load_people
from webapp.store.piece import load_pieces_of
from webapp.store.price import load_price_book
from webapp.store.stock import load_stock
from webapp.store.terms import load_terms_of
from webapp.store.written import written

T = TypeVar("T")

READ_ANEW = frozenset({"task", "link", "kept_plan", "action", "change", "form_key"})
"""Tables of which nothing is known here: a tap on a task, or a better plan, writes these alone."""


@dataclass(frozen=True)
class Shared:
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


@dataclass(frozen=True)
class Own:
    """What the tasks of one job depend on beside that. Its hash is found once, too."""

    job: Job
    placed: tuple[PlacedPiece, ...]
    waste: WasteChoice
    on_hand: OnHand
    orders: tuple[Order, ...]

    @cached_property
    def _hash(self) -> int:
        return hash((self.job, self.placed, self.waste, self.on_hand, self.orders))

    def __hash__(self) -> int:
        return self._hash


@dataclass(frozen=True, eq=False)
class Read:
    """What was read of some jobs and of the shop. calendar: None while the shop has no hours."""

    shop: Shop
    calendar: ShopCalendar | None
    people: tuple[Person, ...]
    shared: Shared
    own: Mapping[int, Own]


class Memory:
    """The last few answers, each found again by what it was made from."""

    def __init__(self, most: int) -> None:
        self._most, self._known = most, dict[Hashable, Any]()

    def once(self, seen: object | None, key: Hashable, make: Callable[[], T]) -> T:
        """Return what make() gives, from memory if it is there. seen: what was written when it was asked, None: never.

        Two who ask for the same at once both make it.
        """
        if seen is None:
            return make()
        if (found := self._known.get((seen, key))) is None:
            found = make()
            while len(self._known) >= self._most:
                self._known.pop(next(iter(self._known)), None)
            self._known[seen, key] = found
        answer: T = found
        return answer


_READ, _OPEN = Memory(4), Memory(1)


def read_open(db: Session, *, job_id: int | None = None) -> Read:
    """Return what the plan of all open jobs depends on, of this job too even if it is not open. Raises Missing."""
    seen = written(db, beside=READ_ANEW)
    jobs = _OPEN.once(seen, "open", lambda: load_open_jobs(db))
    if job_id is None or any(job.id == job_id for job in jobs):
        return _READ.once(seen, "open", lambda: _read(db, jobs))
    return _READ.once(seen, job_id, lambda: _read(db, (*jobs, load_job(db, job_id))))


def read_job(db: Session, job_id: int) -> Read:
    """Return what the tasks of one job depend on, and maybe those of others. Raises Missing."""
    seen = written(db, beside=READ_ANEW)
    if seen is not None and any(job.id == job_id for job in _OPEN.once(seen, "open", lambda: load_open_jobs(db))):
        return read_open(db)
    return _read(db, (load_job(db, job_id),))


def _read(db: Session, jobs: Sequence[Job]) -> Read:
    ids, shop = [job.id for job in jobs], shop_store.load_shop(db)
    times = tuple(sorted(shop_store.load_operation_times(db).items()))
    practice, prices = shop_store.load_practice(db), load_price_book(db).prices
    shared = _known(Shared(practice, times, prices, load_stock(db), shop.zone))
    placed, terms = load_pieces_of(db, ids), load_terms_of(db, ids)
    orders, on_hand = load_orders_of(db, ids), load_on_hand_of(db, ids, shared.book)
    own = {job.id: Own(job, placed[job.id], terms[job.id].waste, on_hand[job.id], orders[job.id]) for job in jobs}
    return Read(shop, shop_store.load_calendar(db), load_people(db), shared, own)


@lru_cache(maxsize=4)
def _known(shared: Shared) -> Shared:
    """Return the one in memory that equals this, so that jobs are found by it at a glance."""
    return shared
