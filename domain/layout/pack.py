"""Boards filled one after another until everything is placed, and how good the outcome is."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from domain.layout.fill import Filled, Piece, Rule, fill
from domain.layout.tree import Sawn, saw
from domain.layout.whole import Board, Stock

MOST_TRIED = 6
"""Boards of different sizes tried for each next one, those that cost least by area."""


@dataclass(frozen=True, slots=True)
class Task:
    """What is packed: pieces into stocks. keep: an offcut worth keeping, without kerf, width and length."""

    pieces: tuple[Piece, ...]
    stocks: tuple[Stock, ...]
    kerf: int
    keep: tuple[int, int]


@dataclass(frozen=True)
class Pattern:
    """One filled board. used: pairs of a piece's place in the list and how many of it, in order."""

    stock: int
    used: tuple[tuple[int, int], ...]
    filled: Filled
    sawn: Sawn
    kept: int


@dataclass(frozen=True)
class Packing:
    """Filled boards in the order they are taken up. left: how many of each piece found no place."""

    task: Task
    patterns: tuple[Pattern, ...]
    left: tuple[int, ...]

    @cached_property
    def score(self) -> tuple[int, int, int, int]:
        """Return what is to be as small as can be: area not placed, cost, boards, and large offcuts last, as less."""
        pieces, stocks = self.task.pieces, self.task.stocks
        return (
            sum(many * piece.area for many, piece in zip(self.left, pieces, strict=True)),
            sum(stocks[pattern.stock].cost for pattern in self.patterns),
            len(self.patterns),
            -sum(pattern.kept for pattern in self.patterns),
        )

    def boards(self) -> list[Board]:
        """Return the boards, those that cost nothing first, then the fullest."""
        return [Board(pattern.stock, pattern.filled.tree) for pattern in self.patterns if pattern.filled.tree]


def pattern(task: Task, stock: int, filled: Filled) -> Pattern:
    """Return the filled board with what it leaves: large offcuts count by their area squared, so one beats two."""
    one = task.stocks[stock]
    sawn = saw(filled.tree, one.length, one.width, task.kerf)
    wide, long = task.keep
    kept = sum((length * width) ** 2 for _, _, length, width in sawn.offcuts if width >= wide and length >= long)
    return Pattern(stock, tuple(sorted(filled.used.items())), filled, sawn, kept)


def pack(task: Task, order: Sequence[int], rule: Rule) -> Packing:
    """Return boards filled one by one: what costs nothing first, then what costs least by the area that is filled."""
    left = [piece.count for piece in task.pieces]
    limits = [stock.limit for stock in task.stocks]
    free = _by_worth([stock for stock in task.stocks if not stock.cost])
    paid = _by_worth([stock for stock in task.stocks if stock.cost])
    done: list[Pattern] = []
    order = list(order)
    while order := [which for which in order if left[which]]:
        best = _next(task, free, limits, order, left, rule) or _next(task, paid, limits, order, left, rule)
        if best is None:
            break
        stock, filled = best
        limits[stock] -= 1
        for which, many in filled.used.items():
            left[which] -= many
        done.append(pattern(task, stock, filled))
    return Packing(task, tuple(_on_cheaper(task, done, limits, rule)), tuple(left))


def _by_worth(stocks: Sequence[Stock]) -> list[Stock]:
    """Return the stocks, the cheapest by area first, and the largest of those."""
    return sorted(stocks, key=lambda stock: (stock.cost / stock.area, -stock.area, stock.which))


def _next(
    task: Task, stocks: Sequence[Stock], limits: Sequence[int], order: Sequence[int], left: Sequence[int], rule: Rule
) -> tuple[int, Filled] | None:
    """Return the board that is filled at the least cost by area; of those that cost nothing, the fullest."""
    best: tuple[float, int] | None = None
    found: tuple[int, Filled] | None = None
    seen: set[tuple[int, int]] = set()
    for stock in stocks:
        if not limits[stock.which] or (stock.length, stock.width) in seen:
            continue
        seen.add((stock.length, stock.width))
        filled = fill(stock.length, stock.width, task.pieces, order, left, rule)
        if not filled.area:
            continue
        worth = (stock.cost / filled.area if stock.cost else -filled.area / stock.area, stock.which)
        if best is None or worth < best:
            best, found = worth, (stock.which, filled)
        if found and len(seen) >= MOST_TRIED:
            break
    return found


def _on_cheaper(task: Task, done: Sequence[Pattern], limits: list[int], rule: Rule) -> list[Pattern]:
    """Return the boards, each exchanged for a cheaper one that takes all of it, the emptiest first."""
    if len(task.stocks) == 1:
        return list(done)
    cheaper = sorted(task.stocks, key=lambda stock: (stock.cost, stock.area, stock.which))
    kept = list(done)
    for at in sorted(range(len(kept)), key=lambda at: (kept[at].filled.area, at)):
        one = kept[at]
        for stock in cheaper:
            if stock.cost >= task.stocks[one.stock].cost:
                break
            if not limits[stock.which] or stock.area < one.filled.area:
                continue
            other = refilled(task, stock, one.used, rule)
            if other is not None:
                limits[one.stock] += 1
                limits[stock.which] -= 1
                kept[at] = other
                break
    return kept


def refilled(task: Task, stock: Stock, used: Sequence[tuple[int, int]], rule: Rule) -> Pattern | None:
    """Return a board of the stock filled with the very same pieces; None where they do not fit this way."""
    counts = Counter(dict(used))
    left = [counts[which] for which in range(len(task.pieces))]
    order = [which for which, _ in used]
    filled = fill(stock.length, stock.width, task.pieces, order, left, rule)
    if any(filled.used.get(which, 0) < many for which, many in used):
        return None
    return pattern(task, stock.which, filled)
