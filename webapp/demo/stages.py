"""What the demo's jobs go through: placed, quoted, ordered, cut up. All of it is invented."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime, timedelta
from fractions import Fraction

from sqlmodel import Session

from domain.answer import Answer, AnswerKind
from domain.cutting import boards_to_cut, cut_up
from domain.job import Client, Job
from domain.material import MaterialKind
from domain.number import next_number
from domain.order import Order, OrderLine, receive
from domain.pieces.piece import PlacedPiece
from domain.quote import USUAL_WORDS
from domain.rack import Cutting
from domain.shortage import SupplierList, to_order
from webapp.demo.pieces import Placing
from webapp.demo.shop import SHOP
from webapp.forms.quote import Freezing
from webapp.routes.quote_page import freezable
from webapp.store import job as store
from webapp.store.buying import load_buying_plan
from webapp.store.order import add_order, load_numbers
from webapp.store.piece import add_piece
from webapp.store.price import load_price_book
from webapp.store.quote import add_answer, add_quote
from webapp.store.quote import load_numbers as load_quote_numbers
from webapp.store.rack import add_cutting, add_rack_pieces, load_rack, save_rack_piece
from webapp.store.stock import load_stock
from webapp.store.take_off import load_take_off

DAY = timedelta(days=1)


def add_job(
    db: Session, name: str, client: Client, placings: Iterable[Placing], *, at: datetime, **more: object
) -> int:
    """Add an invented job with its pieces and return its id."""
    job_id = store.add_job(db, Job(0, name, client, site=client.address, invented=True, **more), at=at)  # type: ignore[arg-type]
    for placing in placings:
        _place(db, job_id, placing, None)
    return job_id


def _place(db: Session, job_id: int, placing: Placing, owner: int | None) -> None:
    placed = PlacedPiece(0, placing.name, placing.quantity, placing.piece, belongs_to=owner)
    piece_id = add_piece(db, job_id, placed)
    for belonging in placing.belongings:
        _place(db, job_id, belonging, piece_id)


def quote(db: Session, job_id: int, *, at: datetime, accepted_at: datetime) -> None:
    """Freeze the job as it stands into a quote, and have it accepted."""
    found = freezable(db, job_id, at, "")
    if problems := found.problems(()):
        raise ValueError(f"the demo's job {job_id} cannot be quoted: {problems[0].words}")
    options = tuple(option for option, _ in found.priced)
    number = next_number(load_quote_numbers(db), found.facts.on)
    frozen = found.frozen(Freezing(found.terms, USUAL_WORDS, options), number)
    quote_id = add_quote(db, job_id, frozen, at=at)
    add_answer(db, quote_id, Answer(AnswerKind.ACCEPTED, accepted_at))


SOON = 3 * DAY
"""All that has come came within this, so that nothing in the demo has come in the days ahead."""


def order_all(
    db: Session,
    job_id: int,
    *,
    at: datetime,
    waits_for: str = "",
    owes: MaterialKind = MaterialKind.HARDWARE,
    expected: datetime | None = None,
) -> None:
    """Order everything; all of it has come, but for what one supplier still owes of a kind."""
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
                line if line.material.kind is owes else receive(line, line.packages, at=at + SOON)
                for line in order.lines
            ]
        else:
            came = [receive(line, line.packages, at=at + min(found.lead_time, SOON)) for line in order.lines]
        add_order(db, replace(order, lines=tuple(came)))


def cut_all(db: Session, job_id: int) -> None:
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
