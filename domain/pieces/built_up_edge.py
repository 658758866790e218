"""The built-up edge: strips under the front, and round the ends, that make a top look thicker than it is."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from enum import Enum
from fractions import Fraction
from math import ceil
from typing import ClassVar

from domain.adhesive import open_assembly_time
from domain.clamp import clamps
from domain.cure import cold_problems
from domain.figure import Figure, Rule, Unit, add_up
from domain.glue_stage import closing_time
from domain.length import Length
from domain.material import Material
from domain.part import Built, Face, Joint, Part, Step, TaskKind
from domain.pieces.ask import number, pick, size, tick
from domain.pieces.choices import GLUE, WOOD, Finished, Glued, SolidWood, thickness_refusals
from domain.pieces.making import Making, each, faces, inches, joint, marked, part, seasonal, times, weight_of
from domain.pieces.piece import Link
from domain.pieces.raised_top import NEAR, meeting, meeting_warnings
from domain.pieces.steps import GlueUp, after, cured, glue_steps, sand_step, square_feet, work
from domain.practice import ShopPractice
from domain.problem import Problem
from domain.wood import Cut

ENDS, FRONT = "Ends", "Front strip"


class AcrossTop(Enum):
    """How a strip is made that lies across the grain of the top."""

    SHORT_GRAIN = "short pieces with the top's grain"
    LONG_GRAIN = "a long strip across the top's grain"


@dataclass(frozen=True, slots=True)
class Strip:
    """One side's strip. is_across: it lies across the grain of the top, so its own grain is short."""

    name: str
    count: int
    width: Figure
    length: Figure
    is_across: bool


@dataclass(frozen=True, kw_only=True)
class BuiltUpEdge(SolidWood, Glued, Finished):
    kind: ClassVar[str] = "built_up_edge"
    title: ClassVar[str] = "Built-up edge"
    belongs_to: ClassVar[tuple[str, ...]] = ("top", "corner_top")
    links: ClassVar[tuple[Link, ...]] = (
        Link("mill", "glue-up-1", owner_first=True, why="the strip goes under a finished top"),
        Link("flatten", "glue-up-1", owner_first=True, why="the strip is glued to a flat top"),
        Link("fit-corner", "glue-up-1", owner_first=True, why="the corner is cut before strips go under the legs"),
        Link("flush", "cut-to-length", owner_first=False, why="top and strip are cut together"),
        Link("flush", "sand", owner_first=False, why="top and strip are sanded together"),
    )

    length: Length = size("Front length", "108", least="4 in", help="As the top, after the last cut.")
    top_thickness: Length = size("Thickness of the top", "1 1/2", least="3/8 in", most="6 in")
    seen_thickness: Length = size("Thickness it should look", "2 1/4", least="1/2 in", most="10 in")
    strip_width: Length = size("Strip width", "1 1/2", least="1/2 in", most="12 in", help="Front to back.")
    overhang: Length = size("Overhang of the top", "1 1/2", least="0 in", most="24 in")
    raised_by: Length = size("Top is raised on support strips by", "0", least="0 in", most="6 in",
                             help="As thick as they really are. 0: it lies on the cabinets.")  # fmt: skip
    end_grain_front: bool = tick("Front shows end grain", help="The top's grain runs front to back.", group=ENDS)
    returned_ends: int = number("Ends it returns round", 0, most=2, group=ENDS)
    depth: Length = size("Depth of the top", "25 1/2", least="2 in", most="8 ft", group=ENDS)
    across: AcrossTop = pick("Strips across the top's grain are", AcrossTop.SHORT_GRAIN, group=ENDS)
    across_wider: Length = size(
        "Those strips are wider by", "1", least="0 in", most="6 in", group=ENDS,
        help="Short grain is weak: it needs more glue area.",
    )  # fmt: skip
    cut: Cut = pick("Boards of the top are", Cut.FLAT, group=WOOD)
    crew: int = number("People at the glue-up", 1, least=1, most=8, group=GLUE)

    def own_problems(self, practice: ShopPractice) -> Iterator[Problem]:
        yield from self.finish_refusals()
        more = self.seen_thickness - self.top_thickness
        if more < Length.of("1/4"):
            words = (
                f"Thickness it should look “{self.seen_thickness.tape()}” leaves {more.tape()} for the strip under "
                f"a top of {self.top_thickness.tape()}. It must be at least 1/4 in more: leave the edge out, or "
                f"try {(self.top_thickness + Length.of('3/4')).tape()}."
            )
            yield Problem("seen_thickness", words)
            return
        yield from thickness_refusals(more, practice, "seen_thickness")
        if self.returned_ends and self.depth <= self.strip_width + self.across_wider:
            words = f"Depth “{self.depth.tape()}” leaves no room for a returned end behind the front strip."
            yield Problem("depth", words)

    def build(self, practice: ShopPractice, where: str) -> Built:
        making = Making(self, practice, where)
        strips = self._strips(making)
        thick = self._thickness(making)
        parts = marked(self._part(strip, thick, making) for strip in strips)
        surfaces = self._faces(strips, thick)
        return Built(
            parts=parts,
            joints=tuple(self._joint(strip, making) for strip in strips),
            faces=surfaces,
            steps=self._steps(strips, surfaces, making),
            weight=weight_of(parts, practice),
            figures=tuple(self._figures(strips, thick, making)),
            problems=tuple(self._warnings(strips, thick, making)),
        )

    def _thickness(self, making: Making) -> Figure:
        seen, there = making.typed("seen_thickness"), making.typed("top_thickness")
        return inches("Strip thickness", seen.value - there.value, "thickness seen − thickness there", seen, there)

    def _strips(self, making: Making) -> tuple[Strip, ...]:
        front = self._strip(FRONT, 1, making.typed("length"), self.end_grain_front, making)
        if not self.returned_ends:
            return (front,)
        depth = making.typed("depth")
        behind = inches("Returned length", depth.value - front.width.value, "depth − front strip", depth, front.width)
        return front, self._strip("End strip", self.returned_ends, behind, not self.end_grain_front, making)

    def _strip(self, name: str, count: int, length: Figure, is_across: bool, making: Making) -> Strip:
        width = making.typed("strip_width")
        if is_across:
            more = making.typed("across_wider")
            words = "strip width + wider, since its grain is the top's end grain"
            width = inches("Width of a strip across", width.value + more.value, words, width, more)
        return Strip(name, count, width, length, is_across)

    def _part(self, strip: Strip, thick: Figure, making: Making) -> Part:
        stock = self.lumber(thick.length, making.practice)
        if strip.is_across and self.across is AcrossTop.SHORT_GRAIN:
            return self._short_pieces(strip, thick, stock, making)
        extra = making.habit("extra_length") if strip.name == FRONT else None
        return part(strip.name, strip.count, (thick, strip.width, strip.length), stock, extra=extra)

    def _short_pieces(self, strip: Strip, thick: Figure, stock: Material, making: Making) -> Part:
        """Return a strip as pieces side by side, each with its grain front to back."""
        widest = making.habit("widest_board")
        in_one = each("Pieces in a strip", ceil(strip.length.value / widest.value),
                      "strip length ÷ widest board, rounded up", strip.length, widest)  # fmt: skip
        counted = times(in_one, each("Strips", strip.count, f"{strip.name.lower()}s"))
        wide = inches(
            "Width of a piece", strip.length.value / in_one.value, "strip length ÷ pieces", strip.length, in_one
        )
        name = f"{strip.name}, short pieces"
        return part(name, int(counted.value), (thick, wide, strip.width), stock, counted=counted)

    def _joint(self, strip: Strip, making: Making) -> Joint:
        return joint(f"{strip.name} to top", strip.count, strip.length, strip.width, self.glue)

    def _faces(self, strips: Sequence[Strip], thick: Figure) -> tuple[Face, ...]:
        shown = [(f"{strip.name}, seen edge", strip.count, thick, strip.length) for strip in strips]
        under = [(f"{strip.name}, underside", strip.count, strip.width, strip.length) for strip in strips]
        return faces(self.finish_choice(), *shown, *under)

    def _steps(self, strips: Sequence[Strip], surfaces: tuple[Face, ...], making: Making) -> tuple[Step, ...]:
        counted = self._counted(strips)
        mill = Step("mill", "Mill strips", TaskKind.MILL, work=work("mill", counted))
        glue_up = self._glue_up(strips, making)
        glued = glue_steps(glue_up, making.practice, after("mill"))
        seen = making.typed("seen_thickness")
        edges = [square_feet(strip.name, seen, strip.length, strip.count) for strip in strips]
        planed = work("flatten", add_up("Edge to plane flush", edges, Unit.SQUARE_FOOT))
        flush = Step("flush", "Plane the edge flush", TaskKind.MILL, work=planed, after=cured(len(glue_up.feet)))
        return (mill, *glued, flush, *sand_step(surfaces, after("flush")))

    def _counted(self, strips: Sequence[Strip]) -> Figure:
        return each("Strips", sum(strip.count for strip in strips), "front, and ends it returns round")

    def _glue_up(self, strips: Sequence[Strip], making: Making) -> GlueUp:
        """Return the glue-up: all strips at once where that can be closed in time, else one after another."""
        clamps = [self._clamps(strip, making) for strip in strips]
        if not self._is_late(strips, making):
            held = sum(int(each.value) * strip.count for each, strip in zip(clamps, strips, strict=True))
            return GlueUp((add_up("Joint to glue", map(_feet, strips), Unit.FOOT),), self.glue, held, self.crew)
        feet = [_feet(replace(strip, count=1)) for strip in strips for _ in range(strip.count)]
        return GlueUp(tuple(feet), self.glue, max(int(each.value) for each in clamps), self.crew)

    def _is_late(self, strips: Sequence[Strip], making: Making) -> bool:
        return self._closed(strips, making).value > open_assembly_time(self.glue, making.practice).value

    def _closed(self, strips: Sequence[Strip], making: Making) -> Figure:
        """Return how long it takes to close these strips at once [min]; the top lies there already."""
        feet = add_up("Joint to glue", map(_feet, strips), Unit.FOOT)
        held = [times(self._clamps(strip, making), each("Strips", strip.count, "alike")) for strip in strips]
        clamps = add_up("Clamps on all strips", held, Unit.EACH)
        return closing_time(feet, clamps, self._counted(strips), making.typed("crew"), making.practice)

    def _clamps(self, strip: Strip, making: Making) -> Figure:
        return clamps(strip.length, strip.width, self.species, self.glue, making.practice)

    def _figures(self, strips: Sequence[Strip], thick: Figure, making: Making) -> Iterator[Figure]:
        there = making.typed("top_thickness")
        seen = inches("Thickness seen", thick.value + there.value, "top + strip under it", there, thick)
        yield seen
        yield inches("Thickness there", there.value, "the top alone, behind the strip", there)
        yield thick
        yield meeting(thick, making.typed("raised_by"))
        yield replace(self._closed(strips, making), label="Assembly time, all at once")
        yield from (
            replace(self._clamps(strip, making), label=f"Clamps on the {strip.name.lower()}") for strip in strips
        )
        yield from (moved for strip in strips if (moved := self._movement(strip, making)))

    def _movement(self, strip: Strip, making: Making) -> Figure | None:
        """Return how much the top moves along a long strip glued across its grain [in]."""
        if not strip.is_across or self.across is AcrossTop.SHORT_GRAIN:
            return None
        moved = seasonal(self.species, self.cut, strip.length, making.practice)
        return replace(moved, label=f"The top moves along the {strip.name.lower()} by") if moved else None

    def _warnings(self, strips: Sequence[Strip], thick: Figure, making: Making) -> Iterator[Problem]:
        yield from self.finish_warnings()
        yield from cold_problems(self.glue, making.practice)
        if any(self._is_late((replace(strip, count=1),), making) for strip in strips):
            words = (
                f"{self.glue} does not stay open long enough to close even one strip, with {self.crew} at the bench. "
                "Take more people or a slower glue."
            )
            yield Problem("glue", words)
        for strip in strips:
            if moved := self._movement(strip, making):
                words = (
                    f"The {strip.name.lower()} runs across the grain of the top, which moves {moved.length.tape()} "
                    "along it between seasons: glued fast it will crack. Take short pieces with the top's grain."
                )
                yield Problem("across", words)
        if self.across is AcrossTop.SHORT_GRAIN and any(strip.is_across for strip in strips):
            words = (
                "Mill one long board and cut the short pieces off it: short pieces are not safe in jointer or planer."
            )
            yield Problem("across", words)
        raised = making.typed("raised_by")
        if raised.value:
            yield from meeting_warnings(thick, raised, making.practice, "raised_by")
        if self.strip_width > self.overhang and raised.value < thick.value - NEAR:
            words = (
                f"The strip is {self.strip_width.tape()} wide under an overhang of {self.overhang.tape()}, so it would "
                "sit on the cabinets. Raise the top on support strips as thick as the edge, or make it narrower."
            )
            yield Problem("strip_width", words)
        if self.returned_ends:
            words = "Cut a returned end to length before its strip goes on; only the other end waits for the install."
            yield Problem("returned_ends", words)


def _feet(strip: Strip) -> Figure:
    value = Fraction(strip.count) * strip.length.value / 12
    words = f"{strip.count} × length ÷ 12"
    return Figure(f"{strip.name} to glue", value, Unit.FOOT, Rule(words), (strip.length,))
