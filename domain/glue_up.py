"""Glue quantity, clamps, fasteners in joints, and glue-ups that fit the open assembly time."""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from domain.figure import Figure
from domain.part import Joint
from domain.practice import ShopPractice
from domain.problem import Problem

Range = tuple[Fraction, Fraction]


@dataclass(frozen=True, slots=True)
class Adhesive:
    """An adhesive family, by chemistry. None: not known, or does not apply. The label governs.

    open_assembly, total_assembly [min]; clamp_time [h at 21 °C]; before_machining, full_cure [h];
    least_temperature [°C]; spread [lb/1000 ft²]; pressure [psi, low- and high-density wood];
    widest_gap [in]; pot_life [min].
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


class Fastening(Enum):
    BISCUIT = "biscuit"
    DOWEL = "dowel"
    POCKET_SCREW = "pocket screw"
    WOOD_SCREW = "wood screw"
    HOLD_DOWN = "hold-down"


@dataclass(frozen=True, slots=True)
class Stages:
    """How a glue-up is done in time. stages: glue-ups one after another; assembly: minutes if done at once."""

    stages: Figure
    assembly: Figure
    open_time: Figure
    problems: tuple[Problem, ...] = ()


def adhesive_families() -> tuple[str, ...]:
    """Return the names of the adhesive families."""
    raise NotImplementedError


def adhesive(family: str) -> Adhesive:
    """Return an adhesive family. Raises KeyError for an unknown one."""
    raise NotImplementedError


def open_assembly_time(family: str, practice: ShopPractice) -> Figure:
    """Return the minutes from first spread until the joint must be closed [min]."""
    raise NotImplementedError


def clamp_time(family: str, practice: ShopPractice) -> Figure:
    """Return how long clamps stay on [h], day and night."""
    raise NotImplementedError


def cure_before_machining(family: str, practice: ShopPractice) -> Figure:
    """Return how long after the glue-up until a machine may touch it [h], clamp time included."""
    raise NotImplementedError


def glued_area(joints: Iterable[Joint]) -> Figure:
    """Return the area of glue lines [ft²]."""
    raise NotImplementedError


def glue_needed(joints: Iterable[Joint], family: str, practice: ShopPractice) -> Figure | Problem:
    """Return the glue for those joints that use the family [fl oz], or a problem when its spread is not known."""
    raise NotImplementedError


def clamps(length: Figure, thickness: Figure, species: str, family: str, practice: ShopPractice) -> Figure:
    """Return the clamps for an edge glue-up [each]: by spacing or by pressure, the greater.

    length: of the joint as glued [in]; thickness: of the stock [in].
    """
    raise NotImplementedError


def fasteners(kind: Fastening, length: Figure, practice: ShopPractice, *, extra_length: Figure | None = None,
              joints: int = 1) -> Figure:  # fmt: skip
    """Return the fasteners in alike joints [each], clear of the ends and of the extra length cut off last.

    length: of the joint as glued [in], extra_length: the part of it that is cut off later [in].
    """
    raise NotImplementedError


def stages(boards: Figure, hands: Figure, family: str, practice: ShopPractice) -> Stages:
    """Return how many glue-ups join so many boards within the open assembly time, with so many people."""
    raise NotImplementedError
