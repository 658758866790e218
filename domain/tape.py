"""Small sizes as a maker says them, by the shop's own tape."""

from fractions import Fraction

from domain.length import Length
from domain.shop import Shop


def near(size: Fraction, shop: Shop) -> str:
    """Return a small size [in] at the nearest mark, its sign left off: `about 1/8 in`, `less than 1/16 in`."""
    if not size:
        return "nothing to speak of"
    mark = _mark(shop)
    if abs(size) < mark / 2:
        return f"less than {_said(mark, shop)}"
    return _said(abs(size), shop)


def at_least(size: Fraction, shop: Shop) -> str:
    """Return a size [in] at the first mark of the tape that is not below it: `3/16 in`."""
    mark = _mark(shop)
    return _said(-(-size // mark) * mark, shop)


def _mark(shop: Shop) -> Fraction:
    return Length.mm("1").inches if shop.unit == "mm" else Fraction(1, shop.precision)


def _said(size: Fraction, shop: Shop) -> str:
    return Length(size).tape(precision=shop.precision, unit=shop.unit)
