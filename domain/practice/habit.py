"""One habit of a shop: its usual value, its range, and who says so."""

from dataclasses import dataclass
from fractions import Fraction

from domain.figure import Unit

COMMON = "common practice, no source"
MEMORY = "from memory"
HANDBOOK = "US Forest Service, Wood Handbook (FPL-GTR-190, 2010)"

UNLIMITED = Fraction(100_000)
"""The most that a habit can be whose own nature sets no limit."""


@dataclass(frozen=True, slots=True)
class Practice:
    """One habit: its usual value, the range seen, and who says so.

    from_air: the habits of temperature [°F] and relative humidity that its usual value is worked out from, if any.
    """

    key: str
    label: str
    group: str
    usual: Fraction
    unit: Unit
    source: str = COMMON
    least: Fraction = Fraction(0)
    most: Fraction = UNLIMITED
    help: str = ""
    from_air: tuple[str, str] | None = None


def habit(key: str, label: str, group: str, usual: str, unit: Unit, source: str = COMMON, *,
          least: str = "0", most: str | Fraction = UNLIMITED, help: str = "",
          from_air: tuple[str, str] | None = None) -> Practice:  # fmt: skip
    """Return a habit. usual, least, most: typed as fractions."""
    return Practice(key, label, group, Fraction(usual), unit, source, Fraction(least), Fraction(most), help, from_air)
