"""What a buying plan says, and the facts it is made from beside the parts."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import Enum

from domain.figure import Figure, Rule, Unit
from domain.layout.shape import Layout, Source
from domain.length import Length
from domain.material import Material
from domain.price import PriceBook
from domain.problem import Problem
from domain.rack import Cutting, RackPiece
from domain.take_off.shape import PartRef


@dataclass(frozen=True, slots=True)
class OnHand:
    """What a job can be cut from: the rack, what is for sale, what was cut already, the best layouts known.

    rack: boards and sheets that are cut up too, for their prices; known: by the fingerprint of what was asked;
    yields: what the shop's own jobs yielded, by species and grade [share].
    """

    job_id: int = 0
    rack: tuple[RackPiece, ...] = ()
    cuttings: tuple[Cutting, ...] = ()
    prices: PriceBook = field(default_factory=PriceBook)
    known: Mapping[str, Layout] = field(default_factory=dict)
    yields: Mapping[tuple[str, str], Figure] = field(default_factory=dict)

    def __hash__(self) -> int:
        """Jobs are looked up by what they can be cut from; layouts are told apart by what was asked of them."""
        return hash((self.job_id, self.rack, len(self.cuttings), self.prices.prices, frozenset(self.known)))


class Stand(Enum):
    """How far along one round of a layout is; the value is what a person reads."""

    CUT = "cut already"
    LISTED = "from what is on the rack and at the yard"
    USUAL = "on usual sizes"


@dataclass(frozen=True, slots=True)
class Round:
    """One layout of a material. unit: of its costs; fingerprint: of what was asked, empty for what is cut already."""

    stand: Stand
    layout: Layout
    unit: Unit
    fingerprint: str = ""


@dataclass(frozen=True, slots=True)
class SizeUsed:
    """Boards or sheets of one size that a material's layouts use.

    title: such as `6 in × 10 ft` or `R12`; material: what it is bought as; count: how many; quantity: of them all in
    the material's base unit; piece: the one on the rack it is, None for a size for sale.
    """

    source: Source
    title: str
    material: Material
    width: Length
    length: Length
    count: Figure
    quantity: Figure
    piece: RackPiece | None = None


@dataclass(frozen=True, slots=True)
class MaterialPlan:
    """How the parts of one material are cut.

    net: of the parts; used: of all that is cut up; to_buy: of what is not in the shop; got: share of what is cut up
    that becomes parts; by_factor: what the other way of reckoning comes to; all but the share in the base unit.
    bound: how far it can be from the best, in words; note: boards that were left aside, and why, empty for none;
    problems: parts that fit nothing.
    """

    material: Material
    parts: tuple[PartRef, ...]
    rounds: tuple[Round, ...]
    sizes: tuple[SizeUsed, ...]
    net: Figure
    used: Figure
    to_buy: Figure
    got: Figure | None
    by_factor: Figure | None
    bound: str
    note: str = ""
    problems: tuple[Problem, ...] = ()

    @property
    def difference(self) -> Figure | None:
        """Return how much more the other way of reckoning buys than is cut up here, less when negative."""
        return less_by_layout(self.by_factor, self.used)

    @property
    def is_improved(self) -> bool:
        """Whether every layout that may still change has been searched through, or cannot be beaten."""
        return all(one.layout.improved or one.layout.is_best for one in self.rounds if one.stand is not Stand.CUT)


def less_by_layout(by_factor: Figure | None, by_layout: Figure | None) -> Figure | None:
    """Return how much less a layout takes than the factor does, in their unit; None when either is not known."""
    if by_factor is None or by_layout is None:
        return None
    value, rule = by_factor.value - by_layout.value, Rule("by factor less by layout")
    return Figure("Difference", value, by_layout.unit, rule, (by_factor, by_layout))


@dataclass(frozen=True, slots=True)
class BuyingPlan:
    """How all the parts of a job are cut, material by material."""

    materials: tuple[MaterialPlan, ...] = ()
    problems: tuple[Problem, ...] = ()
