"""Support strips: plywood on the cabinets that raises a top and gives its screws something to hold."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from domain.figure import Figure
from domain.length import Length
from domain.part import Built, Stage, Step, TaskKind, Work
from domain.pieces.ask import pick, size
from domain.pieces.choices import WOOD, SheetThickness, sheet_ask
from domain.pieces.making import (
    Making,
    how_far_apart,
    inches,
    marked,
    part,
    screws,
    sheet,
    sheet_thickness,
    times,
    weight_of,
)
from domain.pieces.piece import Link
from domain.pieces.raised_top import meeting, meeting_warnings
from domain.pieces.steps import work
from domain.practice import ShopPractice
from domain.problem import Problem


@dataclass(frozen=True, kw_only=True)
class SupportStrips:
    kind: ClassVar[str] = "support_strips"
    title: ClassVar[str] = "Support strips"
    belongs_to: ClassVar[tuple[str, ...]] = ("top", "corner_top")
    links: ClassVar[tuple[Link, ...]] = (
        Link("install", "install", owner_first=False, why="the top is screwed down through its support strips"),
    )

    run: Length = size("Length of the run", "108", least="4 in", help="Along the cabinets.")
    length: Length = size("Strip length", "22", least="3 in", most="8 ft", help="Front to back.")
    width: Length = size("Strip width", "3", least="1 in", most="12 in")
    spacing: Length = size("Apart at most", "18", least="3 in", most="48 in")
    edge_hangs: Length = size("Built-up edge hangs below the top by", "0", least="0 in", most="10 in",
                              help="0: there is none.")  # fmt: skip
    sheet: str = sheet_ask(usual="fir plywood")
    thickness: SheetThickness = pick("Thickness", SheetThickness.HALF, group=WOOD)

    def own_problems(self, practice: ShopPractice) -> Iterator[Problem]:
        if self.spacing < self.width:
            words = f"Apart at most “{self.spacing.tape()}” is less than the strips are wide. Try 18."
            yield Problem("spacing", words)
        elif self.run.inches / self.spacing.inches > 200:
            yield Problem("spacing", f"Apart at most “{self.spacing.tape()}” makes more than 200 strips. Try 18.")

    def build(self, practice: ShopPractice, where: str) -> Built:
        making = Making(self, practice, where)
        strips = how_far_apart("Support strips", making.typed("run"), making.typed("spacing"))
        thick = sheet_thickness(self.sheet, self.thickness.value, practice)
        stock = sheet(self.sheet, self.thickness.value)
        sizes = (thick, making.typed("width"), making.typed("length"))
        parts = marked([part("Support strip", int(strips.value), sizes, stock, counted=strips)])
        in_one = how_far_apart("Screws in one strip", making.typed("length"), making.habit("strip_screw_spacing"))
        driven = times(in_one, strips)
        cut = Step("cut", "Cut support strips", TaskKind.CUT, work=work("cut-sheet", strips))
        put_on = (*work("fasten-strips", strips), Work("screw", driven))
        fasten = Step("install", "Screw support strips to the cabinets", TaskKind.INSTALL, Stage.INSTALL, put_on)
        return Built(
            parts=parts,
            items=(screws("#8 x 1 1/4", driven, "hold support strips to the cabinets"),),
            steps=(cut, fasten),
            weight=weight_of(parts, practice),
            figures=(strips, *self._heights(thick, making)),
            problems=tuple(self._warnings(thick, making)),
        )

    def _heights(self, thick: Figure, making: Making) -> Iterator[Figure]:
        raised = inches("Top stands above the cabinets by", thick.value, "as thick as the strips really are", thick)
        yield raised
        if self.edge_hangs.inches:
            hangs = making.typed("edge_hangs")
            yield hangs
            yield meeting(hangs, raised)

    def _warnings(self, thick: Figure, making: Making) -> Iterator[Problem]:
        if self.edge_hangs.inches:
            yield from meeting_warnings(making.typed("edge_hangs"), thick, making.practice, "thickness")
