"""Boards put together from below: two blocks side by side or in line make a larger one, as long as little is lost.

Source: P. Y. Wang, Two algorithms for constrained two-dimensional cutting stock problems, Operations Research 31, 1983,
573-586, the first of them; here the blocks that lose least are joined first, and so many at the most.
"""

from bisect import bisect_left, insort
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from heapq import heappop, heappush

from domain.layout.fill import Filled, Piece
from domain.layout.pack import Pattern, Task, pattern
from domain.layout.shape import Way
from domain.layout.tree import Split, Tree
from domain.layout.whole import Stock

MOST_BLOCKS = 3000
"""Blocks joined with each other, for a board of each size."""

MOST_LOST = ((0, 400_000), (200, 60_000), (50, 60_000))
"""Shares of a board that a block may lose: nothing, one in 200, one in 50; with the pairs that are tried for each."""

MOST_FREE = 25
"""A board is taken up if less than one part in so many is free."""

MOST_STOCKS = 3
"""Sizes of boards that are put together, the largest."""


@dataclass(frozen=True, slots=True)
class _Block:
    """counts: how many of each piece, packed into one number; area: of those; joined: which way, of which two."""

    length: int
    width: int
    counts: int
    area: int
    joined: "tuple[Way, _Block, _Block] | None" = None
    tree: Tree | None = None

    @property
    def lost(self) -> int:
        return self.length * self.width - self.area


class _Counts:
    """Counts of pieces packed into one number, a field each with a bit to spare that says when there are too many."""

    def __init__(self, pieces: Sequence[Piece]) -> None:
        self._bits = [max(2, piece.count.bit_length() + 1) for piece in pieces]
        self._at = [sum(self._bits[:which]) for which in range(len(pieces))]
        spare = [(1 << (bits - 1)) for bits in self._bits]
        self.guard = sum(one << at for one, at in zip(spare, self._at, strict=True))
        self.offset = sum((one - 1 - piece.count) << at for one, piece, at in zip(spare, pieces, self._at, strict=True))

    def one(self, which: int) -> int:
        return 1 << self._at[which]

    def of(self, counts: int) -> dict[int, int]:
        found = {}
        for which, (bits, at) in enumerate(zip(self._bits, self._at, strict=True)):
            if many := (counts >> at) & ((1 << bits) - 1):
                found[which] = many
        return found


def from_blocks(task: Task, stop: Callable[[], bool]) -> Iterator[Pattern]:
    """Yield boards that are filled all but whole."""
    counts = _Counts(task.pieces)
    seen: set[tuple[int, int]] = set()
    for stock in sorted(task.stocks, key=lambda stock: (-stock.area, stock.which)):
        if stock.limit and (stock.length, stock.width) not in seen and len(seen) < MOST_STOCKS:
            seen.add((stock.length, stock.width))
            found: set[int] = set()
            for share, joins in MOST_LOST:
                most_lost = stock.area // share if share else 0
                for block in _blocks(task.pieces, stock, counts, (most_lost, joins), stop):
                    if (stock.area - block.area) * MOST_FREE <= stock.area and block.counts not in found:
                        found.add(block.counts)
                        filled = Filled(counts.of(block.counts), block.area, partial(_tree, block))
                        yield pattern(task, stock.which, filled)


def _blocks(
    pieces: Sequence[Piece], stock: Stock, counts: _Counts, most: tuple[int, int], stop: Callable[[], bool]
) -> Iterator[_Block]:
    """Yield blocks that fit the board, those that lose least and are largest first.

    most: what a block may lose, and pairs that are tried.
    """
    most_lost, most_joins = most
    heap: list[tuple[int, int, int, _Block]] = []
    seen: set[tuple[int, int, int]] = set()
    made = 0

    def add(block: _Block) -> None:
        nonlocal made
        key = (block.length, block.width, block.counts)
        if key not in seen:
            seen.add(key)
            made += 1
            heappush(heap, (block.lost, -block.area, made, block))

    for which, piece in enumerate(pieces):
        for form in piece.forms:
            if form.length <= stock.length and form.width <= stock.width and form.length * form.width == piece.area:
                add(_Block(form.length, form.width, counts.one(which), piece.area, tree=form.tree))
    done: list[_Block] = []
    by_width: list[tuple[int, int]] = []
    by_length: list[tuple[int, int]] = []
    joins = 0
    while heap and len(done) < MOST_BLOCKS and joins < most_joins and not stop():
        block = heappop(heap)[3]
        yield block
        insort(by_width, (block.width, len(done)))
        insort(by_length, (block.length, len(done)))
        done.append(block)
        rest = most_lost - block.lost
        for way, ordered, own, along in (
            (Way.CROSSCUT, by_width, block.width, block.length),
            (Way.RIP, by_length, block.length, block.width),
        ):
            room = (stock.length if way is Way.CROSSCUT else stock.width) - along
            slack = rest // along
            for _, at in _between(ordered, own, own - slack if rest else own, most_lost):
                other = done[at]
                joins += 1
                if (other.length if way is Way.CROSSCUT else other.width) > room:
                    continue
                if (block.counts + other.counts + counts.offset) & counts.guard:
                    continue
                both = _join(way, block, other)
                if both.lost <= most_lost:
                    add(both)


def _between(ordered: Sequence[tuple[int, int]], own: int, least: int, most_lost: int) -> list[tuple[int, int]]:
    """Return the blocks nearly as wide; where nothing may be lost, those just as wide."""
    begin = bisect_left(ordered, (least, -1))
    end = bisect_left(ordered, (own + 1, -1)) if not most_lost else len(ordered)
    return list(ordered[begin:end])


def _join(way: Way, one: _Block, other: _Block) -> _Block:
    if way is Way.CROSSCUT:
        length, width = one.length + other.length, max(one.width, other.width)
    else:
        length, width = max(one.length, other.length), one.width + other.width
    return _Block(length, width, one.counts + other.counts, one.area + other.area, (way, one, other))


def _tree(block: _Block) -> Tree | None:
    """Return how a block is cut; blocks joined the same way are cut one after the other."""
    if block.joined is None:
        return block.tree
    way = block.joined[0]
    parts: list[Tree] = []
    for part in block.joined[1:]:
        tree = _tree(part)
        across = (part.width, block.width) if way is Way.CROSSCUT else (part.length, block.length)
        if isinstance(tree, Split) and tree.way is way and across[0] == across[1]:
            parts += tree.parts
        elif tree is not None:
            parts.append(tree)
    return Split(block.length, block.width, way, tuple(parts))
