"""One leg of an L-shaped top: a panel of its own, its parts, steps and figures named for it."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from domain.figure import Figure
from domain.part import Joint, Part, Step
from domain.pieces.board_choice import FIELDS, BoardChoice, BoardsBy, board_figures, board_refusals
from domain.pieces.end_joints import (
    RowChoice,
    StripRows,
    row_figures,
    row_joints,
    row_parts,
    row_refusals,
    row_steps,
    row_warnings,
    strip_rows,
)
from domain.pieces.last_cut import clear_of_the_last_cut
from domain.pieces.making import Making, inches
from domain.pieces.panel import Panel, panel_stages
from domain.pieces.stock_limits import stock_warnings
from domain.problem import Problem
from domain.wood import weight


@dataclass(frozen=True, slots=True)
class Leg:
    """A leg. key: `first` or `second`, for ever; boards, rows: how its panel is divided; typed_in: the field of its
    typed widths; depth; long, short: its two long edges [in], alike unless it is mitred; run: the part of its
    length that belongs to no other leg.
    """

    key: str
    panel: Panel
    boards: BoardChoice
    rows: RowChoice
    typed_in: str
    depth: Figure
    long: Figure
    short: Figure
    run: Figure

    @property
    def name(self) -> str:
        return f"{self.key} leg"

    @property
    def along_field(self) -> str:
        """The field that says how long its boards are."""
        return f"{self.key}_depth" if self.panel.along is self.depth else f"{self.key}_length"

    @property
    def widths_field(self) -> str:
        """The field that says how wide its boards are."""
        return self.typed_in if self.boards.boards_by is BoardsBy.MIXED else FIELDS[self.boards.boards_by]

    @property
    def weight(self) -> Figure | None:
        """What it weighs once its corner is cut [lb], None when the wood's density is not known."""
        length = self.long
        if self.long.value != self.short.value:
            middle = (self.long.value + self.short.value) / Fraction(2)
            length = inches("Middle length", middle, "(long edge + short edge) ÷ 2", self.long, self.short)
        label = f"Weight of the {self.name}"
        return weight(self.panel.material.name, self.panel.thickness, self.depth, length, label=label)

    def cut_up(self, making: Making) -> StripRows | None:
        """Return how its rows are cut up, None when they are whole boards."""
        return strip_rows(self.rows, self.panel, making)


def leg_problems(leg: Leg, making: Making) -> Iterator[Problem]:
    """Yield why a leg cannot be made, naming it."""
    found = [*board_refusals(leg.boards, leg.panel.across, making, leg.typed_in)]
    if not found:
        found += row_refusals(leg.rows, leg.panel, making)
    yield from (replace(problem, words=f"{leg.name.capitalize()}: {problem.words}") for problem in found)


def leg_parts(leg: Leg, making: Making) -> tuple[Part, ...]:
    """Return its boards or strips, unmarked, the leg in their names."""
    return row_parts(
        leg.panel, leg.cut_up(making), f"{leg.name.capitalize()}, board", f"{leg.name.capitalize()}, strip"
    )


def leg_joints(leg: Leg, making: Making) -> tuple[Joint, ...]:
    """Return its glue lines, the leg in their names."""
    found = row_joints(leg.panel, leg.cut_up(making), making.practice)
    return tuple(replace(joint, name=f"{joint.name}, {leg.name}") for joint in found)


def leg_steps(leg: Leg, making: Making) -> tuple[Step, ...]:
    """Return the steps to its flat panel, their keys and names marked with the leg."""
    return tuple(_marked(step, leg) for step in row_steps(leg.panel, leg.cut_up(making), making.practice))


def _marked(step: Step, leg: Leg) -> Step:
    waits = tuple(replace(wait, step=f"{leg.key}-{wait.step}") for wait in step.after)
    until = f"{leg.key}-{step.until}" if step.until else ""
    return replace(step, key=f"{leg.key}-{step.key}", name=f"{step.name}, {leg.name}", after=waits, until=until)


def leg_figures(leg: Leg, making: Making) -> Iterator[Figure]:
    """Yield its boards, rows, glue-ups, what is kept clear of the last cut, and its weight."""
    rows = leg.cut_up(making)
    found = [*board_figures(leg.boards, leg.panel.boards, leg.panel.across, making)]
    found += row_figures(leg.panel, rows, making.practice) if rows else ()
    if leg.panel.board_count > 1:
        glued = panel_stages(leg.panel, making.practice)
        found += (glued.assembly, glued.stages)
    found += clear_of_the_last_cut(leg.panel, making)
    yield from (replace(figure, label=f"{leg.name.capitalize()}: {figure.label}") for figure in found)
    if leg.weight:
        yield leg.weight


def leg_warnings(leg: Leg, making: Making) -> Iterator[Problem]:
    """Yield what stands in the way of its glue-ups, naming it."""
    rows = leg.cut_up(making)
    found = [*stock_warnings(leg.panel, rows, making, long=leg.along_field, wide=leg.widths_field)]
    if leg.panel.board_count > 1:
        found += panel_stages(leg.panel, making.practice).problems
        found += row_warnings(leg.panel, rows, making.practice) if rows else ()
    yield from (replace(problem, words=f"{leg.name.capitalize()}: {problem.words}") for problem in found)
