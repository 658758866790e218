"""The plan of a straight top: seen from above, its front at the foot of the drawing."""

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from domain.drawing.panel import LaidPanel, panel_sentences, plan_of
from domain.drawing.shape import Callout, Dimension, Drawing, Meaning, Point, Shape, Side, box, line
from domain.drawing.tape import Tape
from domain.length import Length
from domain.part import Built
from domain.pieces.piece import PlacedPiece
from domain.pieces.top import Top
from domain.practice import ShopPractice

WALL = Fraction(3, 2)
"""How thick a wall is drawn."""


def top_plan(placed: PlacedPiece, top: Top, built: Built, practice: ShopPractice, tape: Tape) -> Drawing:
    """Return the plan of a top. built: what one of it is made of."""
    return _TopPlan(placed, top, built, practice, tape).drawing()


class _TopPlan:
    def __init__(self, placed: PlacedPiece, top: Top, built: Built, practice: ShopPractice, tape: Tape) -> None:
        self.placed, self.top, self.tape = placed, top, tape
        self.long, self.deep = top.length.inches, top.depth.inches
        panel, rows = top.panel(practice)
        self.strip = built.parts[-1] if top.has_front_strip else None
        self.plan = plan_of(panel, rows, [part.mark for part in built.parts], practice)
        covered = replace(self.plan, end=Fraction(0)) if self.strip else self.plan
        self.laid = LaidPanel(covered, self._place)

    def _place(self, along: Fraction, across: Fraction) -> Point:
        return (across, along) if self.top.has_end_grain_front else (along, across)

    def drawing(self) -> Drawing:
        mark = self.tape.mark
        finished = box(Meaning.OUTLINE, 0, 0, self.long, self.deep, "finished")
        shapes = (*self.laid.shapes(), *self._front_strip(), finished, *self._edges())
        grain = self.top.grain.value
        return Drawing(
            key=f"piece-{self.placed.id}-plan",
            title=f"{self.placed.name} from above",
            about=f"{mark(self.top.length)} long, {mark(self.top.depth)} deep and {mark(self.top.thickness)} thick "
            f"once finished, its front at the foot of the drawing. Grain {grain}.",
            words=tuple(self._sentences()),
            shapes=shapes,
            labels=tuple(self.laid.labels(self.tape)),
            callouts=tuple(self._callouts()),
            dimensions=tuple(self._dimensions(shapes)),
        )

    def _edges(self) -> Iterator[Shape]:
        """Yield the seen edges, and the wall behind a back that is not."""
        zero = Fraction(0)
        left, right = ((zero, zero), (zero, self.deep)), ((self.long, zero), (self.long, self.deep))
        yield line(Meaning.SEEN, (zero, self.deep), (self.long, self.deep), name="front")
        if self.top.left_end_seen:
            yield line(Meaning.SEEN, *left, name="left end")
        if self.top.right_end_seen:
            yield line(Meaning.SEEN, *right, name="right end")
        if self.top.back_seen:
            yield line(Meaning.SEEN, (zero, zero), (self.long, zero), name="back")
        else:
            behind = self._beyond_back() + WALL * Fraction(3, 2)
            yield box(Meaning.WALL, 0, -behind - WALL, self.long, WALL, "wall")

    def _front_strip(self) -> Iterator[Shape]:
        """Yield the strip that covers end grain at the front, or the short pieces of one."""
        if self.strip is None:
            return
        deep, many = self.strip.thickness.inches, self.strip.count
        for number in range(many):
            name = self.strip.mark if many == 1 else f"{self.strip.mark}{number + 1}"
            piece = self.long / many
            yield box(Meaning.PART, piece * number, self.deep - deep, piece, deep, name)

    def _beyond_back(self) -> Fraction:
        return self.plan.start if self.top.has_end_grain_front else self.plan.ripped

    def _beyond_end(self) -> Fraction:
        return self.plan.ripped if self.top.has_end_grain_front else self.plan.start

    def _callouts(self) -> Iterator[Callout]:
        off, ripped = Length(self.plan.start), Length(self.plan.ripped)
        if not self.top.back_seen:
            yield Callout((self.long * Fraction(9, 10), -self._beyond_back() - WALL * 2), "wall side")
        sideways = self.top.has_end_grain_front
        if off.inches:
            at = (self.long + off.inches / 2, self.deep / 4)
            if sideways:
                at = (self.long * Fraction(4, 5), -off.inches / 2 if self.strip else self.deep + off.inches / 2)
            yield Callout(at, f"until the last cut, {self.tape.bare(off)} at each end")
        if ripped.inches:
            at = (self.long + ripped.inches / 2, self.deep / 3) if sideways else (
                self.long * Fraction(19, 20), self.deep + ripped.inches / 2)  # fmt: skip
            yield Callout(at, f"ripped off, {self.tape.bare(ripped)} at each edge")
        if self.strip:
            at = (self.long * Fraction(3, 4), self.deep - self.strip.thickness.inches / 2)
            yield Callout(at, f"{self.strip.mark} {self.strip.name.lower()}, {self.tape.bare(self.strip.thickness)}")
        seen = ", ".join(self._seen())
        yield Callout((self.long * Fraction(17, 20), self.deep), f"thick line: seen ({seen})")

    def _seen(self) -> Iterator[str]:
        yield "front"
        for is_seen, edge in (
            (self.top.left_end_seen, "left end"), (self.top.right_end_seen, "right end"), (self.top.back_seen, "back")
        ):  # fmt: skip
            if is_seen:
                yield edge

    def _dimensions(self, shapes: tuple[Shape, ...]) -> Iterator[Dimension]:
        lowest, leftmost = max(one.bottom for one in shapes), min(one.left for one in shapes)
        end, back, zero = self._beyond_end(), self._beyond_back(), Fraction(0)
        front = self.deep + back
        yield Dimension(Side.BOTTOM, zero, self.long, lowest, 0)
        yield Dimension(Side.LEFT, zero, self.deep, leftmost, 0)
        if end:
            yield Dimension(Side.BOTTOM, -end, self.long + end, lowest, 1)
        if back and not self.strip:
            yield Dimension(Side.LEFT, -back, front, leftmost, 1)

    def _sentences(self) -> Iterator[str]:
        mark, top = self.tape.mark, self.top
        yield (
            f"{self.placed.name}: {mark(top.length)} long, {mark(top.depth)} deep, {mark(top.thickness)} thick. "
            f"The grain runs {top.grain.value}."
        )
        first, last = ("the left end", "the right end") if top.has_end_grain_front else ("the back", "the front")
        yield from panel_sentences(self.plan, self.tape, first, last)
        if self.strip:
            deep = mark(self.strip.thickness)
            many, name = self.strip.count, self.strip.name.lower()
            yield f"{self.strip.mark}, {name}: {many} at the front, {deep} front to back."
        long, wide = self.plan.along + self.plan.start + self.plan.end, self.plan.glued
        yield f"As glued: {mark(Length(long))} along the grain, {mark(Length(wide))} across it."
        yield f"Seen edges: {', '.join(self._seen())}." + ("" if top.back_seen else " The back stands at a wall.")
