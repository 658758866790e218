"""Panels edge-glued from boards: board widths, parts, joints, glue-up in stages, flattening."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby
from math import ceil

from domain.figure import Figure, Rule, Unit, typed
from domain.glue_problem import glue_problems
from domain.glue_stage import GluePanel, GluePlan, GlueStage, glue_plan, joined
from domain.glue_up import Fastening, fasteners
from domain.length import Length
from domain.material import Material, MaterialKind
from domain.part import Joint, Part, Step, TaskKind, Wait
from domain.pieces.making import each, inches, joint, part
from domain.pieces.steps import GlueUp, after, cured, fresh, glue_steps, square_feet, work
from domain.practice import ShopPractice
from domain.problem import Problem

NARROWEST, WIDEST = Length.of("3/4"), Length.of(24)
"""Jointed widths a board can have in a glue-up. Source: common practice, no source."""

Boards = tuple[tuple[int, Figure], ...]
"""How many alike, and their width once jointed [in]; side by side they make the glued panel."""


@dataclass(frozen=True, slots=True)
class Panel:
    """A panel to glue up. along, across: finished size with and across the grain.

    extra: length cut off last; ends_cut: half of it at each of 2 ends, or all of it at the right one.
    """

    material: Material
    thickness: Figure
    along: Figure
    across: Figure
    boards: Boards
    glue: str
    crew: Figure
    extra: Figure | None = None
    fastening: Fastening | None = None
    ends_cut: int = 2

    @property
    def board_count(self) -> int:
        return sum(count for count, _ in self.boards)

    @property
    def counted(self) -> Figure:
        """How many boards lie side by side."""
        return each("Boards", self.board_count, "side by side", *(width for _, width in self.boards))

    @property
    def glued_length(self) -> Figure:
        """How long its joints are as glued [in]."""
        if self.extra is None:
            return self.along
        words = "finished length + extra until the last cut"
        return inches("Length as glued", self.along.value + self.extra.value, words, self.along, self.extra)


def equal_boards(across: Figure, count: Figure, trim: Figure) -> Boards:
    """Return so many boards of one width that make the panel and its trim."""
    width = (across.value + 2 * trim.value) / count.value
    return ((int(count.value), inches("Board width", width, "(width + 2 × oversize) ÷ boards", across, trim, count)),)


def boards_no_wider(across: Figure, widest: Figure, trim: Figure) -> Boards:
    """Return the fewest boards of one width that are no wider than that; one board needs no trim."""
    if across.value <= widest.value:
        return ((1, across),)
    count = ceil((across.value + 2 * trim.value) / widest.value)
    words = "(width + 2 × oversize) ÷ widest board, rounded up"
    return equal_boards(across, each("Boards", count, words, across, trim, widest), trim)


def boards_of_widths(widths: Sequence[Length], where: str, practice: ShopPractice) -> Boards:
    """Return boards of the rough widths typed, jointed, alike neighbours together. where: address of the field."""
    return tuple(
        (len(tuple(alike)), jointed(typed("Board width", width, where=where), "width typed", practice))
        for width, alike in groupby(widths)
    )


def jointed(rough: Figure, name: str, practice: ShopPractice) -> Figure:
    """Return how wide a rough board is once ripped and jointed [in]. name: what its rough width is called."""
    words = f"{name} − 2 × left on each edge − one saw kerf"
    edge, kerf = practice.figure("width_per_edge"), practice.figure("kerf")
    return inches("Board width, jointed", rough.value - off_its_edges(practice), words, rough, edge, kerf)


def off_its_edges(practice: ShopPractice) -> Fraction:
    """Return how much narrower a rough board is once ripped and jointed [in]."""
    return 2 * practice.value("width_per_edge") + practice.value("kerf")


def glued_width(boards: Boards) -> Fraction:
    return sum((count * width.value for count, width in boards), Fraction(0))


def width_problems(boards: Boards, field: str) -> Iterator[Problem]:
    """Yield the problem of boards too narrow or too wide to glue up. field: the one to change."""
    for _, width in boards:
        if not NARROWEST.inches <= width.value <= WIDEST.inches:
            limits = f"{NARROWEST.tape()} to {WIDEST.tape()}"
            words = f"That makes boards {width.length.tape()} wide once jointed. They can be {limits} wide."
            yield Problem(field, words)
            return


def sum_problems(boards: Boards, across: Figure, trim: Figure, field: str) -> Iterator[Problem]:
    """Yield the problem of typed widths that do not add up to the panel and its trim."""
    found, needed = Length(glued_width(boards)), Length(across.value + 2 * trim.value)
    sums = (
        f"{found.tape()} once jointed; {across.label.lower()} {across.length.tape()} and twice "
        f"{trim.length.tape()} to trim make {needed.tape()}"
    )
    narrowest = min((width.length for _, width in boards), default=needed)
    if found < needed:
        words = f"The boards add up to {sums}: {(needed - found).tape()} more is needed. Add a board or wider ones."
        yield Problem(field, words)
    elif found - needed >= narrowest:
        yield Problem(field, f"The boards add up to {sums}. Leave one out: {(found - needed).tape()} is too much.")


def panel_parts(panel: Panel, name: str) -> tuple[Part, ...]:
    """Return the boards, unmarked."""
    counted = panel.counted if len(panel.boards) == 1 else None
    return tuple(
        part(name, count, (panel.thickness, width, panel.along), panel.material, extra=panel.extra, counted=counted)
        for count, width in panel.boards
    )


def panel_joints(panel: Panel, practice: ShopPractice) -> tuple[Joint, ...]:
    """Return the glue lines between the boards; none in a single board."""
    lines = panel.board_count - 1
    if not lines:
        return ()
    length, fastening = panel.glued_length, panel.fastening
    needed = fasteners(fastening, length, practice, extra_length=panel.extra, joints=lines) if fastening else None
    used = fastener(fastening, panel.thickness.length) if fastening else None
    return (joint("Edge joint", lines, length, panel.thickness, panel.glue, used, needed),)


def fastener(fastening: Fastening, thickness: Length) -> Material:
    """Return the biscuit, dowel or wood screw put into a joint of that stock thickness.

    Source: common practice, no source.
    """
    thin = thickness < Length.of(1)
    size = {
        Fastening.BISCUIT: "#20",
        Fastening.DOWEL: "8 x 40 mm" if thin else "10 x 50 mm",
        Fastening.WOOD_SCREW: "#8 x 2",
    }[fastening]
    return Material(MaterialKind.FASTENER, fastening.value, size)


@dataclass(frozen=True, slots=True)
class PanelStages:
    """How a panel is glued up, and what stands in the way."""

    plan: GluePlan
    problems: tuple[Problem, ...]

    @property
    def stages(self) -> Figure:
        """How many glue-ups."""
        return self.plan.stages

    @property
    def assembly(self) -> Figure:
        """How long it takes to close all joints at once [min]."""
        return self.plan.assembly


def panel_stages(panel: Panel, practice: ShopPractice) -> PanelStages:
    """Return how the boards of a panel are glued up in time. Raises ValueError for a single board."""
    plan = _glue_plan(panel, practice)
    return PanelStages(plan, glue_problems(plan, practice))


def _glue_plan(panel: Panel, practice: ShopPractice) -> GluePlan:
    boards = GluePanel(
        boards=panel.boards,
        along=panel.along,
        length=panel.glued_length,
        thickness=panel.thickness,
        species=panel.material.name,
        family=panel.glue,
        crew=panel.crew,
        extra=panel.extra,
        ends_cut=panel.ends_cut,
        fastener=panel.fastening.value if panel.fastening else "",
    )
    return glue_plan(boards, practice)


def panel_steps(panel: Panel, practice: ShopPractice) -> tuple[Step, ...]:
    """Return the steps from rough boards to a flat panel; a single board is only milled."""
    mill = Step("mill", "Mill boards", TaskKind.MILL, work=work("mill", panel.counted))
    if panel.board_count == 1:
        return (mill,)
    feet = _joint_feet(panel, panel.board_count - 1)
    fastened = [made.fasteners for made in panel_joints(panel, practice) if made.fasteners]
    slots = work("dowel" if panel.fastening is Fastening.DOWEL else "biscuit", fastened[0]) if fastened else ()
    jointed = Step("joint", "Joint edges", TaskKind.MILL, work=(*work("edge-joint", feet), *slots), after=after("mill"))
    glue_up = _glue_up(panel, practice)
    glued = glue_steps(glue_up, practice, (fresh("joint", practice),))
    return (mill, jointed, *glued, _flatten(panel, len(glue_up.feet)))


def _glue_up(panel: Panel, practice: ShopPractice) -> GlueUp:
    plan = _glue_plan(panel, practice)
    clamps, bench = int(plan.clamps.value), 1
    return GlueUp(
        feet=tuple(stage.feet for stage in plan.in_turn),
        family=panel.glue,
        clamps=clamps,
        crew=int(panel.crew.value),
        bench=bench,
        joins=tuple(tuple(joined(stage.group)) for stage in plan.in_turn),
        fresh=tuple(any(not part.stage for part in stage.group.parts) for stage in plan.in_turn),
        names=tuple(_boards(stage) for stage in plan.in_turn),
        at_once=_at_once(clamps, bench, practice),
        panel=plan,
    )


def _at_once(clamps: int, bench: int, practice: ShopPractice) -> int:
    """Return how many stages the shop has clamps and benches for at once, at least one."""
    owned = practice.owned
    if owned is None:
        return 1
    return max(1, min(owned.clamps // clamps if clamps else owned.benches, owned.benches // bench))


def _boards(stage: GlueStage) -> str:
    return f"boards {stage.group.first} to {stage.group.last}"


def _joint_feet(panel: Panel, joints: int) -> Figure:
    length, many = panel.glued_length, each("Joints", joints, "between boards", panel.counted)
    value = joints * length.value / 12
    return Figure("Joint to glue", value, Unit.FOOT, Rule("joints × length ÷ 12"), (many, length))


def _flatten(panel: Panel, stages: int) -> Step:
    waits: tuple[Wait, ...] = cured(stages)
    surface = square_feet("Panel", panel.across, panel.glued_length)
    return Step("flatten", "Flatten the panel", TaskKind.MILL, work=work("flatten", surface), after=waits)
