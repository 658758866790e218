"""The toe kick: the board that closes the recess under base cabinets."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from domain.length import Length
from domain.part import Built
from domain.pieces.ask import size
from domain.pieces.choices import Finished
from domain.pieces.making import Making, faces, how_far_apart, marked, screws, weight_of
from domain.pieces.piece import Link
from domain.pieces.slab import SolidOrSheet, slab
from domain.pieces.steps import after, install_step, sand_step
from domain.practice import ShopPractice
from domain.problem import Problem


@dataclass(frozen=True, kw_only=True)
class ToeKick(SolidOrSheet, Finished):
    kind: ClassVar[str] = "toe_kick"
    title: ClassVar[str] = "Toe kick"
    belongs_to: ClassVar[tuple[str, ...]] = ("base_cabinet",)
    links: ClassVar[tuple[Link, ...]] = (
        Link("install", "install", owner_first=True, why="the cabinet stands before its toe kick goes on"),
    )

    length: Length = size("Length", "72", least="2 in", most="20 ft", help="Finished; longer runs are joined.")
    height: Length = size("Height", "4", least="1 in", most="12 in", help="Finished, fitted to the floor.")

    def own_problems(self, practice: ShopPractice) -> Iterator[Problem]:
        yield from self.finish_refusals()
        yield from self.stock_refusals(practice)

    def build(self, practice: ShopPractice, where: str) -> Built:
        making = Making(self, practice, where)
        length, height = making.typed("length"), making.typed("height")
        made = slab(self, "Toe kick", height, length, making)
        surfaces = faces(self.finish_choice(), ("Face", 1, height, length))
        held = how_far_apart("Screws", length, making.habit("strip_screw_spacing"))
        heavy = weight_of(made.parts, practice)
        installed = install_step("install-toe-kick", "Fit the toe kick", heavy, practice)
        return Built(
            parts=marked(made.parts),
            joints=made.joints,
            faces=surfaces,
            items=(*made.items, screws("#6 x 1 1/4", held, "hold the toe kick")),
            steps=(*made.steps, *sand_step(surfaces, after(made.ready)), installed),
            weight=heavy,
            figures=(made.thickness,),
            problems=(*self.finish_warnings(), *made.problems),
        )
