"""The demo's jobs: one in the middle of its life, an enquiry to quote, and one that is finished. All invented."""

from dataclasses import replace
from datetime import datetime, timedelta

from sqlmodel import Session

from domain.job import Client, JobState
from domain.length import Length
from domain.measure import Cover, Run
from domain.money import Money
from domain.option import Option, OtherFinish, OtherWood
from domain.terms import CostKind, CostLine
from webapp.demo.acting import act_out
from webapp.demo.pieces import FOLDING_COUNTER, PANTRY, WINDOW_SEAT
from webapp.demo.shop import FITTINGS, SHOP
from webapp.demo.stages import DAY, add_job, cut_all, order_all, quote
from webapp.store import job as store
from webapp.store.cost import add_cost
from webapp.store.measure import add_run
from webapp.store.option import add_option

inch = Length.parse


def add_job_in_hand(db: Session, *, at: datetime) -> None:
    """A butler's pantry: quoted, accepted, materials here but for one delivery, the long top in clamps."""
    client = Client(0, "Ines Carrow (invented)", "12 Sample Street, Exampleton", "555 0117", "ines@client.example")
    promised = SHOP.day_of(at + 34 * DAY)
    notes = "Tops against tile on two walls. The hob and sink stay in the kitchen: no openings here."
    job_id = add_job(db, "Butler's pantry", client, PANTRY, promised_on=promised, notes=notes, at=at - 30 * DAY)
    long_run = Run(
        0, "Long wall", "Pantry", back=inch("108 3/8"), middle=inch("108 1/2"), front=inch("108 5/8"),
        depth_left=inch("25 1/2"), depth_centre=inch("25 5/8"), depth_right=inch("25 3/8"), out_of_square=inch("1/8"),
        floor_slope=inch("1/4"), cover=Cover.TILE, hides=inch("3/8"),
    )  # fmt: skip
    add_run(db, job_id, long_run)
    add_cost(
        db, job_id, CostLine(0, CostKind.SUBCONTRACT, "Electrician: two outlets above the top", Money.parse("420"))
    )
    add_cost(db, job_id, CostLine(0, CostKind.TRAVEL, "Two trips to the house", Money.parse("90")))
    add_option(db, job_id, Option(0, "White oak tops", (OtherWood("White oak", "Black cherry"),)))
    add_option(db, job_id, Option(0, "Two coats on the tops", (OtherFinish("Hardwax oil", "Hardwax oil", coats=2),)))
    quote(db, job_id, at=at - 28 * DAY, accepted_at=at - 25 * DAY)
    order_all(db, job_id, at=at - 22 * DAY, waits_for=FITTINGS, expected=at + 2 * DAY)
    store.set_state(db, job_id, JobState.IN_PROGRESS)
    cut_all(db, job_id)
    taken_up = ("Short top", "Short top, front edge", "Drawer cabinet", "Deep drawers", "Long top")
    act_out(db, job_id, pieces=taken_up, last="glue-up-1", ago=timedelta(minutes=70), now=at)


def add_enquiry(db: Session, *, at: datetime) -> None:
    """A window seat, measured and drawn up, waiting for its quote."""
    client = Client(0, "Tobias Renn (invented)", "3 Example Court, Exampleton", "555 0163")
    job_id = add_job(db, "Window seat with drawers", client, WINDOW_SEAT, at=at - 2 * DAY)
    bay = Run(0, "Bay", "Sitting room", back=inch("73"), middle=inch("72 3/4"), front=inch("72 5/8"), cover=Cover.BEAD)
    add_run(
        db, job_id, replace(bay, depth_left=inch("19 1/4"), depth_centre=inch("19 1/8"), depth_right=inch("19 1/4"))
    )
    add_option(db, job_id, Option(0, "In red oak", (OtherWood("Northern red oak", "White ash"),)))


def add_finished_job(db: Session, *, at: datetime) -> None:
    """A folding counter, done and closed."""
    client = Client(0, "Paola Lindqvist (invented)", "88 Invented Avenue, Exampleton")
    done_on = SHOP.day_of(at - 20 * DAY)
    job_id = add_job(db, "Folding counter", client, FOLDING_COUNTER, promised_on=done_on, at=at - 70 * DAY)
    add_cost(db, job_id, CostLine(0, CostKind.DELIVERY, "Van for a day", Money.parse("85")))
    quote(db, job_id, at=at - 68 * DAY, accepted_at=at - 66 * DAY)
    order_all(db, job_id, at=at - 64 * DAY)
    store.set_state(db, job_id, JobState.IN_PROGRESS)
    cut_all(db, job_id)
    act_out(db, job_id, now=at - 22 * DAY)
    store.set_state(db, job_id, JobState.CLOSED)
