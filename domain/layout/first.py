"""A layout at once: the best of many ways to fill boards one after another. Exact, without a solver."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import product

from domain.layout.bound import bound
from domain.layout.fill import First, Piece, Rule
from domain.layout.match import pieces_of
from domain.layout.pack import MOST_TRIED, Packing, Task, pack
from domain.layout.shape import Bound, Layout, ToCut
from domain.layout.whole import Whole, laid_out, whole

WORK = 10_000
"""Pieces looked at for boards, about, so that the time stays alike however many there are."""

LEAST = 12
"""A board takes at least the time of so many pieces."""


def first_layout(to_cut: ToCut) -> Layout:
    """Return the best of many quick layouts; the same for the same input."""
    within = whole(to_cut)
    return as_layout(to_cut, within, quick_of(within))


def quick_of(within: Whole) -> Packing:
    """Return the best of the quick ways; blanks that match are kept together unless so they find no place at all."""
    packing = quick(task_of(within))
    if any(many and piece.match for many, piece in zip(packing.left, packing.task.pieces, strict=True)):
        loose = frozenset(piece.match for many, piece in zip(packing.left, packing.task.pieces, strict=True) if many)
        apart = quick(task_of(within, loose))
        if apart.score < packing.score:
            return apart
    return packing


def task_of(within: Whole, loose: frozenset[str] = frozenset()) -> Task:
    """Return what is packed. loose: words of blanks that match and yet are placed one by one."""
    return Task(pieces_of(within, loose), within.stocks, within.kerf, within.keep)


def as_layout(to_cut: ToCut, within: Whole, packing: Packing, *, least: Bound | None = None) -> Layout:
    """Return the packing as a layout. least: a bound found before; else it is worked out for what is placed."""
    laid, unplaced = laid_out(to_cut, within, packing.boards())
    return Layout(to_cut, laid, least or bound(without(to_cut, unplaced)), unplaced)


def without(to_cut: ToCut, unplaced: dict[str, int]) -> ToCut:
    """Return what is asked for without the blanks that found no place."""
    if not unplaced:
        return to_cut
    kept = ((blank, blank.count - unplaced.get(blank.key, 0)) for blank in to_cut.blanks)
    return replace(to_cut, blanks=tuple(replace(blank, count=many) for blank, many in kept if many > 0))


def quick(task: Task) -> Packing:
    """Return the best of the quick ways."""
    best: Packing | None = None
    for packing in ways(task):
        if best is None or packing.beats(best):
            best = packing
    assert best is not None
    return best


def ways(task: Task) -> Iterator[Packing]:
    """Yield packings by every order and rule, the most promising first, until the work is done."""
    left, limits = [piece.count for piece in task.pieces], [stock.limit for stock in task.stocks]
    work = 0
    for rows, snug, first in product((True, False), (False, True), First):
        for order in orders(task.pieces):
            packing = pack(task, [(order, Rule(first, rows, snug))], left, limits)
            yield packing
            work += (len(packing.patterns) + 1) * min(len(task.stocks), MOST_TRIED) * max(len(order), LEAST)
            if work > WORK:
                return


def orders(pieces: Sequence[Piece]) -> list[list[int]]:
    """Return the pieces by area, by their longer side, by width and by length, the largest first."""
    keys = (
        lambda piece: piece.area,
        lambda piece: max(piece.forms[0].length, piece.forms[0].width),
        lambda piece: (piece.forms[0].width, piece.forms[0].length),
        lambda piece: (piece.forms[0].length, piece.forms[0].width),
    )
    every = range(len(pieces))
    return [sorted(every, key=lambda which: key(pieces[which]), reverse=True) for key in keys]
