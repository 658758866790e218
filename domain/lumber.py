"""Board feet, surface measure, rough size from finished size, and what to buy for a net quantity."""

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from domain.figure import Figure
from domain.length import Length
from domain.part import Part
from domain.practice import ShopPractice
from domain.problem import Problem


@dataclass(frozen=True, slots=True)
class Quarter:
    """A rough thickness lumber is sold in. name: `8/4`; rough: what is paid for; dressed: planed on two faces."""

    name: str
    rough: Length
    dressed: Length


@dataclass(frozen=True, slots=True)
class RoughSize:
    """What is bought for one part. quarter: name of the rough thickness, `8/4`; all three figures in inches."""

    quarter: str
    thickness: Figure
    width: Figure
    length: Figure


@dataclass(frozen=True, slots=True)
class AddOn:
    """Extra stock as a share of the net quantity: gross = net × (1 + share). share: a figure in SHARE."""

    share: Figure


@dataclass(frozen=True, slots=True)
class WasteShare:
    """Waste as a share of what is bought: gross = net ÷ (1 − share). share: a figure in SHARE."""

    share: Figure


@dataclass(frozen=True, slots=True)
class GradeYield:
    """Usable share of what is bought, as in lumber grades: gross = net ÷ share. share: a figure in SHARE."""

    share: Figure


Extra = AddOn | WasteShare | GradeYield


def quarters(practice: ShopPractice) -> tuple[Quarter, ...]:
    """Return the rough thicknesses the shop buys, thinnest first."""
    raise NotImplementedError


def rough_size(part: Part, practice: ShopPractice, *, where: str = "") -> RoughSize | Problem:
    """Return the rough size for one of a lumber part, extra length included, or a problem when it is too thick.

    where: address of the piece's sizes, such as `piece:7`; a part field name is appended (`piece:7:width`).
    """
    raise NotImplementedError


def board_feet(thickness: Figure, width: Figure, length: Figure, pieces: Figure | None = None) -> Figure:
    """Return the exact board measure of rough stock [bf]: T × W × L ÷ 144, under 1 in thick counted as 1 in.

    thickness, width, length: rough sizes [in]; pieces: how many alike, one when None.
    Raises ValueError for a size or count that is not positive.
    """
    raise NotImplementedError


def board_feet_of(rough: RoughSize, pieces: int) -> Figure:
    """Return the board measure of so many alike rough parts [bf]."""
    raise NotImplementedError


def surface_measure(boards: Iterable[tuple[Length, Length]]) -> tuple[int, ...]:
    """Return the surface measure of each board [whole ft²]; exact halves go down and up by turns."""
    raise NotImplementedError


def tally(boards: Iterable[tuple[Length, Length]], thickness: Length) -> Figure:
    """Return the board feet of a board tally [bf]. boards: (width, length) of each; thickness: rough."""
    raise NotImplementedError


def gross(net: Figure, extra: Extra) -> Figure:
    """Return what to buy for a net quantity, in the same unit, the words saying which percentage it is."""
    raise NotImplementedError


def usual_extra(species: str, grade: str, practice: ShopPractice) -> AddOn:
    """Return the shop's usual add-on for a species and grade: base, sapwood-prone and common-grade additions."""
    raise NotImplementedError


def grade_yield(grade: str) -> GradeYield:
    """Return the least clear-face yield of a grade such as `FAS`. Raises KeyError for an unknown grade."""
    raise NotImplementedError


def share_as_add_on(waste: Fraction) -> Fraction:
    """Return the add-on that buys as much as a waste share: 1/3 -> 1/2."""
    raise NotImplementedError
