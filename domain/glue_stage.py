"""A panel glued up in stages, each closed within the open assembly time of its glue."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache
from math import floor

from domain.adhesive import open_assembly_time, total_assembly_time
from domain.clamp import caul_pairs, clamp_places, clamps, clamps_by_spacing
from domain.figure import Figure, Rule, Unit, count
from domain.glue_tree import Group, glue_groups
from domain.practice import COMMON, ShopPractice

_CLOSED = Rule(
    "((feet × seconds to spread a foot + clamps that close it × seconds to set one) ÷ people "
    "+ boards or parts × seconds to place one) ÷ 60"
)
_PRESSED = Rule("closed, and the further clamps that pressure asks for × seconds to set one ÷ people ÷ 60")
_AT_ONCE = Rule(
    "as many as can be closed within the open assembly time, and under full pressure within the total one", COMMON
)


@dataclass(frozen=True, slots=True)
class GluePanel:
    """Boards to glue edge to edge.

    boards: how many alike and their width once jointed [in], side by side; along: finished length [in], length: as
    glued [in], extra: the part of it that is cut off last [in], ends_cut: at how many ends; crew: people at the
    bench; fastener: `biscuit` or `dowel` in its joints, empty for none.
    """

    boards: tuple[tuple[int, Figure], ...]
    along: Figure
    length: Figure
    thickness: Figure
    species: str
    family: str
    crew: Figure
    extra: Figure | None = None
    ends_cut: int = 2
    fastener: str = ""

    @property
    def widths(self) -> tuple[Figure, ...]:
        """Return the width of every board, side by side."""
        return tuple(width for many, width in self.boards for _ in range(many))


@dataclass(frozen=True, slots=True)
class GlueStage:
    """One glue-up of a panel.

    group: the boards and earlier stages it joins; width: of what it makes [in]; joints, feet: glued in it;
    area: of its glue lines [ft²]; closed, pressed: from the first spread until it is closed, until all clamps are
    tight [min].
    """

    group: Group
    width: Figure
    joints: Figure
    feet: Figure
    area: Figure
    closed: Figure
    pressed: Figure

    @property
    def number(self) -> int:
        return self.group.stage


@dataclass(frozen=True, slots=True)
class GluePlan:
    """How a panel is glued up in time.

    stages: how many glue-ups; assembly: time to close all joints at once [min]; at_once: boards or parts that can be
    closed in one go; closing: clamps by spacing, which close a joint; clamps: all of one stage; places: where they
    stand along the joint [in]; cauls: pairs of them; open_time, total_time [min].
    """

    panel: GluePanel
    stages: Figure
    assembly: Figure
    at_once: Figure
    in_turn: tuple[GlueStage, ...]
    open_time: Figure
    total_time: Figure
    closing: Figure
    clamps: Figure
    places: tuple[Figure, ...]
    cauls: Figure

    def is_late(self, stage: GlueStage) -> bool:
        """Whether the glue of a stage skins over before it is closed, or sets before its clamps are tight."""
        return stage.closed.value > self.open_time.value or stage.pressed.value > self.total_time.value


@lru_cache(maxsize=256)
def glue_plan(panel: GluePanel, practice: ShopPractice) -> GluePlan:
    """Return how a panel of two boards or more is glued up with so many people, in as few stages as fit the time.

    Boards and parts are placed one after another; spreading and clamping are shared by the people. Clamps at the
    shop's spacing close a joint within the open assembly time; those that pressure asks for beyond them are set
    within the total assembly time. Where not even one joint can be closed in time, one at a time is planned.
    Raises KeyError for an unknown family, ValueError for less than two boards or one person.
    Source: common practice, no source.
    """
    boards = len(panel.widths)
    if boards < 2 or panel.crew.value < 1:
        raise ValueError(f"a glue-up takes at least 2 boards and 1 person, not {boards} and {panel.crew.value}")
    making = _Making(panel, practice)
    at_once = making.at_once()
    widths = [width.value for width in panel.widths]
    groups = glue_groups(widths, max(2, int(at_once.value)), practice.value("planer_width"))
    counted = count("Boards", boards, "side by side", *(width for _, width in panel.boards))
    words = "boards, then parts, joined as many at once as can be closed in time"
    return GluePlan(
        panel=panel,
        stages=count("Glue-ups", len(groups), words, counted, at_once),
        assembly=making.closed(counted, making.feet(boards - 1), "Assembly time, all at once"),
        at_once=at_once,
        in_turn=tuple(making.stage(group) for group in groups),
        open_time=making.open_time,
        total_time=making.total_time,
        closing=making.closing,
        clamps=making.clamps,
        places=clamp_places(panel.length, making.clamps, practice),
        cauls=caul_pairs(panel.length, practice),
    )


def joints_at_once(panel: GluePanel, practice: ShopPractice) -> int:
    """Return how many joints of a panel can be closed in one go, whatever there are of them; 0 when not even one."""
    return max(0, int(_Making(panel, practice).at_once().value) - 1)


def closing_time(feet: Figure, clamps: Figure, parts: Figure, crew: Figure, practice: ShopPractice) -> Figure:
    """Return the time from the first glue spread until joints are closed [min].

    feet: of joint to spread [ft]; clamps: that close it; parts: to be placed; crew: people, who share spreading and
    clamping, not placing. Source: common practice, no source.
    """
    spread, place, set_one = (practice.figure(f"{work}_seconds") for work in ("spread", "place", "clamp"))
    shared = feet.value * spread.value + clamps.value * set_one.value
    seconds = shared / crew.value + parts.value * place.value
    return Figure(
        "Closed after", seconds / 60, Unit.MINUTE, _CLOSED, (feet, spread, clamps, set_one, crew, parts, place)
    )


class _Making:
    """What the stages of one panel have in common."""

    def __init__(self, panel: GluePanel, practice: ShopPractice) -> None:
        self.panel, self.practice, self.crew = panel, practice, panel.crew
        self.spread, self.place, self.set = (
            practice.figure(f"{work}_seconds") for work in ("spread", "place", "clamp")
        )
        self.open_time = open_assembly_time(panel.family, practice)
        self.total_time = total_assembly_time(panel.family, practice)
        self.clamps = clamps(panel.length, panel.thickness, panel.species, panel.family, practice)
        spaced = clamps_by_spacing(panel.length, practice)
        self.closing = spaced if spaced.value <= self.clamps.value else self.clamps

    def at_once(self) -> Figure:
        """Return how many boards or parts can be closed in one go; less than 2 when not even one joint can."""
        joint = self.panel.length.value / 12 * self.spread.value / self.crew.value
        room = [
            limit.value * 60 - held.value * self.set.value / self.crew.value
            for limit, held in ((self.open_time, self.closing), (self.total_time, self.clamps))
        ]
        fit = min(floor((seconds + joint) / (joint + self.place.value)) for seconds in room)
        came_from = (
            self.open_time, self.total_time, self.panel.length, self.spread, self.place, self.set, self.closing,
            self.clamps, self.crew,
        )  # fmt: skip
        return Figure("Boards or parts closed at once", Fraction(max(fit, 0)), Unit.EACH, _AT_ONCE, came_from)

    def stage(self, group: Group) -> GlueStage:
        parts = count("Boards or parts", len(group.parts), "joined in this glue-up")
        joints = count("Joints", len(group.parts) - 1, "boards or parts − 1", parts)
        feet = self.feet(len(group.parts) - 1)
        widths = self.panel.widths[group.first - 1 : group.last]
        width = sum((one.value for one in widths), Fraction(0))
        closed = self.closed(parts, feet, "Closed after")
        return GlueStage(
            group=group,
            width=Figure("Width", width, Unit.INCH, Rule("boards side by side"), tuple(dict.fromkeys(widths))),
            joints=joints,
            feet=feet,
            area=self._area(joints),
            closed=closed,
            pressed=self._pressed(closed),
        )

    def feet(self, joints: int) -> Figure:
        many = count("Joints", joints, "between boards or parts")
        value = joints * self.panel.length.value / 12
        return Figure("Joint to glue", value, Unit.FOOT, Rule("joints × length ÷ 12"), (many, self.panel.length))

    def closed(self, parts: Figure, feet: Figure, label: str) -> Figure:
        return replace(closing_time(feet, self.closing, parts, self.crew, self.practice), label=label)

    def _pressed(self, closed: Figure) -> Figure:
        more = (self.clamps.value - self.closing.value) * self.set.value / self.crew.value / 60
        came_from = (closed, self.clamps, self.closing, self.set, self.crew)
        return Figure("All clamps tight after", closed.value + more, Unit.MINUTE, _PRESSED, came_from)

    def _area(self, joints: Figure) -> Figure:
        thick, length = self.panel.thickness, self.panel.length
        value = joints.value * thick.value * length.value / 144
        rule = Rule("joints × thickness × length ÷ 144")
        return Figure("Glued area", value, Unit.SQUARE_FOOT, rule, (joints, thick, length))


def joined(group: Group) -> Iterator[int]:
    """Yield the numbers of the stages that a group is joined from, boards left out."""
    yield from (part.stage for part in group.parts if part.stage)
