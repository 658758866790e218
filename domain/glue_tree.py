"""Which boards are glued together first: neighbours in groups, the groups to one another, until one panel is left."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil


@dataclass(frozen=True, slots=True)
class Group:
    """Neighbouring boards in one piece: a single board, or what a glue-up made of its parts.

    first, last: boards, counted from 1 across the panel; stage: which glue-up made it, from 1, 0 for a board.
    """

    first: int
    last: int
    stage: int = 0
    parts: tuple["Group", ...] = ()


def glue_groups(widths: Sequence[Fraction], at_once: int, widest: Fraction) -> tuple[Group, ...]:
    """Return the groups in the order of gluing, the last of them the whole panel; of a single board none.

    widths: of the boards side by side [in]; at_once: how many boards or parts one glue-up joins; widest: what the
    planer takes [in], which no group exceeds where that costs no further round. Every round joins neighbours into the
    fewest groups, then takes the fewest glue-ups, then keeps the widest group narrow. A larger at_once never takes
    more glue-ups. Raises ValueError for less than two at once.
    """
    if at_once < 2:
        raise ValueError(f"a glue-up joins at least 2, not {at_once}")
    parts = [Group(board, board) for board in range(1, len(widths) + 1)]
    made: list[Group] = []
    while len(parts) > 1:
        sizes = [sum(widths[part.first - 1 : part.last], Fraction(0)) for part in parts]
        joined: list[Group] = []
        start = 0
        for many in _shared_out(sizes, at_once, widest):
            these = tuple(parts[start : start + many])
            start += many
            if many > 1:
                these = (Group(these[0].first, these[-1].last, len(made) + 1, these),)
                made.append(these[0])
            joined.append(these[0])
        parts = joined
    return tuple(made)


_Cost = tuple[int, int, Fraction]
"""Groups wider than the planer, glue-ups, and the widest group [in], the less the better."""


def _shared_out(widths: Sequence[Fraction], at_once: int, widest: Fraction) -> tuple[int, ...]:
    """Return how many neighbours go into each of the fewest groups."""
    groups = ceil(len(widths) / at_once)
    edges = [Fraction(0)]
    for width in widths:
        edges.append(edges[-1] + width)
    # best[end]: the best way to put the parts before `end` into the groups so far, with their numbers
    best: dict[int, tuple[_Cost, tuple[int, ...]]] = {0: ((0, 0, Fraction(0)), ())}
    for _ in range(groups):
        found: dict[int, tuple[_Cost, tuple[int, ...]]] = {}
        for end in range(1, len(widths) + 1):
            for many in range(1, min(at_once, end) + 1):
                if end - many in best:
                    (over, stages, wide), before = best[end - many]
                    width, is_glued = edges[end] - edges[end - many], many > 1
                    cost = over + (is_glued and width > widest), stages + is_glued, max(wide, width)
                    if end not in found or cost < found[end][0]:
                        found[end] = cost, (*before, many)
        best = found
    return best[len(widths)][1]
