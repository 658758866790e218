"""The demo's other jobs at work, so that hands, clamps and clean air have to be shared. All invented."""

from datetime import datetime, timedelta

from sqlmodel import Session

from domain.job import Client, JobState, Matters
from domain.material import MaterialKind
from domain.money import Money
from domain.terms import CostKind, CostLine
from webapp.demo.acting import act_out
from webapp.demo.pieces import HALL_BENCH, LAUNDRY_COUNTER
from webapp.demo.shop import SHOP, YARD
from webapp.demo.stages import DAY, add_job, order_all, quote
from webapp.store import job as store
from webapp.store.cost import add_cost


def add_counter(db: Session, *, at: datetime) -> None:
    """A laundry counter: everything is here, the boards are milled, and its top wants clamps today."""
    client = Client(0, "Wanda Okoro (invented)", "7 Example Row, Exampleton", "555 0188")
    promised = SHOP.day_of(at + 14 * DAY)
    job_id = add_job(db, "Laundry counter", client, LAUNDRY_COUNTER, promised_on=promised, at=at - 24 * DAY)
    add_cost(db, job_id, CostLine(0, CostKind.SUBCONTRACT, "Plumber: the sink, by a licensed one", Money.parse("310")))
    quote(db, job_id, at=at - 22 * DAY, accepted_at=at - 20 * DAY)
    order_all(db, job_id, at=at - 18 * DAY)
    store.set_state(db, job_id, JobState.IN_PROGRESS)
    act_out(db, job_id, pieces=("Counter top",), last="mill", ago=timedelta(hours=3), now=at)


def add_bench(db: Session, *, at: datetime) -> None:
    """A hall bench: agreed, most of it ordered, the lumber still on its way; it matters more than the others."""
    client = Client(0, "Emil Varga (invented)", "30 Sample Terrace, Exampleton", "555 0121")
    promised = SHOP.day_of(at + 20 * DAY)
    job_id = add_job(
        db, "Hall bench", client, HALL_BENCH, promised_on=promised, at=at - 9 * DAY, matters=Matters.MORE
    )  # fmt: skip
    quote(db, job_id, at=at - 8 * DAY, accepted_at=at - 6 * DAY)
    order_all(db, job_id, at=at - 4 * DAY, waits_for=YARD, owes=MaterialKind.LUMBER, expected=at + 3 * DAY)
    store.set_state(db, job_id, JobState.ACCEPTED)
