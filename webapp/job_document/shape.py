"""What a job document holds. Parts refer to each other by numbers of their own, from 1, that mean nothing outside."""

from collections.abc import Mapping
from dataclasses import dataclass, field, make_dataclass
from datetime import date, datetime, timedelta
from fractions import Fraction
from functools import reduce
from operator import or_
from typing import TYPE_CHECKING, Annotated, Any, Literal

from pydantic import Field

from domain.answer import Answer
from domain.job import JobState, Matters
from domain.layout.shape import Layout
from domain.length import Length
from domain.material import Material
from domain.measure import Run
from domain.money import Money
from domain.operation import OperationTime
from domain.option import Option
from domain.order import Receipt
from domain.pieces import KINDS
from domain.pieces.piece import Piece, PlacedPiece
from domain.price import Price
from domain.quote import FrozenQuote
from domain.task import OwnLink, TaskRecord
from domain.terms import CostLine, Terms
from webapp.store.codec import adapter

FORMAT: Literal["benchday-job"] = "benchday-job"
VERSION: Literal[1] = 1

NOT_SAID: Mapping[str, tuple[str, ...]] = {
    "Run": ("version",),
    "Option": ("version",),
    "CostLine": ("version",),
    "Price": ("version",),
    "Terms": ("where", "version"),
    "WasteChoice": ("where",),
    "TaskRecord": ("who",),
}
"""Fields of domain values that mean something only inside one shop's store."""


@dataclass(frozen=True, slots=True)
class ClientPart:
    """Whom the job is for."""

    name: str
    address: str = ""
    phone: str = ""
    email: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class JobPart:
    """The job itself. terms: its own money terms, null while it follows the shop's."""

    name: str
    client: ClientPart
    site: str = ""
    promised_on: date | None = None
    state: JobState = JobState.ENQUIRY
    notes: str = ""
    invented: bool = False
    terms: Terms | None = None
    matters: Matters = Matters.USUAL


@dataclass(frozen=True, slots=True, kw_only=True)
class PiecePart:
    """A piece: so many alike, of a kind with its choices. belongs_to: the number of the piece it belongs to."""

    id: int
    kind: str
    name: str
    quantity: int = 1
    belongs_to: int | None = None
    notes: str = ""
    choices: Any


def _part_of(kind: type[Piece]) -> type[PiecePart]:
    own = [("kind", Literal[kind.kind]), ("choices", kind)]
    return make_dataclass(f"{kind.__name__}Piece", own, bases=(PiecePart,), frozen=True, slots=True, kw_only=True)


PARTS: Mapping[str, type[PiecePart]] = {word: _part_of(kind) for word, kind in KINDS.items()}
"""What a piece of each kind looks like in a document; its choices are the fields of the kind itself."""

if TYPE_CHECKING:
    AnyPiece = PiecePart
else:
    AnyPiece = Annotated[reduce(or_, PARTS.values()), Field(discriminator="kind")]


def piece_part(placed: PlacedPiece, *, number: int, belongs_to: int | None) -> PiecePart:
    """Return a placed piece as the document has it. number: of its own; belongs_to: its owner's number."""
    return PARTS[placed.piece.kind](
        id=number, kind=placed.piece.kind, name=placed.name, quantity=placed.quantity, belongs_to=belongs_to,
        notes=placed.notes, choices=placed.piece,
    )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderLinePart:
    """Packages ordered at the price of one when the order was written. parts: what they are for, in words."""

    material: Material
    description: str = ""
    package: str
    package_quantity: Fraction
    packages: Fraction
    package_price: Money
    parts: str = ""
    receipts: tuple[Receipt, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderPart:
    """An order to one supplier. ordered_at: null while it is only written down."""

    id: int
    number: str
    supplier: str
    lines: tuple[OrderLinePart, ...]
    ordered_at: datetime | None = None
    lead_time: timedelta = timedelta()
    expected_on: date | None = None
    notes: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class QuotePart:
    """A quote as it was promised, and what was answered. replaces: the number of the part of the quote it revises."""

    id: int
    frozen_at: datetime
    quote: FrozenQuote
    replaces: int | None = None
    answers: tuple[Answer, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardPart:
    """A board or sheet of the rack that was cut up for the job. price: of a board foot or a sheet."""

    id: int
    mark: str
    material: Material
    width: Length
    length: Length
    price: Money | None = None
    supplier: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CuttingPart:
    """Boards or sheets of one material that were cut up. Keys in the layout begin with the number of their piece,
    or are `rack:` and the number of their board.
    """

    material: Material
    layout: Layout


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardUsePart:
    """What the job really took of a wood: net in its parts, and cut up for them [bf]."""

    material: Material
    net: Fraction
    used: Fraction
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LeansOn:
    """What the job leans on of its shop, so that it reads the same in another.

    prices: of the materials it takes; practice: habits the shop changed, by key; operations: what the shop says
    they take [min], by key; terms: the shop's money terms while the job has none of its own.
    """

    prices: tuple[Price, ...] = ()
    practice: dict[str, Fraction] = field(default_factory=dict)
    operations: dict[str, OperationTime] = field(default_factory=dict)
    terms: Terms | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class JobDocument:
    """Everything that belongs to one job. Exact values are text such as "3/4", money is in cents, instants in UTC."""

    format: Literal["benchday-job"]
    version: Literal[1]
    schema: str = ""
    exported_at: datetime
    job: JobPart
    runs: tuple[Run, ...] = ()
    pieces: tuple[AnyPiece, ...] = ()
    options: tuple[Option, ...] = ()
    costs: tuple[CostLine, ...] = ()
    tasks: tuple[TaskRecord, ...] = ()
    links: tuple[OwnLink, ...] = ()
    orders: tuple[OrderPart, ...] = ()
    quotes: tuple[QuotePart, ...] = ()
    boards: tuple[BoardPart, ...] = ()
    cuttings: tuple[CuttingPart, ...] = ()
    board_uses: tuple[BoardUsePart, ...] = ()
    leans_on: LeansOn = LeansOn()


_TERMS = {"where": True, "version": True, "waste": {"where"}}
_EACH = {"__all__": {"version"}}
_LEFT_OUT: Any = {
    "job": {"terms": _TERMS},
    "runs": _EACH,
    "options": _EACH,
    "tasks": {"__all__": {"who"}},
    "costs": _EACH,
    "leans_on": {"prices": _EACH, "terms": _TERMS},
}


def to_text(document: JobDocument) -> str:
    """Return the document as JSON text, one field to a line."""
    text: bytes = adapter(JobDocument).dump_json(document, exclude=_LEFT_OUT, indent=1)
    return text.decode()


def to_plain(document: JobDocument) -> Any:
    """Return the document as JSON knows it: dicts, lists, text, whole numbers, true, false and null."""
    return adapter(JobDocument).dump_python(document, mode="json", exclude=_LEFT_OUT)
