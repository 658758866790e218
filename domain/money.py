"""Money in whole cents, and its one rounding."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from domain.words import cut_short

_TYPED = re.compile(
    r"\$?\s*(?:(?P<whole>\d{1,3}(?:,\d{3}){1,3}|\d{1,10})(?P<part>\.\d{1,2})?|(?P<cents>\.\d{1,2}))", re.ASCII
)


@dataclass(frozen=True, slots=True, order=True)
class Money:
    """An amount in whole cents; negative for a credit."""

    cents: int

    def __post_init__(self) -> None:
        if type(self.cents) is not int:
            raise TypeError(f"cents must be an int, not {self.cents!r}")

    @classmethod
    def of(cls, dollars: Fraction) -> "Money":
        """Round exact dollars to cents, half a cent away from zero. Raises TypeError for a float."""
        if isinstance(dollars, float):
            raise TypeError(f"money is never made from a float such as {dollars!r}")
        above, under = dollars.as_integer_ratio()
        cents = (200 * abs(above) + under) // (2 * under)
        return cls(cents if above >= 0 else -cents)

    @classmethod
    def parse(cls, text: str) -> "Money":
        """Return the amount a person typed: 7.85, $1,250 or 0.

        Raises ValueError, worded for the person; `1,5` is refused as ambiguous.
        """
        match = _TYPED.fullmatch(text.strip())
        if not match:
            raise ValueError(_not_an_amount(text))
        whole, part = match["whole"] or "0", match["part"] or match["cents"] or ""
        return cls.of(Fraction(whole.replace(",", "") + part))

    @property
    def dollars(self) -> Fraction:
        return Fraction(self.cents, 100)

    def __add__(self, other: "Money") -> "Money":
        return Money(self.cents + other.cents)

    def __sub__(self, other: "Money") -> "Money":
        return Money(self.cents - other.cents)

    def __neg__(self) -> "Money":
        return Money(-self.cents)

    def plain(self) -> str:
        """Return the amount without sign or separators, as a person would type it: `1250.00`."""
        return f"{'-' if self.cents < 0 else ''}{abs(self.cents) // 100}.{abs(self.cents) % 100:02}"


NOTHING = Money(0)


def _not_an_amount(text: str) -> str:
    if re.fullmatch(r"\W*\d+,\d{1,2}", text.strip(), re.ASCII):
        return f"“{cut_short(text)}” has a comma where cents go. Write 1.50, or 1,500 for thousands."
    return f"“{cut_short(text)}” is not an amount. Try 7.85 or 1250."


def total(amounts: Iterable[Money]) -> Money:
    """Return the sum; of none, nothing."""
    return Money(sum(amount.cents for amount in amounts))


def split(amount: Money, shares: Sequence[Fraction]) -> tuple[Money, ...]:
    """Return the amount split by shares that add up to 1, without losing a cent.

    Each part is the difference of rounded running totals, so the parts add back up to the amount.
    Raises ValueError when the shares do not add up to 1.
    """
    if sum(shares) != 1:
        raise ValueError(f"the shares add up to {sum(shares)}, not to 1")
    parts, so_far, paid = [], Fraction(0), NOTHING
    for share in shares:
        so_far += share
        upto = Money.of(amount.dollars * so_far)
        parts.append(upto - paid)
        paid = upto
    return tuple(parts)
