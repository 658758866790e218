"""The floor along a run, from the front: how it falls from level, drawn steeper than it is."""

from fractions import Fraction

from domain.drawing.shape import Callout, Dimension, Drawing, Meaning, Shape, Side, line
from domain.drawing.tape import Tape
from domain.length import ZERO, Length
from domain.measure import Fit, Run

SHARE = Fraction(1, 12)
"""How far the floor falls as drawn, as a share of the run."""

LEAST, MOST = 2, 60
"""How many times steeper it is drawn."""


def floor_drawing(run: Run, fit: Fit, tape: Tape) -> Drawing | None:
    """Return the fall of the floor; None where it was not measured or is level."""
    if fit.width is None or fit.width.value <= 0 or run.floor_slope is None or run.floor_slope <= ZERO:
        return None
    wide, fall = Fraction(fit.width.value), run.floor_slope.inches
    factor = min(max(int(wide * SHARE / fall), LEAST), MOST)
    drawn, zero = fall * factor, Fraction(0)
    thick = wide / 30
    mark = tape.mark
    floor = ((zero, zero), (wide, drawn), (wide, drawn + thick), (zero, drawn + thick))
    return Drawing(
        key=f"run-{run.id}-floor",
        title=f"{run.name}: the floor, its fall × {factor}",
        about=f"From the front: the floor falls {mark(run.floor_slope)} from its high end to its low end. "
        f"Drawn {factor} times as steep as it is.",
        words=(
            f"A level line from the highest place of the floor, {mark(Length(wide))} long.",
            f"At the low end the floor is {mark(run.floor_slope)} below it: the tallest shim, and what to leave on "
            "the toe kick for scribing.",
            f"The fall is drawn {factor} times as large as it is. Which end is the low one was not noted.",
        ),
        shapes=(
            line(Meaning.LEVEL, (zero, zero), (wide, zero), name="level"),
            Shape(Meaning.GAP, ((zero, zero), (wide, zero), (wide, drawn)), "shims"),
            Shape(Meaning.WALL, floor, "floor"),
        ),
        callouts=(Callout((wide * Fraction(3, 5), zero), "level"), Callout((wide / 2, drawn), "floor")),
        dimensions=(Dimension(Side.RIGHT, zero, drawn, wide, 0, tape.bare(run.floor_slope)),),
        to_scale=False,
    )
