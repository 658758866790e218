"""The edge-glued top: boards side by side, kept long until the last cut, screwed down so that it can move."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import Enum
from typing import ClassVar

from domain.figure import Figure
from domain.glue_up import Fastening
from domain.length import Length
from domain.lumber import quarters, rough_size
from domain.part import Built, Face, Item, Stage, Step, Work
from domain.pieces.ask import choose, number, pick, size, tick
from domain.pieces.board_choice import BOARDS, FIELDS, BoardChoice, board_figures, board_refusals, boards_of
from domain.pieces.choices import FINISH, GLUE, WOOD, Finished, Glued, SolidWood
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
from domain.pieces.front_strip import (
    Front,
    FrontStripChoice,
    front,
    front_figures,
    front_items,
    front_joint,
    front_part,
    front_refusals,
    front_steps,
    front_warnings,
)
from domain.pieces.hold_down import hold_down_item, hold_downs, screw_length, under_ask
from domain.pieces.last_cut import (
    INSTALL,
    LastCut,
    clear_of_the_last_cut,
    coating_warnings,
    last_cuts,
    opening_warnings,
    openings_ask,
)
from domain.pieces.making import Making, each, faces, inches, lifters, lumber, marked, seasonal
from domain.pieces.panel import Panel, panel_parts, panel_stages
from domain.pieces.piece import Link
from domain.pieces.steps import after, install_step, sand_step
from domain.pieces.stock_limits import stock_warnings
from domain.practice import ShopPractice
from domain.problem import Problem
from domain.wood import Cut, weight

BY_THICKNESS = "by the thickness"


class TopGrain(Enum):
    LENGTH = "along the length"
    DEPTH = "front to back"


class Alignment(Enum):
    NONE = "none"
    BISCUITS = "biscuits"
    DOWELS = "dowels"


FASTENINGS = {Alignment.NONE: None, Alignment.BISCUITS: Fastening.BISCUIT, Alignment.DOWELS: Fastening.DOWEL}


def stocks() -> tuple[str, ...]:
    """Return the rough stock to choose from, as usually bought."""
    return (BY_THICKNESS, *(quarter.name for quarter in quarters(ShopPractice())))


@dataclass(frozen=True, kw_only=True)
class Top(FrontStripChoice, RowChoice, BoardChoice, SolidWood, Glued, Finished):
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
    alignment: Alignment = pick("Lined up by", Alignment.NONE, group=GLUE)
    crew: int = number("People at the glue-up", 2, least=1, most=8, group=GLUE)
    left_end_seen: bool = tick("Left end is seen", group=FINISH)
    right_end_seen: bool = tick("Right end is seen", group=FINISH)
    back_seen: bool = tick("Back edge is seen", group=FINISH)
    finish_underside: bool = tick("Underside gets the same finish", True, help="Else it may cup.", group=FINISH)
    last_cut: LastCut = pick("Last cut to length", LastCut.INSTALL, group=INSTALL)
    openings: int = openings_ask()
    under: Length = under_ask()

    @property
    def has_end_grain_front(self) -> bool:
        return self.grain is TopGrain.DEPTH

    def own_problems(self, practice: ShopPractice) -> Iterator[Problem]:
        yield from self.finish_refusals()
        making = Making(self, practice, "")
        found = list(
            front_refusals(self, is_end_grain=self.has_end_grain_front, depth=self.depth, thickness=self.thickness)
        ) or list(board_refusals(self, self._sides(making)[1], making))
        if found:
            yield from found
            return
        panel = self._panel(making)
        yield from row_refusals(self, panel, making)
        rough = rough_size(panel_parts(panel, "Board")[0], practice)
        if isinstance(rough, Problem):
            yield Problem("thickness" if self.stock == BY_THICKNESS else "stock", rough.words)

    def build(self, practice: ShopPractice, where: str) -> Built:
        making = Making(self, practice, where)
        panel = self._panel(making)
        rows, strip = strip_rows(self, panel, making), front(self, panel, self.cut, making)
        heavy = weight(self.species, panel.thickness, *self._sides(making))
        heavy = replace(heavy, label="Weight of one") if heavy else None
        surfaces = self._faces(making)
        held = hold_down_item(hold_downs(making.typed("length"), making), making)
        fronts = (front_part(strip, self.species, self.grade, making),) if strip else ()
        return Built(
            parts=marked((*row_parts(panel, rows, "Board", "Strip"), *fronts)),
            joints=(*row_joints(panel, rows, practice), *((front_joint(strip, making),) if strip else ())),
            faces=surfaces,
            items=(held, *(front_items(strip, making) if strip else ())),
            steps=self._steps(panel, rows, strip, surfaces, heavy, held, making),
            weight=heavy,
            figures=tuple(self._figures(panel, rows, strip, heavy, making)),
            problems=tuple(self._warnings(panel, rows, strip, making)),
        )

    def panel(self, practice: ShopPractice) -> tuple[Panel, StripRows | None]:
        """Return the panel it is glued up as, without a strip at its front, and how its rows are cut up."""
        making = Making(self, practice, "")
        panel = self._panel(making)
        return panel, strip_rows(self, panel, making)

    def _sides(self, making: Making) -> tuple[Figure, Figure]:
        """Return the panel's finished size along its grain and across it [in], a strip at its front left out."""
        length, depth = making.typed("length"), making.typed("depth")
        if not self.has_end_grain_front:
            return length, depth
        if not self.has_front_strip:
            return depth, length
        strip = making.typed("front_strip_depth")
        words = "depth − front strip, front to back"
        return inches("Panel, front to back", depth.value - strip.value, words, depth, strip), length

    def _panel(self, making: Making) -> Panel:
        along, across = self._sides(making)
        quarter = "" if self.stock == BY_THICKNESS else self.stock
        return Panel(
            material=lumber(self.species, self.grade, self.thickness, making.practice, quarter=quarter),
            thickness=making.typed("thickness"),
            along=along,
            across=across,
            boards=boards_of(self, across, making),
            glue=self.glue,
            crew=making.typed("crew"),
            extra=making.habit("extra_length"),
            fastening=FASTENINGS[self.alignment],
        )

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

    def _steps(self, panel: Panel, rows: StripRows | None, strip: Front | None, surfaces: tuple[Face, ...],
               heavy: Figure | None, held: Item, making: Making) -> tuple[Step, ...]:  # fmt: skip
        made = row_steps(panel, rows, making.practice)
        made += front_steps(strip, made[-1].key, making) if strip else ()
        cuts = last_cuts(self.last_cut, each("Cuts", 2, "one at each end"), self.openings, after(made[-1].key))
        in_shop = tuple(step for step in cuts if step.stage is Stage.BUILD)
        later = tuple(step for step in cuts if step.stage is Stage.INSTALL)
        installed = install_step("install-top", "Install the top", heavy, making.practice,
                                 extra=(Work("screw", held.quantity),),
                                 waits=after(*(step.key for step in later[-1:])))  # fmt: skip
        return (*made, *in_shop, *sand_step(surfaces, after((in_shop or made)[-1].key)), *later, installed)

    def _figures(self, panel: Panel, rows: StripRows | None, strip: Front | None, heavy: Figure | None,
                 making: Making) -> Iterator[Figure]:  # fmt: skip
        yield from board_figures(self, panel.boards, panel.across, making)
        yield from row_figures(panel, rows, making.practice) if rows else ()
        if panel.board_count > 1:
            glued = panel_stages(panel, making.practice)
            yield from (glued.assembly, glued.stages)
        yield from clear_of_the_last_cut(panel, making)
        moved = seasonal(self.species, self.cut, panel.across, making.practice)
        if moved:
            yield replace(moved, label="Wider in the dampest season than in the driest by")
        yield from front_figures(strip, making) if strip else ()
        yield screw_length(making)
        if heavy:
            yield from (heavy, lifters(heavy, making.practice))

    def _warnings(self, panel: Panel, rows: StripRows | None, strip: Front | None, making: Making) -> Iterator[Problem]:
        yield from self.finish_warnings()
        if panel.board_count > 1:
            yield from panel_stages(panel, making.practice).problems
        yield from row_warnings(panel, rows, making.practice) if rows else ()
        yield from front_warnings(strip, making) if strip else ()
        long = "depth" if self.has_end_grain_front else "length"
        yield from stock_warnings(panel, rows, making, long=long, wide=FIELDS[self.boards_by])
        yield from opening_warnings(panel.fastening if panel.board_count > 1 else None, self.openings, making)
        yield from coating_warnings(self.finish_choice(), self.last_cut, is_coated_below=self.finish_underside)
