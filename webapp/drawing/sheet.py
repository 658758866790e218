"""Setting a drawing out: the scale follows from the room that figures and words need, and they from the scale."""

from collections.abc import Sequence
from fractions import Fraction
from functools import lru_cache

from domain.drawing.shape import Drawing, Side
from domain.drawing.tape import Tape
from domain.drawing.turn import upright
from webapp.drawing.callouts import Said, column, said, set_callouts
from webapp.drawing.dimensions import dimension_paths, dimension_texts
from webapp.drawing.drawn import Box, Drawn, Path, Ring, Sheet, Text, around, tidy
from webapp.drawing.frame import LIFE, Extent, Frame, fitted
from webapp.drawing.key import Key
from webapp.drawing.labels import fit_labels, set_markers
from webapp.drawing.lanes import Lane, lanes
from webapp.drawing.lines import paths, thin_lines

WIDE, NARROW = 656.0, 326.0
"""Width of a sheet: between the margins of letter or A4, and on a phone of 390 px."""

HIGHEST = {WIDE: 620.0, NARROW: 420.0}
COLUMN = {WIDE: 138.0, NARROW: 46.0}
"""How high a drawing gets without what is around it; how wide a line of words at its side."""

EDGE, PASSES = 6.0, 6


@lru_cache(maxsize=96)
def drawn(drawing: Drawing, tape: Tape) -> Drawn:
    """Return a drawing set out wide and narrow. A pure function of its arguments."""
    wide = set_out(drawing, tape, WIDE)
    return Drawn(
        drawing.key, drawing.title, drawing.about, drawing.words, wide, set_out(drawing, tape, NARROW),
        _scale(drawing, wide), tape.unit_words,
    )  # fmt: skip


def _scale(drawing: Drawing, sheet: Sheet) -> str:
    if not drawing.to_scale:
        return "not to scale: read the figures"
    times = Fraction(LIFE / sheet.scale).limit_denominator(100)
    ratio = "full size" if times == 1 else f"1 : {times}" if times.denominator == 1 else f"1 : {float(times):.1f}"
    heights = f", widths {drawing.taller} times larger" if drawing.taller > 1 else ""
    return f"{ratio} when printed at 100 %{heights}, else not to scale"


def set_out(drawing: Drawing, tape: Tape, width: float) -> Sheet:
    """Return a drawing on a sheet of that width."""
    is_wide = width == WIDE
    if drawing.turned and not is_wide:
        drawing = upright(drawing)
    extent, kept = Extent.of(drawing.shapes), dict.fromkeys(Side, 0.0)
    for _ in range(PASSES):
        frame = fitted(
            extent, width, HIGHEST[width], kept, taller=drawing.taller, round_scale=is_wide and drawing.to_scale
        )
        attempt = _Attempt(drawing, tape, frame, width)
        needed = attempt.kept()
        if all(needed[side] <= kept[side] for side in Side):
            break
        kept = {side: max(kept[side], needed[side]) for side in Side}
    return attempt.sheet()


class _Attempt:
    """A drawing at one scale."""

    def __init__(self, drawing: Drawing, tape: Tape, frame: Frame, width: float) -> None:
        self.drawing, self.frame, self.width = drawing, frame, width
        self.key, in_key = Key(), width == NARROW
        self.lanes = lanes(drawing, frame, tape)
        thin = thin_lines(drawing.shapes, frame)
        self.labels, unfit = fit_labels(drawing.labels, frame, self.key, thin, in_key=in_key)
        self.rings, unset = set_markers(drawing.markers, frame, [text.box for text in self.labels])
        callouts = (*drawing.callouts, *unfit, *unset)
        self.said: tuple[Said, ...] = said(callouts, self.key, room=COLUMN[width], in_key=in_key)
        if drawing.turned and in_key:
            self.key.explain(drawing.turned)

    def kept(self) -> dict[Side, float]:
        """Return the room needed at each side."""
        return {side: self._depth(side) + column(self.said, side) + EDGE for side in Side}

    def _depth(self, side: Side) -> float:
        every = self.lanes[side]
        return every[-1].depth if every else 4.0

    def sheet(self) -> Sheet:
        shapes: list[Path] = list(paths(self.drawing.shapes, self.frame))
        texts: list[Text] = list(self.labels)
        rings: list[Ring] = list(self.rings)
        every: list[Lane] = [lane for side in Side for lane in self.lanes[side]]
        for lane in every:
            shapes += dimension_paths(lane, self.frame)
            texts += dimension_texts(lane, self.frame)
        for side in (Side.LEFT, Side.RIGHT):
            more, words, lettered = set_callouts(self.said, side, self.frame, self._depth(side))
            shapes += more
            texts += words
            rings += lettered
        left, _, _, bottom = around(_boxes(shapes, texts, rings))
        for ring, text in self.key.lines(bottom + 10, left, self.width - 2 * EDGE):
            rings += [ring] if ring else []
            texts.append(text)
        left, top, right, bottom = around(_boxes(shapes, texts, rings))
        return Sheet(
            tidy(left - EDGE), tidy(top - EDGE), tidy(right - left + 2 * EDGE), tidy(bottom - top + 2 * EDGE),
            tuple(shapes), tuple(texts), tuple(rings), self.frame.scale,
        )  # fmt: skip


def _boxes(paths: Sequence[Path], texts: Sequence[Text], rings: Sequence[Ring]) -> list[Box]:
    return [*(path.box for path in paths), *(text.box for text in texts), *(ring.box for ring in rings)]
