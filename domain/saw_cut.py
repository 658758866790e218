"""The cuts of a board as they are set at the saw: the fence from the edge of the piece in hand, and what comes free."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from domain.layout.shape import Cut, Laid, Layout, Place, Rectangle, Source, Way
from domain.length import ZERO, Length

SHORT = Length.of(12)
"""A shorter piece is not ripped on a table saw: too little of it bears on the fence. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class SawCut:
    """One cut. piece: what is cut, on its board; setting: from its near edge or left end to the near side of the
    kerf; frees: keys of the blanks that have their size after it."""

    cut: Cut
    piece: Rectangle
    setting: Length
    frees: tuple[str, ...]

    @property
    def is_short(self) -> bool:
        """Whether the piece in hand is too short to be ripped safely along a fence."""
        return self.cut.way is Way.RIP and self.piece.length < SHORT


def saw_cuts(layout: Layout, laid: Laid) -> tuple[SawCut, ...]:
    """Return the cuts of one board in their order. Raises ValueError for a cut through no piece."""
    source = next(one for one in layout.to_cut.sources if one.key == laid.source)
    return tuple(_cuts(source, laid, layout.to_cut.kerf))


def _cuts(source: Source, laid: Laid, kerf: Length) -> Iterator[SawCut]:
    pieces = [Rectangle(ZERO, ZERO, source.length, source.width)]
    for cut in laid.cuts:
        piece = next((one for one in pieces if _goes_through(cut, one)), None)
        if piece is None:
            raise ValueError(f"cut {cut.number} of {laid.source} goes through no piece")
        pieces.remove(piece)
        halves = list(_halves(cut, piece, kerf))
        pieces += halves
        start = piece.y if cut.way is Way.RIP else piece.x
        free = tuple(place.blank for place in laid.places if _is_free(place, halves))
        yield SawCut(cut, piece, cut.at - start, free)


def _goes_through(cut: Cut, piece: Rectangle) -> bool:
    if cut.way is Way.RIP:
        return (cut.begins, cut.ends) == (piece.x, piece.right) and piece.y <= cut.at < piece.far
    return (cut.begins, cut.ends) == (piece.y, piece.far) and piece.x <= cut.at < piece.right


def _halves(cut: Cut, piece: Rectangle, kerf: Length) -> Iterator[Rectangle]:
    """Yield what is on the near side of the kerf and what is beyond it, where there is something."""
    beyond = cut.at + kerf
    if cut.way is Way.RIP:
        both = replace(piece, width=cut.at - piece.y), replace(piece, y=beyond, width=piece.far - beyond)
    else:
        both = replace(piece, length=cut.at - piece.x), replace(piece, x=beyond, length=piece.right - beyond)
    yield from (one for one in both if one.width > ZERO and one.length > ZERO)


def _is_free(place: Place, halves: list[Rectangle]) -> bool:
    return any(half == place.at for half in halves)
