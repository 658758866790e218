"""The L-shaped top: two edge-glued legs along two walls, joined at the corner and bolted together at install."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import ClassVar

from domain.figure import Figure, Unit, add_up
from domain.glue_up import fasteners
from domain.length import Length
from domain.lumber import rough_size
from domain.part import Built, Face, Item, Joint, Stage, Step, TaskKind, Work
from domain.pieces.ask import choose, number, pick, size, sizes, tick
from domain.pieces.board_choice import BOARDS, BoardChoice, boards_of
from domain.pieces.choices import FINISH, GLUE, WOOD, Finished, Glued, SolidWood
from domain.pieces.corner_joint import (
    Corner,
    CornerJoint,
    SecondGrain,
    along_the_wall,
    bolt_item,
    bolts,
    corner_line,
    corner_movement,
    corner_warnings,
    joint_length,
    mitre_warnings,
)
from domain.pieces.end_joints import RowChoice
from domain.pieces.hold_down import hold_down_item, hold_downs, screw_length, under_ask
from domain.pieces.last_cut import INSTALL, LastCut, coating_warnings, last_cuts, opening_warnings, openings_ask
from domain.pieces.leg import Leg, leg_figures, leg_joints, leg_parts, leg_problems, leg_steps, leg_warnings
from domain.pieces.making import Making, each, faces, inches, lifters, lumber, marked, running_feet, seasonal
from domain.pieces.panel import Panel, panel_parts
from domain.pieces.piece import Link
from domain.pieces.steps import after, install_step, sand_step, work
from domain.pieces.top import BY_THICKNESS, FASTENINGS, Alignment, stocks
from domain.practice import ShopPractice
from domain.problem import Problem
from domain.wood import Cut

CORNER = "Corner"


@dataclass(frozen=True, kw_only=True)
class LegBoards(BoardChoice):
    """Boards for two legs, which differ only where their widths are typed."""

    second_board_widths: tuple[Length, ...] = sizes(
        "Board widths, second leg", least="1 in", most="24 in", group=BOARDS,
        help="For the widths typed: those above are the first leg's.",
    )  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class CornerTop(RowChoice, LegBoards, SolidWood, Glued, Finished):
    kind: ClassVar[str] = "corner_top"
    title: ClassVar[str] = "L-shaped top"
    belongs_to: ClassVar[tuple[str, ...]] = ()
    links: ClassVar[tuple[Link, ...]] = ()

    first_length: Length = size("First leg, along its wall", "96", least="8 in",
                                help="To the outer corner. This leg runs through into the corner.")  # fmt: skip
    first_depth: Length = size("First leg, depth", "25 1/2", least="2 in", most="8 ft")
    second_length: Length = size("Second leg, along its wall", "72", least="8 in", help="To the outer corner, too.")
    second_depth: Length = size("Second leg, depth", "25 1/2", least="2 in", most="8 ft")
    thickness: Length = size("Thickness", "1 1/2", least="3/8 in", most="6 in", help="Finished.")
    corner: Corner = pick("Joint", Corner.BUTT, group=CORNER,
                          help="Butt: the second leg ends at the front of the first.")  # fmt: skip
    corner_alignment: Alignment = pick("Corner lined up by", Alignment.BISCUITS, group=CORNER)
    glued_corner: bool = tick("Corner is glued as well as bolted", group=CORNER)
    out_of_square: Length = size("Walls out of square by", "0", least="0 in", most="6 in", group=CORNER,
                                 help="Over the depth of a leg, as the measured run says. 0: square.")  # fmt: skip
    stock: str = choose("Rough stock", stocks, BY_THICKNESS, group=WOOD)
    cut: Cut = pick("Boards are", Cut.FLAT, help="Decides how much it moves.", group=WOOD)
    second_grain: SecondGrain = pick("Grain of the second leg", SecondGrain.TURNED, group=BOARDS,
                                     help="Along its own it is turned 90 degrees to the first.")  # fmt: skip
    alignment: Alignment = pick("Boards lined up by", Alignment.NONE, group=GLUE)
    crew: int = number("People at the glue-up", 2, least=1, most=8, group=GLUE)
    first_end_seen: bool = tick("End of the first leg is seen", group=FINISH)
    second_end_seen: bool = tick("End of the second leg is seen", group=FINISH)
    back_seen: bool = tick("Back edges are seen", group=FINISH)
    finish_underside: bool = tick("Underside gets the same finish", True, help="Else it may cup.", group=FINISH)
    last_cut: LastCut = pick("Last cut of the free ends", LastCut.INSTALL, group=INSTALL)
    openings: int = openings_ask()
    under: Length = under_ask()

    def own_problems(self, practice: ShopPractice) -> Iterator[Problem]:
        yield from self.finish_refusals()
        for name, leg, other, depth in (
            ("first_length", self.first_length, "second", self.second_depth),
            ("second_length", self.second_length, "first", self.first_depth),
        ):
            if leg - depth < Length.of(4):
                words = f"Leg “{leg.tape()}” has nothing left beyond the {other} leg, {depth.tape()} deep."
                yield Problem(name, f"{words} Try {(depth + Length.of(24)).tape()}, or take a straight top.")
                return
        making = Making(self, practice, "")
        legs = self._legs(making)
        found = [problem for one in legs for problem in leg_problems(one, making)]
        yield from found
        rough = None if found else rough_size(panel_parts(legs[0].panel, "Board")[0], practice)
        if isinstance(rough, Problem):
            yield Problem("thickness" if self.stock == BY_THICKNESS else "stock", rough.words)

    def build(self, practice: ShopPractice, where: str) -> Built:
        making = Making(self, practice, where)
        legs = self._legs(making)
        corner = self._joint(legs, making)
        line, surfaces = self._corner_line(corner, making), self._faces(legs, making)
        weights = [leg.weight for leg in legs if leg.weight]
        heavy = add_up("Weight of one", weights, Unit.POUND, "both legs") if len(weights) == len(legs) else None
        needed = add_up("Hold-down screws", (hold_downs(leg.run, making) for leg in legs), Unit.EACH, "of both legs")
        items = (hold_down_item(needed, making), bolt_item(bolts(joint_length(corner), making)))
        return Built(
            parts=marked(part for leg in legs for part in leg_parts(leg, making)),
            joints=(*(joint for leg in legs for joint in leg_joints(leg, making)), line),
            faces=surfaces,
            items=items,
            steps=self._steps(legs, line, surfaces, items, making),
            weight=heavy,
            figures=tuple(self._figures(legs, corner, heavy, making)),
            problems=tuple(self._warnings(legs, corner, making)),
        )

    def legs(self, practice: ShopPractice) -> tuple[Leg, Leg]:
        """Return its two legs, the one that runs through into the corner first."""
        return self._legs(Making(self, practice, ""))

    def _legs(self, making: Making) -> tuple[Leg, Leg]:
        first, deep = making.typed("first_length"), making.typed("first_depth")
        second, second_deep = making.typed("second_length"), making.typed("second_depth")
        words = "along its wall − depth of the other leg"
        short = inches("First leg, front edge", first.value - second_deep.value, words, first, second_deep)
        beyond = inches("Second leg, front edge", second.value - deep.value, words, second, deep)
        mitred = self.corner is Corner.MITRE
        long = second if mitred else beyond
        sides = (second_deep, long) if self.second_grain is SecondGrain.PARALLEL else (long, second_deep)
        theirs = replace(self, board_widths=self.second_board_widths)
        return (
            Leg("first", self._panel(first, deep, "board_widths", self, making), self, self, "board_widths",
                deep, first, short if mitred else first, first),
            Leg("second", self._panel(*sides, "second_board_widths", theirs, making), theirs, self,
                "second_board_widths", second_deep, long, beyond, beyond),
        )  # fmt: skip

    def _panel(self, along: Figure, across: Figure, typed_in: str, boards: BoardChoice, making: Making) -> Panel:
        quarter = "" if self.stock == BY_THICKNESS else self.stock
        return Panel(
            material=lumber(self.species, self.grade, self.thickness, making.practice, quarter=quarter),
            thickness=making.typed("thickness"),
            along=along,
            across=across,
            boards=boards_of(boards, across, making, typed_in),
            glue=self.glue,
            crew=making.typed("crew"),
            extra=making.habit("extra_length"),
            fastening=FASTENINGS[self.alignment],
            ends_cut=1,
        )

    def _joint(self, legs: tuple[Leg, Leg], making: Making) -> CornerJoint:
        first, second = legs
        return CornerJoint(
            self.corner, self.second_grain, first.depth, second.depth, first.panel.thickness,
            self._moved(first, "First leg wider in the dampest season than in the driest by", making),
            self._moved(second, f"Second leg {'longer' if second.panel.along is second.depth else 'wider'} "
                        "in the dampest season than in the driest by", making),
        )  # fmt: skip

    def _moved(self, leg: Leg, label: str, making: Making) -> Figure | None:
        moved = seasonal(self.species, self.cut, leg.panel.across, making.practice)
        return replace(moved, label=label) if moved else None

    def _corner_line(self, corner: CornerJoint, making: Making) -> Joint:
        fastening = FASTENINGS[self.corner_alignment]
        needed = fasteners(fastening, joint_length(corner), making.practice) if fastening else None
        return corner_line(corner, self.glue if self.glued_corner else "", fastening, needed)

    def _faces(self, legs: tuple[Leg, Leg], making: Making) -> tuple[Face, ...]:
        """Return the surfaces of the L, once over: what is joined is not seen and gets none."""
        first, second = legs
        thick, sealed = making.typed("thickness"), self.finish_underside
        front = inches("First leg, front edge", self.first_length.inches - self.second_depth.inches,
                       "along its wall − depth of the other leg", first.long, second.depth)  # fmt: skip
        backs = int(sealed or self.back_seen)
        return faces(
            self.finish_choice(),
            ("Top face, first leg", 1, first.depth, first.run),
            ("Top face, second leg", 1, second.depth, second.run),
            ("Underside, first leg", int(sealed), first.depth, first.run),
            ("Underside, second leg", int(sealed), second.depth, second.run),
            ("Front edge, first leg", 1, thick, front),
            ("Front edge, second leg", 1, thick, second.run),
            ("Back edge, first leg", backs, thick, first.long),
            ("Back edge, second leg", backs, thick, making.typed("second_length")),
            ("Free end, first leg", int(sealed or self.first_end_seen), thick, first.depth),
            ("Free end, second leg", int(sealed or self.second_end_seen), thick, second.depth),
        )

    def _steps(self, legs: tuple[Leg, Leg], line: Joint, surfaces: tuple[Face, ...], items: tuple[Item, Item],
               making: Making) -> tuple[Step, ...]:  # fmt: skip
        made = tuple(leg_steps(leg, making) for leg in legs)
        screws, bolts = items
        fitted = Step("fit-corner", "Cut the corner joint and fit it dry", TaskKind.CUT,
                      work=self._fitting(line, bolts), after=after(*(steps[-1].key for steps in made)))  # fmt: skip
        ends = each("Cuts", 2, "one at each free end")
        cuts = last_cuts(self.last_cut, ends, self.openings, after(fitted.key))
        in_shop = tuple(step for step in cuts if step.stage is Stage.BUILD)
        later = tuple(step for step in cuts if step.stage is Stage.INSTALL)
        sanded = sand_step(surfaces, after((in_shop or (fitted,))[-1].key))
        pulled = Step("bolt-up", "Bolt the legs together", TaskKind.INSTALL, Stage.INSTALL,
                      self._bolting(line, bolts), after=after(*(step.key for step in later[-1:])), crew=2)  # fmt: skip
        heavier = max((leg.weight for leg in legs if leg.weight), key=lambda one: one.value, default=None)
        installed = install_step("install-top", "Install the top", heavier, making.practice,
                                 extra=work("screw", screws.quantity), waits=after(pulled.key))  # fmt: skip
        return (*(step for steps in made for step in steps), fitted, *in_shop, *sanded, *later, pulled, installed)

    def _fitting(self, line: Joint, bolts: Item) -> tuple[Work, ...]:
        mitred = self.corner is Corner.MITRE
        cuts = each("Cuts", 2 if mitred else 1, "one on each leg" if mitred else "the end of the second leg")
        slots = "dowel" if self.corner_alignment is Alignment.DOWELS else "biscuit"
        fitted = work(slots, line.fasteners) if line.fasteners else ()
        return (*work("cut-to-length", cuts), *fitted, *work("bolt-recess", bolts.quantity))

    def _bolting(self, line: Joint, bolts: Item) -> tuple[Work, ...]:
        feet = running_feet("Corner joint to glue", (1, line.sizes[0]))
        return (*work("bolt-up", bolts.quantity), *(work("glue-up", feet) if self.glued_corner else ()))

    def _figures(self, legs: tuple[Leg, Leg], corner: CornerJoint, heavy: Figure | None,
                 making: Making) -> Iterator[Figure]:  # fmt: skip
        for leg in legs:
            yield from leg_figures(leg, making)
        for leg in legs if self.corner is Corner.MITRE else ():
            yield replace(leg.long, label=f"{leg.name.capitalize()}: to its long point")
            yield replace(leg.short, label=f"{leg.name.capitalize()}: to its short point")
        yield joint_length(corner)
        yield bolts(joint_length(corner), making)
        found = (corner.first_moves, corner.second_moves, corner_movement(corner), along_the_wall(corner))
        yield from (figure for figure in found if figure)
        yield screw_length(making)
        if heavy:
            yield heavy
            heavier = max((leg.weight for leg in legs if leg.weight), key=lambda one: one.value)
            yield replace(lifters(heavier, making.practice), label="People to lift the heavier leg")

    def _warnings(self, legs: tuple[Leg, Leg], corner: CornerJoint, making: Making) -> Iterator[Problem]:
        yield from self.finish_warnings()
        for leg in legs:
            yield from leg_warnings(leg, making)
        fastening = FASTENINGS[self.alignment]
        yield from opening_warnings(fastening, self.openings, making)
        yield from corner_warnings(corner, is_glued=self.glued_corner)
        yield from mitre_warnings(corner, fastening, making)
        if self.out_of_square.inches:
            words = (
                f"The walls are {self.out_of_square.tape()} out of square over the depth of a leg. Cut the joint to "
                "the corner as it is, with a template, before anything is cut to length."
            )
            yield Problem("out_of_square", words)
        yield from coating_warnings(self.finish_choice(), self.last_cut, is_coated_below=self.finish_underside)
