"""What no layout can beat: proven lower bounds of cost and of the number of boards.

Every layout of all blanks holds their weights, however sizes are weighed; so the boards it uses can hold them. Blanks
that match are taken as if they did not, cuts as if they could end anywhere: both only make the bound smaller.
Source: S. Martello, D. Vigo, Exact solution of the two-dimensional finite bin packing problem, Management Science 44,
1998, 388-399, for bounds from pieces that leave no room for others; the weights are those of scales.py.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from heapq import nlargest
from operator import mul

from domain.layout.cover import Least, Row, least
from domain.layout.scales import Scale, scales
from domain.layout.shape import Bound, ToCut
from domain.layout.whole import Size, Stock, Whole, whole
from domain.length import Length

MOST_ROWS = 4
"""Of each group taken together, those that say most by themselves."""

MOST_SCALES = 20
"""Weights of each direction that are multiplied, those that say most by themselves."""

MOST_GROUPS = 4
"""Groups of blanks looked at by themselves for fitting only some of the boards."""

SHEET = Length.of(16)
"""What is wider is called a sheet in words to people. Common practice, no source."""


def bound(to_cut: ToCut) -> Bound:
    """Return the least cost and the least number of boards of any layout of all the blanks that fit somewhere."""
    return bound_of(to_cut, whole(to_cut))


def bound_of(to_cut: ToCut, within: Whole) -> Bound:
    """Return the same of what has been made whole numbers already."""
    noun = "sheet" if any(source.width > SHEET for source in to_cut.sources) else "board"
    if not within.sizes:
        return Bound(Fraction(0), 0, "there is nothing to cut")
    stocks = [stock for stock in within.stocks if stock.limit]
    rows = _rows(within.sizes, stocks, noun)
    cost = _least(rows, [stock.cost for stock in stocks], stocks)
    count = _least(rows, [1] * len(stocks), stocks)
    if cost is None or count is None:
        every = sum(stock.cost * stock.limit for stock in stocks)
        return Bound(every * within.cost_unit, sum(one.limit for one in stocks), f"no {noun}s are left for every part")
    why = count.row.why if count.row else "what is cut comes out of"
    return Bound(cost.value * within.cost_unit, count.value, f"{why} {count.value} {noun}{'s' * (count.value != 1)}")


def _least(rows: Sequence[list[Row]], costs: Sequence[int], stocks: Sequence[Stock]) -> Least | None:
    """Return the least cost by the rows that say most by themselves; in the plainest words that say as much."""
    limits = [stock.limit for stock in stocks]
    most = [group[0] for group in rows if group]
    for group in rows:
        most += nlargest(MOST_ROWS, group[1:], key=lambda row: (_says(row, costs, stocks), row.plain))
    found = least(most, costs, limits)
    for row in sorted(most, key=lambda row: row.plain, reverse=True):
        alone = least([row], costs, limits) if found and row.plain else None
        if found and alone and alone.value == found.value:
            return Least(alone.value, row)
    return found


def _says(row: Row, costs: Sequence[int], stocks: Sequence[Stock]) -> float:
    """Return about how much a row asks for, to choose rows by."""
    free = sum(holds * stock.limit for holds, cost, stock in zip(row.holds, costs, stocks, strict=True) if not cost)
    best = max((holds / cost for holds, cost in zip(row.holds, costs, strict=True) if cost), default=0)
    rest = row.need - free
    return rest / best if best else float(rest)


def _rows(sizes: Sequence[Size], stocks: Sequence[Stock], noun: str) -> list[list[Row]]:
    """Return what boards must hold: by area, of all blanks, then of those that fit only some of the boards."""
    fits = [frozenset(at for at, stock in enumerate(stocks) if _ways(size, [stock])) for size in sizes]
    groups = sorted(set(fits) - {frozenset(range(len(stocks)))}, key=lambda group: (len(group), sorted(group)))
    area = sum(size.length * size.width * size.count for size in sizes)
    rows = [
        [Row(area, tuple(stock.area for stock in stocks), "the parts' area alone fills", 3)],
        list(_of_group(sizes, stocks, range(len(stocks)), noun)),
    ]
    for group in groups[:MOST_GROUPS]:
        inside = [size for size, fit in zip(sizes, fits, strict=True) if fit <= group]
        rows.append(list(_of_group(inside, stocks, group, noun)))
    return rows


def _ways(size: Size, stocks: Iterable[Stock]) -> list[tuple[int, int]]:
    """Return the ways a blank can lie in one of the boards, length first."""
    one = (size.length, size.width)
    every = [one, one[::-1]] if size.turns else [one]
    return [(x, y) for x, y in every if any(x <= stock.length and y <= stock.width for stock in stocks)]


def _of_group(sizes: Sequence[Size], stocks: Sequence[Stock], group: Iterable[int], noun: str) -> Iterator[Row]:
    """Yield rows of blanks that all fit some board of the group and none outside it: every two scales, multiplied."""
    able = [stocks[at] for at in sorted(group)]
    ways = [(size.count, _ways(size, able)) for size in sizes]
    fixed = [(many, *lie[0]) for many, lie in ways if len(lie) == 1]
    either = [(many, *lie[0]) for many, lie in ways if len(lie) == 2]
    long, wide = Counter[int](), Counter[int]()
    for many, x, y in (*fixed, *either, *((many, y, x) for many, x, y in either)):
        long[x] += many
        wide[y] += many
    pairs = [(many, x, y) for many, x, y in (*fixed, *either)]
    alongs = _telling(scales(long, [stock.length for stock in able]), [(many * y, x) for many, x, y in pairs])
    across = _telling(scales(wide, [stock.width for stock in able]), [(many * x, y) for many, x, y in pairs])
    weighed = [
        (
            scale,
            [scale.weights[y] for _, _, y in fixed],
            [(scale.weights[y], scale.weights[x]) for _, x, y in either],
            [scale.most[stock.width] if stock in able else 0 for stock in stocks],
        )
        for scale in across
    ]
    for along in alongs:
        mine = [many * along.weights[x] for many, x, _ in fixed]
        turning = [(many * along.weights[x], many * along.weights[y]) for many, x, y in either]
        most = [along.most.get(stock.length, 0) for stock in stocks]
        for scale, theirs, turned, holds in weighed:
            need = sum(map(mul, mine, theirs))
            if turning:
                need += sum([min(a * b, c * d) for (a, c), (b, d) in zip(turning, turned, strict=True)])
            if need:
                yield Row(need, tuple(map(mul, most, holds)), *_why(along, scale, need, noun))


def _telling(scales: Sequence[Scale], blanks: Sequence[tuple[int, int]]) -> list[Scale]:
    """Return the scales that ask for most when the other direction is weighed as it is. blanks: other weight, size."""

    def asks(at: int) -> float:
        scale = scales[at]
        return sum(other * scale.weights[size] for other, size in blanks) / (max(scale.most.values()) or 1)

    best = nlargest(MOST_SCALES, range(len(scales)), key=lambda at: (scales[at].plain, scales[at].big, asks(at), -at))
    return [scales[at] for at in best]


def _why(along: Scale, across: Scale, need: int, noun: str) -> tuple[str, int]:
    """Return what a row says in a maker's words, the number of boards to follow, and how plain that is."""
    if along.big and across.big:
        return f"{need} parts are too big to share a {noun}, so there are at least", 2
    if along.big:
        return "parts too long to lie one behind the other take at least", 1
    if across.big:
        return "parts too wide to lie side by side take at least", 1
    return "beside some parts is room that no other part fits; with it they take at least", 0
