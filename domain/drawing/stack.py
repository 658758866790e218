"""Where the doors and drawers of a cabinet are: stacked from the top in their order, doors side by side below."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from domain.length import Length
from domain.pieces.door import Door
from domain.pieces.drawer import Drawer, FrontFit
from domain.pieces.piece import PlacedPiece
from domain.practice import ShopPractice

GAP = Fraction(1, 8)
"""Between two doors side by side [in]. Source: common practice, no source."""


@dataclass(frozen=True, slots=True)
class Front:
    """A door or drawer front as it is seen. left, top, wide, high [in], from the upper left corner of the cabinet;
    placed: which piece it is one of; name: with its number.
    """

    placed: PlacedPiece
    name: str
    left: Fraction
    top: Fraction
    wide: Fraction
    high: Fraction

    @property
    def bottom(self) -> Fraction:
        return self.top + self.high


@dataclass(frozen=True, slots=True)
class _One:
    """One drawer or door. wide, high: of a drawer's opening, of a door itself; over: reach of a front over them."""

    placed: PlacedPiece
    name: str
    wide: Fraction
    high: Fraction
    over: Fraction = Fraction(0)

    def front(self, left: Fraction, top: Fraction) -> Front:
        over = self.over
        return Front(self.placed, self.name, left - over, top - over, self.wide + 2 * over, self.high + 2 * over)


@dataclass(frozen=True, slots=True)
class Inside:
    """What is clear in a cabinet [in]."""

    left: Fraction
    top: Fraction
    right: Fraction
    bottom: Fraction

    @property
    def wide(self) -> Fraction:
        return self.right - self.left

    @property
    def high(self) -> Fraction:
        return self.bottom - self.top


def fronts(
    belongings: Sequence[PlacedPiece], cabinets: int, inside: Inside, practice: ShopPractice
) -> tuple[Front, ...]:
    """Return the fronts of one of so many alike cabinets.

    Openings are spread from top to bottom with what is left over shared between them; doors are in a row below the
    drawers. Source: common practice, no source: the pieces themselves do not say where they go.
    """
    drawers, doors = [], []
    for placed in belongings:
        many = ceil(Fraction(placed.quantity, cabinets))
        for number in range(1, many + 1):
            name = placed.name if many == 1 else f"{placed.name} {number}"
            if isinstance(placed.piece, Drawer):
                drawers.append(_drawer(placed, placed.piece, name, practice))
            elif isinstance(placed.piece, Door):
                doors.append(_One(placed, name, placed.piece.width.inches, placed.piece.height.inches))
    return tuple(_stacked(drawers, doors, inside))


def _drawer(placed: PlacedPiece, drawer: Drawer, name: str, practice: ShopPractice) -> _One:
    is_over = drawer.fit is FrontFit.OVERLAY
    over = drawer.overlay.inches if is_over else -practice.length("front_gap").inches
    return _One(placed, name, drawer.width.inches, drawer.height.inches, over)


def _stacked(drawers: Sequence[_One], doors: Sequence[_One], inside: Inside) -> Iterator[Front]:
    rows = list(_rows(drawers, inside))
    used = sum((row[0].high for row in rows), Fraction(0)) + max((one.high for one in doors), default=Fraction(0))
    between = len(rows) + bool(doors) - 1
    rail = max(inside.high - used, Fraction(0)) / between if between > 0 else Fraction(0)
    y = inside.top if between > 0 or not rows else inside.top + (inside.high - used) / 2
    for row in rows:
        free = (inside.wide - sum((one.wide for one in row), Fraction(0))) / (len(row) + 1)
        x = inside.left + free
        for one in row:
            yield one.front(x, y)
            x += one.wide + free
        y += row[0].high + rail
    yield from _in_a_row(doors, inside, is_alone=not rows)


def _rows(drawers: Sequence[_One], inside: Inside) -> Iterator[list[_One]]:
    """Yield drawers that lie side by side: as many of one height as the width takes."""
    row: list[_One] = []
    for one in drawers:
        used = sum((other.wide for other in row), one.wide)
        if row and (used > inside.wide or row[0].high != one.high):
            yield row
            row = []
        row.append(one)
    if row:
        yield row


def _in_a_row(doors: Sequence[_One], inside: Inside, *, is_alone: bool) -> Iterator[Front]:
    apart = GAP if len(doors) > 1 else Fraction(0)
    wide = sum((one.wide for one in doors), Fraction(0)) + apart * (len(doors) - 1)
    x = inside.left + (inside.wide - wide) / 2
    for one in doors:
        yield one.front(x, (inside.top + inside.bottom - one.high) / 2 if is_alone else inside.bottom - one.high)
        x += one.wide + apart


def overlapping(found: Sequence[Front]) -> Length:
    """Return the most that two fronts one above the other overlap, nothing when none do [in]."""
    most = Fraction(0)
    for one in found:
        for other in found:
            is_beside = one.left < other.left + other.wide and other.left < one.left + one.wide
            if one is not other and is_beside and one.top <= other.top < one.bottom:
                most = max(most, one.bottom - other.top)
    return Length(most)
