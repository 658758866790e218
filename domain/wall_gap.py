"""The gap a top needs at its walls as it moves, against what was measured and what covers it."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from domain.figure import Figure, Rule, Unit, typed
from domain.length import Length
from domain.measure import COVER_PRACTICE, LABELS, Cover, End, Fit, Run
from domain.practice import COMMON, ShopPractice
from domain.problem import Problem
from domain.shop import Shop
from domain.tape import at_least, near
from domain.wide_part import WidePart

AS_LONG = Length.of(2)
"""A top this near the width of a measured run is taken to go there. Source: common practice, no source."""


@dataclass(frozen=True, slots=True)
class MeasuredRun:
    """A run, what it comes to, and its address. where: such as `job:3:measure:7`."""

    run: Run
    fit: Fit
    where: str


@dataclass(frozen=True, slots=True)
class WallGap:
    """One wall. run: its name, empty when none was measured for this top; swells: towards this wall [in];
    left: free at a wall as the shop or the run has it; leave: what to leave; widest: when the wood is driest;
    hides: what covers a gap there, None for nothing; cover: what that is.
    """

    run: str
    side: str
    swells: Figure
    left: Figure
    leave: Figure
    widest: Figure
    hides: Figure | None
    cover: Cover

    @property
    def is_covered(self) -> bool:
        return self.hides is not None and self.widest.value <= self.hides.value

    def problems(self, piece: str, shop: Shop) -> Iterator[Problem]:
        """Yield what does not fit, with what would work."""
        side = f"{piece}: at the {self.side} wall"
        if self.swells.value > self.left.value:
            leave, left = at_least(self.leave.value, shop), near(self.left.value, shop)
            words = f"{side} leave {leave}, not {left}: the top would push against the wall in the damp season."
            yield Problem("clearance", words)
        if self.hides is not None and not self.is_covered:
            cover = f"the {self.cover.value}" if self.run else f"a usual {self.cover.value}"
            yield Problem(
                "cover",
                f"{side} the gap opens to {near(self.widest.value, shop)} in the dry season, and {cover} covers "
                f"{near(self.hides.value, shop)}. Take a wider one, or scribe the edge to the wall.",
            )


def wall_gaps(
    part: WidePart, swells: Figure, shrinks: Figure, runs: Sequence[MeasuredRun], practice: ShopPractice
) -> tuple[WallGap, ...]:
    """Return the walls a top moves against: the back one, or those at its ends when its grain runs front to back.

    Held fast at the front, all of the movement shows at the back; held in the middle, half of it at each end.
    """
    if not part.along_wall and part.far == "front":
        return ()
    found = _run_of(part, runs)
    share = Fraction(1, 2) if part.along_wall else Fraction(1)
    return tuple(_gap(side, swells, shrinks, share, found, practice) for side in _sides(part, found))


def _run_of(part: WidePart, runs: Sequence[MeasuredRun]) -> MeasuredRun | None:
    """Return the run that a top goes into: the nearest in width; None when none is about as long as it."""

    def apart(one: MeasuredRun) -> Fraction:
        if one.fit.width is None or part.length is None:
            return AS_LONG.inches + 1
        return abs(one.fit.width.value - part.length.value)

    nearest = min(runs, key=apart, default=None)
    if nearest is None or apart(nearest) > AS_LONG.inches:
        return None
    return nearest


def _sides(part: WidePart, found: MeasuredRun | None) -> Iterator[str]:
    if not part.along_wall:
        yield part.far
        return
    for side in ("left", "right"):
        if found is None or getattr(found.run, side) is End.WALL:
            yield side


def _gap(
    side: str, swells: Figure, shrinks: Figure, share: Fraction, found: MeasuredRun | None, practice: ShopPractice
) -> WallGap:
    left, hides, cover = _as_measured(found, practice)
    there = "all of it" if share == 1 else "half of it, the middle held fast"
    grows = _inches(f"Grows towards the {side} wall", max(swells.value, Fraction(0)) * share, there, swells)
    leave = _inches(f"Leave free at the {side}", max(left.value, grows.value),
                    "what it grows, and no less than is left at a wall anyway", left, grows)  # fmt: skip
    crooked = _crooked(side, left, hides, found)
    more = -min(shrinks.value, Fraction(0)) * share
    came_from = (leave, shrinks, *((crooked,) if crooked else ()))
    value = leave.value + more + (crooked.value if crooked else 0)
    words = "left free + what it shrinks there" + (" + how crooked the wall is" if crooked else "")
    widest = _inches(f"Widest gap at the {side}, dry season", value, words, *came_from)
    return WallGap(found.run.name if found else "", side, grows, left, leave, widest, hides, cover)


def _as_measured(found: MeasuredRun | None, practice: ShopPractice) -> tuple[Figure, Figure | None, Cover]:
    """Return what is left free at a wall, what hides a gap there, and the cover; without a run a usual bead."""
    usual = practice.figure("fitting_clearance")
    if found is None:
        return usual, practice.figure("bead_width"), Cover.BEAD
    run = found.run
    left = usual if run.clearance is None else typed(LABELS["clearance"], run.clearance, where=found.where)
    if run.cover is Cover.NONE:
        return left, None, run.cover
    own = None if run.hides is None else typed(LABELS["hides"], run.hides, where=found.where)
    return left, own or practice.figure(COVER_PRACTICE[run.cover]), run.cover


def _crooked(side: str, left: Figure, hides: Figure | None, found: MeasuredRun | None) -> Figure | None:
    """Return how far a measured wall is from straight; None where it is not known or the edge is scribed to it."""
    gap: Figure | None = getattr(found.fit, f"gap_{side}", None) if found else None
    if gap is None:
        return None
    value = gap.value if side == "back" else max(gap.value - left.value, Fraction(0))
    reach = hides.value if hides else left.value
    if value > reach:
        return None
    return _inches(f"The {side} wall is crooked by", value, "as measured", gap)


def _inches(label: str, value: Fraction, words: str, *came_from: Figure) -> Figure:
    return Figure(label, value, Unit.INCH, Rule(words, COMMON), came_from)
