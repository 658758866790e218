"""The shelf: solid or from a sheet, on pins or fixed."""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum
from typing import ClassVar

from domain.length import Length
from domain.part import Built
from domain.pieces.ask import pick, size, tick
from domain.pieces.choices import WOOD, Finished
from domain.pieces.making import Making, each, faces, hardware, marked, weight_of
from domain.pieces.piece import Link
from domain.pieces.slab import SolidOrSheet, slab
from domain.pieces.steps import after, install_step, sand_step
from domain.practice import COMMON, ShopPractice
from domain.problem import Problem


class Edging(Enum):
    """Which edges of a shelf are seen."""

    FRONT = "front"
    FRONT_AND_ENDS = "front and ends"
    ALL = "all round"


@dataclass(frozen=True, kw_only=True)
class Shelf(SolidOrSheet, Finished):
    kind: ClassVar[str] = "shelf"
    title: ClassVar[str] = "Shelf"
    belongs_to: ClassVar[tuple[str, ...]] = ("base_cabinet",)
    links: ClassVar[tuple[Link, ...]] = (
        Link("install", "install", owner_first=True, why="the cabinet stands before its shelves go in"),
    )

    length: Length = size("Length", "30", least="2 in", most="20 ft", help="Finished, along the grain.")
    depth: Length = size("Depth", "11", least="1 in", most="4 ft", help="Finished, front to back.")
    seen_edges: Edging = pick("Seen edges", Edging.FRONT, help="Strip on sheets, finish on both.", group=WOOD)
    is_adjustable: bool = tick("On shelf pins", True, group="Sizes")

    def own_problems(self, practice: ShopPractice) -> Iterator[Problem]:
        yield from self.finish_refusals()
        yield from self.stock_refusals(practice)

    def build(self, practice: ShopPractice, where: str) -> Built:
        making = Making(self, practice, where)
        length, depth = making.typed("length"), making.typed("depth")
        long_edges = 2 if self.seen_edges is Edging.ALL else 1
        ends = 0 if self.seen_edges is Edging.FRONT else 2
        made = slab(self, "Shelf", depth, length, making, ((long_edges, length), (ends, depth)))
        surfaces = faces(
            self.finish_choice(),
            ("Faces", 2, depth, length),
            ("Long edges", long_edges, made.thickness, length),
            ("Ends", ends, made.thickness, depth),
        )
        corners = each("Shelf pins", 4, "one near each corner", source=COMMON)
        pins = hardware("shelf pin", "", corners, "adjustable shelf")
        heavy = weight_of(made.parts, practice)
        installed = install_step("install-shelf", "Put in the shelf", heavy, practice)
        return Built(
            parts=marked(made.parts),
            joints=made.joints,
            faces=surfaces,
            items=(*made.items, *((pins,) if self.is_adjustable else ())),
            steps=(*made.steps, *sand_step(surfaces, after(made.ready)), installed),
            weight=heavy,
            figures=(made.thickness, *((heavy,) if heavy else ())),
            problems=(*self.finish_warnings(), *made.problems),
        )
