"""Boards on which pieces lie in lanes: as many side by side everywhere, so that only lengths matter.

Wherever a saw crosses such a board it meets at most so many pieces; pieces that overlap along the board can be sorted
into that many lanes, as intervals can be coloured with as many colours as meet at one point. Nothing is lost by lanes.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial

from domain.layout.fill import Filled, Form
from domain.layout.pack import Pattern, Task, pattern
from domain.layout.shape import Way
from domain.layout.tree import Split, Tree

Lane = tuple[tuple[int, int], ...]
"""Pairs of piece and how many of it, one after the other."""


@dataclass(frozen=True, slots=True)
class Lanes:
    """way: the cut that frees a lane; rooms: the length of a lane on each stock; many: lanes on each, 0 for no use.

    forms: how each piece lies; able: for each stock whether each piece fits it.
    """

    way: Way
    rooms: tuple[int, ...]
    many: tuple[int, ...]
    forms: tuple[Form, ...]
    able: tuple[tuple[bool, ...], ...]

    def along(self, which: int) -> int:
        form = self.forms[which]
        return form.length if self.way is Way.RIP else form.width


def lanes(task: Task) -> Lanes | None:
    """Return the lanes along all boards, or across all; None where pieces lie side by side as well as in line."""
    forms = _only_forms(task)
    if forms is None:
        return None
    return next((found for way in (Way.RIP, Way.CROSSCUT) if (found := _of_way(task, forms, way))), None)


def _only_forms(task: Task) -> list[Form] | None:
    """Return the one way each piece fits a board; None where one can lie either way."""
    found: list[Form] = []
    for piece in task.pieces:
        fitting = [
            form
            for form in piece.forms
            if any(one.limit and form.length <= one.length and form.width <= one.width for one in task.stocks)
        ]
        if len(fitting) != 1:
            return None
        found += fitting
    return found


def _of_way(task: Task, forms: Sequence[Form], way: Way) -> Lanes | None:
    rooms, many, able = [], [], []
    for stock in task.stocks:
        fits = tuple(bool(stock.limit) and form.length <= stock.length and form.width <= stock.width for form in forms)
        across = [form.width if way is Way.RIP else form.length for form, fit in zip(forms, fits, strict=True) if fit]
        wide = stock.width if way is Way.RIP else stock.length
        lanes = wide // min(across) if across else 0
        if lanes and lanes * max(across) > wide:
            return None
        rooms.append(stock.length if way is Way.RIP else stock.width)
        many.append(lanes)
        able.append(fits)
    return Lanes(way, tuple(rooms), tuple(many), tuple(forms), tuple(able))


def board(task: Task, within: Lanes, stock: int, held: Sequence[Lane]) -> Pattern:
    """Return a board of the stock with these lanes."""
    used: dict[int, int] = {}
    for lane in held:
        for which, many in lane:
            used[which] = used.get(which, 0) + many
    area = sum(many * task.pieces[which].area for which, many in used.items())
    return pattern(task, stock, Filled(used, area, partial(_tree, task, within, stock, tuple(held))))


def _tree(task: Task, within: Lanes, stock: int, held: Sequence[Lane]) -> Tree:
    room, one = within.rooms[stock], task.stocks[stock]
    made: list[Split] = []
    for lane in held:
        forms = [within.forms[which] for which, many in lane for _ in range(many)]
        if within.way is Way.RIP:
            forms.sort(key=lambda form: (-form.width, -form.length))
            made.append(Split(room, forms[0].width, Way.CROSSCUT, tuple(form.tree for form in forms)))
        else:
            forms.sort(key=lambda form: (-form.length, -form.width))
            made.append(Split(forms[0].length, room, Way.RIP, tuple(form.tree for form in forms)))
    return made[0] if len(made) == 1 else Split(one.length, one.width, within.way, tuple(made))
