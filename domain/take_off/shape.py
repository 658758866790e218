"""What a take-off says: its cut list, lines, built pieces, finish areas and the order between steps."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import timedelta
from enum import Enum
from fractions import Fraction

from domain.figure import Figure
from domain.lumber import RoughSize
from domain.material import Material
from domain.part import Face, FinishChoice, Part, Step
from domain.pieces.piece import PlacedPiece
from domain.price import Packages
from domain.problem import Problem


class WasteMethod(Enum):
    """How lumber beyond the net quantity is reckoned; the value is what is stored and read."""

    ADD_ON = "added to net"
    WASTE_SHARE = "share of what is bought"
    GRADE_YIELD = "yield of the grade"
    OWN_YIELD = "yield of our own jobs"
    LAYOUT = "as laid out, board by board"


@dataclass(frozen=True, slots=True)
class WasteChoice:
    """A job's way to reckon extra lumber. share: typed for the job, None for the shop's or the grade's own.

    where: the address of the form that sets it.
    """

    method: WasteMethod = WasteMethod.ADD_ON
    share: Fraction | None = None
    where: str = ""


USUAL_WASTE = WasteChoice()


@dataclass(frozen=True, slots=True)
class PartRef:
    """Which part of which piece. mark: of the part within its piece, empty for the piece as a whole."""

    piece_id: int
    piece: str
    mark: str = ""

    @property
    def on_stock(self) -> str:
        """Return the mark to write on the stock, which no other part of the shop has: the piece's number and `A`."""
        return f"{self.piece_id}{self.mark}"


@dataclass(frozen=True, slots=True)
class CutLine:
    """Alike parts of one piece. pieces: count × how many of the piece; rough: None for sheets;
    net: board feet or square feet of them all; sizes: finished thickness, width and length, with working.
    """

    ref: PartRef
    part: Part
    pieces: Figure
    sizes: tuple[Figure, Figure, Figure]
    net: Figure
    rough: RoughSize | None = None


@dataclass(frozen=True, slots=True)
class Chosen:
    """One board or sheet with a price of its own. in_shop: it was bought before, so it only costs."""

    packages: Packages
    in_shop: bool = False


@dataclass(frozen=True, slots=True)
class TakeOffLine:
    """So much of one material.

    net: what is in the pieces: boards [bf], sheets, glue lines and coated faces [ft²], sanding [ft²], strip [ft],
    the rest counted; needed: in the material's base unit, with waste, loss or spares; whole packages are a matter
    of the price book. parts: that it goes into; why: what for, where a name alone does not say; asked_for: sizes to
    ask a supplier for; chosen: boards and sheets of the layout that have prices of their own.
    """

    material: Material
    net: Figure
    needed: Figure
    parts: tuple[PartRef, ...]
    why: str = ""
    asked_for: str = ""
    chosen: tuple[Chosen, ...] = ()

    @property
    def by_the_book(self) -> Fraction:
        """Return how much of what is needed is bought at the price book's prices."""
        fixed = (one.packages.holds for one in self.chosen if not one.in_shop)
        return max(self.needed.value - sum(fixed, Fraction(0)), Fraction(0))


@dataclass(frozen=True, slots=True)
class BuiltPiece:
    """A piece as it is made, steps and faces counted for all that are alike.

    steps: quantities multiplied by how many there are; weight: of one [lb]; figures: worth showing, of one.
    """

    placed: PlacedPiece
    steps: tuple[Step, ...] = ()
    faces: tuple[Face, ...] = ()
    weight: Figure | None = None
    figures: tuple[Figure, ...] = ()
    problems: tuple[Problem, ...] = ()


@dataclass(frozen=True, slots=True)
class FinishArea:
    """Everything that gets one finish: one coat task per coat. area [ft²]; by_piece: of each piece, by id [ft²]."""

    choice: FinishChoice
    area: Figure
    faces: tuple[Face, ...]
    by_piece: Mapping[int, Fraction]

    @property
    def pieces(self) -> tuple[int, ...]:
        """Return the ids of the pieces that get it."""
        return tuple(self.by_piece)


@dataclass(frozen=True, slots=True)
class StepRef:
    piece_id: int
    step: str


@dataclass(frozen=True, slots=True)
class StepLink:
    """`then` may start at_least after `first` has finished, across two pieces."""

    first: StepRef
    then: StepRef
    at_least: timedelta = timedelta()
    why: str = ""


@dataclass(frozen=True, slots=True)
class TakeOff:
    """What a job needs.

    heaviest: the piece of which one weighs most, as far as weights are known; problems: what is left out and
    why, fields are addresses such as `piece:7:length`, words name the piece; warnings stay with their piece.
    """

    pieces: tuple[BuiltPiece, ...] = ()
    cut_list: tuple[CutLine, ...] = ()
    lines: tuple[TakeOffLine, ...] = ()
    finishes: tuple[FinishArea, ...] = ()
    links: tuple[StepLink, ...] = ()
    heaviest: BuiltPiece | None = None
    problems: tuple[Problem, ...] = ()
