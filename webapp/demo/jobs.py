"""The demo's jobs: one in the middle of its life, an enquiry to quote, and one that is finished. All invented."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime, timedelta
from fractions import Fraction

from sqlmodel import Session

from domain.answer import Answer, AnswerKind
from domain.cutting import boards_to_cut, cut_up
from domain.job import Client, Job, JobState
from domain.length import Length
from domain.material import MaterialKind
from domain.measure import Cover, Run
from domain.money import Money
from domain.number import next_number
from domain.option import Option, OtherFinish, OtherWood
from domain.order import Order, OrderLine, receive
from domain.pieces.piece import PlacedPiece
from domain.quote import USUAL_WORDS
from domain.rack import Cutting
from domain.shortage import SupplierList, to_order
from domain.terms import CostKind, CostLine
from webapp.demo.acting import act_out
from webapp.demo.pieces import FOLDING_COUNTER, PANTRY, WINDOW_SEAT, Placing
from webapp.demo.shop import FITTINGS, SHOP
from webapp.forms.quote import Freezing
from webapp.routes.quote_page import freezable
from webapp.store import job as store
from webapp.store.buying import load_buying_plan
from webapp.store.cost import add_cost
from webapp.store.measure import add_run
from webapp.store.option import add_option
from webapp.store.order import add_order, load_numbers
from webapp.store.piece import add_piece
from webapp.store.price import load_price_book
from webapp.store.quote import add_answer, add_quote
from webapp.store.quote import load_numbers as load_quote_numbers
from webapp.store.rack import add_cutting, add_rack_pieces, load_rack, save_rack_piece
from webapp.store.stock import load_stock
from webapp.store.take_off import load_take_off

DAY = timedelta(days=1)
inch = Length.parse


def add_job_in_hand(db: Session, *, at: datetime) -> None:
    """A butler's pantry: quoted, accepted, materials here but for one delivery, the long top in clamps."""
    client = Client(0, "Ines Carrow (invented)", "12 Sample Street, Exampleton", "555 0117", "ines@client.example")
    promised = SHOP.day_of(at + 34 * DAY)
    notes = "Tops against tile on two walls. The hob and sink stay in the kitchen: no openings here."
    job_id = _add_job(db, "Butler's pantry", client, PANTRY, promised_on=promised, notes=notes, at=at - 30 * DAY)
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
    _quote(db, job_id, at=at - 28 * DAY, accepted_at=at - 25 * DAY)
    _order(db, job_id, at=at - 22 * DAY, waits_for=FITTINGS, expected=at + 2 * DAY)
    store.set_state(db, job_id, JobState.IN_PROGRESS)
    _cut(db, job_id)
    taken_up = ("Short top", "Short top, front edge", "Drawer cabinet", "Deep drawers", "Long top")
    act_out(db, job_id, pieces=taken_up, last="glue-up-1", ago=timedelta(minutes=70), now=at)


def add_enquiry(db: Session, *, at: datetime) -> None:
    """A window seat, measured and drawn up, waiting for its quote."""
    client = Client(0, "Tobias Renn (invented)", "3 Example Court, Exampleton", "555 0163")
    job_id = _add_job(db, "Window seat with drawers", client, WINDOW_SEAT, at=at - 2 * DAY)
    bay = Run(0, "Bay", "Sitting room", back=inch("73"), middle=inch("72 3/4"), front=inch("72 5/8"), cover=Cover.BEAD)
    add_run(
        db, job_id, replace(bay, depth_left=inch("19 1/4"), depth_centre=inch("19 1/8"), depth_right=inch("19 1/4"))
    )
    add_option(db, job_id, Option(0, "In red oak", (OtherWood("Northern red oak", "White ash"),)))


def add_finished_job(db: Session, *, at: datetime) -> None:
    """A folding counter, done and closed."""
    client = Client(0, "Paola Lindqvist (invented)", "88 Invented Avenue, Exampleton")
    done_on = SHOP.day_of(at - 20 * DAY)
    job_id = _add_job(db, "Folding counter", client, FOLDING_COUNTER, promised_on=done_on, at=at - 70 * DAY)
    add_cost(db, job_id, CostLine(0, CostKind.DELIVERY, "Van for a day", Money.parse("85")))
    _quote(db, job_id, at=at - 68 * DAY, accepted_at=at - 66 * DAY)
    _order(db, job_id, at=at - 64 * DAY)
    store.set_state(db, job_id, JobState.IN_PROGRESS)
    _cut(db, job_id)
    act_out(db, job_id, now=at - 22 * DAY)
    store.set_state(db, job_id, JobState.CLOSED)


def _add_job(
    db: Session, name: str, client: Client, placings: Iterable[Placing], *, at: datetime, **more: object
) -> int:
    job_id = store.add_job(db, Job(0, name, client, site=client.address, invented=True, **more), at=at)  # type: ignore[arg-type]
    for placing in placings:
        _place(db, job_id, placing, None)
    return job_id


def _place(db: Session, job_id: int, placing: Placing, owner: int | None) -> None:
    placed = PlacedPiece(0, placing.name, placing.quantity, placing.piece, belongs_to=owner)
    piece_id = add_piece(db, job_id, placed)
    for belonging in placing.belongings:
        _place(db, job_id, belonging, piece_id)


def _quote(db: Session, job_id: int, *, at: datetime, accepted_at: datetime) -> None:
    """Freeze the job as it stands into a quote, and have it accepted."""
    found = freezable(db, job_id, at, "")
    if problems := found.problems(()):
        raise ValueError(f"the demo's job {job_id} cannot be quoted: {problems[0].words}")
    options = tuple(option for option, _ in found.priced)
    number = next_number(load_quote_numbers(db), found.facts.on)
    frozen = found.frozen(Freezing(found.terms, USUAL_WORDS, options), number)
    quote_id = add_quote(db, job_id, frozen, at=at)
    add_answer(db, quote_id, Answer(AnswerKind.ACCEPTED, accepted_at))


def _order(db: Session, job_id: int, *, at: datetime, waits_for: str = "", expected: datetime | None = None) -> None:
    """Order everything; all of it has come, but for what one supplier still owes."""
    needs = load_take_off(db, job_id).lines
    for found in to_order(needs, load_stock(db), (), load_price_book(db), job_id=job_id).suppliers:
        on = SHOP.day_of(at)
        order = Order(
            0, job_id, next_number(load_numbers(db), on, prefix="P"), found.supplier, tuple(_lines(found)),
            ordered_at=at, lead_time=found.lead_time,
        )  # fmt: skip
        if found.supplier == waits_for and expected:
            order = replace(order, expected_on=SHOP.day_of(expected))
            came = [
                line if line.material.kind is MaterialKind.HARDWARE else receive(line, line.packages, at=at + 9 * DAY)
                for line in order.lines
            ]
        else:
            came = [receive(line, line.packages, at=at + found.lead_time) for line in order.lines]
        add_order(db, replace(order, lines=tuple(came)))


def _cut(db: Session, job_id: int) -> None:
    """Cut up every board and sheet of a job as laid out; what is worth keeping of them goes onto the rack."""
    for plan in load_buying_plan(db, job_id).materials:
        boards = boards_to_cut(plan)
        kept = {offcut.key: (offcut.width, offcut.length) for one in boards for offcut in one.offcuts}
        done = cut_up(plan, {one.key for one in boards}, kept, load_rack(db, cut_up=True), job_id=job_id)
        for piece in done.used:
            save_rack_piece(db, piece)
        for layout in done.layouts:
            add_cutting(db, job_id, Cutting(0, plan.material, layout))
        add_rack_pieces(db, done.offcuts)


def _lines(found: SupplierList) -> Iterable[OrderLine]:
    for line in found.lines:
        price = line.packages.price
        yield OrderLine(
            0, price.material, price.description, price.package, price.package_quantity,
            Fraction(line.packages.count), price.package_price, line.parts,
        )  # fmt: skip
