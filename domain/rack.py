"""The rack: real boards and sheets of known size, in the shop or seen at the yard, and what was cut from them."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import Enum

from domain.figure import Figure, Rule, Unit, typed
from domain.layout.shape import Layout
from domain.length import ZERO, Length
from domain.lumber import board_feet, grade_names, quarters
from domain.material import Material, MaterialKind
from domain.money import Money
from domain.practice import ShopPractice
from domain.sheet_goods import sheet_size
from domain.words import counted

CUT_FROM = (MaterialKind.LUMBER, MaterialKind.SHEET)
"""What is cut to size; everything else is counted or measured out."""


class RackPlace(Enum):
    """Where a board or sheet is; the value is what is stored and read."""

    SHOP = "in the shop"
    YARD = "at the yard"


@dataclass(frozen=True, slots=True)
class RackPiece:
    """One board or sheet of a known size.

    mark: written on it, such as `R12`; material: as boards and sheets of take-offs, its size the rough thickness or
    the nominal one; price: of one board foot or one sheet, None when nobody said; supplier: where it is seen or came
    from; set_aside_for: the job that has it; offcut_of, cut_for: the job it was left over from, the job it was cut up
    for. Raises ValueError for a size that is not positive, or a material that is not cut to size.
    """

    id: int
    mark: str
    material: Material
    width: Length
    length: Length
    place: RackPlace = RackPlace.SHOP
    price: Money | None = None
    supplier: str = ""
    set_aside_for: int | None = None
    offcut_of: int | None = None
    cut_for: int | None = None
    note: str = ""
    version: int = 1

    def __post_init__(self) -> None:
        if self.width <= ZERO or self.length <= ZERO:
            raise ValueError(f"a board has a size, not {self.width.tape()} by {self.length.tape()}")
        if self.material.kind not in CUT_FROM:
            raise ValueError(f"only boards and sheets lie on the rack, not {self.material.kind.value}")

    @property
    def key(self) -> str:
        """Return what it is called as a source of a layout."""
        return f"{RACK}{self.id}"

    @property
    def where(self) -> str:
        return f"rack:{self.id}"

    @property
    def is_whole(self) -> bool:
        """Whether it has not been cut up."""
        return self.cut_for is None

    @property
    def title(self) -> str:
        """Return the piece as the shop says it: `R12, 7 1/4 × 112`."""
        return f"{self.mark}, {self.width.tape()} × {self.length.tape()}"

    def quantity(self, practice: ShopPractice) -> Figure:
        """Return how much it is, in its material's base unit: its board feet [bf], or its share of a full sheet."""
        if self.material.kind is MaterialKind.SHEET:
            return self._share(practice)
        thick = rough_thickness(self.material, practice)
        sizes = typed("Width", self.width, where=self.where), typed("Length", self.length, where=self.where)
        return board_feet(thick, *sizes, label=self.title)

    def _share(self, practice: ShopPractice) -> Figure:
        full = sheet_size(self.material, practice)
        value = self.width.inches * self.length.inches / (full.width.value * full.length.value)
        sizes = typed("Width", self.width, where=self.where), typed("Length", self.length, where=self.where)
        rule = Rule("width × length ÷ that of the sheet usually bought")
        return Figure(self.title, value, Unit.SHEET, rule, (*sizes, full.width, full.length))


KEEP = {
    MaterialKind.LUMBER: ("offcut_width", "offcut_length"),
    MaterialKind.SHEET: ("sheet_offcut_width", "sheet_offcut_length"),
}
"""The habits that say how wide and how long an offcut is worth keeping."""

ONE_OF = {MaterialKind.LUMBER: "board", MaterialKind.SHEET: "sheet as listed"}
"""What a package is called that is one piece of the rack."""

RACK = "rack:"
"""How the key of a source begins that is one piece of the rack; its id follows."""


@dataclass(frozen=True, slots=True)
class Cutting:
    """Boards or sheets of one material that were cut up for a job, as laid out then. material: what was asked for."""

    id: int
    material: Material
    layout: Layout


def noun(kind: MaterialKind) -> str:
    """Return what one of it is called: `sheet`, or `board`."""
    return "sheet" if kind is MaterialKind.SHEET else "board"


def so_many(count: int, kind: MaterialKind) -> str:
    """Return how many there are: `1 board`, `3 sheets`."""
    return counted(count, noun(kind))


def rough_thickness(material: Material, practice: ShopPractice) -> Figure:
    """Return the rough thickness of lumber that is paid for [in]; of a size nobody sells, an inch."""
    rough = next((one.rough for one in quarters(practice) if one.name == material.size), Length.of(1))
    rule = Rule(f"{material.size} rough stock", "as the trade names it")
    return Figure("Rough thickness", rough.inches, Unit.INCH, rule)


def serves(piece: RackPiece, wanted: Material) -> bool:
    """Whether a board or sheet can be cut for a material: the same wood and thickness, its grade or a better one."""
    found = piece.material
    if (found.kind, found.name.casefold(), found.size) != (wanted.kind, wanted.name.casefold(), wanted.size):
        return False
    if wanted.kind is MaterialKind.SHEET or found.grade == wanted.grade or not wanted.grade:
        return True
    order = grade_names()
    return found.grade in order and wanted.grade in order and order.index(found.grade) <= order.index(wanted.grade)


def to_use(rack: Iterable[RackPiece], wanted: Material, *, job_id: int) -> Iterator[RackPiece]:
    """Yield the boards and sheets a job may cut for a material: whole, its own or nobody's; its own first."""
    free = [one for one in rack if one.is_whole and one.set_aside_for in (None, job_id) and serves(one, wanted)]
    yield from sorted(free, key=lambda one: (one.place is RackPlace.YARD, one.set_aside_for is None, one.id))


def widths_to_be_had(rack: Iterable[RackPiece], wanted: Material, length: Length, *, job_id: int) -> tuple[Length, ...]:
    """Return how wide each board is that a job may cut for a material and that is so long, the widest first."""
    found = to_use(rack, wanted, job_id=job_id)
    return tuple(sorted((one.width for one in found if one.length >= length), reverse=True))


def next_mark(rack: Iterable[RackPiece], *, first: str = "R") -> str:
    """Return the next free mark to write on a board: `R13` after `R12`."""
    numbers = (one.mark.removeprefix(first) for one in rack if one.mark.startswith(first))
    return f"{first}{max((int(number) for number in numbers if number.isdecimal()), default=0) + 1}"
