"""Rows of shorter strips in a panel, their end joints staggered from row to row.

Every row has strips of one length; every second row starts and ends with half a strip, so that an end joint
stands half a strip from those beside it. Source: common practice, no source.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import Enum
from fractions import Fraction
from math import ceil, floor

from domain.figure import Figure, Rule, Unit, add_up
from domain.glue_stage import closing_time
from domain.length import ZERO, Length
from domain.part import Joint, Part, Step, TaskKind, Work
from domain.pieces.ask import pick, size
from domain.pieces.making import Making, each, inches, joint, part
from domain.pieces.panel import Panel, panel_joints, panel_parts, panel_stages, panel_steps
from domain.pieces.steps import after, work
from domain.practice import COMMON, ShopPractice
from domain.problem import Problem

END_JOINTS = "End joints"


class Rows(Enum):
    FULL = "boards as long as the top"
    STAGGERED = "shorter strips, end to end"


@dataclass(frozen=True, kw_only=True)
class RowChoice:
    """Whether each row of a top is one board or several strips end to end."""

    rows: Rows = pick("Each row is made of", Rows.FULL, group=END_JOINTS)
    longest_strip: Length = size("Longest strip", "48", least="6 in", group=END_JOINTS,
                                 help="What you have to cut strips from. Asked for with end joints only.")  # fmt: skip
    shortest_strip: Length = size("Shortest strip", "12", least="2 in", most="10 ft", group=END_JOINTS)
    stagger: Length = size("End joints of neighbouring rows apart at least", "6", least="1 in", most="4 ft",
                           group=END_JOINTS)  # fmt: skip


@dataclass(frozen=True, slots=True)
class StripRows:
    """How the rows of a panel are cut up. strips: in a whole row; strip, half: their lengths [in];
    extra_end: extra length kept on the strips at an end that is cut last [in].
    """

    strips: Figure
    strip: Figure
    half: Figure
    extra_end: Figure | None

    @property
    def many(self) -> int:
        return int(self.strips.value)


def strip_rows(choice: RowChoice, panel: Panel, making: Making) -> StripRows | None:
    """Return how the rows are cut up; None when every row is one board."""
    if choice.rows is Rows.FULL or panel.board_count == 1:
        return None
    longest, kept = making.typed("longest_strip"), _at_one_end(panel)
    room = longest.value - (kept.value if kept else 0)
    if room <= 0 or (count := ceil(panel.along.value / room)) < 2:
        return None
    words = "length ÷ (longest strip − extra length at one end), rounded up"
    strips = each("Strips in a row", count, words, panel.along, longest, *((kept,) if kept else ()))
    strip = inches("Strip length", panel.along.value / count, "length ÷ strips in a row", panel.along, strips)
    half = inches("Half strip", strip.value / 2, "strip length ÷ 2: every second row starts and ends with one", strip)
    return StripRows(strips, strip, half, kept)


def _at_one_end(panel: Panel) -> Figure | None:
    """Return the extra length on the strips at an end that is cut off later [in], None when there is none."""
    if panel.extra is None or panel.ends_cut == 1:
        return panel.extra
    return inches("Extra length at one end", panel.extra.value / 2, "extra length ÷ 2: half at each end", panel.extra)


def row_refusals(choice: RowChoice, panel: Panel, making: Making) -> Iterator[Problem]:
    """Yield why the end joints cannot be staggered like that, with what would work."""
    if choice.rows is Rows.FULL:
        return
    if panel.board_count == 1:
        words = (
            "One board across has no neighbours to hold end joints. Take narrower boards, or one as long as the top."
        )
        yield Problem("rows", words)
        return
    extra = _at_one_end(panel)
    kept = extra.length if extra else ZERO
    if choice.longest_strip <= kept:
        words = f"Longest strip “{choice.longest_strip.tape()}” is all extra length. Try {(kept * 4).tape()} or more."
        yield Problem("longest_strip", words)
        return
    rows = strip_rows(choice, panel, making)
    needed = max(choice.shortest_strip, choice.stagger)
    if rows is None or rows.half.length >= needed:
        return
    field, label = ("stagger", "End joints of neighbouring rows apart at least")
    if choice.shortest_strip >= choice.stagger:
        field, label = "shortest_strip", "Shortest strip"
    yield Problem(field, _does_not_fit(label, needed, rows, panel, kept))


def _does_not_fit(label: str, needed: Length, rows: StripRows, panel: Panel, kept: Length) -> str:
    fewer = floor(panel.along.value / (2 * needed.inches))
    words = (
        f"{label} “{needed.tape()}” is more than half a strip: {rows.many} strips in a row are "
        f"{rows.strip.length.tape()} long, and every second row starts with {rows.half.length.tape()}. "
    )
    if fewer < 2:
        return f"{words}Take boards as long as the top, or at most {rows.half.length.tape()} here."
    longer = Length(Fraction(ceil((panel.along.value / fewer + kept.inches) * 8), 8))
    return f"{words}Take strips up to {longer.tape()} long, or at most {rows.half.length.tape()} here."


def _divided(panel: Panel) -> Iterator[tuple[Figure, int, int]]:
    """Yield the width of each group of boards, and how many of its rows have whole strips and how many start half."""
    row = 0
    for count, width in panel.boards:
        halves = sum((row + place) % 2 for place in range(count))
        yield width, count - halves, halves
        row += count


def row_parts(panel: Panel, rows: StripRows | None, board: str, strip: str) -> tuple[Part, ...]:
    """Return the boards, unmarked, or of each width the strips between, at the ends, and half ones at the ends."""
    if rows is None:
        return panel_parts(panel, board)
    found, ends = [], panel.ends_cut
    for width, whole, halves in _divided(panel):
        for words, count, length, extra in (
            (f"{strip}, between", whole * (rows.many - ends) + halves * (rows.many - 1), rows.strip, None),
            (f"{strip}, at an end", whole * ends, rows.strip, rows.extra_end),
            (f"{strip}, half, at an end", halves * ends, rows.half, rows.extra_end),
            (f"{strip}, half", halves * (2 - ends), rows.half, None),
        ):
            if count:
                found.append(part(words, count, (panel.thickness, width, length), panel.material, extra=extra))
    return tuple(found)


def row_joints(panel: Panel, rows: StripRows | None, practice: ShopPractice) -> tuple[Joint, ...]:
    """Return the glue lines between the rows, and those of end grain within them."""
    return (*panel_joints(panel, practice), *(end_joints(panel, rows) if rows else ()))


def end_joints(panel: Panel, rows: StripRows) -> tuple[Joint, ...]:
    """Return the glue lines of end grain to end grain, as wide as each board."""
    return tuple(
        joint("End joint", count, width, panel.thickness, panel.glue)
        for width, whole, halves in _divided(panel)
        if (count := whole * (rows.many - 1) + halves * rows.many)
    )


def row_figures(panel: Panel, rows: StripRows, practice: ShopPractice) -> tuple[Figure, ...]:
    """Return strips in a row, their length, how far end joints stand apart, and how many there are."""
    apart = inches("End joints of neighbouring rows apart", rows.half.value, "half a strip", rows.half)
    joints = sum(one.count for one in end_joints(panel, rows))
    counted = each("End joints", joints, "whole rows × (strips − 1) + rows with halves × strips",
                   panel.counted, rows.strips)  # fmt: skip
    return rows.strips, rows.strip, apart, counted, end_joint_time(panel, rows, practice)


def end_joint_time(panel: Panel, rows: StripRows, practice: ShopPractice) -> Figure:
    """Return how much longer all glue-ups together take for the end joints [min]: their glue, and more to place."""
    more = each("Strips more than rows", _strips(panel, rows) - panel.board_count, "strips − rows",
                panel.counted, rows.strips)  # fmt: skip
    clamps = each("Clamps more", 0, "the rows are clamped as they are", source=COMMON)
    taken = closing_time(_feet(panel, rows, 1), clamps, more, panel.crew, practice)
    return replace(taken, label="End joints take longer by, all together")


def row_warnings(panel: Panel, rows: StripRows, practice: ShopPractice) -> Iterator[Problem]:
    """Yield what end joints cannot do, and glue-ups that they make too long."""
    plan, more = panel_stages(panel, practice).plan, end_joint_time(panel, rows, practice)
    slowest = max(stage.closed.value for stage in plan.in_turn) + more.value / plan.stages.value
    if slowest > plan.open_time.value:
        words = (
            f"With its end joints a glue-up takes about {ceil(slowest)} min of the {float(plan.open_time.value):g} min "
            "that the glue stays open. Take more people or a slower glue, or glue the rows end to end first."
        )
        yield Problem("rows", words)
    words = (
        "End grain hardly holds glue: an end joint relies on the rows beside it. Close it tight, keep the outer rows "
        "free of short ends, and put no opening where it leaves an end joint without a neighbour."
    )
    yield Problem("rows", words)


def _strips(panel: Panel, rows: StripRows) -> int:
    return sum(one.count for one in row_parts(panel, rows, "Board", "Strip"))


def row_steps(panel: Panel, rows: StripRows | None, practice: ShopPractice) -> tuple[Step, ...]:
    """Return the steps to a flat panel; strips are cut square, and their end joints glued with the rows."""
    steps = panel_steps(panel, practice)
    if rows is None:
        return steps
    many = _strips(panel, rows)
    strips = each("Strips", many, "of all rows", panel.counted, rows.strips)
    glue_ups = sum(step.kind is TaskKind.GLUE_UP for step in steps)
    made = []
    for step in steps:
        if step.key == "mill":
            made.append(replace(step, work=work("mill", strips)))
            words = "Cut strips to length, square at both ends"
            made.append(Step("square-ends", words, TaskKind.CUT, work=work("cut-solid", strips), after=after("mill")))
        elif step.key == "joint":
            made.append(replace(step, after=after("square-ends")))
        elif step.kind is TaskKind.GLUE_UP:
            made.append(replace(step, work=(*step.work, Work("glue-up", _feet(panel, rows, glue_ups)))))
        else:
            made.append(step)
    return tuple(made)


def _feet(panel: Panel, rows: StripRows, glue_ups: int) -> Figure:
    """Return the end joint glued in each of so many glue-ups [ft]."""
    lines = [
        Figure("End joints", one.count * one.length.inches / 12, Unit.FOOT, Rule("joints × width ÷ 12"), one.sizes[:1])
        for one in end_joints(panel, rows)
    ]
    whole = add_up("End joint to glue", lines, Unit.FOOT)
    if glue_ups == 1:
        return whole
    shared = each("Glue-ups", glue_ups, "they are shared over", panel.counted)
    return Figure(whole.label, whole.value / glue_ups, Unit.FOOT, Rule("shared over the glue-ups"), (whole, shared))
