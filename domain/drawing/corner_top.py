"""The plan of an L-shaped top: the outer corner at the upper left, one leg to the right and one down."""

from collections.abc import Iterator
from fractions import Fraction

from domain.drawing.clip import clipped
from domain.drawing.panel import LaidPanel, panel_sentences, plan_of
from domain.drawing.shape import Callout, Dimension, Drawing, Label, Meaning, Point, Shape, Side, box, line
from domain.drawing.tape import Tape
from domain.length import Length
from domain.material import MaterialKind
from domain.part import Built
from domain.pieces.corner_joint import Corner, SecondGrain, nearest_root
from domain.pieces.corner_top import CornerTop
from domain.pieces.making import Making
from domain.pieces.piece import PlacedPiece
from domain.practice import ShopPractice

WALL, BOLT = Fraction(3, 2), Fraction(3)
"""How thick a wall is drawn; half the length of a bolt [in]."""


def corner_top_plan(placed: PlacedPiece, top: CornerTop, built: Built, practice: ShopPractice, tape: Tape) -> Drawing:
    """Return the plan. built: what one of it is made of."""
    return _CornerPlan(placed, top, built, practice, tape).drawing()


class _CornerPlan:
    def __init__(self, placed: PlacedPiece, top: CornerTop, built: Built, practice: ShopPractice, tape: Tape) -> None:
        self.placed, self.top, self.built, self.tape = placed, top, built, tape
        self.mitred = top.corner is Corner.MITRE
        self.long, self.deep = top.first_length.inches, top.first_depth.inches
        self.down, self.wide = top.second_length.inches, top.second_depth.inches
        making = Making(top, practice, "")
        first, second = top.legs(practice)
        ours = [part.mark for part in built.parts if part.name.startswith("First leg")]
        theirs = [part.mark for part in built.parts if part.name.startswith("Second leg")]
        self.first = LaidPanel(
            plan_of(first.panel, first.cut_up(making), ours, practice, of="first leg"), lambda u, v: (u, v)
        )
        self.second = LaidPanel(
            plan_of(second.panel, second.cut_up(making), theirs, practice, of="second leg"), self._second
        )

    @property
    def begins(self) -> Fraction:
        """Return where the second leg begins below the outer corner [in]."""
        return Fraction(0) if self.mitred else self.deep

    @property
    def is_parallel(self) -> bool:
        return self.top.second_grain is SecondGrain.PARALLEL

    def _second(self, along: Fraction, across: Fraction) -> Point:
        return (along, self.begins + across) if self.is_parallel else (across, self.begins + along)

    def _of_first(self, point: Point) -> Fraction:
        """Return how far a place is on the first leg's side of the mitre, from the outer to the inner corner."""
        return point[0] * self.deep - point[1] * self.wide

    def drawing(self) -> Drawing:
        mark, top = self.tape.mark, self.top
        shapes = tuple(self._shapes())
        return Drawing(
            key=f"piece-{self.placed.id}-plan",
            title=f"{self.placed.name} from above",
            about=f"L-shaped, its outer corner at the upper left. First leg {mark(top.first_length)} by "
            f"{mark(top.first_depth)}, second leg {mark(top.second_length)} by {mark(top.second_depth)}, "
            f"{'mitred' if self.mitred else 'butted'} at the corner.",
            words=tuple(self._sentences()),
            shapes=shapes,
            labels=tuple(self._labels()),
            callouts=tuple(self._callouts()),
            dimensions=tuple(self._dimensions(shapes)),
        )

    def _shapes(self) -> Iterator[Shape]:
        legs = ((self.first, self._of_first), (self.second, lambda point: -self._of_first(point)))
        for leg, side in legs:
            for shape in leg.shapes():
                kept = clipped(shape, side) if self.mitred else shape
                if kept:
                    yield kept
        yield self._outline()
        yield line(Meaning.JOINT, *self._joint(), name="corner joint")
        yield from self._bolts()
        yield from self._edges()

    def _outline(self) -> Shape:
        zero = Fraction(0)
        points = (
            (zero, zero), (self.long, zero), (self.long, self.deep),
            (self.wide, self.deep), (self.wide, self.down), (zero, self.down),
        )  # fmt: skip
        return Shape(Meaning.OUTLINE, points, "finished")

    def _joint(self) -> tuple[Point, Point]:
        zero = Fraction(0)
        start = (zero, zero) if self.mitred else (zero, self.deep)
        return start, (self.wide, self.deep)

    @property
    def bolts(self) -> int:
        found = (item.quantity for item in self.built.items if item.material.kind is MaterialKind.HARDWARE)
        return int(next(found).value)

    def _bolts(self) -> Iterator[Shape]:
        """Yield the bolts below the joint, square to it and evenly along it."""
        (x1, y1), (x2, y2) = self._joint()
        dx, dy = x2 - x1, y2 - y1
        along = nearest_root(dx**2 + dy**2)
        off_x, off_y = -dy / along * BOLT, dx / along * BOLT
        for number in range(self.bolts):
            share = Fraction(2 * number + 1, 2 * self.bolts)
            x, y = x1 + dx * share, y1 + dy * share
            yield line(Meaning.FASTENER, (x - off_x, y - off_y), (x + off_x, y + off_y), name="bolt")

    def _edges(self) -> Iterator[Shape]:
        zero, top = Fraction(0), self.top
        yield line(Meaning.SEEN, (self.wide, self.deep), (self.long, self.deep), name="front of the first leg")
        yield line(Meaning.SEEN, (self.wide, self.deep), (self.wide, self.down), name="front of the second leg")
        if top.first_end_seen:
            yield line(Meaning.SEEN, (self.long, zero), (self.long, self.deep), name="end of the first leg")
        if top.second_end_seen:
            yield line(Meaning.SEEN, (zero, self.down), (self.wide, self.down), name="end of the second leg")
        if top.back_seen:
            yield line(Meaning.SEEN, (zero, self.down), (zero, zero), (self.long, zero), name="backs")
        else:
            off = self._off()
            yield box(Meaning.WALL, -off - WALL, -off - WALL, self.long + off + WALL, WALL, "wall of the first leg")
            yield box(Meaning.WALL, -off - WALL, -off, WALL, self.down + off, "wall of the second leg")

    def _off(self) -> Fraction:
        """Return how far walls are drawn off the finished backs: beyond what is cut off there [in]."""
        beyond = self.second.plan.start if self.is_parallel else self.second.plan.ripped
        return max(self.first.plan.ripped, beyond) + WALL

    def _labels(self) -> Iterator[Label]:
        """Yield what each board is, kept off the corner where the legs meet and the bolts are."""
        for label in self.first.labels(self.tape):
            left, top, right, bottom = label.within
            yield Label(label.words, (max(left, self.wide), top, right, bottom), label.together)
        least = self.deep if self.mitred else self.deep + BOLT
        for label in self.second.labels(self.tape):
            left, top, right, bottom = label.within
            yield Label(
                label.words, (left, top if self.is_parallel else max(top, least), right, bottom), label.together
            )

    def _callouts(self) -> Iterator[Callout]:
        kind = "mitre" if self.mitred else "butt joint"
        yield Callout((self.wide, self.deep), f"{kind}, {self.bolts} bolts below")
        first = self.first.plan
        if first.end:
            at = (self.long + first.end / 2, self.deep / 4)
            yield Callout(at, f"until the last cut, {self.tape.bare(Length(first.end))} at each free end")
        if not self.top.back_seen:
            yield Callout((self.long * Fraction(9, 10), -self._off() - WALL / 2), "wall side")
        yield Callout((self.wide, (self.deep + self.down) / 2), f"thick line: seen ({', '.join(self._seen())})")

    def _seen(self) -> Iterator[str]:
        yield "fronts"
        for is_seen, edge in (
            (self.top.first_end_seen, "end of the first leg"), (self.top.second_end_seen, "end of the second leg"),
            (self.top.back_seen, "backs"),
        ):  # fmt: skip
            if is_seen:
                yield edge

    def _dimensions(self, shapes: tuple[Shape, ...]) -> Iterator[Dimension]:
        zero = Fraction(0)
        left, top = min(one.left for one in shapes), min(one.top for one in shapes)
        right, bottom = max(one.right for one in shapes), max(one.bottom for one in shapes)
        yield Dimension(Side.TOP, zero, self.long, top)
        yield Dimension(Side.LEFT, zero, self.down, left)
        yield Dimension(Side.RIGHT, zero, self.deep, right)
        yield Dimension(Side.BOTTOM, zero, self.wide, bottom)

    def _sentences(self) -> Iterator[str]:
        mark, top = self.tape.mark, self.top
        yield (
            f"{self.placed.name}: L-shaped, {mark(top.thickness)} thick. First leg {mark(top.first_length)} along its "
            f"wall and {mark(top.first_depth)} deep; second leg {mark(top.second_length)} and {mark(top.second_depth)}."
        )
        yield f"Corner: {top.corner.value}. {self.bolts} bolts below pull it together."
        yield "First leg, grain along its length:"
        yield from panel_sentences(self.first.plan, self.tape, "the wall", "the front")
        first, last = ("the corner", "the free end") if self.is_parallel else ("the wall", "the front")
        yield f"Second leg, grain {top.second_grain.value}:"
        yield from panel_sentences(self.second.plan, self.tape, first, last)
        walls = "" if top.back_seen else " The backs stand at walls."
        yield f"Seen edges: {', '.join(self._seen())}.{walls}"
