"""Lengths in exact inches, read the way makers type them."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Literal

from domain.words import LONGEST_SHOWN, cut_short

Unit = Literal["in", "mm"]

INCHES_PER = {
    "in": Fraction(1),
    "ft": Fraction(12),
    "mm": Fraction(5, 127),
    "cm": Fraction(50, 127),
    "m": Fraction(5000, 127),
}
"""Exact: 1 in is 25.4 mm and 1 ft is 12 in (international yard and pound agreement, 1959)."""

_SIGNS = str.maketrans({
    "¼": " 1/4", "½": " 1/2", "¾": " 3/4", "⅛": " 1/8", "⅜": " 3/8", "⅝": " 5/8", "⅞": " 7/8",
    "⅓": " 1/3", "⅔": " 2/3", "⁄": "/", "’": "'", "′": "'", "‘": "'", "´": "'", "”": '"', "″": '"', "“": '"',
    "\u00a0": " ", "\u2009": " ", "\u202f": " ", "−": "-", "–": "-", "\u2011": "-",
})  # fmt: skip
"""Signs of keyboards and word processors that mean a plain one: fractions, feet and inch marks, spaces, minus."""

_WHOLE = r"\d{1,7}"
_PART = r"\d{1,12}/\d{1,12}"
_NUMBER = rf"(?:{_WHOLE}[ -]+{_PART}|{_PART}|{_WHOLE}(?:\.\d{{1,6}})?|\.\d{{1,6}})"
_FEET = re.compile(
    rf"(?P<feet>{_NUMBER}) ?(?:'|ft\.?|feet|foot)"
    rf"(?: ?-? ?(?P<inches>{_NUMBER}) ?(?:\"|''|in\.?|inch|inches)?)?",
    re.ASCII,
)
_PLAIN = re.compile(rf"(?P<number>{_NUMBER}) ?(?P<unit>\"|''|in\.?|inch|inches|mm|cm|m)?", re.ASCII)


@dataclass(frozen=True, slots=True)
class Length:
    """A length in exact inches [in]; may be zero or negative as a difference."""

    inches: Fraction

    def __post_init__(self) -> None:
        if type(self.inches) is not Fraction:
            raise TypeError(f"inches must be a Fraction, not {self.inches!r}")

    @classmethod
    def of(cls, inches: str | int | Fraction) -> "Length":
        """Return a length from an exact number of inches, such as 4, "3/4" or "0.5"."""
        return cls(_exact(inches))

    @classmethod
    def feet(cls, feet: str | int | Fraction) -> "Length":
        return cls(_exact(feet) * 12)

    @classmethod
    def mm(cls, millimetres: str | int | Fraction) -> "Length":
        return cls(_exact(millimetres) * INCHES_PER["mm"])

    @classmethod
    def parse(cls, text: str, *, bare: Unit = "in", signed: bool = False) -> "Length":
        """Return the length a person typed: 25 1/4, 25-1/4", 8' 6, 641 mm.

        bare: the unit of a number typed without one; signed: whether `-1/4` may be typed, as a difference.
        Raises ValueError, worded for the person, when the text is not a length.
        """
        plain = text.translate(_SIGNS).strip() if len(text) <= LONGEST_SHOWN else ""
        if signed and plain[:1] in ("-", "+"):
            inches = _read(plain[1:].lstrip(), bare, text)
            return cls(-inches if plain[0] == "-" else inches)
        return cls(_read(plain, bare, text))

    def __lt__(self, other: "Length") -> bool:
        return self.inches < other.inches

    def __le__(self, other: "Length") -> bool:
        return self.inches <= other.inches

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
        """Return text in inches that parse() reads back to the very same length: `25 1/4`.

        So it is for every length that was typed; a negative one is read back as signed.
        """
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
            return f"{about}{sign}{nearest.numerator // nearest.denominator}{'.5' * (nearest % 1 != 0)} mm"
        return f"{about}{sign}{Length(nearest).exact()} in"


ZERO = Length(Fraction(0))


def total(lengths: Iterable[Length]) -> Length:
    """Return the sum; of none, zero."""
    return sum(lengths, ZERO)


def _exact(number: str | int | Fraction) -> Fraction:
    if isinstance(number, float):
        raise TypeError(f"a length is never made from a float such as {number!r}")
    return Fraction(number)


@lru_cache(maxsize=4096)
def _read(plain: str, bare: Unit, text: str) -> Fraction:
    """Return inches from plain text. text: what was typed, for the message."""
    words = re.sub(r" ?/ ?", "/", re.sub(r"\s+", " ", plain)).lower()
    try:
        if match := _FEET.fullmatch(words):
            return _feet_and_inches(match["feet"], match["inches"], text)
        if match := _PLAIN.fullmatch(words):
            unit = (match["unit"] or bare).rstrip(".")
            return _number(match["number"], text) * INCHES_PER.get(unit, Fraction(1))
    except ZeroDivisionError:
        pass
    raise ValueError(_not_a_size(text))


def _feet_and_inches(feet: str, inches: str | None, text: str) -> Fraction:
    if inches is None:
        return _number(feet, text) * 12
    whole, part = _number(feet, text), _number(inches, text)
    if whole.denominator != 1 or part >= 12:
        raise ValueError(f"“{text}” is feet and inches that do not fit together. Try 8' 6 or 8 1/2 ft.")
    return whole * 12 + part


def _number(words: str, text: str) -> Fraction:
    """Return the number of `25`, `1/4`, `25-1/4` or `25.25`."""
    *whole, part = (Fraction(one) for one in re.split(r"[ -]+", words))
    if whole and part >= 1:
        raise ValueError(f"“{text}” has a fraction of one or more after a whole number. Try 25 1/4.")
    return sum(whole, part)


def _not_a_size(text: str) -> str:
    if re.fullmatch(r"\s*\d+,\d+.*", text, re.ASCII):
        return f"“{cut_short(text)}” has a comma. Write parts with a point and thousands without: 1.5 or 1500."
    return f"“{cut_short(text)}” is not a size. Try 25 1/4, 8' 6 or 641 mm."
