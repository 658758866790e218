"""What is to be cut in whole numbers, kerfs added, and the way back to exact sizes."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import gcd, lcm

from domain.layout.shape import Blank, Cut, Laid, Place, Rectangle, Source, ToCut
from domain.layout.tree import Box, Leaf, Tree, saw
from domain.length import Length


@dataclass(frozen=True, slots=True)
class Size:
    """Blanks alike in everything but their keys, taken in the order of the list. keys: with how many of each."""

    length: int
    width: int
    keys: tuple[tuple[str, int], ...]
    turns: bool
    match: str

    @property
    def count(self) -> int:
        return sum(many for _, many in self.keys)


@dataclass(frozen=True, slots=True)
class Stock:
    """One source. which: its place in the list; cost: in whole units; limit: how many can be used at most."""

    which: int
    length: int
    width: int
    cost: int
    limit: int

    @property
    def area(self) -> int:
        return self.length * self.width


@dataclass(frozen=True, slots=True)
class Whole:
    """Sizes and stocks in whole numbers, each one kerf larger than it is.

    unit: inches of one; cost_unit: what one unit of cost is; keep: an offcut worth keeping, without kerf;
    lost: keys of the blanks that fit no source, with how many; sizes: the others.
    """

    sizes: tuple[Size, ...]
    stocks: tuple[Stock, ...]
    kerf: int
    keep: tuple[int, int]
    unit: Fraction
    cost_unit: Fraction
    lost: Mapping[str, int]


def whole(to_cut: ToCut) -> Whole:
    """Return the same in whole numbers: exact, by the least common denominator of all sizes."""
    lengths = [to_cut.kerf, *to_cut.keep]
    for blank in to_cut.blanks:
        lengths += [blank.length, blank.width]
    for source in to_cut.sources:
        lengths += [source.length, source.width]
    unit = _unit(length.inches for length in lengths)
    cost_unit = _unit(source.cost for source in to_cut.sources)

    def of(length: Length) -> int:
        return int(length.inches / unit)

    kerf = of(to_cut.kerf)
    pieces = sum(blank.count for blank in to_cut.blanks)
    stocks = tuple(
        Stock(which, of(one.length) + kerf, of(one.width) + kerf, int(one.cost / cost_unit), _limit(one, pieces))
        for which, one in enumerate(to_cut.sources)
    )
    sizes, lost = _sizes(to_cut.blanks, stocks, of, kerf)
    keep = (of(to_cut.keep[0]), of(to_cut.keep[1]))
    return Whole(sizes, stocks, kerf, keep, unit, cost_unit, lost)


def _unit(values: Iterable[Fraction]) -> Fraction:
    """Return the largest number that every value is a multiple of; 1 where all are zero."""
    numbers = {value for value in values if value}
    under = lcm(*(value.denominator for value in numbers))
    return Fraction(gcd(*(value.numerator * (under // value.denominator) for value in numbers)) or 1, under)


def _limit(source: Source, pieces: int) -> int:
    return pieces if source.count is None else min(source.count, pieces)


def _sizes(
    blanks: Sequence[Blank], stocks: Sequence[Stock], of: Callable[[Length], int], kerf: int
) -> tuple[tuple[Size, ...], dict[str, int]]:
    """Return alike blanks together, longest area first, and what fits nowhere."""
    alike: dict[tuple[int, int, bool, str], list[tuple[str, int]]] = {}
    lost: dict[str, int] = {}
    for blank in blanks:
        length, width = of(blank.length) + kerf, of(blank.width) + kerf
        turns = blank.turns and length != width
        ways = [(length, width), (width, length)] if turns else [(length, width)]
        if any(one.limit and x <= one.length and y <= one.width for one in stocks for x, y in ways):
            alike.setdefault((length, width, turns, blank.match), []).append((blank.key, blank.count))
        else:
            lost[blank.key] = lost.get(blank.key, 0) + blank.count
    sizes = [Size(length, width, tuple(keys), turns, match) for (length, width, turns, match), keys in alike.items()]
    sizes.sort(key=lambda size: (-size.length * size.width, -size.length, size.turns, size.match))
    return tuple(sizes), lost


@dataclass(frozen=True, slots=True)
class Board:
    """One board or sheet and how it is cut up. stock: its place in `Whole.stocks`."""

    stock: int
    tree: Tree


def laid_out(to_cut: ToCut, within: Whole, boards: Iterable[Board]) -> tuple[tuple[Laid, ...], dict[str, int]]:
    """Return the boards in exact sizes, and the keys of blanks that are on none of them, with how many."""
    waiting = [[key for key, many in size.keys for _ in range(many)][::-1] for size in within.sizes]
    laid = tuple(_laid(to_cut.sources[board.stock], board, within, waiting) for board in boards)
    unplaced = dict(within.lost)
    for keys in waiting:
        for key in keys:
            unplaced[key] = unplaced.get(key, 0) + 1
    return laid, unplaced


def _laid(source: Source, board: Board, within: Whole, waiting: Sequence[list[str]]) -> Laid:
    stock = within.stocks[board.stock]
    sawn = saw(board.tree, stock.length, stock.width, within.kerf)
    unit = within.unit
    known: dict[int, Length] = {}

    def exact(number: int) -> Length:
        if number not in known:
            known[number] = Length(number * unit)
        return known[number]

    def rectangle(box: Box) -> Rectangle:
        return Rectangle(*(exact(number) for number in box))

    places = tuple(_place(leaf, rectangle(box), waiting) for leaf, box in sawn.places)
    cuts = tuple(
        Cut(number, way, exact(at), exact(begins), exact(ends))
        for number, (way, at, begins, ends) in enumerate(sawn.cuts, start=1)
    )
    offcuts = sorted(sawn.offcuts, key=lambda box: (-box[2] * box[3], box))
    return Laid(source.key, places, cuts, tuple(rectangle(box) for box in offcuts))


def _place(leaf: Leaf, at: Rectangle, waiting: Sequence[list[str]]) -> Place:
    return Place(waiting[leaf.size].pop(), at, leaf.turned)
