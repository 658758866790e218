"""The edge-glued top: boards side by side, kept long until the last cut, screwed down so that it can move."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import Enum
from fractions import Fraction
from typing import ClassVar

from domain.figure import Figure
from domain.glue_up import Fastening
from domain.length import Length
from domain.lumber import quarters, rough_size
from domain.part import Built, Face, Item, Stage, Step, TaskKind, Work
from domain.pieces.ask import choose, number, pick, size, sizes, tick
from domain.pieces.choices import FINISH, GLUE, WOOD, Finished, Glued, SolidWood
from domain.pieces.making import (
    Making,
    each,
    faces,
    how_far_apart,
    inches,
    lifters,
    lumber,
    marked,
    screws,
)
from domain.pieces.panel import (
    Boards,
    Panel,
    boards_no_wider,
    boards_of_widths,
    equal_boards,
    glued_width,
    panel_joints,
    panel_parts,
    panel_stages,
    panel_steps,
    sum_problems,
    width_problems,
)
from domain.pieces.piece import Link
from domain.pieces.steps import after, install_step, sand_step
from domain.practice import COMMON, ShopPractice
from domain.problem import Problem
from domain.wood import Cut, movement, species, weight

BOARDS, INSTALL = "Boards", "Install"
BY_THICKNESS = "by the thickness"

SCREW_LENGTHS = tuple(Fraction(text) for text in ("3/4", "1", "5/4", "3/2", "7/4", "2", "5/2", "3"))
"""Lengths wood screws are commonly sold in [in]. Source: common practice, no source."""


class TopGrain(Enum):
    LENGTH = "along the length"
    DEPTH = "front to back"


class BoardsBy(Enum):
    COUNT = "so many boards of one width"
    WIDEST = "boards of one width, no wider than"
    MIXED = "boards of the widths typed"


class Alignment(Enum):
    NONE = "none"
    BISCUITS = "biscuits"
    DOWELS = "dowels"


class LastCut(Enum):
    INSTALL = "at install"
    SHOP = "in the shop"


FASTENINGS = {Alignment.NONE: None, Alignment.BISCUITS: Fastening.BISCUIT, Alignment.DOWELS: Fastening.DOWEL}


def stocks() -> tuple[str, ...]:
    """Return the rough stock to choose from, as usually bought."""
    return (BY_THICKNESS, *(quarter.name for quarter in quarters(ShopPractice())))


@dataclass(frozen=True, kw_only=True)
class Top(SolidWood, Glued, Finished):
    kind: ClassVar[str] = "top"
    title: ClassVar[str] = "Edge-glued top"
    belongs_to: ClassVar[tuple[str, ...]] = ()
    links: ClassVar[tuple[Link, ...]] = ()

    length: Length = size("Length", "108", least="4 in", help="Finished, after the last cut.")
    depth: Length = size("Depth", "25 1/2", least="2 in", most="8 ft", help="Finished, front to back.")
    thickness: Length = size("Thickness", "1 1/2", least="3/8 in", most="6 in", help="Finished.")
    stock: str = choose("Rough stock", stocks, BY_THICKNESS, group=WOOD)
    cut: Cut = pick("Boards are", Cut.FLAT, help="Decides how much it moves.", group=WOOD)
    grain: TopGrain = pick("Grain runs", TopGrain.LENGTH, group=BOARDS)
    boards_by: BoardsBy = pick("Boards", BoardsBy.WIDEST, group=BOARDS)
    board_count: int = number("Number of boards", 5, least=1, most=80, group=BOARDS)
    widest_board: Length = size("Widest board", "6", least="1 in", most="24 in", group=BOARDS)
    board_widths: tuple[Length, ...] = sizes(
        "Board widths", least="1 in", most="24 in", group=BOARDS, help="Rough, with commas between: 5 1/2, 6, 4 3/4"
    )
    alignment: Alignment = pick("Lined up by", Alignment.NONE, group=GLUE)
    crew: int = number("People at the glue-up", 2, least=1, most=8, group=GLUE)
    left_end_seen: bool = tick("Left end is seen", group=FINISH)
    right_end_seen: bool = tick("Right end is seen", group=FINISH)
    back_seen: bool = tick("Back edge is seen", group=FINISH)
    finish_underside: bool = tick("Underside gets the same finish", True, help="Else it may cup.", group=FINISH)
    last_cut: LastCut = pick("Last cut to length", LastCut.INSTALL, group=INSTALL)
    openings: int = number("Openings to cut", 0, most=6, help="For a sink or hob, to its template.", group=INSTALL)
    under: Length = size(
        "Wood a hold-down screw goes through first", "3/4", least="1/8 in", most="4 in", group=INSTALL,
        help="Cabinet stretcher and support strip together.",
    )  # fmt: skip

    @property
    def has_end_grain_front(self) -> bool:
        return self.grain is TopGrain.DEPTH

    def own_problems(self, practice: ShopPractice) -> Iterator[Problem]:
        yield from self.finish_refusals()
        if self.boards_by is BoardsBy.MIXED and not 1 <= len(self.board_widths) <= 80:
            yield Problem("board_widths", "Type the width of each board, 1 to 80 of them: 5 1/2, 6, 4 3/4.")
            return
        making = Making(self, practice, "")
        panel = self._panel(making)
        field = {BoardsBy.COUNT: "board_count", BoardsBy.WIDEST: "widest_board", BoardsBy.MIXED: "board_widths"}
        yield from width_problems(panel.boards, field[self.boards_by])
        if self.boards_by is BoardsBy.MIXED:
            yield from sum_problems(panel.boards, panel.across, making.habit("panel_trim"), "board_widths")
        rough = rough_size(panel_parts(panel, "Board")[0], practice)
        if isinstance(rough, Problem):
            yield Problem("thickness" if self.stock == BY_THICKNESS else "stock", rough.words)

    def build(self, practice: ShopPractice, where: str) -> Built:
        making = Making(self, practice, where)
        panel = self._panel(making)
        heavy = weight(self.species, panel.thickness, panel.across, panel.along)
        heavy = replace(heavy, label="Weight of one") if heavy else None
        surfaces = self._faces(making)
        hold_downs = self._hold_downs(making)
        return Built(
            parts=marked(panel_parts(panel, "Board")),
            joints=panel_joints(panel, practice),
            faces=surfaces,
            items=(hold_downs,),
            steps=self._steps(panel, surfaces, heavy, hold_downs, making),
            weight=heavy,
            figures=tuple(self._figures(panel, heavy, making)),
            problems=tuple(self._warnings(panel, practice)),
        )

    def _panel(self, making: Making) -> Panel:
        length, depth, thickness = making.typed("length"), making.typed("depth"), making.typed("thickness")
        along, across = (depth, length) if self.has_end_grain_front else (length, depth)
        quarter = "" if self.stock == BY_THICKNESS else self.stock
        return Panel(
            material=lumber(self.species, self.grade, self.thickness, making.practice, quarter=quarter),
            thickness=thickness,
            along=along,
            across=across,
            boards=self._boards(across, making),
            glue=self.glue,
            crew=making.typed("crew"),
            extra=making.habit("extra_length"),
            fastening=FASTENINGS[self.alignment],
        )

    def _boards(self, across: Figure, making: Making) -> Boards:
        trim = making.habit("panel_trim")
        match self.boards_by:
            case BoardsBy.COUNT:
                return equal_boards(across, making.typed("board_count"), trim)
            case BoardsBy.WIDEST:
                return boards_no_wider(across, making.typed("widest_board"), trim)
            case BoardsBy.MIXED:
                return boards_of_widths(self.board_widths, f"{making.where}:board_widths", making.practice)

    def _faces(self, making: Making) -> tuple[Face, ...]:
        length, depth, thick = making.typed("length"), making.typed("depth"), making.typed("thickness")
        sealed = self.finish_underside
        ends = 2 if sealed else self.left_end_seen + self.right_end_seen
        return faces(
            self.finish_choice(),
            ("Top face", 1, depth, length),
            ("Underside", int(sealed), depth, length),
            ("Long edges", 2 if sealed or self.back_seen else 1, thick, length),
            ("Ends", ends, thick, depth),
        )

    def _hold_downs(self, making: Making) -> Item:
        needed = how_far_apart("Hold-down screws", making.typed("length"), making.habit("hold_down_spacing"), rows=2)
        size = screw_length(making).length.exact()
        return screws(f"#8 x {size}", needed, "hold the top down, in slotted holes across the grain")

    def _steps(
        self, panel: Panel, surfaces: tuple[Face, ...], heavy: Figure | None, hold_downs: Item, making: Making
    ) -> tuple[Step, ...]:
        made = panel_steps(panel, making.practice)
        cuts = self._cuts(made[-1].key)
        in_shop = tuple(step for step in cuts if step.stage is Stage.BUILD)
        ready = (in_shop or made)[-1].key
        driven = (Work("screw", hold_downs.quantity),)
        at_site = [step.key for step in cuts if step.stage is Stage.INSTALL]
        installed = install_step(
            "install-top", "Install the top", heavy, making.practice, extra=driven, waits=after(*at_site[-1:])
        )
        later = tuple(step for step in cuts if step.stage is Stage.INSTALL)
        return (*made, *in_shop, *sand_step(surfaces, after(ready)), *later, installed)

    def _cuts(self, made: str) -> tuple[Step, ...]:
        """Return the last cut and the openings, after the step that made the panel if all is done in the shop."""
        in_shop = self.last_cut is LastCut.SHOP
        stage = Stage.BUILD if in_shop else Stage.INSTALL
        ends = each("Cuts", 2, "one at each end")
        work = (Work("cut-to-length", ends),)
        last = Step("cut-to-length", "Last cut to length", TaskKind.CUT, stage, work, after=after(made))
        if not self.openings:
            return (last,)
        holes = (Work("cut-opening", each("Openings", self.openings, "as typed")),)
        opened = Step("openings", "Cut openings to template", TaskKind.CUT, stage, holes, after=after("cut-to-length"))
        return (last, opened)

    def _figures(self, panel: Panel, heavy: Figure | None, making: Making) -> Iterator[Figure]:
        yield panel.counted
        yield from (width for _, width in panel.boards)
        trimmed = glued_width(panel.boards) - panel.across.value
        words = "boards side by side − finished width"
        yield inches("Ripped off the glued panel", trimmed, words, *(w for _, w in panel.boards), panel.across)
        if panel.board_count > 1:
            glued = panel_stages(panel, making.practice)
            yield from (glued.assembly, glued.stages)
        driest, dampest = making.habit("moisture_driest"), making.habit("moisture_dampest")
        moved = movement(species(self.species), self.cut, panel.across, driest, dampest)
        if moved:
            yield replace(moved, label="Wider in the dampest season than in the driest by")
        yield screw_length(making)
        if heavy:
            yield from (heavy, lifters(heavy, making.practice))

    def _warnings(self, panel: Panel, practice: ShopPractice) -> Iterator[Problem]:
        yield from self.finish_warnings()
        if panel.board_count > 1:
            yield from panel_stages(panel, practice).problems
        choice = self.finish_choice()
        if choice and not self.finish_underside:
            yield Problem("finish_underside", "A top coated on one side only takes up damp on the other and may cup.")
        if choice and not choice.on_site and self.last_cut is LastCut.INSTALL:
            words = "The last cut at install bares an end. Take finish along and coat it the same day."
            yield Problem("last_cut", words)


def screw_length(making: Making) -> Figure:
    """Return the longest common screw that stays below the surface of the top [in]."""
    under, thick, below = making.typed("under"), making.typed("thickness"), making.habit("screw_below_surface")
    room = under.value + thick.value - below.value
    longest = max((length for length in SCREW_LENGTHS if length <= room), default=SCREW_LENGTHS[0])
    words = "longest common screw within the wood under it + thickness − what stays below the surface"
    return inches("Hold-down screw", longest, words, under, thick, below, source=COMMON)
