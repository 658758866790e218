"""Boards whose pieces lie in lanes: the best mix by column generation, its bound proven, then rounded to whole boards.

Source: P. C. Gilmore, R. E. Gomory, A linear programming approach to the cutting-stock problem, Operations Research 9,
1961, 849-859; for the bound from prices that are not quite best, A. A. Farley, A note on bounding a class of linear
programming problems, including cutting stock problems, Operations Research 38, 1990, 922-923.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil, floor, gcd

from domain.layout.choose import Choice, Column, Pool, Prices, choose
from domain.layout.knapsack import Best, Item, knapsack
from domain.layout.lanes import Lane, Lanes, board, lanes
from domain.layout.pack import Packing, Pattern, Task, without_surplus
from domain.layout.shape import Bound
from domain.layout.whole import Whole

FINEST = 1_000_000
"""Steps in which prices are told apart once they are whole numbers."""

ENOUGH = 1e-7
"""A column worth less than this share above its cost is not taken up: prices are good to about nine digits."""

MOST_TURNS = 3000
"""Columns found before the prices are taken as they are."""

LEAST = 1e-6
"""What a column is cut in part is told from nothing and from a whole by so much."""

DIVES = 4
"""Tries at whole boards, each a little different; every one leaves its columns to choose from."""

EFFORT = 1.0
"""The solver's own measure of work for choosing whole boards."""


@dataclass(slots=True)
class _Mix:
    """The pool as it grows. seen: columns in it."""

    task: Task
    within: Lanes
    columns: list[Column]
    seen: set[Column]
    prices: Prices
    wanted: list[int]
    limits: list[int]

    def add(self, column: Column) -> bool:
        if column in self.seen:
            return False
        self.seen.add(column)
        self.columns.append(column)
        self.prices.add(column)
        return True


def by_columns(within: Whole, best: Packing, least: Bound, stop: Callable[[], bool]) -> Iterator[tuple[Packing, Bound]]:
    """Yield the bound that prices prove, then better packings; nothing where pieces do not lie in lanes."""
    task = best.task
    found = lanes(task)
    if found is None or any(best.left):
        return
    mix = _begin(task, found, best)
    if not _grow(mix, stop):
        return
    least = _bound(mix, within, least)
    yield best, least
    goal = (int(least.cost / within.cost_unit), least.count)
    for turn in range(DIVES):
        for packing in (_dive(mix, turn, stop), _chosen(mix, best, stop)):
            if packing is not None and packing.beats(best):
                best = packing
            yield best, least
            if best.score <= (0, *goal):
                return


def _begin(task: Task, found: Lanes, best: Packing) -> _Mix:
    wanted = [piece.count for piece in task.pieces]
    limits = [stock.limit for stock in task.stocks]
    pool = Pool((), wanted, [stock.cost for stock in task.stocks], limits, [max(1, many) for many in found.many])
    mix = _Mix(task, found, [], set(), Prices(pool), wanted, [a * b for a, b in zip(limits, found.many, strict=True)])
    for pattern in best.patterns:
        for lane in _lanes_of(found, pattern):
            mix.add(Column(pattern.stock, lane))
    return mix


def _lanes_of(found: Lanes, pattern: Pattern) -> list[Lane]:
    """Return a board's pieces in lanes, each into the first that has room, the longest first; all have room mostly."""
    held: list[tuple[int, dict[int, int]]] = []
    room = found.rooms[pattern.stock]
    singles = [which for which, many in pattern.used for _ in range(many)]
    for which in sorted(singles, key=lambda which: -found.along(which)):
        size = found.along(which)
        for at, (taken, lane) in enumerate(held):
            if taken + size <= room:
                lane[which] = lane.get(which, 0) + 1
                held[at] = (taken + size, lane)
                break
        else:
            held.append((size, {which: 1}))
    return [tuple(sorted(lane.items())) for _, lane in held]


def _grow(mix: _Mix, stop: Callable[[], bool]) -> bool:
    """Add columns until none is worth more than it costs; return whether there are prices."""
    for _ in range(MOST_TURNS):
        priced = mix.prices.solve()
        if priced is None or stop():
            return False
        added = [column for column in _worth_while(mix, *priced) if mix.add(column)]
        if not added:
            return True
    return True


def _worth_while(mix: _Mix, worth: Sequence[float], rooms: Sequence[float]) -> Iterator[Column]:
    """Yield for each stock the best column, where it is worth more than a lane of it costs."""
    scale = _scale(worth)
    for stock, many in enumerate(mix.within.many):
        if many and mix.limits[stock]:
            best = _priced(mix, stock, [floor(one * scale) for one in worth])
            cost = mix.task.stocks[stock].cost / many - rooms[stock]
            if best.value > (cost + ENOUGH * max(1.0, cost)) * scale:
                yield Column(stock, best.used)


def _scale(worth: Sequence[float]) -> int:
    return max(1, int(FINEST / max(max(worth), 1e-9)))


def _priced(mix: _Mix, stock: int, values: Sequence[int]) -> Best:
    within = mix.within
    items = [
        Item(which, within.along(which), values[which], mix.wanted[which])
        for which, able in enumerate(within.able[stock])
        if able
    ]
    step = gcd(*(item.size for item in items))
    return knapsack([replace(item, size=item.size // step) for item in items], within.rooms[stock] // step)


def _bound(mix: _Mix, within: Whole, least: Bound) -> Bound:
    """Return the bound that the prices prove in whole numbers: no board holds more than it is charged for."""
    priced = mix.prices.solve()
    if priced is None:
        return least
    worth, rooms = priced
    stocks = mix.task.stocks
    scale = _scale(worth)
    values = [floor(max(0.0, one) * scale) for one in worth]
    holds = {
        stock.which: many * _priced(mix, stock.which, values).most
        for stock, many in zip(stocks, mix.within.many, strict=True)
        if many and stock.limit
    }
    charged = [at for at in holds if rooms[at] < -1e-9 or not stocks[at].cost]
    free = [at for at in holds if at not in charged and holds[at]]
    share = min((Fraction(stocks[at].cost * scale, holds[at]) for at in free), default=Fraction(1))
    share = min(share, Fraction(1)) if charged else share
    value = share * sum(map(int.__mul__, values, mix.wanted))
    for at in charged:
        value -= max(Fraction(0), share * holds[at] - stocks[at].cost * scale) * stocks[at].limit
    step = gcd(*(stock.cost for stock in stocks)) or 1
    cost = ceil(value / scale / step) * step
    paid = {stocks[at].cost for at in holds}
    count = ceil(Fraction(cost, next(iter(paid)))) if len(paid) == 1 and 0 not in paid else 0
    found = least
    if cost * within.cost_unit > least.cost:
        found = replace(found, cost=cost * within.cost_unit)
    if count > least.count:
        words = f"however the parts are put end to end, they take at least {count}"
        found = replace(found, count=count, why=words)
    return found


def _dive(mix: _Mix, turn: int, stop: Callable[[], bool]) -> Packing | None:
    """Return whole boards: whole columns of the mix are cut, prices found again for what is left, and so on.

    turn: where nothing in the mix is whole, the first column to be cut is another one each turn.
    """
    whole_wanted, whole_limits = mix.wanted, mix.limits
    mix.wanted, mix.limits = list(whole_wanted), list(whole_limits)
    cut: list[Column] = []
    try:
        while any(mix.wanted):
            mix.prices.want(mix.wanted, mix.limits)
            if not _grow(mix, stop):
                return None
            shares = mix.prices.mix()
            fixed = [(at, int(share + LEAST)) for at, share in enumerate(shares) if share > 1 - LEAST]
            if not fixed:
                fullest = sorted((-share, at) for at, share in enumerate(shares) if share > LEAST)
                fixed = [(fullest[min(turn, len(fullest) - 1)][1], 1)]
                turn = 0
            for at, many in fixed:
                column = mix.columns[at]
                for _ in range(many):
                    used = tuple((which, min(m, mix.wanted[which])) for which, m in column.used if mix.wanted[which])
                    if not used or not mix.limits[column.stock]:
                        break
                    cut.append(Column(column.stock, used))
                    mix.limits[column.stock] -= 1
                    for which, m in used:
                        mix.wanted[which] -= m
        return _boards(mix, cut)
    finally:
        mix.wanted, mix.limits = whole_wanted, whole_limits
        mix.prices.want(mix.wanted, mix.limits)
        for column in cut:
            mix.add(column)


def _chosen(mix: _Mix, best: Packing, stop: Callable[[], bool]) -> Packing | None:
    """Return whole boards chosen from all columns."""
    stocks = mix.task.stocks
    pool = Pool(
        mix.columns,
        mix.wanted,
        [stock.cost for stock in stocks],
        [stock.limit for stock in stocks],
        [max(1, many) for many in mix.within.many],
    )
    choice: Choice | None = None if stop() else choose(pool, (), effort=EFFORT, stop=stop)
    if choice is None:
        return None
    return _boards(mix, [one for one, many in zip(mix.columns, choice.many, strict=True) for _ in range(many)])


def _boards(mix: _Mix, cut: Sequence[Column]) -> Packing:
    """Return the columns as lanes of boards, as many to a board as it takes."""
    patterns: list[Pattern] = []
    for stock, many in enumerate(mix.within.many):
        mine = [column.used for column in cut if column.stock == stock]
        for at in range(0, len(mine), max(1, many)):
            patterns.append(board(mix.task, mix.within, stock, mine[at : at + many]))
    return without_surplus(mix.task, patterns)
