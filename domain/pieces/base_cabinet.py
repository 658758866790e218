"""The base cabinet: a carcass of sheet goods with stretchers, back and shelves."""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum
from typing import ClassVar

from domain.figure import Figure, Unit, add_up
from domain.glue_up import Fastening
from domain.length import Length
from domain.material import Material
from domain.part import Built, Face, Grain, Item, Joint, Part, Step, TaskKind
from domain.pieces.ask import number, pick, size, tick
from domain.pieces.choices import FINISH, GLUE, WOOD, Finished, Glued, SheetThickness, sheet_ask
from domain.pieces.making import (
    Making,
    Sizes,
    each,
    edge_strip,
    faces,
    hardware,
    how_far_apart,
    inches,
    joint,
    lifters,
    marked,
    part,
    running_feet,
    screws,
    sheet,
    sheet_thickness,
    times,
    weight_of,
)
from domain.pieces.panel import fastener
from domain.pieces.piece import Link
from domain.pieces.slab import strip_step
from domain.pieces.steps import after, assembly_steps, install_step, sand_step, work
from domain.practice import COMMON, ShopPractice
from domain.problem import Problem

INSIDE = "Inside"


class CaseJoinery(Enum):
    SCREWS = "screws"
    DOWELS = "dowels and glue"
    BISCUITS = "biscuits and glue"


FASTENINGS = {
    CaseJoinery.SCREWS: (Fastening.WOOD_SCREW, "wood_screw_spacing"),
    CaseJoinery.DOWELS: (Fastening.DOWEL, "case_dowel_spacing"),
    CaseJoinery.BISCUITS: (Fastening.BISCUIT, "biscuit_spacing"),
}


@dataclass(frozen=True, slots=True)
class Case:
    """The sizes a carcass is cut from [in]. thick, back_thick: of the sheets; side: length of a side;
    inner: between the sides; deep: of sides, bottom and fixed shelves, in front of the back.
    """

    thick: Figure
    back_thick: Figure
    side: Figure
    inner: Figure
    deep: Figure
    back_height: Figure


@dataclass(frozen=True, kw_only=True)
class BaseCabinet(Glued, Finished):
    kind: ClassVar[str] = "base_cabinet"
    title: ClassVar[str] = "Base cabinet"
    belongs_to: ClassVar[tuple[str, ...]] = ()
    links: ClassVar[tuple[Link, ...]] = ()

    width: Length = size("Width", "36", least="6 in", most="8 ft", help="Outside.")
    height: Length = size("Height", "34 1/2", least="6 in", most="8 ft", help="Outside, toe kick included.")
    depth: Length = size("Depth", "24", least="4 in", most="4 ft", help="Outside, back included, without doors.")
    toe_kick_height: Length = size("Toe kick height", "4", least="0 in", most="12 in", help="0: none.")
    stands_on_feet: bool = tick("Box stands on leveling feet", help="Else the sides reach the floor.", group="Sizes")
    sheet: str = sheet_ask()
    thickness: SheetThickness = pick("Thickness", SheetThickness.THREE_QUARTERS, group=WOOD)
    back_sheet: str = sheet_ask("Back", "maple plywood")
    back_thickness: SheetThickness = pick("Back thickness", SheetThickness.QUARTER, group=WOOD)
    strip_edges: bool = tick("Edge strip on visible edges", True, group=WOOD)
    stretchers: int = number("Stretchers", 2, least=1, most=6, group=INSIDE)
    stretcher_width: Length = size("Stretcher width", "4", least="1 in", most="24 in", group=INSIDE)
    fixed_shelves: int = number("Fixed shelves", 0, most=12, group=INSIDE)
    adjustable_shelves: int = number("Adjustable shelves", 1, most=12, group=INSIDE)
    joinery: CaseJoinery = pick("Joined by", CaseJoinery.SCREWS, group=GLUE)
    seen_sides: int = number("Sides that are seen and finished", 0, most=2, group=FINISH)
    finish_inside: bool = tick("Inside is finished in the shop", group=FINISH)

    @property
    def is_glued(self) -> bool:
        return self.joinery is not CaseJoinery.SCREWS

    def own_problems(self, practice: ShopPractice) -> Iterator[Problem]:
        yield from self.finish_refusals()
        case = self._case(Making(self, practice, ""))
        if self.height.inches <= self.toe_kick_height.inches + 4 * case.thick.value:
            words = f"Height “{self.height.tape()}” leaves no room above a toe kick of {self.toe_kick_height.tape()}."
            yield Problem("height", f"{words} Try {(self.toe_kick_height + Length.of(30)).tape()}.")
        if self.stretcher_width.inches > case.deep.value:
            words = (
                f"Stretcher width “{self.stretcher_width.tape()}” is more than the {case.deep.length.tape()} inside."
            )
            yield Problem("stretcher_width", f"{words} Try 4.")

    def build(self, practice: ShopPractice, where: str) -> Built:
        making = Making(self, practice, where)
        case = self._case(making)
        parts = marked(self._parts(case, making))
        joints = tuple(self._joints(case, making))
        surfaces = self._faces(case, making)
        strip = self._strip_feet(case, making)
        heavy = weight_of(parts, practice)
        return Built(
            parts=parts,
            joints=joints,
            faces=surfaces,
            items=tuple(self._items(case, strip, making)),
            steps=self._steps(parts, joints, surfaces, strip, heavy, making),
            weight=heavy,
            figures=(case.thick, case.inner, case.deep, *((heavy, lifters(heavy, practice)) if heavy else ())),
            problems=self.finish_warnings(),
        )

    def _case(self, making: Making) -> Case:
        thick = sheet_thickness(self.sheet, self.thickness.value, making.practice)
        back = sheet_thickness(self.back_sheet, self.back_thickness.value, making.practice)
        width, height, depth = making.typed("width"), making.typed("height"), making.typed("depth")
        kick = making.typed("toe_kick_height")
        box = inches("Height of the box", height.value - kick.value, "height − toe kick", height, kick)
        inner = inches("Between the sides", width.value - 2 * thick.value, "width − 2 × sheet", width, thick)
        deep = inches("Depth in front of the back", depth.value - back.value, "depth − back", depth, back)
        return Case(thick, back, box if self.stands_on_feet else height, inner, deep, box)

    def _parts(self, case: Case, making: Making) -> Iterator[Part]:
        stock, back = sheet(self.sheet, self.thickness.value), sheet(self.back_sheet, self.back_thickness.value)
        yield part("Side", 2, (case.thick, case.deep, case.side), stock)
        yield part("Bottom", 1, (case.thick, case.deep, case.inner), stock)
        stretcher: Sizes = (case.thick, making.typed("stretcher_width"), case.inner)
        counted = making.typed("stretchers")
        yield part("Stretcher", self.stretchers, stretcher, stock, grain=Grain.FREE, counted=counted)
        yield part("Back", 1, (case.back_thick, making.typed("width"), case.back_height), back)
        if self.fixed_shelves:
            fixed: Sizes = (case.thick, case.deep, case.inner)
            yield part("Fixed shelf", self.fixed_shelves, fixed, stock, counted=making.typed("fixed_shelves"))
        if self.adjustable_shelves:
            loose, many = self._loose_shelf(case, making), making.typed("adjustable_shelves")
            yield part("Adjustable shelf", self.adjustable_shelves, loose, stock, counted=many)

    def _loose_shelf(self, case: Case, making: Making) -> Sizes:
        play, setback = making.habit("shelf_play"), making.habit("shelf_setback")
        deep = inches("Shelf depth", case.deep.value - setback.value, "depth − set back", case.deep, setback)
        long = inches("Shelf length", case.inner.value - play.value, "between the sides − play", case.inner, play)
        return case.thick, deep, long

    def _joints(self, case: Case, making: Making) -> Iterator[Joint]:
        stretcher = making.typed("stretcher_width")
        yield self._case_joint("Bottom to sides", 2, case.deep, case, making)
        yield self._case_joint("Stretchers to sides", 2 * self.stretchers, stretcher, case, making)
        if self.fixed_shelves:
            yield self._case_joint("Fixed shelves to sides", 2 * self.fixed_shelves, case.deep, case, making)

    def _case_joint(self, name: str, count: int, length: Figure, case: Case, making: Making) -> Joint:
        fastening, spacing = FASTENINGS[self.joinery]
        in_one = how_far_apart(f"{fastening.value.capitalize()}s in one joint", length, making.habit(spacing))
        needed = times(in_one, each("Joints", count, name.lower()))
        used: Material = fastener(fastening, case.thick.length)
        return joint(name, count, length, case.thick, self.glue if self.is_glued else "", used, needed)

    def _strip_feet(self, case: Case, making: Making) -> Figure:
        if not self.strip_edges:
            return running_feet("Edge strip")
        loose = self._loose_shelf(case, making)[2]
        across = 2 + self.fixed_shelves  # bottom, front stretcher and fixed shelves
        return running_feet("Edge strip", (2, case.side), (across, case.inner), (self.adjustable_shelves, loose))

    def _items(self, case: Case, strip: Figure, making: Making) -> Iterator[Item]:
        if strip.value:
            yield edge_strip(self.sheet, self.thickness.value, strip)
        round_back = _round(making.typed("width"), case.back_height)
        along = how_far_apart("Screws in the back", round_back, making.habit("wood_screw_spacing"), least=4)
        yield screws("#6 x 1", along, "hold the back")
        fixed = each("Screws to walls and neighbours", 4, "2 to the wall, 2 to a neighbour", source=COMMON)
        yield screws("#8 x 2 1/2", fixed, "install")
        if self.stands_on_feet:
            yield hardware("leveling foot", "", making.habit("feet_per_cabinet"), "under the box")
        if self.adjustable_shelves:
            pins = each("Shelf pins", 4 * self.adjustable_shelves, "4 to a shelf", making.typed("adjustable_shelves"))
            yield hardware("shelf pin", "", pins, "adjustable shelves")

    def _faces(self, case: Case, making: Making) -> tuple[Face, ...]:
        height, depth = making.typed("height"), making.typed("depth")
        shelves = self.fixed_shelves + self.adjustable_shelves
        inside = (
            ("Sides, inside", 2, case.deep, case.back_height),
            ("Bottom, inside", 1, case.deep, case.inner),
            ("Back, inside", 1, case.inner, case.back_height),
            ("Shelves, both faces", 2 * shelves, case.deep, case.inner),
        )
        return faces(
            self.finish_choice(),
            ("Seen sides", self.seen_sides, depth, height),
            ("Front edges of sides", 2, case.thick, case.side),
            ("Front edges across", 2 + shelves, case.thick, case.inner),
            *(inside if self.finish_inside else ()),
        )

    def _steps(
        self, parts: tuple[Part, ...], joints: tuple[Joint, ...], surfaces: tuple[Face, ...],
        strip: Figure, heavy: Figure | None, making: Making,
    ) -> tuple[Step, ...]:  # fmt: skip
        counted = each("Parts", sum(one.count for one in parts), "cut from sheets")
        steps = [Step("cut", "Cut carcass parts", TaskKind.CUT, work=work("cut-sheet", counted))]
        if strip.value:
            steps.append(strip_step(strip, after("cut")))
        steps += self._assembly(joints, steps[-1].key, making)
        steps += sand_step(surfaces, after(steps[-1].key))
        return (*steps, install_step("install-cabinet", "Set and fasten the cabinet", heavy, making.practice))

    def _assembly(self, joints: tuple[Joint, ...], ready: str, making: Making) -> Iterator[Step]:
        fastened = add_up("Fasteners", [one.fasteners for one in joints if one.fasteners], Unit.EACH)
        operation = {CaseJoinery.SCREWS: "screw", CaseJoinery.DOWELS: "dowel", CaseJoinery.BISCUITS: "biscuit"}
        one = each("Cabinets", 1, "one of it")
        shelves = work("shelf-holes", making.typed("adjustable_shelves"))
        joined = work(operation[self.joinery], fastened)
        if not self.is_glued:
            done = (*shelves, *joined, *work("assemble-carcass", one))
            yield Step("assemble", "Assemble the carcass", TaskKind.ASSEMBLE, work=done, after=after(ready), bench=1)
            return
        yield Step("bore", "Bore and slot", TaskKind.CUT, work=(*shelves, *joined), after=after(ready))
        held = each(
            "Clamps",
            2 * (1 + self.stretchers + self.fixed_shelves),
            "2 across each part between the sides",
            source=COMMON,
        )
        feet = running_feet("Joints", *((one.count, one.sizes[0]) for one in joints))
        yield from assembly_steps(
            "Glue up the carcass", work("assemble-carcass", one), feet, self.glue, making.practice,
            key="assemble", suffix="1", clamps=int(held.value), waits=after("bore"),
        )  # fmt: skip


def _round(width: Figure, height: Figure) -> Figure:
    return inches("Round the back", 2 * (width.value + height.value), "2 × (width + height)", width, height)
