"""A job with everything that belongs to it, from a checked document into the store, under new ids."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from fractions import Fraction

from sqlmodel import Session, col, select

from domain.board_use import BoardUse
from domain.job import Client
from domain.number import revised_number
from domain.operation import OperationTime
from domain.option import for_pieces
from domain.order import Order, OrderLine
from domain.price import Price
from domain.price_list import offer
from domain.rack import Cutting, RackPiece
from domain.terms import Terms
from webapp.job_document import ClientPart, JobDocument, OrderPart
from webapp.store import order as orders
from webapp.store import quote as quotes
from webapp.store import rows, shop
from webapp.store import task as task_store
from webapp.store.board_use import add_board_use
from webapp.store.codec import to_json
from webapp.store.cost import add_cost
from webapp.store.job import add_client
from webapp.store.job_document.load import has_terms, placeless
from webapp.store.job_document.refer import Numbers, layout_for, links_for, quote_for, records_for
from webapp.store.measure import add_run
from webapp.store.option import add_option
from webapp.store.price import add_price, load_price_book
from webapp.store.rack import add_cutting, add_rack_piece
from webapp.store.tables import ClientRow, JobRow, PieceRow, QuoteRow


@dataclass(frozen=True, slots=True)
class Taken:
    """What of the other shop is taken over with a job. Nothing that this shop has said itself is ever changed."""

    prices: bool = False
    practice: bool = False
    operations: bool = False
    terms: bool = False


@dataclass(frozen=True, slots=True)
class NewHere:
    """What a document's shop says that this one does not, by what can be taken over; other: what differs and stays.

    terms: the money terms the job was priced with, when this shop has others or none; own_terms: this shop has none.
    quotes, orders: numbers that are taken here.
    """

    prices: tuple[Price, ...] = ()
    other_prices: tuple[Price, ...] = ()
    practice: Mapping[str, Fraction] = field(default_factory=dict)
    other_practice: Mapping[str, Fraction] = field(default_factory=dict)
    operations: Mapping[str, OperationTime] = field(default_factory=dict)
    other_operations: Mapping[str, OperationTime] = field(default_factory=dict)
    terms: Terms | None = None
    has_terms: bool = False
    quotes: tuple[str, ...] = ()
    orders: tuple[str, ...] = ()


def new_here(db: Session, document: JobDocument) -> NewHere:
    """Return what of a document is new for this shop, and what differs here."""
    leans, stored = document.leans_on, {offer(price): price for price in load_price_book(db).prices}
    practice, times = shop.load_changed_practice(db), shop.load_operation_times(db)
    ours = shop.load_terms(db)
    terms = leans.terms if leans.terms and not _same_terms(leans.terms, ours) else None
    return NewHere(
        prices=tuple(price for price in leans.prices if offer(price) not in stored),
        other_prices=tuple(price for price in leans.prices if _differs(price, stored.get(offer(price)))),
        practice={key: value for key, value in leans.practice.items() if key not in practice},
        other_practice={key: value for key, value in leans.practice.items() if practice.get(key, value) != value},
        operations={key: time for key, time in leans.operations.items() if not _is_said(times.get(key))},
        other_operations={
            key: time for key, time in leans.operations.items() if _is_said(times.get(key)) and times[key] != time
        },
        terms=terms,
        has_terms=has_terms(db),
        quotes=_taken([quote.quote.number for quote in document.quotes], quotes.load_numbers(db)),
        orders=_taken([order.number for order in document.orders], orders.load_numbers(db)),
    )


def add_job_document(db: Session, document: JobDocument, *, taken: Taken, at: datetime) -> int:
    """Insert a job with everything of it, under new ids, and return its id. Raises nothing for a checked document."""
    new = new_here(db, document)
    _take_over(db, new, taken)
    job_id = _add_job(db, document, own_terms=new.terms if taken.terms and new.has_terms else None, at=at)
    pieces = _add_pieces(db, job_id, document)
    order_ids = {part.id: orders.add_order(db, order) for part, order in _orders(db, job_id, document)}
    for run in document.runs:
        add_run(db, job_id, run)
    for option in for_pieces(document.options, pieces):
        add_option(db, job_id, option)
    for cost in document.costs:
        add_cost(db, job_id, cost)
    for record in records_for(document.tasks, pieces, order_ids):
        db.add(task_store.row_of(job_id, record))
    for link in links_for(document.links, pieces, order_ids):
        db.add(task_store.link_row_of(job_id, link))
    _add_quotes(db, job_id, document, pieces)
    _add_cut(db, job_id, document, pieces)
    db.flush()
    return job_id


def _same_terms(one: Terms, other: Terms) -> bool:
    return placeless(one) == placeless(other)


def _differs(price: Price, stored: Price | None) -> bool:
    return stored is not None and replace(price, id=stored.id, version=stored.version) != stored


def _is_said(time: OperationTime | None) -> bool:
    return time is not None and time.is_said


def _taken(numbers: Iterable[str], used: Iterable[str]) -> tuple[str, ...]:
    known = set(used)
    return tuple(number for number in numbers if number in known)


def _take_over(db: Session, new: NewHere, taken: Taken) -> None:
    if taken.prices:
        for price in new.prices:
            add_price(db, replace(price, id=0))
    if taken.practice:
        for key, value in new.practice.items():
            shop.save_practice(db, key, value, version=0)
    if taken.operations:
        shop.add_starting_times(db, new.operations)
    if taken.terms and new.terms and not new.has_terms:
        shop.save_terms(db, new.terms, version=shop.load_version(db))


def _add_job(db: Session, document: JobDocument, *, own_terms: Terms | None, at: datetime) -> int:
    part, terms = document.job, document.job.terms or own_terms
    client_id = _client_id(db, part.client)
    row = JobRow(
        client_id=client_id, name=part.name, site=part.site, promised_on=part.promised_on, state=part.state.value,
        notes=part.notes, invented=part.invented, terms=to_json(terms) if terms else None, created_at=at,
        matters=part.matters.value,
    )  # fmt: skip
    return rows.add(db, row)


def _client_id(db: Session, part: ClientPart) -> int:
    """Return the client that is the same in every word, or a new one."""
    same = select(ClientRow).where(
        ClientRow.name == part.name, ClientRow.address == part.address, ClientRow.phone == part.phone,
        ClientRow.email == part.email, col(ClientRow.removed_at).is_(None),
    )  # fmt: skip
    found = db.exec(same).first()
    return found.id or 0 if found else add_client(db, Client(0, part.name, part.address, part.phone, part.email))


def _add_pieces(db: Session, job_id: int, document: JobDocument) -> Numbers:
    """Insert the pieces, owners named once all are there, and return their ids by their numbers."""
    made = {
        part.id: PieceRow(
            job_id=job_id, position=position, kind=part.kind, name=part.name, quantity=part.quantity, notes=part.notes,
            choices=to_json(part.choices),
        )
        for position, part in enumerate(document.pieces)
    }  # fmt: skip
    ids = {number: rows.add(db, row) for number, row in made.items()}
    for part in document.pieces:
        if part.belongs_to is not None:
            made[part.id].belongs_to = ids[part.belongs_to]
    db.flush()
    return ids


def _orders(db: Session, job_id: int, document: JobDocument) -> Iterator[tuple[OrderPart, Order]]:
    for part in document.orders:
        lines = tuple(
            OrderLine(0, line.material, line.description, line.package, line.package_quantity, line.packages,
                      line.package_price, line.parts, line.receipts)
            for line in part.lines
        )  # fmt: skip
        number = _free_order_number(part.number, orders.load_numbers(db))
        yield (
            part,
            Order(
                0, job_id, number, part.supplier, lines, part.ordered_at, part.lead_time, part.expected_on, part.notes
            ),
        )


def _free_order_number(number: str, used: Iterable[str]) -> str:
    """Return the number, or with a letter when another order has it: `P2026-004-B`."""
    known = set(used)
    if number not in known:
        return number
    try:
        return revised_number(number, known)
    except ValueError:
        return next(free for n in range(2, len(known) + 3) if (free := f"{number}-{n}") not in known)


def _add_quotes(db: Session, job_id: int, document: JobDocument, pieces: Numbers) -> None:
    """Insert the quotes as they were promised, their printed numbers too; a number that is taken is kept apart."""
    ids: dict[int, int] = {}
    used = set(quotes.load_numbers(db))
    for part in document.quotes:
        number = part.quote.number
        kept = number if number not in used else f"{number} of job {job_id}"
        quote = quote_for(part.quote, pieces)
        row = QuoteRow(
            job_id=job_id, number=kept, replaces=ids.get(part.replaces or 0), frozen_at=part.frozen_at,
            valid_until=quote.valid_until, total=quote.total, frozen=to_json(quote),
        )  # fmt: skip
        ids[part.id] = rows.add(db, row)
        for answer in part.answers:
            quotes.add_answer(db, ids[part.id], answer)


def _add_cut(db: Session, job_id: int, document: JobDocument, pieces: Numbers) -> None:
    """Insert the boards that were cut up for the job, how they were cut, and what the job took."""
    boards = {
        part.id: add_rack_piece(
            db,
            RackPiece(0, part.mark, part.material, part.width, part.length, price=part.price, supplier=part.supplier,
                      cut_for=job_id, note=part.note),
        )
        for part in document.boards
    }  # fmt: skip
    for one in document.cuttings:
        add_cutting(db, job_id, Cutting(0, one.material, layout_for(one.layout, pieces, boards)))
    for use in document.board_uses:
        add_board_use(db, BoardUse(0, job_id, document.job.name, use.material, use.net, use.used, use.note))
