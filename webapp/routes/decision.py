"""What needs a decision in a plan, and what would help, as pages show it."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from sqlmodel import Session

from domain.job_tasks import scuffs
from domain.plan import Plan
from domain.plan.asked import Asked, asked_of
from domain.plan.conflict import conflicts
from domain.plan.moved import words as moved_words
from domain.plan.tried import Tried
from domain.task import Task
from webapp.forms import remedy as forms
from webapp.store import shop as shop_store
from webapp.store.plan import JobFacts, PlanFacts, load_plan_facts


@dataclass(frozen=True)
class Way:
    """A remedy that was tried, as it is offered. fields: of the form that carries it out, empty for one that people
    have to arrange; moves: what else it moves, in words.
    """

    words: str
    gains: str
    moves: str
    fields: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Decision:
    """Something that cannot be had as asked: why, which wishes contradict one another, and what would help."""

    words: str
    wishes: tuple[str, ...]
    is_proved: bool
    ways: tuple[Way, ...]


def way(one: Tried) -> Way:
    """Return a remedy as it is offered."""
    return Way(one.words, one.gains, moved_words(one.moves, one.plan), tuple(forms.fill(one.remedy).items()))


def asked_from(known: PlanFacts, plan: Plan) -> Asked:
    """Return what a plan was made from, so that it can be made again with something changed."""
    return asked_of(plan, weights=plan.weights, kept=known.kept)


def decisions_of(db: Session, now: datetime, job_id: int) -> tuple[Decision, ...]:
    """Return what in a job's plan needs a decision."""
    known = load_plan_facts(db, now, job_id=job_id)
    plan, _ = known.plan()
    if plan is None or job_id not in plan.jobs:
        return ()
    if not plan.unmet and all(window.is_met for window in plan.windows):
        return ()
    scuffs = scuffs_of(db, known.jobs[job_id], now)
    return known.once(("decisions", job_id), lambda: _decisions(known, plan, job_id, scuffs))


def _decisions(known: PlanFacts, plan: Plan, job_id: int, scuffs: Mapping[str, Task]) -> tuple[Decision, ...]:
    found = conflicts(plan, asked_from(known, plan), job_id=job_id, scuffs=scuffs)
    return tuple(Decision(one.words, one.wishes, one.is_proved, tuple(map(way, one.remedies))) for one in found)


def scuffs_of(db: Session, facts: JobFacts, now: datetime) -> dict[str, Task]:
    """Return the scuffing that could be done before each coat of a job, by the coat's key."""
    times, practice = shop_store.load_operation_times(db), shop_store.load_practice(db)
    return dict(scuffs(facts.job, facts.needs, times, practice, now))
