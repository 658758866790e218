"""A board ripped into strips, each crosscut into pieces that fill it as well as can be; or the other way about.

Source: P. C. Gilmore, R. E. Gomory, Multistage cutting stock problems of two and more dimensions, Operations Research
13, 1965, 94-120: one knapsack over the length gives the best strip of every width and length, one over the width the
board.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

from domain.layout.fill import Filled, Form, Piece, Rule, fill
from domain.layout.shape import Way
from domain.layout.tree import Tree, joined

FINEST_ALONG = 1200
FINEST_ACROSS = 240
"""Steps along the longest board and across it; finer sizes are rounded up, so that what fits by steps does fit."""


@dataclass(frozen=True, slots=True)
class _Item:
    """One form of a piece seen along the strips. long, wide: in steps; value: of one."""

    which: int
    form: Form
    long: int
    wide: int
    value: int
    count: int


@dataclass(frozen=True, slots=True)
class _Best:
    """The best strips of every width. by_width: the place in the steps after the last item of a width; best: values by
    length after each step; steps: which item how many times."""

    by_width: dict[int, int]
    best: list[list[int]]
    steps: list[tuple[_Item, int]]


@dataclass(frozen=True, slots=True)
class Grid:
    """Sizes in steps along the strips and across them. way: the cut that frees a strip."""

    way: Way
    step_along: int
    step_across: int

    def along(self, length: int, width: int) -> int:
        return length if self.way is Way.RIP else width

    def across(self, length: int, width: int) -> int:
        return width if self.way is Way.RIP else length


def strips(
    sizes: Sequence[tuple[int, int]],
    pieces: Sequence[Piece],
    left: Sequence[int],
    values: Sequence[int],
    way: Way,
    worth: Callable[[int, int], float],
    rest: tuple[Sequence[int], Rule],
) -> tuple[int, Filled] | None:
    """Return which of the boards is worth most when filled by strips, and how it is filled; None for nothing fits.

    sizes: lengths and widths of the boards; values: of each piece; way: RIP for strips along the board; worth: of a
    board by its place, with the value on it; rest: how what the strips leave is filled.
    """
    if not sizes:
        return None
    grid = _grid(sizes, way)
    able = [which for which, many in enumerate(left) if many]
    boards = [
        (at, grid.along(*size) // grid.step_along, grid.across(*size) // grid.step_across)
        for at, size in enumerate(sizes)
    ]
    table = _table(_items(grid, pieces, able, left, values), max(long for _, long, _ in boards))
    found: tuple[float, int, int] | None = None
    widest: dict[int, int] = {}
    for _, long, wide in boards:
        widest[long] = max(wide, widest.get(long, 0))
    across = {long: _across(table, long, wide) for long, wide in widest.items()}
    for at, long, wide in boards:
        value, width = _densest(across[long], wide)
        if value and (found is None or (worth(at, value), -at) > found[:2]):
            found = (worth(at, value), -at, width)
    if found is None:
        return None
    at = -found[1]
    return at, _fill(grid, boards[at], sizes[at], pieces, left, values, (table, found[2]), rest)


def _grid(sizes: Sequence[tuple[int, int]], way: Way) -> Grid:
    plain = Grid(way, 1, 1)
    long = max(plain.along(*size) for size in sizes)
    wide = max(plain.across(*size) for size in sizes)
    return Grid(way, -(-long // FINEST_ALONG), -(-wide // FINEST_ACROSS))


def _items(
    grid: Grid, pieces: Sequence[Piece], able: Sequence[int], left: Sequence[int], values: Sequence[int]
) -> list[_Item]:
    """Return the forms, the narrowest first."""
    items = [
        _Item(
            which,
            form,
            -(-grid.along(form.length, form.width) // grid.step_along),
            -(-grid.across(form.length, form.width) // grid.step_across),
            values[which],
            left[which],
        )
        for which in able
        for form in pieces[which].forms
    ]
    return sorted(items, key=lambda item: (item.wide, -item.long, item.which))


def _table(items: Sequence[_Item], long: int) -> _Best:
    """Return the best value of every length of strip, item after item."""
    best, steps, by_width = [[0] * (long + 1)], list[tuple[_Item, int]](), dict[int, int]()
    for item in items:
        many = min(item.count, long // item.long)
        step = 1
        while many > 0:
            step = min(step, many)
            now, room, value = best[-1], item.long * step, item.value * step
            best.append(now[:room] + list(map(max, now[room:], [have + value for have in now[: len(now) - room]])))
            steps.append((item, step))
            many -= step
            step *= 2
        by_width[item.wide] = len(steps)
    return _Best(by_width, best, steps)


@dataclass(frozen=True, slots=True)
class _Across:
    """The best boards of one length and every width. strips: value of each width; best, taken: value and a strip."""

    strips: dict[int, int]
    best: list[int]
    taken: list[int]


def _across(table: _Best, long: int, wide: int) -> _Across:
    """Return the best ways to fill widths with strips, as if none ran out of pieces."""
    strips, most = list[tuple[int, int]](), 0
    for width, at in table.by_width.items():
        value = table.best[at][long]
        if width <= wide and value > most:
            strips.append((width, value))
            most = value
    best, taken = [0] * (wide + 1), [0] * (wide + 1)
    for room in range(min((width for width, _ in strips), default=wide + 1), wide + 1):
        most, which = best[room - 1], 0
        for width, value in strips:
            if width > room:
                break
            if best[room - width] + value > most:
                most, which = best[room - width] + value, width
        best[room], taken[room] = most, which
    return _Across(dict(strips), best, taken)


def _densest(across: _Across, wide: int) -> tuple[int, int]:
    """Return the value of the best board of a width, and the width of its densest strip."""
    room, chosen = wide, 0
    while room > 0:
        width = across.taken[room]
        if width and (not chosen or across.strips[width] * chosen > across.strips[chosen] * width):
            chosen = width
        room -= width or 1
    return across.best[wide], chosen


def _picked(table: _Best, width: int, long: int, left: Sequence[int]) -> list[tuple[_Item, int]]:
    """Return what the best strip of a width and length holds, no piece more often than it is wanted."""
    picked: list[tuple[_Item, int]] = []
    have = dict[int, int]()
    for at in range(table.by_width[width], 0, -1):
        if table.best[at][long] != table.best[at - 1][long]:
            item, many = table.steps[at - 1]
            long -= item.long * many
            many = min(many, left[item.which] - have.get(item.which, 0))
            if many:
                have[item.which] = have.get(item.which, 0) + many
                picked.append((item, many))
    return picked


def _fill(
    grid: Grid,
    board: tuple[int, int, int],
    size: tuple[int, int],
    pieces: Sequence[Piece],
    left: Sequence[int],
    values: Sequence[int],
    first: tuple[_Best, int],
    rest: tuple[Sequence[int], Rule],
) -> Filled:
    """Return the board filled strip by strip, each the densest of the best board of what is left by then."""
    _, long, wide = board
    length, width = size
    wanted, used = list(left), dict[int, int]()
    cut: list[Callable[[], Tree | None]] = []
    table, chosen = first
    area = 0

    def take(counts: dict[int, int]) -> None:
        nonlocal area
        for which, many in counts.items():
            wanted[which] -= many
            used[which] = used.get(which, 0) + many
            area += many * pieces[which].area

    def fill_rest(over: int, beside: int) -> Callable[[], Tree | None]:
        order = [which for which in rest[0] if wanted[which]]
        filled = fill(over, beside, pieces, order, wanted, rest[1])
        take(filled.used)
        return lambda: filled.tree

    while chosen:
        picked = _picked(table, chosen, long, wanted)
        across = max(grid.across(item.form.length, item.form.width) for item, _ in picked)
        counts = dict[int, int]()
        for item, many in picked:
            counts[item.which] = counts.get(item.which, 0) + many
        take(counts)
        taken = sum(grid.along(item.form.length, item.form.width) * many for item, many in picked)
        end: Callable[[], Tree | None] = _nothing
        if grid.way is Way.RIP:
            if taken < length:
                end = fill_rest(length - taken, across)
            cut.append(partial(_strip, picked, end, Way.CROSSCUT, length, across))
            width -= across
        else:
            if taken < width:
                end = fill_rest(across, width - taken)
            cut.append(partial(_strip, picked, end, Way.RIP, across, width))
            length -= across
        wide = grid.across(length, width) // grid.step_across
        able = [which for which, many in enumerate(wanted) if many]
        if wide <= 0 or not able:
            break
        items = [item for item in _items(grid, pieces, able, wanted, values) if item.wide <= wide]
        table = _table(items, long)
        _, chosen = _densest(_across(table, long, wide), wide)
    if length > 0 and width > 0:
        cut.append(fill_rest(length, width))
    return Filled(used, area, lambda: joined(*size, grid.way, [make() for make in cut]))


def _strip(
    picked: Sequence[tuple[_Item, int]], end: Callable[[], Tree | None], way: Way, length: int, width: int
) -> Tree | None:
    """Return a strip: the widest piece first, what fills its end last."""
    trees = [item.form.tree for item, many in picked for _ in range(many)]
    return joined(length, width, way, [*trees, end()])


def _nothing() -> None:
    """Return that nothing is cut from a strip's end."""
