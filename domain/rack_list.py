"""A list of boards and sheets: which stock they are, their marks, and how much they come to."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache

from domain.figure import Figure, Rule, Unit, add_up, typed
from domain.length import Length
from domain.lumber import Quarter, quarters, tally
from domain.material import Material, MaterialKind
from domain.practice import ShopPractice
from domain.rack import RackPiece, RackPlace, next_mark, rough_thickness

FIRST = {RackPlace.SHOP: "R", RackPlace.YARD: "Y"}
"""How the marks begin that are given to boards and sheets on the rack and at the yard."""

NOMINAL = {"1/4": "actual_1_4", "1/2": "actual_1_2", "5/8": "actual_5_8", "3/4": "actual_3_4"}
"""Which habit says how thick a nominal sheet really is."""


@dataclass(frozen=True, slots=True)
class RackGroup:
    """Boards or sheets of one material in one place, largest first.

    amount: board feet [bf], or the area of sheets [ft²]; tally: what a yard charges for by surface measure [bf],
    None for sheets and in the shop.
    """

    place: RackPlace
    material: Material
    pieces: tuple[RackPiece, ...]
    amounts: tuple[Figure, ...]
    amount: Figure
    tally: Figure | None

    @property
    def key(self) -> str:
        """Return what it is found by on a page, the same while its first piece is there."""
        return str(min(piece.id for piece in self.pieces))


def grouped(rack: Iterable[RackPiece], practice: ShopPractice) -> tuple[RackGroup, ...]:
    """Return what lies on the rack by place and material, the shop's first, boards before sheets."""
    found: dict[tuple[RackPlace, Material], list[RackPiece]] = {}
    for piece in rack:
        found.setdefault((piece.place, piece.material), []).append(piece)
    places = list(RackPlace)
    order = sorted(found, key=lambda group: (places.index(group[0]), _place_of(group[1], practice)))
    return tuple(_group(*key, found[key], practice) for key in order)


def _place_of(material: Material, practice: ShopPractice) -> tuple[bool, str, Fraction, str, str]:
    is_lumber = material.kind is MaterialKind.LUMBER
    thick = rough_thickness(material, practice).value if is_lumber else Fraction(0)
    return not is_lumber, material.name.casefold(), thick, material.size, material.grade


def _group(place: RackPlace, material: Material, found: Sequence[RackPiece], practice: ShopPractice) -> RackGroup:
    pieces = tuple(sorted(found, key=lambda one: (-one.length.inches, -one.width.inches, one.id)))
    amounts = tuple(amount(one, practice) for one in pieces)
    total = add_up(f"{material.title} {place.value}", amounts, amounts[0].unit, "each one added up")
    charged = place is RackPlace.YARD and material.kind is MaterialKind.LUMBER
    thick = rough_thickness(material, practice).length
    by_tally = tally(((one.width, one.length) for one in pieces), thick) if charged else None
    return RackGroup(place, material, pieces, amounts, total, by_tally)


@lru_cache(maxsize=4096)
def amount(piece: RackPiece, practice: ShopPractice) -> Figure:
    """Return how much a piece is to look at: its board feet [bf], of a sheet or an offcut its area [ft²]."""
    if piece.material.kind is MaterialKind.LUMBER:
        return piece.quantity(practice)
    sizes = typed("Width", piece.width, where=piece.where), typed("Length", piece.length, where=piece.where)
    area = piece.width.inches * piece.length.inches / 144
    return Figure(piece.title, area, Unit.SQUARE_FOOT, Rule("width × length ÷ 144"), sizes)


def stock_size(thick: Length, kind: MaterialKind, practice: ShopPractice) -> str:
    """Return the stock that a measured thickness is of: `5/4` of 1 1/16 in; empty when it is of none.

    Of lumber a rough thickness that is sold, else the thickest stock that is dressed to no more than this; of a sheet
    its nominal thickness. Source: data/thickness.csv and the shop's practice.
    """
    if kind is MaterialKind.SHEET:
        return next((name for name, key in NOMINAL.items() if practice.length(key) == thick), "")
    bought = quarters(practice)
    rough = next((quarter for quarter in bought if quarter.rough == thick), None)
    dressed = [quarter for quarter in bought if _is_of(thick, quarter)]
    found = rough or (dressed[-1] if dressed else None)
    return found.name if found else ""


def _is_of(thick: Length, quarter: Quarter) -> bool:
    """Whether a board so thick can be this stock: between dressed and rough."""
    return quarter.dressed.length <= thick <= quarter.rough


def marked(pieces: Iterable[RackPiece], rack: Iterable[RackPiece]) -> Iterator[RackPiece]:
    """Yield pieces, those without a mark with the next free one: `R13` on the rack, `Y1` at the yard.

    rack: everything that ever had a mark and may still be told by it.
    """
    wanted, last = list(pieces), dict.fromkeys(RackPlace, 0)
    known = (*rack, *(piece for piece in wanted if piece.mark))
    for place, first in FIRST.items():
        last[place] = int(next_mark(known, first=first).removeprefix(first))
    for piece in wanted:
        if piece.mark:
            yield piece
            continue
        yield replace(piece, mark=f"{FIRST[piece.place]}{last[piece.place]}")
        last[piece.place] += 1
