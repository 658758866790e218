"""Boards filled one after another until everything is placed, and how good the outcome is."""

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from domain.layout.fill import Filled, Piece, Rule, fill
from domain.layout.shape import Way
from domain.layout.strips import strips
from domain.layout.tree import leaves, pruned, saw
from domain.layout.whole import Board, Stock

MOST_TRIED = 6
"""Boards of different sizes tried for each next one, those that cost least by area."""


Key = tuple[int, tuple[tuple[int, int], ...]]
"""Which stock, and what is on it: boards alike in both are as good as each other but for their offcuts."""


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

    task: Task
    stock: int
    used: tuple[tuple[int, int], ...]
    filled: Filled

    @property
    def key(self) -> Key:
        return self.stock, self.used

    @cached_property
    def kept(self) -> int:
        """Return what it leaves that is worth keeping: by area squared, so that one large offcut beats two."""
        stock = self.task.stocks[self.stock]
        wide, long = self.task.keep
        offcuts = saw(self.filled.tree, stock.length, stock.width, self.task.kerf).offcuts
        return sum((length * width) ** 2 for _, _, length, width in offcuts if width >= wide and length >= long)


@dataclass(frozen=True)
class Packing:
    """Filled boards in the order they are taken up. left: how many of each piece found no place."""

    task: Task
    patterns: tuple[Pattern, ...]
    left: tuple[int, ...]

    @cached_property
    def score(self) -> tuple[int, int, int]:
        """Return what is to be as small as can be: area not placed, cost, boards."""
        pieces, stocks = self.task.pieces, self.task.stocks
        return (
            sum(many * piece.area for many, piece in zip(self.left, pieces, strict=True)),
            sum(stocks[pattern.stock].cost for pattern in self.patterns),
            len(self.patterns),
        )

    def beats(self, other: "Packing") -> bool:
        """Whether it is better, or as good and leaves larger offcuts."""
        if self.score != other.score:
            return self.score < other.score
        return self.kept > other.kept

    @cached_property
    def kept(self) -> int:
        return sum(pattern.kept for pattern in self.patterns)

    def boards(self) -> list[Board]:
        """Return the boards, those that cost nothing first, then the fullest; those that match in sequence."""
        stocks = self.task.stocks

        def place(pattern: Pattern) -> tuple[bool, float, int]:
            stock = stocks[pattern.stock]
            return stock.cost > 0, -pattern.filled.area / stock.area, pattern.stock

        waiting = sorted(self.patterns, key=place)
        ordered: list[Pattern] = []
        while waiting:
            groups = self._groups(waiting[0])
            ordered += [one for one in waiting if one is waiting[0] or groups & self._groups(one)]
            waiting = [one for one in waiting if one is not waiting[0] and not groups & self._groups(one)]
        return [Board(pattern.stock, pattern.filled.tree) for pattern in ordered if pattern.filled.tree]

    def _groups(self, pattern: Pattern) -> set[str]:
        return {group for which, _ in pattern.used if (group := self.task.pieces[which].group)}


def pattern(task: Task, stock: int, filled: Filled) -> Pattern:
    """Return the filled board."""
    return Pattern(task, stock, tuple(sorted(filled.used.items())), filled)


Try = tuple[Sequence[int], Rule]
"""An order of pieces and a rule to fill by."""


def pack(task: Task, tries: Sequence[Try], left: Sequence[int], limits: Sequence[int]) -> Packing:
    """Return boards filled one by one: what costs nothing first, then what costs least by the area that is filled.

    tries: each board is filled in each of these ways, the best is kept; left: how many of each piece are wanted;
    limits: how many of each stock there are.
    """
    wanted, there = list(left), list(limits)
    free = _by_worth([stock for stock in task.stocks if not stock.cost])
    paid = _by_worth([stock for stock in task.stocks if stock.cost])
    done: list[Pattern] = []
    while tries := [([which for which in order if wanted[which]], rule) for order, rule in tries]:
        if not tries[0][0]:
            break
        best = _next(task, free, there, tries, wanted) or _next(task, paid, there, tries, wanted)
        if best is None:
            break
        there[best.stock] -= 1
        for which, many in best.used:
            wanted[which] -= many
        done.append(best)
    return Packing(task, tuple(_on_cheaper(task, done, there, tries[0][1])), tuple(wanted))


def _by_worth(stocks: Sequence[Stock]) -> list[Stock]:
    """Return the stocks, the cheapest by area first, and the largest of those."""
    return sorted(stocks, key=lambda stock: (stock.cost / stock.area, -stock.area, stock.which))


def _next(
    task: Task, stocks: Sequence[Stock], limits: Sequence[int], tries: Sequence[Try], left: Sequence[int]
) -> Pattern | None:
    """Return the board that is filled at the least cost by area; of those that cost nothing, the fullest."""
    best: tuple[float, int] | None = None
    found: tuple[int, Filled] | None = None
    seen: set[tuple[int, int]] = set()
    for stock in stocks:
        if not limits[stock.which] or (stock.length, stock.width) in seen:
            continue
        seen.add((stock.length, stock.width))
        for order, rule in tries:
            filled = fill(stock.length, stock.width, task.pieces, order, left, rule)
            if filled.area:
                worth = (stock.cost / filled.area if stock.cost else -filled.area / stock.area, stock.which)
                if best is None or worth < best:
                    best, found = worth, (stock.which, filled)
        if found and len(seen) >= MOST_TRIED:
            break
    return pattern(task, *found) if found else None


def pack_by_strips(
    task: Task,
    values: Sequence[int],
    way: Way,
    rest: Try,
    left: Sequence[int],
    limits: Sequence[int],
    stop: Callable[[], bool],
) -> Packing:
    """Return boards filled one by one with strips, what costs nothing first; not all of them where it is to stop.

    values: of each piece; rest: how what the strips leave is filled.
    """
    wanted, there = list(left), list(limits)
    done: list[Pattern] = []
    for stocks in ([one for one in task.stocks if not one.cost], [one for one in task.stocks if one.cost]):
        while any(wanted) and not stop():
            able = [stock for stock in stocks if there[stock.which]]
            found = strips(
                [(one.length, one.width) for one in able], task.pieces, wanted, values, way, _worth(able), rest
            )
            if found is None:
                break
            stock = able[found[0]].which
            there[stock] -= 1
            for which, many in found[1].used.items():
                wanted[which] -= many
            done.append(pattern(task, stock, found[1]))
    return Packing(task, tuple(_on_cheaper(task, done, there, rest[1])), tuple(wanted))


def _worth(stocks: Sequence[Stock]) -> Callable[[int, int], float]:
    """Return how much a board is worth by what is on it: the value by its cost, or by its area where it has none."""
    return lambda at, value: value / (stocks[at].cost or stocks[at].area)


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


def without_surplus(task: Task, patterns: Sequence[Pattern]) -> Packing:
    """Return the boards with no piece more often than it is wanted; taken off the emptiest first."""
    over = [-piece.count for piece in task.pieces]
    for one in patterns:
        for which, many in one.used:
            over[which] += many
    kept: list[Pattern] = []
    for one in sorted(patterns, key=lambda one: one.filled.area):
        off = {which: min(many, over[which]) for which, many in one.used if over[which] > 0}
        for which, many in off.items():
            over[which] -= many
        if left := _thinned(task, one, off):
            kept.append(left)
    return Packing(task, tuple(kept), tuple(max(0, -many) for many in over))


def _thinned(task: Task, one: Pattern, off: Mapping[int, int]) -> Pattern | None:
    """Return the board without some pieces; None where nothing stays on it."""
    if not off:
        return one
    used = {which: rest for which, many in one.used if (rest := many - off.get(which, 0))}
    if not used:
        return None
    area = sum(many * task.pieces[which].area for which, many in used.items())
    surplus = Counter[int]()
    for which, many in off.items():
        for leaf in leaves(task.pieces[which].forms[0].tree):
            surplus[leaf.size] += many
    return pattern(task, one.stock, Filled(used, area, lambda: pruned(one.filled.tree, surplus.copy())))
