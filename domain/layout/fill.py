"""One board or sheet filled from what is left to cut: each piece into the free rectangle it fits best.

The free rectangles are always pieces a saw can free, as every placing cuts its rectangle through.
Source: J. Jylänki, A Thousand Ways to Pack the Bin, 2010, the guillotine algorithms; best fit and split rules as there.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import Enum
from functools import cached_property, partial

from domain.layout.shape import Way
from domain.layout.tree import Leaf, Split, Tree, joined


@dataclass(frozen=True, slots=True)
class Form:
    """One way a piece can lie. tree: what it is made of, itself mostly."""

    length: int
    width: int
    tree: Tree


@dataclass(frozen=True, slots=True)
class Piece:
    """What is placed as one: alike blanks, or blanks that stay together. forms: the ways it can lie.

    match: the word of its blanks; group: the word again where they take several boards, to be taken up in sequence.
    """

    forms: tuple[Form, ...]
    count: int
    area: int
    match: str = ""
    group: str = ""


class First(Enum):
    """Which cut is made first around a placed piece."""

    CROSSCUT = 0
    RIP = 1
    LARGER = 2  # the one that leaves the larger rectangle
    SHORTER = 3  # along the shorter of the two rests


@dataclass(frozen=True, slots=True)
class Rule:
    """How a board is filled. rows: as many alike as fit side by side at once; snug: best fit by side, not by area."""

    first: First
    rows: bool
    snug: bool


@dataclass(slots=True)
class _Free:
    """A rectangle that is free, or how it was cut up: a row of trees in a section, what is beyond in it, the rest."""

    length: int
    width: int
    way: Way | None = None
    row: Tree | None = None
    beyond: "_Free | None" = None
    rest: "_Free | None" = None


@dataclass(frozen=True)
class Filled:
    """A filled board. used: how many of each piece by its place in the list; area: of them."""

    used: dict[int, int]
    area: int
    cut: Callable[[], Tree | None]

    @cached_property
    def tree(self) -> Tree | None:
        """Return how it is cut; made when it is asked for, as most boards that are tried are not."""
        return self.cut()


def fill(
    length: int, width: int, pieces: Sequence[Piece], order: Sequence[int], left: Sequence[int], rule: Rule
) -> Filled:
    """Return the board filled with what is left, the pieces tried in the order."""
    whole = _Free(length, width)
    free = [whole]
    used: dict[int, int] = {}
    area = 0
    for which in order:
        many = left[which]
        piece = pieces[which]
        while many and free:
            found = _best(free, piece.forms, rule.snug)
            if found is None:
                break
            at, form = found
            spot = free.pop(at)
            placed = _put(spot, form, many if rule.rows else 1, rule.first)
            for rest in (spot.beyond, spot.rest):
                if rest is not None:
                    free.append(rest)
            many -= placed
            used[which] = used.get(which, 0) + placed
            area += placed * piece.area
    return Filled(used, area, partial(_tree, whole))


def _best(free: Sequence[_Free], forms: Sequence[Form], snug: bool) -> tuple[int, Form] | None:
    best = -1
    found: tuple[int, Form] | None = None
    for form in forms:
        length, width = form.length, form.width
        for at, spot in enumerate(free):
            over, beside = spot.length - length, spot.width - width
            if over < 0 or beside < 0:
                continue
            waste = min(over, beside) if snug else spot.length * spot.width
            if best < 0 or waste < best:
                best, found = waste, (at, form)
    return found


def _put(spot: _Free, form: Form, many: int, first: First) -> int:
    """Cut the rectangle up around a row of the piece; return how many of it there are in the row."""
    over, beside = spot.length - form.length, spot.width - form.width
    if first is First.LARGER:
        crosscut = max(over * spot.width, form.length * beside) >= max(over * form.width, spot.length * beside)
    elif first is First.SHORTER:
        crosscut = over >= beside
    else:
        crosscut = first is First.CROSSCUT
    if crosscut:
        row = min(many, spot.width // form.width)
        spot.way = Way.CROSSCUT
        used = row * form.width
        spot.row = form.tree if row == 1 else Split(form.length, used, Way.RIP, (form.tree,) * row)
        spot.beyond = _Free(form.length, spot.width - used) if used < spot.width else None
        spot.rest = _Free(over, spot.width) if over else None
    else:
        row = min(many, spot.length // form.length)
        spot.way = Way.RIP
        used = row * form.length
        spot.row = form.tree if row == 1 else Split(used, form.width, Way.CROSSCUT, (form.tree,) * row)
        spot.beyond = _Free(spot.length - used, form.width) if used < spot.length else None
        spot.rest = _Free(spot.length, beside) if beside else None
    return row


def _tree(spot: _Free | None) -> Tree | None:
    if spot is None or spot.way is None or spot.row is None:
        return None
    rest = _tree(spot.rest)
    if spot.way is Way.CROSSCUT:
        section = _section(spot.row.length, spot.width, Way.RIP, spot.row, _tree(spot.beyond))
    else:
        section = _section(spot.length, spot.row.width, Way.CROSSCUT, spot.row, _tree(spot.beyond))
    return joined(spot.length, spot.width, spot.way, (section, rest))


def _section(length: int, width: int, way: Way, row: Tree, beyond: Tree | None) -> Tree | None:
    """Return the row and what is beyond it as parts of one split."""
    if beyond is None:
        return row
    rows = row.parts if isinstance(row, Split) and row.way is way else (row,)
    return joined(length, width, way, (*rows, beyond))


def plain(length: int, width: int, size: int, count: int, *, turns: bool) -> Piece:
    """Return a piece that is one blank."""
    forms = [Form(length, width, Leaf(length, width, size))]
    if turns:
        forms.append(Form(width, length, Leaf(width, length, size, turned=True)))
    return Piece(tuple(forms), count, length * width)
