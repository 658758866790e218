"""The drawer: a box on slides, with a front on it."""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from typing import ClassVar

from domain.figure import Figure
from domain.length import Length
from domain.part import Built, Face, Grain, Item, Joint, Part, Stage, Step, TaskKind, Work
from domain.pieces.ask import choose, number, pick, size, text, tick
from domain.pieces.choices import FINISH, Finished, MadeOf, SheetThickness, sheet_ask, thickness_refusals
from domain.pieces.making import (
    Making,
    Sizes,
    each,
    faces,
    hardware,
    inches,
    joint,
    lumber,
    marked,
    part,
    running_feet,
    screws,
    sheet,
    sheet_thickness,
    weight_of,
)
from domain.pieces.piece import Link
from domain.pieces.slab import Slab, SolidOrSheet, one, slab
from domain.pieces.steps import after, assembly_steps, sand_step, work
from domain.practice import COMMON, ShopPractice
from domain.problem import Problem
from domain.wood import species_names

BOX, HARDWARE, FRONT = "Box", "Hardware", "Front"

SLIDES = (10, 12, 14, 16, 18, 20, 21, 22, 24, 26, 28)
"""Lengths drawer slides are commonly sold in [in]. Source: common practice, no source."""


class SlideKind(Enum):
    SIDE = "side-mounted"
    UNDER = "under-mounted"


class Corners(Enum):
    DOVETAILS = "dovetails"
    RABBETS = "rabbets"
    BUTT = "butted and screwed"


class FrontFit(Enum):
    OVERLAY = "over the opening"
    INSET = "inside the opening"


@dataclass(frozen=True, slots=True)
class Box:
    """Sizes of a drawer box [in]. end: length of its front and back parts; inside and deep: of the bottom's opening."""

    thick: Figure
    width: Figure
    height: Figure
    length: Figure
    end: Figure
    bottom_width: Figure
    bottom_length: Figure


@dataclass(frozen=True, kw_only=True)
class Drawer(SolidOrSheet, Finished):
    """made_of, thickness, species and sheet are those of the front."""

    kind: ClassVar[str] = "drawer"
    title: ClassVar[str] = "Drawer"
    belongs_to: ClassVar[tuple[str, ...]] = ("base_cabinet",)
    links: ClassVar[tuple[Link, ...]] = (
        Link("assemble", "fit", owner_first=True, why="a drawer is fitted to its assembled cabinet"),
        Link("unclamp-1", "fit", owner_first=True, why="a drawer is fitted to its assembled cabinet"),
        Link("install", "install", owner_first=True, why="the cabinet stands before its drawers go in"),
    )

    width: Length = size("Opening width", "16 1/2", least="4 in", most="5 ft", help="Clear, in the cabinet.")
    height: Length = size("Opening height", "6", least="2 in", most="24 in", help="Clear, in the cabinet.")
    depth: Length = size("Opening depth", "23", least="10 1/2 in", most="4 ft", help="Clear, to the back.")
    slide: SlideKind = pick("Slides", SlideKind.SIDE, group=HARDWARE)
    pull: str = text("Pull", "pull", needed=True, group=HARDWARE)
    pulls: int = number("Pulls", 1, most=4, group=HARDWARE)
    box_of: MadeOf = pick("Box made of", MadeOf.SHEET, group=BOX)
    box_species: str = choose("Box wood", species_names, "Soft maple (red maple)", group=BOX)
    box_thickness: Length = size("Box wood thickness", "1/2", least="3/8 in", most="1 in", group=BOX)
    box_sheet: str = sheet_ask("Box sheet", "birch plywood")
    box_sheet_thickness: SheetThickness = pick("Box sheet thickness", SheetThickness.HALF, group=BOX)
    bottom_sheet: str = sheet_ask("Bottom", "birch plywood")
    corners: Corners = pick("Corners", Corners.RABBETS, group=BOX)
    fit: FrontFit = pick("Front goes", FrontFit.OVERLAY, group=FRONT)
    overlay: Length = size("Overlay on each side", "1/2", least="0 in", most="3 in", group=FRONT)
    finish_box: bool = tick("Box gets the same finish", group=FINISH)

    def own_problems(self, practice: ShopPractice) -> Iterator[Problem]:
        yield from self.finish_refusals()
        yield from self.stock_refusals(practice)
        if self.box_of is MadeOf.SOLID:
            yield from thickness_refusals(self.box_thickness, practice, "box_thickness")
        making = Making(self, practice, "")
        box, behind = self._box(making), making.habit("behind_drawer").length
        if self.depth - behind < box.length.length:
            words = f"Opening depth “{self.depth.tape()}” is too little for a slide of {box.length.length.tape()}."
            yield Problem("depth", f"{words} Try {(box.length.length + behind).tape()}.")
        if box.height.value < Fraction(3, 2):
            words = (
                f"Opening height “{self.height.tape()}” leaves a box {box.height.length.tape()} high. Try 4 or more."
            )
            yield Problem("height", words)
        if box.end.value < 2 or box.bottom_width.value < 2:
            words = f"Opening width “{self.width.tape()}” leaves no room in the box. Try 8 or more."
            yield Problem("width", words)

    def build(self, practice: ShopPractice, where: str) -> Built:
        making = Making(self, practice, where)
        box = self._box(making)
        front = self._front(making)
        parts = marked((*front.parts, *self._box_parts(box, making)))
        surfaces = self._faces(box, front, making)
        heavy = weight_of(parts, practice)
        return Built(
            parts=parts,
            joints=(*front.joints, self._corner_joint(box)),
            faces=surfaces,
            items=(*front.items, *self._items(box)),
            steps=tuple(self._steps(box, front, surfaces, making)),
            weight=heavy,
            figures=(box.length, box.width, box.height, *((heavy,) if heavy else ())),
            problems=(*self.finish_warnings(), *front.problems),
        )

    def _box(self, making: Making) -> Box:
        opening, tall = making.typed("width"), making.typed("height")
        gap = making.habit("side_slide_gap" if self.slide is SlideKind.SIDE else "under_slide_gap")
        lower = making.habit("drawer_height_less")
        width = inches("Box width", opening.value - 2 * gap.value, "opening − 2 × gap for the slide", opening, gap)
        height = inches("Box height", tall.value - lower.value, "opening − what it is lower", tall, lower)
        thick, length = self._box_thickness(making), slide_length(making)
        end = self._end(width, thick)
        across, along = (_bottom(label, outside, thick, making) for label, outside in
                         (("Bottom width", width), ("Bottom length", length)))  # fmt: skip
        return Box(thick, width, height, length, end, across, along)

    def _box_thickness(self, making: Making) -> Figure:
        if self.box_of is MadeOf.SOLID:
            return making.typed("box_thickness")
        return sheet_thickness(self.box_sheet, self.box_sheet_thickness.value, making.practice)

    def _end(self, width: Figure, thick: Figure) -> Figure:
        less, words = {
            Corners.DOVETAILS: (Fraction(0), "box width: tails and pins reach through"),
            Corners.RABBETS: (thick.value, "box width − 2 × half a side, in rabbets half as deep as the side"),
            Corners.BUTT: (2 * thick.value, "box width − 2 × side"),
        }[self.corners]
        return inches("Length of box front and back", width.value - less, words, width, thick)

    def _box_parts(self, box: Box, making: Making) -> Iterator[Part]:
        if self.box_of is MadeOf.SOLID:
            stock = lumber(self.box_species, self.grade, self.box_thickness, making.practice)
        else:
            stock = sheet(self.box_sheet, self.box_sheet_thickness.value)
        yield part("Box side", 2, (box.thick, box.height, box.length), stock)
        yield part("Box front and back", 2, (box.thick, box.height, box.end), stock)
        bottom: Sizes = (
            sheet_thickness(self.bottom_sheet, "1/4", making.practice),
            box.bottom_width,
            box.bottom_length,
        )
        yield part("Bottom", 1, bottom, sheet(self.bottom_sheet, "1/4"), grain=Grain.FREE)

    def _front(self, making: Making) -> Slab:
        width, height = (self._front_size(label, making.typed(name), making) for label, name in
                         (("Front width", "width"), ("Front height", "height")))  # fmt: skip
        return slab(self, "Front", height, width, making, ((2, width), (2, height)))

    def across_grain(self, making: Making) -> Figure:
        """Return the height of its front, across the grain [in]."""
        return self._front_size("Front height", making.typed("height"), making)

    def _front_size(self, label: str, opening: Figure, making: Making) -> Figure:
        if self.fit is FrontFit.OVERLAY:
            over = making.typed("overlay")
            return inches(label, opening.value + 2 * over.value, "opening + 2 × overlay", opening, over)
        gap = making.habit("front_gap")
        return inches(label, opening.value - 2 * gap.value, "opening − 2 × gap", opening, gap)

    def _corner_joint(self, box: Box) -> Joint:
        return joint("Box corners", 4, box.height, box.thick, self.glue)

    def _items(self, box: Box) -> Iterator[Item]:
        pair = each("Slide pairs", 1, "one pair to a drawer", box.length)
        yield hardware(f"drawer slide pair, {self.slide.value}", box.length.length.exact(), pair, "carries the drawer")
        yield screws("#8 x 1 1/4", _front_screws(), "hold the front")
        if self.corners is Corners.BUTT:
            yield screws("#6 x 1 1/4", each("Corner screws", 8, "2 to a corner", source=COMMON), "box corners")
        if self.pulls:
            yield hardware(self.pull.strip(), "", each("Pulls", self.pulls, "as typed"), "opens the drawer")

    def _faces(self, box: Box, front: Slab, making: Making) -> tuple[Face, ...]:
        wide, tall = (self._front_size(label, making.typed(name), making) for label, name in
                      (("Front width", "width"), ("Front height", "height")))  # fmt: skip
        inside = (
            ("Box sides, both faces", 4, box.height, box.length),
            ("Box front and back, both faces", 4, box.height, box.end),
            ("Bottom, both faces", 2, box.bottom_width, box.bottom_length),
        )
        return faces(
            self.finish_choice(),
            ("Front, both faces", 2, tall, wide),
            ("Front, long edges", 2, front.thickness, wide),
            ("Front, ends", 2, front.thickness, tall),
            *(inside if self.finish_box else ()),
        )

    def _steps(self, box: Box, front: Slab, surfaces: tuple[Face, ...], making: Making) -> Iterator[Step]:
        yield from front.steps
        yield from self._box_steps(box, making)
        sanded = sand_step(surfaces, after(front.ready, "unclamp-box"))
        yield from sanded
        yield Step("fit", "Mount slides and fit the box", TaskKind.ASSEMBLE, work=work("fit-drawer", one()),
                   after=after("unclamp-box"))  # fmt: skip
        put_on = (*work("screw", _front_screws()),
                  *work("pull", each("Pulls", self.pulls, "as typed")))  # fmt: skip
        yield Step("install", "Put the drawer in, front and pull on", TaskKind.INSTALL, Stage.INSTALL, put_on)

    def _box_steps(self, box: Box, making: Making) -> Iterator[Step]:
        solid = self.box_of is MadeOf.SOLID
        four = each("Box parts", 4, "2 sides, front and back")
        bottom = each("Bottoms", 1, "one to a box")
        if solid:
            cut: tuple[Work, ...] = (*work("mill", four), *work("cut-solid", four), *work("cut-sheet", bottom))
        else:
            cut = work("cut-sheet", each("Box parts and bottom", 5, "4 and a bottom"))
        grooves = work("groove", running_feet("Bottom grooves", (2, box.length), (2, box.end)))
        yield Step("cut-box", "Cut the box", TaskKind.CUT, work=(*cut, *grooves))
        yield from assembly_steps(
            "Joint and glue up the box", work("drawer-box", one()), running_feet("Corners", (4, box.height)), self.glue,
            making.practice, key="assemble-box", suffix="box", clamps=2, waits=after("cut-box"),
        )  # fmt: skip


def slide_length(making: Making) -> Figure:
    """Return the longest common slide that fits the depth of the opening [in]."""
    depth, behind = making.typed("depth"), making.habit("behind_drawer")
    room = depth.value - behind.value
    longest = max((length for length in SLIDES if length <= room), default=SLIDES[0])
    words = "longest common slide within opening depth − what stays free behind"
    return inches("Slide and box length", Fraction(longest), words, depth, behind, source=COMMON)


def _front_screws() -> Figure:
    return each("Front screws", 4, "from inside the box", source=COMMON)


def _bottom(label: str, outside: Figure, thick: Figure, making: Making) -> Figure:
    groove, play = making.habit("groove_depth"), making.habit("panel_play")
    value = outside.value - 2 * thick.value + 2 * groove.value - play.value
    return inches(label, value, "outside − 2 × side + 2 × groove − play", outside, thick, groove, play)
