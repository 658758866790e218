"""The door: a slab, or a frame with a panel in its grooves."""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum
from typing import ClassVar

from domain.figure import Figure
from domain.length import Length
from domain.material import Material
from domain.part import Built, Face, Item, Joint, Part, Stage, Step, TaskKind, Work
from domain.pieces.ask import number, pick, size, text
from domain.pieces.choices import WOOD, Finished, MadeOf, SheetThickness, thickness_refusals
from domain.pieces.making import (
    Making,
    each,
    faces,
    hardware,
    inches,
    joint,
    marked,
    part,
    running_feet,
    weight_of,
)
from domain.pieces.piece import Link
from domain.pieces.slab import Slab, SolidOrSheet, one, slab
from domain.pieces.steps import after, assembly_steps, sand_step, work
from domain.practice import COMMON, ShopPractice
from domain.problem import Problem

FRAME, HARDWARE = "Frame", "Hardware"

HINGES = ((Length.of(40), 2), (Length.of(60), 3), (Length.of(80), 4))
"""Hinges of a door up to so high; a higher one has 5. Source: common practice, no source."""


class DoorMake(Enum):
    FRAME = "frame and panel"
    SLAB = "slab"


@dataclass(frozen=True, slots=True)
class Frame:
    """Sizes of a frame's parts [in]. shoulder: between the stiles; tall: between the rails; groove: its depth."""

    stile: Figure
    rail: Figure
    rail_length: Figure
    shoulder: Figure
    tall: Figure
    groove: Figure


@dataclass(frozen=True, kw_only=True)
class Door(SolidOrSheet, Finished):
    kind: ClassVar[str] = "door"
    title: ClassVar[str] = "Door"
    belongs_to: ClassVar[tuple[str, ...]] = ("base_cabinet",)
    links: ClassVar[tuple[Link, ...]] = (
        Link("install", "install", owner_first=True, why="a door is hung on a cabinet that stands"),
    )

    width: Length = size("Width", "17 3/4", least="3 in", most="4 ft", help="Of the door itself.")
    height: Length = size("Height", "29 3/4", least="3 in", most="10 ft", help="Of the door itself.")
    make: DoorMake = pick("Make", DoorMake.FRAME, group=FRAME)
    frame_thickness: Length = size("Frame thickness", "3/4", least="1/2 in", most="2 in", group=FRAME)
    stile_width: Length = size("Stile width", "2 1/4", least="1 in", most="8 in", group=FRAME)
    rail_width: Length = size("Rail width", "2 1/4", least="1 in", most="12 in", group=FRAME)
    made_of: MadeOf = pick("Panel or slab made of", MadeOf.SHEET, group=WOOD)
    sheet_thickness: SheetThickness = pick("Sheet thickness", SheetThickness.QUARTER, group=WOOD)
    hinge: str = text("Hinge", "concealed hinge", needed=True, group=HARDWARE)
    pull: str = text("Pull", "pull", needed=True, group=HARDWARE)
    pulls: int = number("Pulls", 1, most=4, group=HARDWARE)

    @property
    def is_framed(self) -> bool:
        return self.make is DoorMake.FRAME

    def own_problems(self, practice: ShopPractice) -> Iterator[Problem]:
        yield from self.finish_refusals()
        yield from self.stock_refusals(practice)
        if not self.is_framed:
            if not self.is_solid and self.sheet_thickness in (SheetThickness.QUARTER, SheetThickness.HALF):
                words = f"A slab door of {self.sheet_thickness.value} in sheet will not stay flat. Choose 3/4."
                yield Problem("sheet_thickness", words)
            return
        yield from thickness_refusals(self.frame_thickness, practice, "frame_thickness")
        for name, size_of, frame in (("stile_width", self.width, self.stile_width),
                                     ("rail_width", self.height, self.rail_width)):  # fmt: skip
            if size_of - 2 * frame < Length.of(1):
                words = f"“{frame.tape()}” leaves less than 1 in for the panel in {size_of.tape()}. Try 2 1/4."
                yield Problem(name, f"{name.split('_')[0].capitalize()} width {words}")
        panel = self.thickness if self.is_solid else Length.of(self.sheet_thickness.value)
        if panel > self.frame_thickness:
            words = f"The panel is {panel.tape()} thick in a frame of {self.frame_thickness.tape()}. Make it thinner."
            yield Problem("thickness" if self.is_solid else "sheet_thickness", words)

    def build(self, practice: ShopPractice, where: str) -> Built:
        making = Making(self, practice, where)
        frame = self._frame(making) if self.is_framed else None
        made = self._panel(frame, making)
        parts = marked((*(self._frame_parts(frame, making) if frame else ()), *made.parts))
        joints = (*made.joints, *((self._corners(frame, practice),) if frame else ()))
        surfaces = self._faces(made, making)
        hinges = self._hinges(making)
        heavy = weight_of(parts, practice)
        return Built(
            parts=parts,
            joints=joints,
            faces=surfaces,
            items=(*made.items, *self._hardware(hinges)),
            steps=tuple(self._steps(frame, made, surfaces, making)),
            weight=heavy,
            figures=(made.thickness, hinges, *((heavy,) if heavy else ())),
            problems=(*self.finish_warnings(), *made.problems),
        )

    def _frame(self, making: Making) -> Frame:
        width, height = making.typed("width"), making.typed("height")
        stile, rail, groove = (
            making.typed("stile_width"),
            making.typed("rail_width"),
            making.habit("frame_groove_depth"),
        )
        shoulder = inches("Between the stiles", width.value - 2 * stile.value, "width − 2 × stile", width, stile)
        tall = inches("Between the rails", height.value - 2 * rail.value, "height − 2 × rail", height, rail)
        words = "between the stiles + a stub tenon into the groove at each end"
        long = inches("Rail length", shoulder.value + 2 * groove.value, words, shoulder, groove)
        return Frame(stile, rail, long, shoulder, tall, groove)

    def _frame_parts(self, frame: Frame, making: Making) -> Iterator[Part]:
        thick = making.typed("frame_thickness")
        stock: Material = self.lumber(self.frame_thickness, making.practice)
        yield part("Stile", 2, (thick, frame.stile, making.typed("height")), stock)
        yield part("Rail", 2, (thick, frame.rail, frame.rail_length), stock)

    def _panel(self, frame: Frame | None, making: Making) -> Slab:
        width, height = making.typed("width"), making.typed("height")
        if frame is None:
            return slab(self, "Door", width, height, making, ((2, width), (2, height)))
        along = self._panel_size("Panel height", frame.tall, frame, making)
        return slab(self, "Panel", self._panel_across(frame, making), along, making)

    def across_grain(self, making: Making) -> Figure:
        """Return the width of its panel, or of a slab, across the grain [in]."""
        return self._panel_across(self._frame(making), making) if self.is_framed else making.typed("width")

    def _panel_across(self, frame: Frame, making: Making) -> Figure:
        return self._panel_size("Panel width", frame.shoulder, frame, making)

    def _panel_size(self, label: str, room: Figure, frame: Frame, making: Making) -> Figure:
        play = making.habit("panel_play")
        value = room.value + 2 * frame.groove.value - play.value
        return inches(label, value, "between the frame + 2 × groove − play", room, frame.groove, play)

    def _corners(self, frame: Frame, practice: ShopPractice) -> Joint:
        words = "both faces of a stub tenon as deep as the groove"
        cheeks = inches("Glued width", 2 * frame.groove.value, words, frame.groove)
        return joint("Frame corners", 4, frame.rail, cheeks, self.glue)

    def _faces(self, made: Slab, making: Making) -> tuple[Face, ...]:
        width, height = making.typed("width"), making.typed("height")
        thick = making.typed("frame_thickness") if self.is_framed else made.thickness
        return faces(
            self.finish_choice(),
            ("Faces", 2, width, height),
            ("Upright edges", 2, thick, height),
            ("Top and bottom edges", 2, thick, width),
        )

    def _hinges(self, making: Making) -> Figure:
        many = next((count for height, count in HINGES if self.height <= height), 5)
        words = "2 up to 40 in high, 3 up to 60, 4 up to 80, then 5"
        return each("Hinges", many, words, making.typed("height"), source=COMMON)

    def _hardware(self, hinges: Figure) -> Iterator[Item]:
        yield hardware(self.hinge.strip(), "", hinges, "hang the door")
        if self.pulls:
            yield hardware(self.pull.strip(), "", each("Pulls", self.pulls, "as typed"), "open the door")

    def _steps(self, frame: Frame | None, made: Slab, surfaces: tuple[Face, ...], making: Making) -> Iterator[Step]:
        yield from made.steps
        ready = made.ready
        if frame:
            yield from self._frame_steps(frame, ready, making)
            ready = "unclamp-frame"
        yield from sand_step(surfaces, after(ready))
        hung = (Work("hang-door", one()), *work("pull", each("Pulls", self.pulls, "as typed")))
        yield Step("install", "Hang the door", TaskKind.INSTALL, Stage.INSTALL, hung)

    def _frame_steps(self, frame: Frame, ready: str, making: Making) -> Iterator[Step]:
        parts = each("Parts", 4, "2 stiles and 2 rails")
        yield Step(
            "cut-frame", "Mill and cut the frame", TaskKind.CUT, work=(*work("mill", parts), *work("cut-solid", parts))
        )
        grooved = running_feet("Grooves", (2, making.typed("height")), (2, frame.rail_length))
        assembled = (*work("groove", grooved), *work("door-frame", one()))
        yield from assembly_steps(
            "Glue up the frame round its panel", assembled, running_feet("Joints", (4, frame.rail)), self.glue,
            making.practice, key="assemble", suffix="frame", clamps=2, waits=after(ready, "cut-frame"),
        )  # fmt: skip
