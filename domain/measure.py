"""A measured run, the size to cut so that it goes in, and the widest gap left to hide."""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from domain.figure import Figure, Rule, Unit, typed
from domain.length import ZERO, Length
from domain.practice import COMMON, ShopPractice
from domain.problem import Problem

LONGEST = Length.feet(60)
"""Longest run taken for a real one."""

MOST_APART = Length.of(3)
"""Measures of one run that are further apart than this are looked at again. Source: common practice, no source."""


class End(Enum):
    """What a run ends at; the value is what the database holds and what a person reads."""

    WALL = "wall"
    OPEN = "open"


class Cover(Enum):
    """What hides the gap along a wall; the value is what the database holds and what a person reads."""

    NONE = "nothing"
    BEAD = "bead"
    TILE = "tile"
    CAULK = "caulk"


COVER_PRACTICE = {Cover.BEAD: "bead_width", Cover.TILE: "tile_cover", Cover.CAULK: "caulk_width"}


@dataclass(frozen=True, slots=True)
class Run:
    """A wall-to-wall opening or open-ended run as measured. A size is None while nobody has measured it.

    back, middle, front: the width from end to end at those depths; depth_*: from the back wall to a straight
    line where the front goes; out_of_square: how far the left wall stands away from a square held in the back
    left corner, at the front, negative where it leans in; floor_slope: how much the floor falls from end to
    end; hides: the widest gap its cover hides, None for the shop's usual; clearance: left free at each wall,
    None for the shop's usual.
    """

    id: int
    name: str
    room: str = ""
    left: End = End.WALL
    right: End = End.WALL
    back: Length | None = None
    middle: Length | None = None
    front: Length | None = None
    depth_left: Length | None = None
    depth_centre: Length | None = None
    depth_right: Length | None = None
    out_of_square: Length | None = None
    floor_slope: Length | None = None
    cover: Cover = Cover.NONE
    hides: Length | None = None
    clearance: Length | None = None
    notes: str = ""
    version: int = 1


LABELS = {
    "back": "Width at the back",
    "middle": "Width at the middle",
    "front": "Width at the front",
    "depth_left": "Depth at the left",
    "depth_centre": "Depth at the centre",
    "depth_right": "Depth at the right",
    "out_of_square": "Out of square",
    "floor_slope": "Floor slope",
    "hides": "Widest gap the cover hides",
    "clearance": "Left free at each wall",
}
"""Names of the measured fields, as pages and messages say them."""

HOW_TO_MEASURE = {
    "back": "Along the back wall at the height of the top, from end to end. Two sticks slid apart and clamped "
    "measure truer than a bent tape.",
    "middle": "Halfway between back and front, at the same height.",
    "front": "Where the front edge will be, at the same height.",
    "depth_left": "Stretch a string where the front goes. Measure from the wall to the string at the left end.",
    "depth_centre": "From the wall to the same string, in the middle. More places for a long or wavy wall.",
    "depth_right": "From the wall to the same string, at the right end.",
    "out_of_square": "Hold a large square in the back left corner. How far does the left wall stand away from "
    "its blade where the front will be? Minus when the wall leans into the room.",
    "floor_slope": "With a long level along the front: how much lower is the floor at its low end?",
    "hides": "How far the bead, tile or caulk reaches over a gap, measured on a piece of it.",
}
"""How each measure is taken, for the page and the printed sheet. Source: common practice, no source."""

WIDTHS = ("back", "middle", "front")
DEPTHS = ("depth_left", "depth_centre", "depth_right")


@dataclass(frozen=True, slots=True)
class Fit:
    """What a run comes to. A figure is None where nothing was measured or there is no wall; all in inches.

    width, depth: the size to cut; gap_left, gap_right, gap_back: the widest gap left there; shim: the tallest
    at the low end of the floor; toe_kick: what to leave on the toe kick for scribing to the floor.
    """

    width: Figure | None = None
    depth: Figure | None = None
    gap_left: Figure | None = None
    gap_right: Figure | None = None
    gap_back: Figure | None = None
    shim: Figure | None = None
    toe_kick: Figure | None = None
    problems: tuple[Problem, ...] = ()


def run_problems(run: Run) -> tuple[Problem, ...]:
    """Return what cannot be: a size that is not positive, too long or far from its neighbours; no name."""
    return tuple(_run_problems(run))


def _run_problems(run: Run) -> Iterator[Problem]:
    if not run.name.strip():
        yield Problem("name", "The run has no name. Try “north wall”.")
    for name in (*WIDTHS, *DEPTHS):
        size: Length | None = getattr(run, name)
        if size is not None and not ZERO < size <= LONGEST:
            yield Problem(name, f"{LABELS[name]} “{size.tape()}” must be more than 0 and at most 60 ft.")
    for name in ("floor_slope", "hides", "clearance"):
        size = getattr(run, name)
        if size is not None and not ZERO <= size <= Length.feet(1):
            yield Problem(name, f"{LABELS[name]} “{size.tape()}” must be from 0 to 12 in.")
    if run.out_of_square is not None and abs(run.out_of_square.inches) > 12:
        words = f"{LABELS['out_of_square']} “{run.out_of_square.tape()}” must be from -12 to 12 in."
        yield Problem("out_of_square", words)


def fit(run: Run, practice: ShopPractice, *, where: str = "") -> Fit:
    """Return the size to cut for a run, the widest gaps left, and what the cover cannot hide.

    where: address of the run, such as `job:3:measure:7`. A run with run_problems gives only those.
    Source: common practice, no source.
    """
    wrong = run_problems(run)
    if wrong:
        return Fit(problems=wrong)
    clearance = _own_or_usual(run, "clearance", practice, "fitting_clearance", where)
    widths, depths = _measured(run, WIDTHS, where), _measured(run, DEPTHS, where)
    sides = _Sides(run, widths, clearance, where)
    width, left, right = sides.width(), sides.gap_left(), sides.gap_right()
    hidden = _hidden(run, clearance, practice, where)
    depth, back = _depth(depths, hidden)
    shim, toe_kick = _floor(run, where)
    problems = (
        *_unmeasured(run),
        *_too_far_apart(run),
        *_no_room(width),
        *_shown_gaps(run, (("left", left), ("right", right), ("back", back)), hidden, practice),
        *_steep_floor(shim, practice),
    )
    return Fit(width, depth, left, right, back, shim, toe_kick, problems)


def _own_or_usual(run: Run, name: str, practice: ShopPractice, key: str, where: str) -> Figure:
    own: Length | None = getattr(run, name)
    return practice.figure(key) if own is None else typed(LABELS[name], own, where=where)


def _measured(run: Run, names: tuple[str, ...], where: str) -> tuple[Figure, ...]:
    sizes = ((LABELS[name], getattr(run, name)) for name in names)
    return tuple(typed(label, size, where=where) for label, size in sizes if size is not None)


def _hidden(run: Run, clearance: Figure, practice: ShopPractice, where: str) -> Figure:
    """Return the widest gap that is not seen: what the cover reaches over, else a line as fine as the clearance."""
    if run.cover is Cover.NONE:
        rule = Rule("nothing hides more than the line left to get it in", COMMON)
        return Figure("Widest gap hidden", clearance.value, Unit.INCH, rule, (clearance,))
    return _own_or_usual(run, "hides", practice, COVER_PRACTICE[run.cover], where)


@dataclass(frozen=True, slots=True)
class _Sides:
    """The two ends of a run, seen from above: back at 0, front at 1.

    The left wall is taken as a straight line out of square by what was measured; then the widths say where
    the right wall is. The top is a rectangle square to the back wall. Without an out-of-square measure either
    wall may be the crooked one, so each gap is reckoned as if that wall were.
    """

    run: Run
    widths: tuple[Figure, ...]
    clearance: Figure
    where: str

    @property
    def walls(self) -> int:
        return (self.run.left, self.run.right).count(End.WALL)

    @property
    def lean(self) -> Figure | None:
        """How far the left wall leans out at the front, where it matters: between two walls."""
        if self.walls < 2 or self.run.out_of_square is None:
            return None
        return typed(LABELS["out_of_square"], self.run.out_of_square, where=self.where)

    def _right_wall(self) -> list[Fraction]:
        """Return where the right wall is at each measured width, from the back left corner [in]."""
        lean = self.lean.value if self.lean else Fraction(0)
        at = {"back": Fraction(0), "middle": Fraction(1, 2), "front": Fraction(1)}
        sizes = ((getattr(self.run, name), at[name]) for name in WIDTHS)
        return [size.inches - lean * share for size, share in sizes if size is not None]

    def width(self) -> Figure | None:
        """Return the width to cut: the narrowest place less the clearance at each wall."""
        if not self.widths:
            return None
        lean = self.lean
        if not self.walls:
            value, words = max(width.value for width in self.widths), "the longest of the measures: both ends are open"
        else:
            leans_in = max(Fraction(0), -lean.value) if lean else Fraction(0)
            value = min(self._right_wall()) - leans_in - self.walls * self.clearance.value
            words = f"the narrowest place less {self.walls} × left free at a wall"
            words += ", a rectangle square to the back wall" if lean else ""
        came_from = (*self.widths, *((lean,) if lean else ()), *((self.clearance,) if self.walls else ()))
        return Figure("Width to cut", value, Unit.INCH, Rule(words, COMMON), came_from)

    def gap_left(self) -> Figure | None:
        """Return the widest gap at the left wall; None at an open end or when nothing was measured."""
        lean = self.lean
        if self.run.left is not End.WALL or not self.widths:
            return None
        if lean is None:
            return self._crooked("left")
        words, value = "left free at a wall + how far it is out of square", self.clearance.value + abs(lean.value)
        return Figure("Widest gap at the left", value, Unit.INCH, Rule(words, COMMON), (self.clearance, lean))

    def gap_right(self) -> Figure | None:
        """Return the widest gap at the right wall; None at an open end or when nothing was measured."""
        lean = self.lean
        if self.run.right is not End.WALL or not self.widths:
            return None
        if lean is None:
            return self._crooked("right")
        wall = self._right_wall()
        words = "left free at a wall + how far the wall is from straight and square"
        came_from = (self.clearance, *self.widths, lean)
        value = self.clearance.value + max(wall) - min(wall)
        return Figure("Widest gap at the right", value, Unit.INCH, Rule(words, COMMON), came_from)

    def _crooked(self, side: str) -> Figure:
        apart = max(width.value for width in self.widths) - min(width.value for width in self.widths)
        words = "left free at a wall + widest less narrowest"
        words += ", should this wall be the crooked one" if self.walls == 2 else ""
        came_from = (self.clearance, *self.widths)
        return Figure(
            f"Widest gap at the {side}", self.clearance.value + apart, Unit.INCH, Rule(words, COMMON), came_from
        )


def _depth(depths: tuple[Figure, ...], hidden: Figure) -> tuple[Figure | None, Figure | None]:
    """Return the depth to cut and the widest gap at the back wall.

    A gap that the cover hides: cut the smallest depth with a straight back edge, its front on the string.
    Else cut the largest depth and scribe the back edge to the wall, which leaves no gap.
    """
    if not depths:
        return None, None
    smallest, largest = (pick(depth.value for depth in depths) for pick in (min, max))
    gap_rule = Rule("largest depth less smallest, behind a straight back edge", COMMON)
    gap = Figure("Widest gap at the back", largest - smallest, Unit.INCH, gap_rule, depths)
    if gap.value <= hidden.value:
        rule = Rule("the smallest depth: the cover hides the gap behind a straight back edge", COMMON)
        return Figure("Depth to cut", smallest, Unit.INCH, rule, (*depths, hidden)), gap
    rule = Rule("the largest depth, the back edge then scribed to the wall: no cover hides the gap", COMMON)
    return Figure("Depth to cut", largest, Unit.INCH, rule, (*depths, hidden)), gap


def _floor(run: Run, where: str) -> tuple[Figure | None, Figure | None]:
    if run.floor_slope is None:
        return None, None
    slope = typed(LABELS["floor_slope"], run.floor_slope, where=where)
    shim = Rule("cabinets are levelled from the highest place of the floor, so the slope is the tallest shim", COMMON)
    kick = Rule("left on the height of the toe kick, which is scribed to the floor", COMMON)
    return (
        Figure("Tallest shim", slope.value, Unit.INCH, shim, (slope,)),
        Figure("Left on the toe kick", slope.value, Unit.INCH, kick, (slope,)),
    )


def _unmeasured(run: Run) -> Iterator[Problem]:
    for names in (WIDTHS, DEPTHS):
        missing = [name for name in names if getattr(run, name) is None]
        if missing and len(missing) < len(names):
            places = ", ".join(LABELS[name].lower() for name in missing)
            yield Problem(missing[0], f"Not measured yet: {places}. Walls are seldom straight, so measure there too.")
    two_walls = (run.left, run.right) == (End.WALL, End.WALL)
    if two_walls and run.out_of_square is None and any(getattr(run, name) for name in WIDTHS):
        yield Problem(
            "out_of_square",
            "The corner was not checked with a square. Two walls that lean the same way measure alike at the back "
            "and the front, and a square top would still jam between them.",
        )


def _too_far_apart(run: Run) -> Iterator[Problem]:
    for names in (WIDTHS, DEPTHS):
        sizes = [size for name in names if (size := getattr(run, name)) is not None]
        if sizes and max(sizes) - min(sizes) > MOST_APART:
            yield Problem(
                names[0],
                f"{LABELS[names[0]].split(' at ')[0]} goes from {min(sizes).tape()} to {max(sizes).tape()}. Measure "
                "again; if it is so, cut it to a pattern of the wall instead of to a size.",
            )


def _no_room(width: Figure | None) -> Iterator[Problem]:
    if width is not None and width.value <= 0:
        yield Problem("clearance", "Nothing is left to cut: the clearance is as wide as the opening. Leave less free.")


def _shown_gaps(
    run: Run, gaps: tuple[tuple[str, Figure | None], ...], hidden: Figure, practice: ShopPractice
) -> Iterator[Problem]:
    """Return a warning for each gap that is wider than what hides it, with what would work."""
    scribe = practice.length("scribe_width")
    for side, gap in gaps:
        if gap is None or gap.value <= hidden.value:
            continue
        yield Problem("cover", f"{_seen(run, side, gap, hidden)} {_what_works(run, side, gap, scribe)}")


def _seen(run: Run, side: str, gap: Figure, hidden: Figure) -> str:
    wide = f"At the {side} the gap is up to {gap.length.tape()}"
    if run.cover is Cover.NONE:
        return f"{wide}, and nothing is planned to hide it."
    return f"{wide}, wider than the {hidden.length.tape()} that the {run.cover.value} hides."


def _what_works(run: Run, side: str, gap: Figure, scribe: Length) -> str:
    edge = "back edge" if side == "back" else f"{side} end"
    pattern = "Cut a dummy strip to the wall first and take the line from it."
    if gap.length > scribe:
        return (
            f"That is more than the {scribe.tape()} a scribe takes: fit a filler strip there, or make the whole "
            f"{edge} to a pattern. {pattern}"
        )
    left_on = (
        "The depth to cut has it on: scribe the back edge to the wall"
        if side == "back"
        else f"Leave {gap.length.tape()} more on the {edge} and scribe it to the wall"
    )
    cover = "wall tile that reaches" if run.cover is Cover.TILE else "a bead that hides"
    return f"{left_on}, or take {cover} as much. {pattern}"


def _steep_floor(shim: Figure | None, practice: ShopPractice) -> Iterator[Problem]:
    most = practice.length("scribe_width")
    if shim is not None and shim.length > most:
        yield Problem(
            "floor_slope",
            f"The floor falls {shim.length.tape()}, more than the {most.tape()} a scribe takes. Set the cabinets on a "
            "levelled base frame, or make the toe kick in two heights.",
        )
