"""A job with everything that belongs to it, out of the store as a document."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import UTC, datetime

from sqlmodel import Session

from domain.buying import job_take_off
from domain.job import Job
from domain.material import Material
from domain.operation import OperationTime
from domain.option import Option, apply, for_pieces
from domain.order import Order
from domain.pieces.piece import PlacedPiece
from domain.price import Price
from domain.rack import RackPiece
from domain.take_off import TakeOff
from domain.terms import Terms
from webapp.job_document import (
    ADDRESS,
    FORMAT,
    VERSION,
    BoardPart,
    BoardUsePart,
    ClientPart,
    CuttingPart,
    JobDocument,
    JobPart,
    LeansOn,
    OrderLinePart,
    OrderPart,
    QuotePart,
    piece_part,
)
from webapp.store import shop
from webapp.store.board_use import load_board_uses
from webapp.store.cost import load_costs
from webapp.store.job import load_job
from webapp.store.job_document.refer import Numbers, layout_for, links_for, quote_for, records_for
from webapp.store.measure import load_runs
from webapp.store.on_hand import load_on_hand
from webapp.store.option import load_options
from webapp.store.order import load_orders
from webapp.store.piece import load_pieces
from webapp.store.plan import load_job_facts
from webapp.store.price import load_price_book
from webapp.store.quote import load_quotes
from webapp.store.rack import load_cuttings, load_rack
from webapp.store.tables import ShopRow
from webapp.store.task import load_links, load_records
from webapp.store.terms import has_own_terms, load_terms


def load_job_document(db: Session, job_id: int, *, at: datetime) -> JobDocument:
    """Return everything that belongs to a job. at: when it is exported. Raises Missing."""
    job, placed = load_job(db, job_id), load_pieces(db, job_id)
    pieces = {piece.id: number for number, piece in enumerate(placed, start=1)}
    ordered = load_orders(db, job_id)
    order_numbers = {order.id: number for number, order in enumerate(ordered, start=1)}
    cut = [board for board in load_rack(db, cut_up=True) if board.cut_for == job_id]
    boards = {board.id: number for number, board in enumerate(cut, start=1)}
    options = tuple(for_pieces(load_options(db, job_id), pieces))
    return JobDocument(
        format=FORMAT,
        version=VERSION,
        schema=ADDRESS,
        exported_at=at.astimezone(UTC).replace(microsecond=0),
        job=_job_part(db, job),
        runs=tuple(replace(run, id=n, version=1) for n, run in enumerate(load_runs(db, job_id), start=1)),
        pieces=tuple(
            piece_part(piece, number=pieces[piece.id], belongs_to=pieces.get(piece.belongs_to or 0)) for piece in placed
        ),
        options=tuple(replace(one, id=n, version=1) for n, one in enumerate(options, start=1)),
        costs=tuple(replace(cost, id=n, version=1) for n, cost in enumerate(load_costs(db, job_id), start=1)),
        tasks=tuple(records_for(load_records(db, [job_id])[job_id], pieces, order_numbers)),
        links=tuple(links_for(load_links(db, [job_id])[job_id], pieces, order_numbers)),
        orders=tuple(_order_part(order, order_numbers[order.id]) for order in ordered),
        quotes=_quote_parts(db, job_id, pieces),
        boards=tuple(_board_part(board, boards[board.id]) for board in cut),
        cuttings=tuple(
            CuttingPart(material=one.material, layout=layout_for(one.layout, pieces, boards))
            for one in load_cuttings(db, job_id)
        ),
        board_uses=tuple(
            BoardUsePart(material=use.material, net=use.net, used=use.used, note=use.note)
            for use in load_board_uses(db, job_id)
        ),
        leans_on=_leans_on(db, job, placed, load_options(db, job_id), ordered, at),
    )


def _job_part(db: Session, job: Job) -> JobPart:
    client = job.client
    terms = load_terms(db, job.id) if has_own_terms(db, job.id) else None
    return JobPart(
        name=job.name, client=ClientPart(client.name, client.address, client.phone, client.email), site=job.site,
        promised_on=job.promised_on, state=job.state, notes=job.notes, invented=job.invented, terms=placeless(terms),
        matters=job.matters,
    )  # fmt: skip


def placeless(terms: Terms | None) -> Terms | None:
    """Return terms as they are without a shop."""
    return terms and shop.placed(terms, where="", version=1)


def _order_part(order: Order, number: int) -> OrderPart:
    lines = tuple(
        OrderLinePart(
            material=line.material, description=line.description, package=line.package,
            package_quantity=line.package_quantity, packages=line.packages, package_price=line.package_price,
            parts=line.parts, receipts=line.receipts,
        )
        for line in order.lines
    )  # fmt: skip
    return OrderPart(
        id=number, number=order.number, supplier=order.supplier, lines=lines, ordered_at=order.ordered_at,
        lead_time=order.lead_time, expected_on=order.expected_on, notes=order.notes,
    )  # fmt: skip


def _board_part(board: RackPiece, number: int) -> BoardPart:
    return BoardPart(
        id=number, mark=board.mark, material=board.material, width=board.width, length=board.length, price=board.price,
        supplier=board.supplier, note=board.note,
    )  # fmt: skip


def _quote_parts(db: Session, job_id: int, pieces: Numbers) -> tuple[QuotePart, ...]:
    stored = load_quotes(db, job_id)[::-1]
    numbers = {each.id: number for number, each in enumerate(stored, start=1)}
    replaced = {each.replaced_by: each.id for each in stored if each.replaced_by}
    return tuple(
        QuotePart(
            id=numbers[each.id],
            frozen_at=each.frozen_at,
            quote=quote_for(each.quote, pieces),
            replaces=numbers.get(replaced.get(each.id, 0)),
            answers=each.answers,
        )
        for each in stored
    )


def _leans_on(
    db: Session, job: Job, placed: tuple[PlacedPiece, ...], options: Iterable[Option], ordered: Iterable[Order],
    at: datetime,
) -> LeansOn:  # fmt: skip
    practice, terms = shop.load_practice(db), load_terms(db, job.id)
    on_hand = load_on_hand(db, job.id)
    needs = [
        job_take_off(each, practice, terms.waste, on_hand)
        for each in (placed, *(apply(option, placed) for option in options))
    ]
    materials = {line.material for each in needs for line in each.lines}
    materials |= {line.material for order in ordered for line in order.lines}
    return LeansOn(
        prices=_prices(db, materials),
        practice=dict(sorted(shop.load_changed_practice(db).items())),
        operations=_operations(db, job, needs, at),
        terms=None if has_own_terms(db, job.id) or not has_terms(db) else placeless(terms),
    )


def _prices(db: Session, materials: set[Material]) -> tuple[Price, ...]:
    """Return the prices of these materials, in an order that does not hang on when they were typed."""
    used = [price for price in load_price_book(db).prices if price.material in materials]
    used.sort(key=lambda price: (price.material.key, price.supplier, price.package, price.package_quantity))
    return tuple(replace(price, id=number, version=1) for number, price in enumerate(used, start=1))


def _operations(db: Session, job: Job, needs: Iterable[TakeOff], at: datetime) -> dict[str, OperationTime]:
    """Return what the shop says the job's operations take, those of its options too."""
    used = {work.operation for each in needs for built in each.pieces for step in built.steps for work in step.work} | {
        key for task in load_job_facts(db, at, job.id).tasks for key in task.operations
    }
    return {key: time for key, time in sorted(shop.load_operation_times(db).items()) if key in used}


def has_terms(db: Session) -> bool:
    """Whether the shop has said its money terms."""
    row = db.get(ShopRow, 1)
    return row is not None and row.terms is not None
