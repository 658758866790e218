"""The pieces that are placed as one: blanks by themselves, and blanks that match kept together."""

from domain.layout.fill import Piece, plain
from domain.layout.whole import Whole


def pieces_of(within: Whole) -> tuple[Piece, ...]:
    """Return what is placed as one."""
    return tuple(
        plain(size.length, size.width, which, size.count, turns=size.turns) for which, size in enumerate(within.sizes)
    )
