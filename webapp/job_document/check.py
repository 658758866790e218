"""What a job document may not say though every value has its type: numbers that lead nowhere, sizes that cannot be."""

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import fields, is_dataclass
from datetime import date, datetime, timedelta
from fractions import Fraction
from itertools import chain
from typing import Any

from domain.board_use import least_used
from domain.length import ZERO
from domain.measure import run_problems
from domain.money import Money
from domain.operation import OPERATIONS
from domain.option import LeftOut
from domain.pieces.piece import PlacedPiece, field_problems, placing_problems
from domain.practice import PRACTICES
from domain.rack import CUT_FROM, RACK
from domain.task import LONGEST
from webapp.job_document.shape import JobDocument, OrderLinePart, PiecePart

Fault = tuple[tuple[str | int, ...], str]

MOST = {"tasks": 20_000, "links": 20_000, "prices": 5_000}
USUAL_MOST = 1_000
"""Parts of one kind in one job; more was not made by hand."""

LONGEST_NAME, LONGEST_TEXT, LONGEST_LIST = 200, 5_000, 2_000_000
NAMES = frozenset({"name", "supplier", "number", "package", "phone", "email", "key", "before", "after", "option"})
LISTS = frozenset({"lines"})
LARGEST_CENTS, LARGEST_COUNT, LARGEST_EXACT = 10**13, 10**9, 10**15
YEARS = range(2000, 2101)
DAY, MINUTE = timedelta(days=1), timedelta(minutes=1)

_OF_PIECE_OR_ORDER = re.compile(r"(?P<what>p|delivery:)(?P<number>\d{1,9})(?P<rest>\..+)", re.ASCII)


def renumbered(key: str, pieces: Mapping[int, int], orders: Mapping[int, int]) -> str | None:
    """Return the key of a task with other numbers in it, None when it is of a piece or order that has none.

    pieces, orders: other numbers, by those in the key; keys of the job's own tasks stay as they are.
    """
    match = _OF_PIECE_OR_ORDER.fullmatch(key)
    if match is None:
        return key
    other = (pieces if match["what"] == "p" else orders).get(int(match["number"]))
    return None if other is None else f"{match['what']}{other}{match['rest']}"


_OF_PART = re.compile(r"(?P<number>\d{1,9})(?P<rest>[A-Z]{0,3})", re.ASCII)


def renumbered_blank(key: str, pieces: Mapping[int, int]) -> str | None:
    """Return the key of a part in a layout, such as `12A`, with another number; None when its piece has none."""
    match = _OF_PART.fullmatch(key)
    other = pieces.get(int(match["number"])) if match else None
    return None if match is None or other is None else f"{other}{match['rest']}"


def faults(document: JobDocument) -> Iterator[Fault]:
    """Yield what cannot be, where it stands. Later checks count on what earlier ones found in order."""
    for check in (_too_many, _values, _numbers, _parts):
        found = list(check(document))
        yield from found
        if found:
            return


def _too_many(document: JobDocument) -> Iterator[Fault]:
    for name in ("runs", "pieces", "options", "costs", "tasks", "links", "orders", "quotes", "boards",
                 "cuttings", "board_uses"):  # fmt: skip
        count, most = len(getattr(document, name)), MOST.get(name, USUAL_MOST)
        if count > most:
            yield (name,), f"has {count:,} entries; a job has at most {most:,}"
    if len(document.leans_on.prices) > MOST["prices"]:
        yield ("leans_on", "prices"), f"has more than {MOST['prices']:,} entries"


def _values(document: JobDocument) -> Iterator[Fault]:
    """Yield texts, days, numbers and durations beyond what a shop can mean."""
    waiting: list[tuple[tuple[str | int, ...], str, Any]] = [((), "", document)]
    while waiting:
        path, name, value = waiting.pop()
        if words := _beyond(name, value):
            yield path, words
        elif isinstance(value, tuple):
            waiting += [((*path, place), name, each) for place, each in enumerate(value)]
        elif isinstance(value, Mapping):
            waiting += [((*path, key), key, each) for key, each in value.items()]
        elif is_dataclass(value) and not isinstance(value, Money):
            waiting += [((*path, each.name), each.name, getattr(value, each.name)) for each in fields(value)]


def _beyond(name: str, value: Any) -> str:
    match value:
        case str():
            most = LONGEST_NAME if name in NAMES else LONGEST_LIST if name in LISTS else LONGEST_TEXT
            return "" if len(value) <= most else f"is {len(value):,} characters long; at most {most:,} can be kept"
        case bool() | None:
            return ""
        case int() if abs(value) > LARGEST_COUNT:
            return f"is {value}, which is too large"
        case Money() if abs(value.cents) > LARGEST_CENTS:
            return "is an amount that is too large"
        case Fraction() if max(abs(value.numerator), value.denominator) > LARGEST_EXACT:
            return "is a number of too many digits"
        case datetime() if value.tzinfo is None:
            return f"is {value.isoformat()} without a time zone. Write an instant such as {value.isoformat()}Z"
        case date() if value.year not in YEARS:
            return f"is in the year {value.year}; it must be from {YEARS[0]} to {YEARS[-1]}"
        case timedelta() if not timedelta() <= value <= LONGEST:
            return "is a duration that cannot be: from 0 to ten years"
        case timedelta() if value % (DAY if name == "lead_time" else MINUTE):
            return f"is {value}; it is counted in whole {'days' if name == 'lead_time' else 'minutes'}"
    return ""


def _numbers(document: JobDocument) -> Iterator[Fault]:
    """Yield numbers used twice, and references to what the document does not hold."""
    pieces = {piece.id for piece in document.pieces}
    for name, alike in (
        ("pieces", [piece.id for piece in document.pieces]),
        ("orders", [order.id for order in document.orders]),
        ("orders", [order.number for order in document.orders]),
        ("quotes", [quote.id for quote in document.quotes]),
        ("quotes", [quote.quote.number for quote in document.quotes]),
        ("tasks", [task.key for task in document.tasks]),
        ("boards", [board.id for board in document.boards]),
    ):
        yield from (((name,), f"says “{twice}” twice") for twice in _twice(alike))
    for place, piece in enumerate(document.pieces):
        if piece.belongs_to is not None and piece.belongs_to not in pieces:
            yield ("pieces", place, "belongs_to"), _gone("piece", piece.belongs_to)
    for place, option in enumerate(document.options):
        left_out = [change.left_out for change in option.changes if isinstance(change, LeftOut)]
        gone = [number for number in (*option.pieces, *left_out) if number not in pieces]
        yield from ((("options", place), _gone("piece", number)) for number in gone)
    yield from _keys(document, pieces)
    earlier: set[int] = set()
    for place, quote in enumerate(document.quotes):
        if quote.replaces is not None and quote.replaces not in earlier:
            yield ("quotes", place, "replaces"), _gone("earlier quote", quote.replaces)
        for row, line in enumerate(quote.quote.lines):
            if line.piece_id is not None and line.piece_id not in pieces:
                yield ("quotes", place, "quote", "lines", row, "piece_id"), _gone("piece", line.piece_id)
        earlier.add(quote.id)


def _keys(document: JobDocument, pieces: Iterable[int]) -> Iterator[Fault]:
    same = {number: number for number in pieces}, {order.id: order.id for order in document.orders}
    keys: Iterable[tuple[tuple[str | int, ...], str]] = chain(
        ((("tasks", place, "key"), task.key) for place, task in enumerate(document.tasks)),
        ((("links", place, "before"), link.before) for place, link in enumerate(document.links)),
        ((("links", place, "after"), link.after) for place, link in enumerate(document.links)),
    )
    for path, key in keys:
        if not key:
            yield path, "is empty"
        elif renumbered(key, *same) is None:
            yield path, f"is “{key}”: the document holds no such piece or order"


def _parts(document: JobDocument) -> Iterator[Fault]:
    yield from _job(document)
    for place, run in enumerate(document.runs):
        yield from ((("runs", place, problem.field), f"cannot be: {problem.words}") for problem in run_problems(run))
    yield from _pieces(document.pieces)
    for place, task in enumerate(document.tasks):
        yield from ((("tasks", place), words) for words in _task(task))
    for place, link in enumerate(document.links):
        if link.before == link.after or (link.at_most is not None and link.at_most < link.at_least):
            yield ("links", place), "cannot be: a task waits for another one, at most no shorter than at least"
    for place, order in enumerate(document.orders):
        if not order.number or not order.supplier or not order.lines:
            yield ("orders", place), "needs a number, a supplier and at least one line"
        for row, line in enumerate(order.lines):
            yield from ((("orders", place, "lines", row), words) for words in _order_line(line))
    yield from _cut(document)
    yield from _leans_on(document)


def _cut(document: JobDocument) -> Iterator[Fault]:
    """Yield what cannot be of boards, of what was cut from them and of what the job took."""
    for place, board in enumerate(document.boards):
        if board.material.kind not in CUT_FROM or min(board.width, board.length) <= ZERO or not board.mark.strip():
            yield ("boards", place), "cannot be: a board or sheet has a mark and a size"
        if board.price is not None and board.price.cents < 0:
            yield ("boards", place, "price"), "cannot be: a price is at least 0"
    racked = {f"{RACK}{board.id}" for board in document.boards}
    for place, cutting in enumerate(document.cuttings):
        layout = cutting.layout
        blanks, sources = ({one.key for one in many} for many in (layout.to_cut.blanks, layout.to_cut.sources))
        used = {one.source for one in layout.laid}
        if not {each.blank for one in layout.laid for each in one.places} <= blanks or not used <= sources:
            yield ("cuttings", place, "layout"), "places parts or uses boards that it does not list"
        for key in sorted(used):
            if key.startswith(RACK) and key not in racked:
                yield ("cuttings", place, "layout"), f"uses board “{key}”, which the document does not hold"
    for place, use in enumerate(document.board_uses):
        if use.net <= 0 or use.used < least_used(use.net):
            yield ("board_uses", place), "cannot be: parts are more than nothing and at most twice what was cut up"


def _job(document: JobDocument) -> Iterator[Fault]:
    if not document.job.name.strip():
        yield ("job", "name"), "is empty"
    if not document.job.client.name.strip():
        yield ("job", "client", "name"), "is empty"


def _pieces(parts: Iterable[PiecePart]) -> Iterator[Fault]:
    placed = [PlacedPiece(part.id, part.name, part.quantity, part.choices, part.belongs_to) for part in parts]
    owners = {piece.id: piece.belongs_to for piece in placed}
    for place, piece in enumerate(placed):
        if not piece.name.strip():
            yield ("pieces", place, "name"), "is empty"
        for problem in placing_problems(piece, placed):
            yield ("pieces", place, problem.field), f"cannot be: {problem.words}"
        for problem in field_problems(piece.piece):
            yield ("pieces", place, "choices", problem.field), f"cannot be: {problem.words}"
        if _is_its_own_owner(piece.id, owners):
            yield ("pieces", place, "belongs_to"), "leads back to the piece itself"


def _is_its_own_owner(number: int, owners: Mapping[int, int | None]) -> bool:
    owner, seen = owners.get(number), set()
    while owner is not None and owner not in seen and owner != number:
        seen.add(owner)
        owner = owners.get(owner)
    return owner == number


def _task(task: Any) -> Iterator[str]:
    if task.own != task.key.startswith("own."):
        yield f"cannot be: the maker's own tasks, and only they, have keys such as “own.1”, not “{task.key}”"
    if (task.minutes is not None and task.minutes < 0) or (task.crew is not None and task.crew < 1):
        yield "cannot be: minutes are at least 0, a crew is at least 1"
    if min(task.best or 0, task.worst or 0) < 0 or (None not in (task.best, task.worst) and task.worst < task.best):
        yield "cannot be: the best time is at least 0, the worst no shorter"
    if task.started_at and task.finished_at and task.finished_at < task.started_at:
        yield "cannot be: it was finished before it was started"


def _order_line(line: OrderLinePart) -> Iterator[str]:
    came = sum((receipt.packages for receipt in line.receipts), Fraction(0))
    if line.packages <= 0 or line.package_quantity <= 0 or line.package_price.cents < 0:
        yield "cannot be: packages and what one holds are more than 0, a price at least 0"
    if came > line.packages or any(receipt.packages <= 0 for receipt in line.receipts):
        yield "cannot be: what came is more than 0 and no more than was ordered"


def _leans_on(document: JobDocument) -> Iterator[Fault]:
    for key, value in document.leans_on.practice.items():
        path = ("leans_on", "practice", key)
        if key not in PRACTICES:
            yield path, "is no habit that this Benchday knows"
        elif not PRACTICES[key].least <= value <= PRACTICES[key].most:
            yield path, f"is {value}; it must be from {PRACTICES[key].least} to {PRACTICES[key].most}"
    for key, time in document.leans_on.operations.items():
        path = ("leans_on", "operations", key)
        if key not in OPERATIONS:
            yield path, "is no operation that this Benchday knows"
        elif min(time.setup or 0, time.each or 0) < 0 or time.crew < 1:
            yield path, "cannot be: minutes are at least 0, a crew is at least 1"


def _twice(values: Iterable[Any]) -> Iterator[Any]:
    return (value for value, count in Counter(values).items() if count > 1)


def _gone(what: str, number: int) -> str:
    return f"names {what} {number}, which the document does not hold"
