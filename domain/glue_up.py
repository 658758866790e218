"""Glue quantity, clamps, fasteners in joints, and glue-ups that fit the open assembly time."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from functools import cache
from math import ceil, floor

from domain.data import Range, number, rows, span
from domain.figure import Figure, Rule, Unit, add_up, count, typed
from domain.part import Joint
from domain.practice import ShopPractice, slug
from domain.problem import Problem
from domain.wood import find_species, specific_gravity

LIGHTEST, DENSEST = Fraction("0.32"), Fraction("1.00")
"""Specific gravities the clamping pressures are drawn between: western redcedar and ipe, the lightest and the
densest of data/species.csv. The straight line between the handbook's two pressures is our own reading."""

PRESSURE_SOURCE = (
    "US Forest Service, Wood Handbook (FPL-GTR-190, 2010), p. 10-16, for both ends; the line between is ours"
)

_AREA = Rule("joints × width × length ÷ 144")
_GLUE = Rule("area × spread ÷ 1000 × (1 + loss) ÷ density × 128 fl oz in a gallon")


@dataclass(frozen=True, slots=True)
class Adhesive:
    """An adhesive family of data/adhesives.csv, by chemistry. None: not known, or does not apply.

    open_assembly, total_assembly [min]; clamp_time [h at 21 °C]; before_machining, full_cure [h];
    least_temperature [°C]; spread [lb/1000 ft²]; pressure [psi, low- and high-density wood];
    widest_gap [in]; pot_life [min]. The label governs: a shop's own figures are set in Practice.
    """

    family: str
    typical_use: str
    open_assembly: Range
    total_assembly: Range
    clamp_time: Range
    before_machining: Fraction
    full_cure: Fraction
    least_temperature: Fraction
    spread: Range | None
    pressure: Range | None
    widest_gap: Fraction | None
    pot_life: Fraction | None
    storage: str
    water_class: str
    hazards: str
    notes: str
    source: str

    @property
    def needs_no_clamps(self) -> bool:
        """Whether a moment's pressure is enough, as for contact adhesive."""
        return self.clamp_time[1] == 0

    @property
    def is_squeezed(self) -> bool:
        """Whether it wants clamping pressure by density; epoxy wants contact only."""
        return self.pressure is not None and not self.needs_no_clamps


class Fastening(Enum):
    """What is put into a joint at a spacing; the value is the word read."""

    BISCUIT = "biscuit"
    DOWEL = "dowel"
    WOOD_SCREW = "wood screw"


@dataclass(frozen=True, slots=True)
class Stages:
    """How a glue-up is done in time.

    stages: glue-ups one after another; assembly: time if all is closed at once [min]; open_time [min].
    """

    stages: Figure
    assembly: Figure
    open_time: Figure
    problems: tuple[Problem, ...] = ()


@cache
def _adhesives() -> dict[str, Adhesive]:
    return {row["family"]: _read(row) for row in rows("adhesives.csv")}


def _read(row: Mapping[str, str]) -> Adhesive:
    def known(name: str) -> Range:
        return Fraction(row[f"{name}_low"]), Fraction(row[f"{name}_high"])

    return Adhesive(
        family=row["family"],
        typical_use=row["typical_use"],
        open_assembly=known("open_assembly_min"),
        total_assembly=known("total_assembly_min"),
        clamp_time=known("clamp_time_21C_h"),
        before_machining=Fraction(row["before_machining_h"]),
        full_cure=Fraction(row["full_cure_h"]),
        least_temperature=Fraction(row["min_use_temp_C"]),
        spread=span(row, "spread_lb_per_1000ft2_low", "spread_lb_per_1000ft2_high"),
        pressure=span(row, "joint_pressure_psi_low_density_wood", "joint_pressure_psi_high_density_wood"),
        widest_gap=number(row, "max_gap_in"),
        pot_life=number(row, "pot_life_min"),
        storage=row["shelf_and_storage_notes"],
        water_class=row["water_class_en"],
        hazards=row["hazard_notes"],
        notes=row["notes"],
        source=f"{row['source']}; {row['confidence']}",
    )


@cache
def adhesive_families() -> tuple[str, ...]:
    """Return the names of the adhesive families."""
    return tuple(_adhesives())


def adhesive(family: str) -> Adhesive:
    """Return an adhesive family. Raises KeyError for an unknown one."""
    return _adhesives()[family]


@cache
def _key(family: str, name: str) -> str:
    """Return the practice key of a label figure. Raises KeyError for an unknown family."""
    return f"{slug(_adhesives()[family].family)}_{name}"


def open_assembly_time(family: str, practice: ShopPractice) -> Figure:
    """Return the time from the first spread until the joint must be closed [min]."""
    return practice.figure(_key(family, "open_time"))


def clamp_time(family: str, practice: ShopPractice) -> Figure:
    """Return how long clamps stay on [h], day and night."""
    return practice.figure(_key(family, "clamp_time"))


def cure_before_machining(family: str, practice: ShopPractice) -> Figure:
    """Return how long after the glue-up until a machine may touch it [h], its time in clamps included."""
    return practice.figure(_key(family, "before_machining"))


def glue_line(joint: Joint) -> Figure:
    """Return the area of alike glue lines together [ft²]."""
    value = joint.count * joint.width.inches * joint.length.inches / 144
    sizes = joint.sizes or (typed("Joint length", joint.length), typed("Joint width", joint.width))
    return Figure(joint.name, value, Unit.SQUARE_FOOT, _AREA, sizes)


def glued_area(joints: Iterable[Joint]) -> Figure:
    """Return the area of glue lines [ft²]."""
    return add_up("Glued area", (glue_line(joint) for joint in joints), Unit.SQUARE_FOOT)


def glue_needed(joints: Iterable[Joint], family: str, practice: ShopPractice) -> Figure | Problem:
    """Return the glue for those joints that use the family [fl oz], or a problem: its spread is not known.

    Raises KeyError for an unknown family.
    """
    spread, density = practice.figure(_key(family, "spread")), practice.figure(_key(family, "density"))
    if not spread.value:
        return Problem("glue", f"How far {family} spreads is not known. Type its label's figure in Practice.")
    loss, area = practice.figure("glue_loss"), glued_area(joint for joint in joints if joint.glue == family)
    pounds = area.value * spread.value / 1000 * (1 + loss.value)
    ounces = pounds / density.value * 128
    return Figure(family, ounces, Unit.FLUID_OUNCE, _GLUE, (area, spread, loss, density))


def joint_pressure(species: str, practice: ShopPractice) -> Figure:
    """Return the clamping pressure for a wood [psi], by its specific gravity.

    A wood of unknown specific gravity counts as halfway.
    Source: the two ends are the Wood Handbook's (2010), p. 10-16; the straight line between is ours.
    """
    low, high = practice.figure("pressure_lightest"), practice.figure("pressure_densest")
    wood = find_species(species)
    gravity = specific_gravity(wood) if wood else None
    between = Fraction(1, 2)
    words = "halfway between the two: the density of this wood is not known"
    if gravity is not None:
        between = (min(max(gravity.value, LIGHTEST), DENSEST) - LIGHTEST) / (DENSEST - LIGHTEST)
        words = f"on a straight line from specific gravity {float(LIGHTEST):.2f} to {float(DENSEST):.2f}"
    value = low.value + between * (high.value - low.value)
    came_from = (*((gravity,) if gravity else ()), low, high)
    return Figure("Clamping pressure", value, Unit.PSI, Rule(words, PRESSURE_SOURCE), came_from)


def clamps_by_pressure(length: Figure, thickness: Figure, pressure: Figure, force: Figure) -> Figure:
    """Return the clamps that press a joint hard enough [each].

    length, thickness: of the glue line [in]; pressure [psi]; force: of one clamp [lbf].
    Source: force = pressure × glued area, Wood Handbook (2010), p. 10-16.
    """
    needed = Figure(
        "Clamping force",
        length.value * thickness.value * pressure.value,
        Unit.POUND_FORCE,
        Rule("length × thickness × pressure"),
        (length, thickness, pressure),
    )
    rule = Rule("clamping force ÷ force of one clamp, rounded up")
    return Figure("Clamps by pressure", Fraction(ceil(needed.value / force.value)), Unit.EACH, rule, (needed, force))


def clamps_by_spacing(length: Figure, practice: ShopPractice) -> Figure:
    """Return the clamps at the shop's spacing [each], at least two. length: of the glue line [in]."""
    spacing, end = practice.figure("clamp_spacing"), practice.figure("clamp_from_end")
    between = max(length.value - 2 * end.value, Fraction(0))
    clamps = Fraction(max(ceil(between / spacing.value) + 1, 2))
    words = "(length − 2 × first clamp from the end) ÷ spacing, rounded up, and one more; at least 2"
    return Figure("Clamps by spacing", clamps, Unit.EACH, Rule(words), (length, end, spacing))


def clamps(length: Figure, thickness: Figure, species: str, family: str, practice: ShopPractice) -> Figure:
    """Return the clamps for an edge glue-up [each]: by spacing or by pressure, the greater.

    length: of the joint as glued [in]; thickness: of the stock [in]; none for a glue that needs none.
    Raises KeyError for an unknown family.
    """
    glue = adhesive(family)
    if glue.needs_no_clamps:
        return count("Clamps", 0, f"{family} needs none: pressed together for a moment")
    spaced = clamps_by_spacing(length, practice)
    if not glue.is_squeezed:
        return Figure("Clamps", spaced.value, Unit.EACH, Rule("by spacing: this glue wants contact only"), (spaced,))
    pressure, force = joint_pressure(species, practice), practice.figure("clamp_force")
    pressed = clamps_by_pressure(length, thickness, pressure, force)
    words = f"by pressure {pressed.value}, by spacing {spaced.value}: the greater"
    return Figure("Clamps", max(spaced.value, pressed.value), Unit.EACH, Rule(words), (pressed, spaced))


_SPACING = {kind: f"{kind.value.replace(' ', '_')}_spacing" for kind in Fastening}
_FASTENED = Rule("(length − extra − 2 × clear of the ends) ÷ spacing, rounded up, and one more, in each joint")


def fasteners(kind: Fastening, length: Figure, practice: ShopPractice, *, extra_length: Figure | None = None,
              joints: int = 1) -> Figure:  # fmt: skip
    """Return the fasteners in alike joints [each], clear of the ends and of the extra length cut off last.

    length: of the joint as glued [in], extra_length: the part of it that is cut off later [in]. A joint
    with no room between its ends gets none. Raises ValueError for a negative number of joints.
    """
    if joints < 0:
        raise ValueError(f"joints are counted from 0, not {joints}")
    spacing, clear = practice.figure(_SPACING[kind]), practice.figure("fastener_keep_clear")
    extra = extra_length.value if extra_length else Fraction(0)
    room = length.value - extra - 2 * clear.value
    each = ceil(room / spacing.value) + 1 if room >= 0 else 0
    came_from = (count("Joints", joints, "counted"), length, *((extra_length,) if extra_length else ()), clear, spacing)
    return Figure(f"{kind.value.capitalize()}s", Fraction(joints * each), Unit.EACH, _FASTENED, came_from)


def stages(boards: Figure, hands: Figure, family: str, practice: ShopPractice) -> Stages:
    """Return how many glue-ups join so many boards within the open assembly time, with so many people.

    boards, hands [each], at least 1 each. Every glue-up closes as many joints as fit; the next adds to it.
    Raises KeyError for an unknown family, ValueError for less than one board or hand.
    Source: common practice, no source.
    """
    if boards.value < 1 or hands.value < 1:
        raise ValueError(f"a glue-up takes at least 1 board and 1 person, not {boards.value} and {hands.value}")
    seconds, opened = practice.figure("joint_seconds"), open_assembly_time(family, practice)
    joints = boards.value - 1
    needed = joints * seconds.value / 60 / hands.value
    rule = Rule("(boards − 1) × seconds for a joint ÷ people ÷ 60")
    assembly = Figure("Assembly time", needed, Unit.MINUTE, rule, (boards, seconds, hands))
    at_once = floor(opened.value * 60 * hands.value / seconds.value)
    problems = () if at_once or not joints else (_too_slow(family, hands, opened),)
    number = Fraction(max(1, ceil(joints / max(at_once, 1))))
    rule = Rule(f"joints ÷ {at_once} that can be closed within the open assembly time, rounded up")
    glue_ups = Figure("Glue-ups", number, Unit.EACH, rule, (assembly, opened))
    return Stages(glue_ups, assembly, opened, problems)


def _too_slow(family: str, hands: Figure, opened: Figure) -> Problem:
    return Problem(
        "glue",
        f"{hands.value} at the bench cannot close even one joint within the {float(opened.value):g} min of "
        f"{family}. Take more hands or a slower glue.",
    )
