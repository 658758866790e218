"""What a piece is made of: parts, joints, faces, hardware and the steps that make it."""

from dataclasses import dataclass, field
from datetime import timedelta
from enum import Enum

from domain.exact import product
from domain.figure import Figure, Rule, Unit, typed
from domain.glue_stage import GluePlan
from domain.length import ZERO, Length
from domain.material import Material
from domain.problem import Problem

_AREA = Rule("count × width × length ÷ 144")


class Grain(Enum):
    LENGTH = "along the length"
    WIDTH = "across the length"
    FREE = "either way"


@dataclass(frozen=True, slots=True)
class Part:
    """Some alike parts at their finished size, of one material.

    mark: the part mark written on the stock, unique in its piece; extra_length: kept until the last cut.
    sizes: thickness, width, length and any extra length as figures, with their working, if known;
    counted: how the count came about, if it was worked out; match: parts of one word must match in grain or colour.
    """

    mark: str
    name: str
    count: int
    thickness: Length
    width: Length
    length: Length
    material: Material
    grain: Grain = Grain.LENGTH
    extra_length: Length = ZERO
    sizes: tuple[Figure, ...] = ()
    counted: Figure | None = None
    match: str = ""


@dataclass(frozen=True, slots=True)
class Joint:
    """Alike glue lines or dry joints. width: of the glued strip, the stock thickness in an edge joint.

    glue: adhesive family, empty for a dry joint; fastener: biscuit, dowel or screw used in it;
    fasteners: how many in all these joints together, with its working.
    sizes: length and width as figures with their working, if known.
    """

    name: str
    count: int
    length: Length
    width: Length
    glue: str = ""
    fastener: Material | None = None
    fasteners: Figure | None = None
    sizes: tuple[Figure, ...] = ()


@dataclass(frozen=True, slots=True)
class FinishChoice:
    """A finish family of data/finishes.csv in so many coats; on_site: coated after install, not in the shop.

    colour: a stain family put on first, empty for none.
    """

    family: str
    coats: int
    on_site: bool = False
    colour: str = ""


@dataclass(frozen=True, slots=True)
class Face:
    """Alike surfaces that get a finish. area: of them all [ft²].

    sizes: width and length as figures with their working, if known.
    """

    name: str
    count: int
    width: Length
    length: Length
    finish: FinishChoice
    sizes: tuple[Figure, ...] = ()
    area: Figure = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        value = product(self.count, self.width.inches, self.length.inches, over=144)
        sizes = self.sizes or (typed("Width", self.width), typed("Length", self.length))
        object.__setattr__(self, "area", Figure(self.name, value, Unit.SQUARE_FOOT, _AREA, sizes))


@dataclass(frozen=True, slots=True)
class Item:
    """So many of a bought thing that is neither board nor sheet: slides, pulls, screws, edge strip."""

    material: Material
    quantity: Figure
    why: str = ""


class TaskKind(Enum):
    """What kind of work; the value is what the database holds and what a person reads."""

    DELIVERY = "delivery"
    ACCLIMATE = "acclimation"
    MILL = "milling"
    CUT = "cutting"
    GLUE_UP = "glue-up"
    CLAMP = "in clamps"
    UNCLAMP = "clamps off"
    CURE = "cure"
    ASSEMBLE = "assembly"
    SAND = "sanding"
    COAT = "coat"
    DRY = "drying"
    INSTALL = "install"
    OTHER = "other"
    MILESTONE = "milestone"


class Stage(Enum):
    """Where in the job a step falls; the job's own steps (order, deliver, hand over) stand between."""

    BUILD = "build"  # in the shop, once materials are there
    SHOP_FINISH = "shop finish"
    INSTALL = "install"  # at the client's
    SITE_FINISH = "site finish"


@dataclass(frozen=True, slots=True)
class Work:
    """So much of one operation of the catalogue in domain/operation.py."""

    operation: str
    quantity: Figure


@dataclass(frozen=True, slots=True)
class Wait:
    """A step may start at_least after the named step of its piece has finished, at_most if a window closes.

    Both pass day and night. why: in a maker's words, for instance `glue cures before a machine touches it`;
    if_missed: what it takes once the window has closed, for instance `it needs sanding`.
    """

    step: str
    at_least: timedelta = timedelta()
    at_most: timedelta | None = None
    why: str = ""
    if_missed: str = ""


@dataclass(frozen=True, slots=True)
class Step:
    """One thing to do or to wait for while making a piece.

    key: stable for ever within its kind of piece, so that recorded times survive changes of size.
    work: hands-on operations, empty when nobody stands there; elapsed: hours that pass day and night [h],
    for unattended steps; clamps and bench are held from this step's start to the end of step `until`
    (empty: to its own end); crew: people at once; trails: goes on after the hand-over, which does not wait for it;
    panel: how the panel is glued up that this step begins, None for any other step.
    """

    key: str
    name: str
    kind: TaskKind
    stage: Stage = Stage.BUILD
    work: tuple[Work, ...] = ()
    elapsed: Figure | None = None
    after: tuple[Wait, ...] = ()
    crew: int = 1
    clamps: int = 0
    bench: int = 0
    until: str = ""
    trails: bool = False
    panel: GluePlan | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class Built:
    """Everything one piece needs, for one of it; the take-off multiplies by how many there are.

    weight: of one [lb], None when nothing is known about what it is made of.
    """

    parts: tuple[Part, ...] = ()
    joints: tuple[Joint, ...] = ()
    faces: tuple[Face, ...] = ()
    items: tuple[Item, ...] = ()
    steps: tuple[Step, ...] = ()
    weight: Figure | None = None
    figures: tuple[Figure, ...] = ()  # worth showing: board width, weight, look of thickness
    problems: tuple[Problem, ...] = ()  # warnings that do not stop the job
