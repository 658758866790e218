"""A better layout when there is time: the search goes on until it is proven best, its work is done or it is stopped."""

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from domain.layout.blocks import from_blocks
from domain.layout.choose import has_solver
from domain.layout.columns import by_columns
from domain.layout.first import as_layout, quick_of
from domain.layout.pack import Packing
from domain.layout.pool import chosen, with_larger_offcuts
from domain.layout.search import Search, Stop
from domain.layout.shape import Bound, Layout, Progress
from domain.layout.whole import Whole, whole

ROUNDS = 8
"""Of search and choice at the most. The same input always gets the same work, however quick the machine."""

ROUNDS_AFTER_COLUMNS = 2
"""Where pieces lie in lanes, the mix of columns leaves little to find."""

WORK = 800
"""Boards filled in each round at the most."""

WORK_EACH = 150
"""Boards filled in each round for each board of the layout."""


def never() -> bool:
    return False


def improve(start: Layout, *, stop: Stop = never) -> Iterator[Progress]:
    """Yield ever better layouts, each complete, the last when the search is through; fewer where it is stopped.

    stop: asked many times a second, also while the solver works; then the last layout that came is the best so far.
    """
    within = whole(start.to_cut)
    best = start
    if not is_proven(best):
        for packing, least, done in _packings(within, best.bound, stop):
            if stop():
                return
            best = replace(best, bound=least)
            found = _layout(best, within, packing)
            if standing(found) < standing(best):
                best = found
            if is_proven(best):
                break
            yield Progress(best, done)
    if not stop():
        yield Progress(replace(best, improved=True), Fraction(1))


def is_proven(layout: Layout) -> bool:
    """Whether no layout costs less, and none of that cost is fewer boards."""
    return layout.is_best and len(layout.laid) <= layout.bound.count


def standing(layout: Layout) -> tuple[Fraction, Fraction, int, Fraction]:
    """Return what is to be small: area not placed, cost, boards; then offcuts worth keeping, squared, as less."""
    sizes = {blank.key: blank.width.inches * blank.length.inches for blank in layout.to_cut.blanks}
    wide, long = layout.to_cut.keep
    kept = Fraction(0)
    for laid in layout.laid:
        kept += sum(cut.area**2 for cut in laid.offcuts if wide <= cut.width and long <= cut.length)
    lost = sum((sizes[key] * many for key, many in layout.unplaced.items()), Fraction(0))
    return lost, layout.cost, len(layout.laid), -kept


def _layout(start: Layout, within: Whole, packing: Packing) -> Layout:
    """Return the packing as a layout; the bound is worked out again only where other blanks are placed."""
    layout = as_layout(start.to_cut, within, packing, least=start.bound)
    return layout if layout.unplaced == start.unplaced else as_layout(start.to_cut, within, packing)


def _packings(within: Whole, least: Bound, stop: Stop) -> Iterator[tuple[Packing, Bound, Fraction]]:
    """Yield the best packing so far and its bound after each round, with the share of the work that is done."""
    quick = quick_of(within)
    if not quick.patterns:
        return
    search = Search(quick)
    step = Fraction(1, ROUNDS + 3)
    rounds = ROUNDS
    if has_solver():
        for mixed, proven in by_columns(within, quick, least, stop):
            least, rounds = proven, ROUNDS_AFTER_COLUMNS
            search.take(mixed)
            yield search.best, least, step
    goal = (int(least.cost / within.cost_unit), least.count)
    for _ in search.by_strips(stop):
        yield search.best, least, 2 * step
    for pattern in from_blocks(search.task, stop):
        search.know(pattern)
    for turn in range(rounds):
        known = len(search.pool)
        search.run(min(WORK, WORK_EACH * len(search.best.patterns)), stop, goal)
        if has_solver() and not stop():
            better = chosen(search.pool, search.best, stop)
            if better is not None:
                search.take(better)
                search.restart()
        yield search.best, least, (turn + 3) * step
        if len(search.pool) == known:
            break
    yield with_larger_offcuts(search.pool, search.best, stop), least, (ROUNDS + 2) * step
