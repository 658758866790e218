"""Shop practice: the habits and allowances behind the figures, each with a source and open to change."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cache

from domain.figure import Figure, Rule
from domain.length import Length
from domain.practice.boards import BOARDS, MILLING, SHEETS, WASTE
from domain.practice.cabinet import CABINETS
from domain.practice.glue_up import GLUE_UP, JOINTS
from domain.practice.habit import COMMON, UNLIMITED, Practice
from domain.practice.house import MEASURING, MOISTURE
from domain.practice.labels import dressed_thicknesses, fahrenheit, finish_labels, glue_labels, slug
from domain.practice.work import FINISHING, PLAN, PRICES, SAFETY
from domain.season import Seasons, seasons, settled

__all__ = ["COMMON", "PRACTICES", "UNLIMITED", "Owned", "Practice", "ShopPractice", "fahrenheit", "slug"]

_GROUPS = (
    MILLING,
    dressed_thicknesses(),
    WASTE,
    SHEETS,
    GLUE_UP,
    JOINTS,
    glue_labels(),
    FINISHING,
    finish_labels(),
    MEASURING,
    SAFETY,
    BOARDS,
    MOISTURE,
    CABINETS,
    PLAN,
    PRICES,
)

PRACTICES: Mapping[str, Practice] = {practice.key: practice for group in _GROUPS for practice in group}
"""Every habit by its key, in the order the page of shop practice shows them."""


@dataclass(frozen=True, slots=True)
class Owned:
    """How many clamps and benches the shop has, as its profile says."""

    clamps: int
    benches: int


@dataclass(frozen=True, slots=True)
class ShopPractice:
    """The shop's practice: usual values, and those the shop has changed. owned: None while nobody has said it."""

    changed: Mapping[str, Fraction] = field(default_factory=dict)
    owned: Owned | None = None
    _hash: int = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "_hash", hash((frozenset(self.changed.items()), self.owned)))

    def __hash__(self) -> int:
        """Pieces keep what they built by the practice it was built with, looked up again and again."""
        return self._hash

    def value(self, key: str) -> Fraction:
        """Return the value in its own unit. Raises KeyError for an unknown key."""
        if key in self.changed:
            return self.changed[key]
        practice = PRACTICES[key]
        return self.usual(key).value if practice.from_air else practice.usual

    def length(self, key: str) -> Length:
        return self.figure(key).length

    def figure(self, key: str) -> Figure:
        """Return the value as a figure with its source and the place to change it."""
        if key not in self.changed:
            return self.usual(key)
        practice = PRACTICES[key]
        rule = Rule("set by the shop", "shop practice", f"practice:{key}")
        return Figure(practice.label, self.changed[key], practice.unit, rule)

    def usual(self, key: str) -> Figure:
        """Return the value it has while the shop has not changed it: published, common, or worked out from the air."""
        practice = PRACTICES[key]
        if practice.from_air is None:
            return _usual(key)
        temperature, humidity = (self.figure(name) for name in practice.from_air)
        return settled(practice.label, temperature, humidity, f"practice:{key}")

    @property
    def seasons(self) -> Seasons:
        """Return the moisture of wood as it is built and in the house from season to season [% MC]."""
        return seasons(*(self.figure(f"moisture_{name}") for name in ("built", "driest", "dampest")))


@cache
def _usual(key: str) -> Figure:
    practice = PRACTICES[key]
    return Figure(
        practice.label, practice.usual, practice.unit, Rule("usual value", practice.source, f"practice:{key}")
    )
