"""An exact number as a person would type it: what a form shows is what its field reads back."""

from fractions import Fraction

from domain.length import Length, Unit

MILLION = 10**6


def as_typed(value: Fraction | int | None) -> str:
    """Return text that `Fields.number` reads back to the same number: `12`, `7.5`, `1 1/3`; empty for None."""
    if value is None:
        return ""
    whole, part = divmod(abs(Fraction(value)), 1)
    sign = "-" if value < 0 else ""
    if not part:
        return f"{sign}{whole}"
    if MILLION % part.denominator == 0:
        return f"{sign}{whole}" + f".{int(part * MILLION):06}".rstrip("0")
    return f"{sign}{whole} {part}" if whole else f"{sign}{part}"


def share_as_typed(share: Fraction | None) -> str:
    """Return a share in percent, as `Fields.share` reads it back: `17.5`."""
    return "" if share is None else as_typed(share * 100)


def size_as_typed(size: Length, unit: Unit) -> str:
    """Return a size as `Fields.size` reads it back exactly, in the shop's unit or with its own."""
    if unit == "mm":
        millimetres = size.in_mm
        return as_typed(millimetres) if MILLION % millimetres.denominator == 0 else f"{size.exact()} in"
    return size.exact()
