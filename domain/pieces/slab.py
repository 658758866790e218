"""A flat piece of one thickness, solid or cut from a sheet: what shelves, fronts and slab doors are made of."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from domain.figure import Figure
from domain.length import Length
from domain.part import Item, Joint, Part, Step, TaskKind, Wait
from domain.pieces.ask import pick, size, text
from domain.pieces.choices import WOOD, Glued, MadeOf, SheetThickness, SolidWood, sheet_ask, thickness_refusals
from domain.pieces.making import Making, each, edge_strip, part, running_feet, sheet, sheet_thickness
from domain.pieces.panel import Panel, boards_no_wider, panel_joints, panel_parts, panel_stages, panel_steps
from domain.pieces.steps import after, work
from domain.practice import ShopPractice
from domain.problem import Problem

Edges = tuple[tuple[int, Figure], ...]
"""How many alike visible edges, and their length [in]."""


@dataclass(frozen=True, kw_only=True)
class SolidOrSheet(SolidWood, Glued):
    """Solid wood, glued up where it is wide, or a sheet with strip on its visible edges."""

    made_of: MadeOf = pick("Made of", MadeOf.SOLID, group=WOOD)
    thickness: Length = size("Thickness", "3/4", least="3/16 in", most="4 in", help="Of solid wood.", group=WOOD)
    sheet: str = sheet_ask()
    sheet_thickness: SheetThickness = pick("Sheet thickness", SheetThickness.THREE_QUARTERS, group=WOOD)
    match: str = text(
        "Grain matches", group=WOOD,
        help="A word such as fronts: all parts with it come out of one board or sheet, or out of the next ones.",
    )  # fmt: skip

    @property
    def is_solid(self) -> bool:
        return self.made_of is MadeOf.SOLID

    def stock_refusals(self, practice: ShopPractice) -> Iterator[Problem]:
        """Yield the problem of a solid thickness that no stock can be dressed to."""
        if self.is_solid:
            yield from thickness_refusals(self.thickness, practice)


@dataclass(frozen=True, slots=True)
class Slab:
    """One flat piece. steps: until it has its size; ready: key of the last of them; thickness [in]."""

    thickness: Figure
    parts: tuple[Part, ...]
    joints: tuple[Joint, ...]
    items: tuple[Item, ...]
    steps: tuple[Step, ...]
    problems: tuple[Problem, ...]

    @property
    def ready(self) -> str:
        return self.steps[-1].key


def slab(piece: SolidOrSheet, name: str, width: Figure, length: Figure, making: Making, edges: Edges = ()) -> Slab:
    """Return a flat piece, its grain along the length. width, length [in]; edges: that get strip if it is a sheet."""
    if piece.is_solid:
        return _solid(piece, name, width, length, making)
    return _from_sheet(piece, name, width, length, making, edges)


def _solid(piece: SolidOrSheet, name: str, width: Figure, length: Figure, making: Making) -> Slab:
    practice, thickness = making.practice, making.typed("thickness")
    panel = Panel(
        material=piece.lumber(piece.thickness, practice),
        thickness=thickness,
        along=length,
        across=width,
        boards=boards_no_wider(width, making.habit("widest_board"), making.habit("panel_trim")),
        glue=piece.glue,
        crew=each("People at the glue-up", 1, "one"),
    )
    made = panel_steps(panel, practice)
    cut = Step("cut", f"Cut the {name.lower()} to size", TaskKind.CUT, work=work("cut-solid", one()),
               after=after(made[-1].key))  # fmt: skip
    slow = panel_stages(panel, practice).problems if panel.board_count > 1 else ()
    parts = panel_parts(panel, name if panel.board_count == 1 else f"{name} board")
    parts = tuple(replace(one, match=piece.match.strip()) for one in parts)
    return Slab(thickness, parts, panel_joints(panel, practice), (), (*made, cut), slow)


def _from_sheet(piece: SolidOrSheet, name: str, width: Figure, length: Figure, making: Making, edges: Edges) -> Slab:
    nominal = piece.sheet_thickness.value
    thickness = sheet_thickness(piece.sheet, nominal, making.practice)
    made = replace(part(name, 1, (thickness, width, length), sheet(piece.sheet, nominal)), match=piece.match.strip())
    steps = (Step("cut", f"Cut the {name.lower()} to size", TaskKind.CUT, work=work("cut-sheet", one())),)
    feet = running_feet("Edge strip", *edges)
    if not feet.value:
        return Slab(thickness, (made,), (), (), steps, ())
    items = (edge_strip(piece.sheet, nominal, feet),)
    return Slab(thickness, (made,), (), items, (*steps, strip_step(feet, after("cut"))), ())


def strip_step(feet: Figure, waits: tuple[Wait, ...]) -> Step:
    """Return the step that puts strip on visible edges of sheets. feet [ft]."""
    return Step("strip", "Put on edge strip", TaskKind.ASSEMBLE, work=work("edge-strip", feet), after=waits)


def one() -> Figure:
    return each("How many", 1, "one of it")
