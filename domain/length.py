"""Lengths in exact inches, read the way makers type them."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Literal

Unit = Literal["in", "mm"]

INCHES_PER = {
    "in": Fraction(1),
    "ft": Fraction(12),
    "mm": Fraction(5, 127),
    "cm": Fraction(50, 127),
    "m": Fraction(5000, 127),
}
"""Exact: 1 in is 25.4 mm and 1 ft is 12 in (international yard and pound agreement, 1959)."""

LONGEST_TEXT = 40

_VULGAR = str.maketrans({
    "¼": " 1/4", "½": " 1/2", "¾": " 3/4", "⅛": " 1/8", "⅜": " 3/8", "⅝": " 5/8", "⅞": " 7/8",
    "⅓": " 1/3", "⅔": " 2/3", "⁄": "/", "’": "'", "′": "'", "‘": "'", "”": '"', "″": '"', "“": '"', "\u00a0": " ",
})  # fmt: skip
_NUMBER = r"(?:\d{1,7}[ -]+\d{1,4}/\d{1,4}|\d{1,7}/\d{1,4}|\d{1,7}(?:\.\d{1,6})?|\.\d{1,6})"
_FEET = re.compile(
    rf"(?P<feet>{_NUMBER})\s*(?:'|ft\.?|feet|foot)\s*-?\s*(?:(?P<inches>{_NUMBER})\s*(?:\"|''|in\.?|inch|inches)?)?",
    re.ASCII,
)
_PLAIN = re.compile(rf"(?P<number>{_NUMBER})\s*(?P<unit>\"|''|in\.?|inch|inches|mm|cm|m)?", re.ASCII)


@dataclass(frozen=True, slots=True, order=True)
class Length:
    """A length in exact inches [in]; may be zero or negative as a difference."""

    inches: Fraction

    def __post_init__(self) -> None:
        if type(self.inches) is not Fraction:
            raise TypeError(f"inches must be a Fraction, not {self.inches!r}")

    @classmethod
    def of(cls, inches: str | int | Fraction) -> "Length":
        """Return a length from an exact number of inches, such as 4, "3/4" or "0.5"."""
        return cls(Fraction(inches))

    @classmethod
    def feet(cls, feet: str | int | Fraction) -> "Length":
        return cls(Fraction(feet) * 12)

    @classmethod
    def mm(cls, millimetres: str | int | Fraction) -> "Length":
        return cls(Fraction(millimetres) * INCHES_PER["mm"])

    @classmethod
    def parse(cls, text: str, *, bare: Unit = "in") -> "Length":
        """Return the length a person typed: 25 1/4, 25-1/4", 8' 6, 641 mm.

        bare: the unit of a number typed without one.
        Raises ValueError, worded for the person, when the text is not a length.
        """
        return cls(_read(text, bare))

    def __add__(self, other: "Length") -> "Length":
        return Length(self.inches + other.inches)

    def __sub__(self, other: "Length") -> "Length":
        return Length(self.inches - other.inches)

    def __mul__(self, factor: int | Fraction) -> "Length":
        return Length(self.inches * factor)

    __rmul__ = __mul__

    def __neg__(self) -> "Length":
        return Length(-self.inches)

    def __truediv__(self, divisor: "int | Fraction") -> "Length":
        return Length(self.inches / divisor)

    @property
    def in_feet(self) -> Fraction:
        return self.inches / 12

    @property
    def in_mm(self) -> Fraction:
        return self.inches / INCHES_PER["mm"]

    def exact(self) -> str:
        """Return text that parse() reads back to the very same length: `25 1/4`."""
        whole, part = divmod(abs(self.inches), 1)
        sign = "-" if self.inches < 0 else ""
        if not part:
            return f"{sign}{whole}"
        return f"{sign}{whole} {part}" if whole else f"{sign}{part}"

    def tape(self, *, precision: int = 16, unit: Unit = "in") -> str:
        """Return the nearest tape mark: `25 1/4 in`, or the nearest half millimetre: `641.5 mm`.

        precision: marks to the inch; halves go up. A size off the mark starts with `about `.
        """
        marks = 2 if unit == "mm" else precision
        value = self.in_mm if unit == "mm" else self.inches
        nearest = Fraction((2 * abs(value) * marks + 1) // 2, marks)
        about = "" if nearest == abs(value) else "about "
        sign = "-" if value < 0 and nearest else ""
        if unit == "mm":
            return f"{about}{sign}{float(nearest):g} mm"
        return f"{about}{sign}{Length(nearest).exact()} in"


ZERO = Length(Fraction(0))


def total(lengths: Iterable[Length]) -> Length:
    """Return the sum; of none, zero."""
    return sum(lengths, ZERO)


@lru_cache(maxsize=4096)
def _read(text: str, bare: Unit) -> Fraction:
    typed = text.translate(_VULGAR).strip().lower()
    if not typed or len(typed) > LONGEST_TEXT:
        raise ValueError(_not_a_size(text))
    try:
        if match := _FEET.fullmatch(typed):
            inches = _number(match["feet"]) * 12 + (_number(match["inches"]) if match["inches"] else 0)
        elif match := _PLAIN.fullmatch(typed):
            unit = (match["unit"] or bare).rstrip(".")
            inches = _number(match["number"]) * INCHES_PER.get(unit, Fraction(1))
        else:
            raise ValueError(_not_a_size(text))
    except ZeroDivisionError:
        raise ValueError(_not_a_size(text)) from None
    return inches


def _number(text: str) -> Fraction:
    return sum((Fraction(part) for part in re.split(r"[ -]+", text)), Fraction(0))


def _not_a_size(text: str) -> str:
    shown = text if len(text) <= LONGEST_TEXT else f"{text[:LONGEST_TEXT]}…"
    return f"“{shown}” is not a size. Try 25 1/4, 8' 6 or 641 mm."
