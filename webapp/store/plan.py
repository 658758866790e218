"""Everything the plan is made from: tasks of the open jobs, shop hours, hands, clamps, benches and promises."""

from collections.abc import Callable, Hashable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime
from functools import cached_property, lru_cache
from typing import Any, TypeVar
from zoneinfo import ZoneInfo

from sqlmodel import Session

from domain.buying import job_take_off
from domain.delivery import deliveries
from domain.job import Job
from domain.job_tasks import JobTasks, depends_on_time, job_tasks
from domain.open_minutes import minute_after
from domain.person import Absence, Person
from domain.plan import Plan, Resources
from domain.plan.kept import KeptPlan, fingerprint
from domain.plan.several import plan_several, promises, weights
from domain.problem import Problem
from domain.shop import Shop
from domain.shop_calendar import ShopCalendar
from domain.shortage import to_order
from domain.take_off import TakeOff
from domain.task import OwnLink, Task, TaskRecord
from webapp.store import task as task_store
from webapp.store.kept_plan import load_kept_plan
from webapp.store.person import load_absences
from webapp.store.plan_read import Memory, Own, Read, Shared, read_job, read_open
from webapp.store.written import written

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
    read = read_open(db, job_id=job_id)
    key = (minute_after(now), tuple(read.own))
    return _MEMORY.once(written(db), key, lambda: _facts(db, now, read, _job_facts(db, now, read, read.own)))


_MEMORY = Memory(PLANS_IN_MEMORY)


def _facts(db: Session, now: datetime, read: Read, jobs: Mapping[int, JobFacts]) -> PlanFacts:
    return PlanFacts(
        now=now,
        shop=read.shop,
        jobs=jobs,
        calendar=read.calendar,
        people=read.people,
        absences=load_absences(db, now),
        kept=load_kept_plan(db),
    )


def load_one_plan(db: Session, now: datetime, facts: JobFacts) -> PlanFacts:
    """Return what the plan of one job alone is made from, as if the shop had no other."""
    return replace(_facts(db, now, read_job(db, facts.job.id), {facts.job.id: facts}), kept=None)


def load_job_facts(db: Session, now: datetime, job_id: int) -> JobFacts:
    """Return the tasks of one job alone, without a plan. Raises Missing."""
    return _job_facts(db, now, read_job(db, job_id), (job_id,))[job_id]


def _job_facts(db: Session, now: datetime, read: Read, ids: Iterable[int]) -> Mapping[int, JobFacts]:
    """Return the facts of some jobs of what was read, with what has been recorded of their tasks."""
    these = tuple(ids)
    records, links = task_store.load_records(db, these), task_store.load_links(db, these)
    return {
        job_id: _made(
            read.shared, read.own[job_id], records[job_id], links[job_id],
            now if depends_on_time(records[job_id]) else _ANY_TIME,
        )
        for job_id in these
    }  # fmt: skip


_ANY_TIME = datetime(2000, 1, 1, tzinfo=UTC)


@lru_cache(maxsize=JOBS_IN_MEMORY)
def _made(
    shared: Shared, own: Own, records: tuple[TaskRecord, ...], links: tuple[OwnLink, ...], now: datetime
) -> JobFacts:
    """Return a job's tasks with what they wait for: goods on order, and goods still to be ordered."""
    needs = job_take_off(own.placed, shared.practice, own.waste, own.on_hand)
    short = to_order(needs.lines, shared.stock, own.orders, shared.book, job_id=own.job.id)
    coming = deliveries(own.orders, short.suppliers, zone=ZoneInfo(shared.zone))
    made = job_tasks(
        own.job, needs, dict(shared.times), shared.practice, now, deliveries=coming, records=records, links=links
    )
    return JobFacts(own.job, needs, made, links, (*made.problems, *short.problems))
