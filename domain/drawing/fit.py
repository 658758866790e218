"""A measured run from above with the piece that goes in: walls as they are, gaps drawn larger than they are."""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from domain.drawing.shape import Callout, Dimension, Drawing, Label, Meaning, Point, Shape, Side, box, line
from domain.drawing.tape import Tape
from domain.length import Length
from domain.measure import COVER_PRACTICE, DEPTHS, WIDTHS, Cover, End, Fit, Run
from domain.practice import ShopPractice

PLACES = {"back": Fraction(0), "middle": Fraction(1, 2), "front": Fraction(1)}
"""How far from the back each width was measured, as a share of the depth."""

FACTORS = (1, 2, 5, 10, 20, 40)
"""How many times larger gaps are drawn, at most."""

SHARE, WALL = Fraction(1, 12), Fraction(1, 24)
"""The widest gap as drawn, and a wall's thickness, as a share of the width."""


@dataclass(frozen=True, slots=True)
class Gap:
    """A gap between wall and piece. at: on the drawing; size: less than nothing where the piece is scribed [in]."""

    where: str
    at: Point
    size: Fraction


def fit_drawing(run: Run, fit: Fit, practice: ShopPractice, tape: Tape) -> Drawing | None:
    """Return the run and its piece from above, the back at the top; None while a size to cut is missing."""
    if fit.width is None or fit.depth is None or fit.width.value <= 0:
        return None
    return _FitView(run, fit, practice, tape).drawing()


class _FitView:
    """x from the left end of the piece, y from its back edge, both as cut; the front is on the string."""

    def __init__(self, run: Run, fit: Fit, practice: ShopPractice, tape: Tape) -> None:
        assert fit.width
        assert fit.depth
        self.run, self.fit, self.practice, self.tape = run, fit, practice, tape
        self.wide, self.deep = Fraction(fit.width.value), Fraction(fit.depth.value)
        self.gaps = (*self._side_gaps(), *self._back_gaps())
        widest = max((abs(gap.size) for gap in self.gaps), default=Fraction(0))
        room = self.wide * SHARE
        self.factor = max((one for one in FACTORS if widest * one <= room), default=1) if widest else 1

    @property
    def _lean(self) -> Fraction:
        is_between = self.run.left is End.WALL and self.run.right is End.WALL
        return self.run.out_of_square.inches if is_between and self.run.out_of_square else Fraction(0)

    def _clearance(self) -> Fraction:
        own = self.run.clearance
        return (own if own is not None else self.practice.length("fitting_clearance")).inches

    def _side_gaps(self) -> Iterator[Gap]:
        """Yield the gaps at each end where the width was measured, as domain.measure reckons them."""
        start = self._clearance() + max(Fraction(0), -self._lean) if self.run.left is End.WALL else Fraction(0)
        for name in WIDTHS:
            size: Length | None = getattr(self.run, name)
            if size is None:
                continue
            share = PLACES[name]
            y = self.deep * share
            if self.run.left is End.WALL:
                yield Gap(f"left, {name}", (Fraction(0), y), start + self._lean * share)
            if self.run.right is End.WALL:
                wall = size.inches - self._lean * share
                yield Gap(f"right, {name}", (self.wide, y), wall - start - self.wide)

    def _back_gaps(self) -> Iterator[Gap]:
        for name, share in zip(DEPTHS, (Fraction(0), Fraction(1, 2), Fraction(1)), strict=True):
            size: Length | None = getattr(self.run, name)
            if size is not None:
                yield Gap(name.replace("depth_", "back, "), (self.wide * share, Fraction(0)), size.inches - self.deep)

    def drawing(self) -> Drawing:
        mark = self.tape.mark
        larger = f"Gaps are drawn {self.factor} times as large as they are." if self.factor > 1 else ""
        return Drawing(
            key=f"run-{self.run.id}-fit",
            title=f"{self.run.name}: the fit between the walls" + (f", gaps × {self.factor}" if larger else ""),
            about=f"From above, the back at the top. Cut it {mark(Length(self.wide))} wide and "
            f"{mark(Length(self.deep))} deep. {larger}".strip(),
            words=tuple(self._sentences()),
            shapes=tuple(self._shapes()),
            callouts=tuple(self._callouts()),
            labels=(self._label(),),
            dimensions=(self._dimension(),),
            to_scale=False,
        )

    def _label(self) -> Label:
        wide, deep = self.tape.bare(Length(self.wide)), self.tape.bare(Length(self.deep))
        margin = self.deep / 6
        return Label((f"piece to cut\n{wide} × {deep}",), (margin, margin, self.wide - margin, self.deep - margin))

    def _dimension(self) -> Dimension:
        return Dimension(Side.BOTTOM, Fraction(0), self.wide, self.deep + self.wide * WALL)

    def _of(self, side: str) -> list[Gap]:
        return [gap for gap in self.gaps if gap.where.startswith(side)]

    def _edge(self, side: str) -> list[Point]:
        """Return the face of a wall as drawn, its gaps larger, carried on to the corners."""
        gaps, zero = self._of(side), Fraction(0)
        if side == "back":
            places = [(gap.at[0], -gap.size * self.factor) for gap in gaps]
            start = min([zero, *(x for x, _ in self._edge("left"))]) if self._of("left") else zero
            end = max([self.wide, *(x for x, _ in self._edge("right"))]) if self._of("right") else self.wide
            return [(start, places[0][1]), *places, (end, places[-1][1])]
        way = -1 if side == "left" else 1
        places = [(gap.at[0] + way * gap.size * self.factor, gap.at[1]) for gap in gaps]
        back = self._of("back")
        corner = -back[0 if side == "left" else -1].size * self.factor if back else zero
        return [(places[0][0], corner), *places, (places[-1][0], self.deep + self.wide * WALL)]

    def _shapes(self) -> Iterator[Shape]:
        thick = self.wide * WALL
        for side in ("back", "left", "right"):
            if not self._of(side):
                continue
            face = self._edge(side)
            if side == "back":
                yield Shape(Meaning.WALL, self._back_wall(face, thick), "wall at the back")
            else:
                xs = [x for x, _ in face]
                outer = min(xs) - thick if side == "left" else max(xs) + thick
                yield Shape(Meaning.WALL, (*face, (outer, face[-1][1]), (outer, face[0][1])), f"wall at the {side}")
            yield from self._gap(side, face)
            yield from self._cover(side, face)
        yield box(Meaning.OUTLINE, 0, 0, self.wide, self.deep, "piece to cut")
        yield line(Meaning.LEVEL, (-self.wide * WALL, self.deep), (self.wide * (1 + WALL), self.deep), name="string")

    def _back_wall(self, face: list[Point], thick: Fraction) -> tuple[Point, ...]:
        """Return the wall at the back, over the thickness of the walls at its ends."""
        (left, left_y), (right, right_y) = face[0], face[-1]
        outer = min(y for _, y in face) - thick
        start = left - thick if self._of("left") else left
        end = right + thick if self._of("right") else right
        return ((start, left_y), *face, (end, right_y), (end, outer), (start, outer))

    def _gap(self, side: str, face: list[Point]) -> Iterator[Shape]:
        """Yield the gap as an area between wall and piece, and what hides it, drawn as much larger."""
        zero = Fraction(0)
        edges = {
            "back": ((self.wide, zero), (zero, zero)),
            "left": ((zero, self.deep), (zero, zero)),
            "right": ((self.wide, self.deep), (self.wide, zero)),
        }
        ours = face[1:-1] if side == "back" else face[:-1]
        yield Shape(Meaning.GAP, (*ours, *edges[side]), f"gap at the {side}")

    def _cover(self, side: str, face: list[Point]) -> Iterator[Shape]:
        """Yield what hides a gap, lying against the wall, drawn as much larger as the gaps are."""
        if self.run.cover is Cover.NONE:
            return
        reach = self._hidden() * self.factor
        dx, dy = {"back": (Fraction(0), reach), "left": (reach, Fraction(0)), "right": (-reach, Fraction(0))}[side]
        ours = face[1:-1]
        yield Shape(Meaning.COVER, (*ours, *((x + dx, y + dy) for x, y in reversed(ours))), f"{self.run.cover.value}")

    def _callouts(self) -> Iterator[Callout]:
        if self.run.cover is not Cover.NONE and self.gaps:
            last = self.gaps[-1]
            x, y = last.at
            way = {"left": (1, 0), "right": (-1, 0), "back": (0, 1)}[last.where.split(", ")[0]]
            off = (self._hidden() - last.size) * self.factor * Fraction(3, 4)
            words = f"{self.run.cover.value} hides {self.tape.bare(Length(self._hidden()))}"
            yield Callout((x + way[0] * off - self.deep / 4, y + way[1] * off), words)
        for gap in self.gaps:
            side, where = gap.where.split(", ")
            x, y = gap.at
            drawn = gap.size * self.factor / 2
            at = {"left": (x - drawn, y), "right": (x + drawn, y), "back": (x, y - drawn)}[side]
            on = Side.LEFT if side == "left" or (side == "back" and where == "left") else Side.RIGHT
            yield Callout(at, f"{side} wall, {where}: {self._said(gap)}", on)

    def _said(self, gap: Gap) -> str:
        size = self.tape.bare(Length(abs(gap.size)))
        if gap.size < 0:
            return f"scribe {size}"
        return size if gap.size else "no gap"

    def _hidden(self) -> Fraction:
        if self.run.cover is Cover.NONE:
            return self._clearance()
        own = self.run.hides
        return (own if own is not None else self.practice.length(COVER_PRACTICE[self.run.cover])).inches

    def _sentences(self) -> Iterator[str]:
        mark, hidden = self.tape.mark, self._hidden()
        yield f"The piece to cut: {mark(Length(self.wide))} wide and {mark(Length(self.deep))} deep, square."
        if self.factor > 1:
            yield f"Gaps are drawn {self.factor} times as large as they are, so that they can be seen."
        for gap in self.gaps:
            side, where = gap.where.split(", ")
            yield f"{side.capitalize()} wall, {where}: {self._sentence(gap, hidden)}."
        for end, side in ((self.run.left, "left"), (self.run.right, "right")):
            if end is End.OPEN:
                yield f"The {side} end is open: no wall."
        if not self._lean and (self.run.left, self.run.right) == (End.WALL, End.WALL):
            yield "The left wall is drawn square to the back; should it be the crooked one, the gaps change sides."

    def _sentence(self, gap: Gap, hidden: Fraction) -> str:
        mark = self.tape.mark
        if gap.size < 0:
            return f"the piece reaches {mark(Length(-gap.size))} into the wall, scribe that off"
        if gap.size == 0:
            return "no gap"
        if self.run.cover is Cover.NONE:
            covers = "nothing is planned to hide it"
        elif gap.size <= hidden:
            covers = f"the {self.run.cover.value} hides it"
        else:
            covers = f"{mark(Length(gap.size - hidden))} more than the {self.run.cover.value} hides"
        return f"gap {mark(Length(gap.size))}; {covers}"
