"""A top raised on support strips against the built-up edge that hangs below it: how they meet, and what matches."""

from collections.abc import Iterator
from fractions import Fraction
from itertools import combinations_with_replacement

from domain.figure import Figure
from domain.length import Length
from domain.pieces.choices import SheetThickness
from domain.pieces.making import inches
from domain.practice import ShopPractice
from domain.problem import Problem

NEAR = Fraction(1, 16)
"""Within that an edge and the strips beside it count as level [in]. Source: common practice, no source."""

MOST_LAYERS = 2


def plywood_for(hangs: Fraction, practice: ShopPractice) -> tuple[str, ...]:
    """Return the nominal plywood, in layers, that raises a top nearest to how far its edge hangs [in]; () for none.

    One layer is taken where it is near enough; what is further off than NEAR does not count.
    """
    for layers in range(1, MOST_LAYERS + 1):
        found = min(
            combinations_with_replacement((one.value for one in SheetThickness), layers),
            key=lambda names: abs(_thick(names, practice) - hangs),
        )
        if abs(_thick(found, practice) - hangs) <= NEAR:
            return tuple(reversed(found))
    return ()


def _thick(names: tuple[str, ...], practice: ShopPractice) -> Fraction:
    return sum((practice.value(f"actual_{name.replace('/', '_')}") for name in names), Fraction(0))


def meeting(hangs: Figure, raised: Figure) -> Figure:
    """Return how far the edge ends below or above the top of the cabinets [in]. hangs, raised: of edge and top [in]."""
    below = hangs.value - raised.value
    if below >= 0:
        words = "how far the edge hangs − how far the top is raised"
        return inches("Edge ends below the cabinets' top by", below, words, hangs, raised)
    words = "how far the top is raised − how far the edge hangs"
    return inches("Edge ends above the cabinets' top by", -below, words, raised, hangs)


def meeting_warnings(hangs: Figure, raised: Figure, practice: ShopPractice, field: str) -> Iterator[Problem]:
    """Yield what does not meet where the edge and the strips are not level. field: the one to change."""
    off = hangs.value - raised.value
    if abs(off) <= NEAR:
        return
    apart = Length(abs(off)).tape()
    if off > 0:
        words = f"The edge ends {apart} below the cabinets' top: drawers and doors behind it must clear it."
    else:
        words = f"The edge ends {apart} above the cabinets' top, and the strips are seen in the gap."
    yield Problem(field, f"{words} {_what_matches(hangs, practice)}")


def _what_matches(hangs: Figure, practice: ShopPractice) -> str:
    found = plywood_for(hangs.value, practice)
    how_far = hangs.length.tape()
    if not found:
        return f"No plywood matches {how_far}; plane strips of solid wood to it."
    return f"Strips of {' on '.join(found)} plywood raise it {Length(_thick(found, practice)).tape()}, for {how_far}."
