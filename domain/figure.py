"""A figure: a quantity that can show its working, down to what was typed and a named source."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from domain.exact import summed
from domain.length import Length
from domain.money import Money


class Unit(Enum):
    """What a figure counts; the value is how it is written after the number."""

    EACH = ""
    INCH = "in"
    FOOT = "ft"
    SQUARE_FOOT = "ft²"
    BOARD_FOOT = "bf"
    SHEET = "sheets"
    POUND = "lb"
    FLUID_OUNCE = "fl oz"
    GALLON = "gal"
    SQUARE_FOOT_PER_GALLON = "ft²/gal"
    POUND_PER_1000_SQUARE_FEET = "lb/1000 ft²"
    POUND_PER_GALLON = "lb/gal"
    POUND_PER_BOARD_FOOT = "lb/bf"
    POUND_FORCE = "lbf"
    PSI = "psi"
    POUND_PER_CUBIC_FOOT = "lb/ft³"
    FAHRENHEIT = "°F"
    CELSIUS = "°C"
    SECOND = "s"
    MINUTE = "min"
    HOUR = "h"
    DAY = "days"
    DOLLAR = "$"
    DOLLAR_PER_HOUR = "$/h"
    PACKAGE = "packages"
    SHARE = "%"  # stored as a share: 0.15 is written 15 %
    MOISTURE = "% MC"
    COEFFICIENT = "per % MC"
    SPECIFIC_GRAVITY = "SG"


@dataclass(frozen=True, slots=True)
class Rule:
    """How a figure came about.

    words: the formula or choice, for a maker to read; source: publication, or `common practice, no source`,
    `from memory`, `typed`, `price book`; where: a symbolic address of the place that sets it, such as
    `practice:kerf`, `piece:7:length`, `price:12`, `job:3:terms`, which the web layer turns into a link.
    """

    words: str
    source: str = ""
    where: str = ""


@dataclass(frozen=True, slots=True)
class Figure:
    """A quantity in a unit, with its working. Money is in exact dollars [$], already rounded to the cent."""

    label: str
    value: Fraction
    unit: Unit
    rule: Rule
    came_from: tuple["Figure", ...] = ()

    @property
    def length(self) -> Length:
        """Return the value as a length. Raises ValueError when the unit is not inches."""
        if self.unit is not Unit.INCH:
            raise ValueError(f"{self.label} is in {self.unit.value}, not in inches")
        return Length(self.value)

    @property
    def money(self) -> Money:
        """Return the value as money. Raises ValueError when the unit is not dollars."""
        if self.unit is not Unit.DOLLAR:
            raise ValueError(f"{self.label} is in {self.unit.value}, not in dollars")
        return Money.of(self.value)

    def walk(self) -> Iterator["Figure"]:
        """Yield this figure and everything it came from, depth first."""
        yield self
        for source in self.came_from:
            yield from source.walk()


def typed(label: str, value: Length | Money | Fraction | int, unit: Unit | None = None, *, where: str = "") -> Figure:
    """Return a figure for something a person typed."""
    if isinstance(value, Length):
        value, unit = value.inches, Unit.INCH
    elif isinstance(value, Money):
        value, unit = value.dollars, Unit.DOLLAR
    exact = Fraction(value) if isinstance(value, int) else value
    return Figure(label, exact, unit or Unit.EACH, Rule("as typed", "typed", where))


def count(label: str, value: int | Fraction, words: str, *came_from: Figure, source: str = "") -> Figure:
    """Return a count of things, with the rule that gave it; one that came from nothing else was counted."""
    return Figure(label, Fraction(value), Unit.EACH, Rule(words, source or ("" if came_from else "counted")), came_from)


def add_up(label: str, figures: Iterable[Figure], unit: Unit, words: str = "added up") -> Figure:
    """Return the sum of figures in one unit; of none, zero.

    Raises ValueError when a figure is in another unit.
    """
    parts = tuple(figures)
    for part in parts:
        if part.unit is not unit:
            raise ValueError(f"cannot add {part.label} in {part.unit.value} to a sum in {unit.value}")
    return Figure(label, summed(part.value for part in parts), unit, Rule(words), parts)


def together(label: str, figures: Iterable[Figure], unit: Unit) -> Figure:
    """Return the sum of figures in one unit; of a single one, that figure itself. Raises ValueError as add_up()."""
    parts = tuple(figures)
    return parts[0] if len(parts) == 1 else add_up(label, parts, unit)
