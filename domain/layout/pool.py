"""Boards chosen from all that were ever filled, so that together they hold everything and cost least."""

from collections.abc import Callable, Mapping
from itertools import product

from domain.layout.choose import Column, Pool, choose, has_solver
from domain.layout.fill import First, Rule
from domain.layout.pack import Key, Packing, Pattern, refilled, without_surplus

EFFORT = 0.3
"""The solver's own measure of work for each choice; about seconds on a quick machine."""

FINEST = 1000
"""Steps that offcuts are told apart by when boards are chosen for them."""


def chosen(
    known: Mapping[Key, Pattern], best: Packing, stop: Callable[[], bool], *, same: bool = False
) -> Packing | None:
    """Return boards that hold everything, cost less or are fewer. same: as they cost now, with larger offcuts."""
    if any(best.left):
        return None
    task = best.task
    patterns = list(known.values())
    places = {key: at for at, key in enumerate(known)}
    start = [0] * len(patterns)
    for one in best.patterns:
        start[places[one.key]] += 1
    largest = max((one.kept for one in patterns), default=0) or 1
    columns = [Column(one.stock, one.used, FINEST - FINEST * one.kept // largest if same else 0) for one in patterns]
    costs, limits = [stock.cost for stock in task.stocks], [stock.limit for stock in task.stocks]
    pool = Pool(columns, [piece.count for piece in task.pieces], costs, limits, [1] * len(limits))
    choice = choose(pool, start, effort=EFFORT, stop=stop, fixed=best.score[1:] if same else None)
    if choice is None:
        return None
    return without_surplus(task, [one for one, many in zip(patterns, choice.many, strict=True) for _ in range(many)])


def with_larger_offcuts(known: Mapping[Key, Pattern], best: Packing, stop: Callable[[], bool]) -> Packing:
    """Return boards of the same cost that leave larger offcuts: others from the pool, then each cut another way."""
    if has_solver() and not stop():
        other = chosen(known, best, stop, same=True)
        if other is not None and other.beats(best):
            best = other
    task = best.task
    kept: list[Pattern] = []
    for one in best.patterns:
        for first, rows, snug in product(First, (True, False), (True, False)):
            other_way = refilled(task, task.stocks[one.stock], one.used, Rule(first, rows, snug))
            if other_way is not None and other_way.kept > one.kept:
                one = other_way
        kept.append(one)
    return Packing(task, tuple(kept), best.left)
