"""What a layout is asked for and what it says: blanks, the boards or sheets to cut them from, places and cuts.

On every board and sheet x runs along the length from the left end, y across the width from the near edge, both from
the corner of what is left after trimming. All sizes are exact; a solver's integers are its own matter.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from enum import Enum
from fractions import Fraction

from domain.length import ZERO, Length


@dataclass(frozen=True, slots=True)
class Blank:
    """Alike rectangles to cut, at the size they are cut to. The kerf between two of them is the layout's own.

    key: tells them apart, the same as long as the part is; name: what is written on the stock, such as `12A`;
    length: along the grain, unless it turns: then either way will do; match: blanks of one word must match in grain
    or colour, so they come out of one board or sheet, side by side or one after the other; empty for none.
    Raises ValueError for a size or count that is not positive.
    """

    key: str
    name: str
    width: Length
    length: Length
    count: int = 1
    turns: bool = False
    match: str = ""

    def __post_init__(self) -> None:
        if self.width <= ZERO or self.length <= ZERO or self.count < 1:
            raise ValueError(f"a blank has a size and a count, not {self.width.tape()} by {self.length.tape()}")


@dataclass(frozen=True, slots=True)
class Source:
    """Boards or sheets of one size to cut from.

    width, length: usable, trims taken off; count: how many there are, None for as many as wanted; cost: of one, in
    whatever is to be kept small; nothing for what the shop has already, which is then used first.
    Raises ValueError for a size that is not positive, a negative count or a negative cost.
    """

    key: str
    width: Length
    length: Length
    cost: Fraction
    count: int | None = None

    def __post_init__(self) -> None:
        if self.width <= ZERO or self.length <= ZERO:
            raise ValueError(f"a board has a size, not {self.width.tape()} by {self.length.tape()}")
        if self.cost < 0 or (self.count is not None and self.count < 0):
            raise ValueError(f"count and cost are at least 0, not {self.count} and {self.cost}")


def fits(blank: Blank, source: Source) -> bool:
    """Whether one blank goes into one board or sheet as it comes."""
    as_is = blank.width <= source.width and blank.length <= source.length
    return as_is or (blank.turns and blank.length <= source.width and blank.width <= source.length)


@dataclass(frozen=True, slots=True)
class ToCut:
    """What a layout is asked for. keep: an offcut at least so wide and so long is worth keeping."""

    blanks: tuple[Blank, ...]
    sources: tuple[Source, ...]
    kerf: Length
    keep: tuple[Length, Length] = (ZERO, ZERO)


@dataclass(frozen=True, slots=True)
class Rectangle:
    """A place on a board or sheet."""

    x: Length
    y: Length
    length: Length
    width: Length

    @property
    def right(self) -> Length:
        return self.x + self.length

    @property
    def far(self) -> Length:
        return self.y + self.width

    @property
    def area(self) -> Fraction:
        """Return its area [in²]."""
        return self.length.inches * self.width.inches


class Way(Enum):
    RIP = "rip"  # along the length, at a y
    CROSSCUT = "crosscut"  # across it, at an x


@dataclass(frozen=True, slots=True)
class Cut:
    """One through cut of the piece in hand, in the order of cutting.

    at: the near side of the kerf, y of a rip, x of a crosscut; begins, ends: where it enters and leaves the piece.
    """

    number: int
    way: Way
    at: Length
    begins: Length
    ends: Length


@dataclass(frozen=True, slots=True)
class Place:
    """Where one of a blank lies. turned: its length lies across the board."""

    blank: str
    at: Rectangle
    turned: bool = False


@dataclass(frozen=True, slots=True)
class Laid:
    """One board or sheet with what is cut from it. offcuts: what is left, largest first."""

    source: str
    places: tuple[Place, ...]
    cuts: tuple[Cut, ...] = ()
    offcuts: tuple[Rectangle, ...] = ()


@dataclass(frozen=True, slots=True)
class Bound:
    """What no layout can beat: the least cost, and the least number of boards or sheets; why: in words."""

    cost: Fraction
    count: int
    why: str


@dataclass(frozen=True, slots=True)
class Layout:
    """What is cut from which board or sheet, in the order they are taken up.

    unplaced: keys of the blanks of which at least one fits nothing that is left; improved: the search for a better
    one has been through.
    """

    to_cut: ToCut
    laid: tuple[Laid, ...]
    bound: Bound
    unplaced: Mapping[str, int] = field(default_factory=dict)
    improved: bool = False

    @property
    def cost(self) -> Fraction:
        by_key = {source.key: source for source in self.to_cut.sources}
        return sum((by_key[one.source].cost for one in self.laid), Fraction(0))

    @property
    def is_best(self) -> bool:
        """Whether no layout can cost less."""
        return not self.unplaced and self.cost <= self.bound.cost

    def used(self) -> Iterator[tuple[Source, int]]:
        """Yield each source that is used, with how many of it, in the order of the sources."""
        for source in self.to_cut.sources:
            if many := sum(one.source == source.key for one in self.laid):
                yield source, many


@dataclass(frozen=True, slots=True)
class Progress:
    """How far a search has come. best: the best layout so far; done: share of the work, 0 to 1."""

    best: Layout
    done: Fraction
