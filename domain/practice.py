"""Shop practice: the habits and allowances behind the figures, each with a source and open to change."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from domain.figure import Figure, Rule, Unit
from domain.length import Length

COMMON = "common practice, no source"


@dataclass(frozen=True, slots=True)
class Practice:
    """One habit: its usual value, the range seen, and who says so."""

    key: str
    label: str
    group: str
    usual: Fraction
    unit: Unit
    source: str = COMMON
    least: Fraction = Fraction(0)
    most: Fraction = Fraction(100_000)
    help: str = ""


def _practice(key: str, label: str, group: str, usual: str, unit: Unit, source: str = COMMON, *,
              least: str = "0", most: str = "100000", help: str = "") -> Practice:  # fmt: skip
    return Practice(key, label, group, Fraction(usual), unit, source, Fraction(least), Fraction(most), help)


_ALL = (
    _practice("kerf", "Saw kerf", "Milling", "1/8", Unit.INCH, most="1/2"),
    _practice("extra_length", "Extra length until the last cut", "Milling", "7/2", Unit.INCH, most="12",
              help="Tops and long glue-ups stay 3 to 4 in long until the last cut."),
    _practice("price_age_days", "Days until a price is called old", "Prices", "90", Unit.DAY, least="1",
              most="3650", help="An old price still counts; the estimate says that it is old."),
)

PRACTICES: Mapping[str, Practice] = {practice.key: practice for practice in _ALL}


@dataclass(frozen=True, slots=True)
class ShopPractice:
    """The shop's practice: usual values, and those the shop has changed."""

    changed: Mapping[str, Fraction] = field(default_factory=dict)

    def value(self, key: str) -> Fraction:
        """Return the value in its own unit. Raises KeyError for an unknown key."""
        return self.changed.get(key, PRACTICES[key].usual)

    def length(self, key: str) -> Length:
        return self.figure(key).length

    def figure(self, key: str) -> Figure:
        """Return the value as a figure with its source and the place to change it."""
        practice = PRACTICES[key]
        own = key in self.changed
        rule = Rule("set by the shop" if own else "usual value", "shop practice" if own else practice.source, f"practice:{key}")
        return Figure(practice.label, self.value(key), practice.unit, rule)
