"""The filler or scribe strip: closes the gap between a cabinet and a wall that is never straight."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from domain.length import Length
from domain.part import Built
from domain.pieces.ask import size
from domain.pieces.choices import Finished
from domain.pieces.making import Making, faces, how_far_apart, inches, marked, screws, weight_of
from domain.pieces.piece import Link
from domain.pieces.slab import SolidOrSheet, slab
from domain.pieces.steps import after, install_step, sand_step
from domain.practice import ShopPractice
from domain.problem import Problem


@dataclass(frozen=True, kw_only=True)
class Filler(SolidOrSheet, Finished):
    kind: ClassVar[str] = "filler"
    title: ClassVar[str] = "Filler or scribe"
    belongs_to: ClassVar[tuple[str, ...]] = ("base_cabinet", "top", "corner_top")
    links: ClassVar[tuple[Link, ...]] = (
        Link("install", "install", owner_first=True, why="it is scribed between the wall and what already stands"),
    )

    length: Length = size("Length", "30 1/2", least="1 in", most="20 ft", help="Along the wall or gap.")
    gap: Length = size("Widest gap", "1 1/2", least="1/8 in", most="12 in", help="As measured.")
    to_scribe: Length = size("Left on for scribing", "1/2", least="0 in", most="3 in")

    def own_problems(self, practice: ShopPractice) -> Iterator[Problem]:
        yield from self.finish_refusals()
        yield from self.stock_refusals(practice)

    def build(self, practice: ShopPractice, where: str) -> Built:
        making = Making(self, practice, where)
        length, gap, more = making.typed("length"), making.typed("gap"), making.typed("to_scribe")
        width = inches("Width to cut", gap.value + more.value, "widest gap + left on for scribing", gap, more)
        made = slab(self, "Filler", width, length, making, ((1, length),))
        surfaces = faces(self.finish_choice(), ("Face", 1, width, length), ("Seen edge", 1, made.thickness, length))
        held = how_far_apart("Screws", length, making.habit("strip_screw_spacing"))
        heavy = weight_of(made.parts, practice)
        installed = install_step("install-filler", "Scribe and fasten the filler", heavy, practice)
        return Built(
            parts=marked(made.parts),
            joints=made.joints,
            faces=surfaces,
            items=(*made.items, screws("#8 x 1 1/4", held, "hold the filler")),
            steps=(*made.steps, *sand_step(surfaces, after(made.ready)), installed),
            weight=heavy,
            figures=(width, made.thickness),
            problems=(*self.finish_warnings(), *made.problems),
        )
