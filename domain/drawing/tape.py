"""How sizes are written on a drawing: by the shop's tape, as near as it can be cut to."""

from dataclasses import dataclass
from functools import lru_cache

from domain.length import Length, Unit
from domain.shop import Shop


@dataclass(frozen=True, slots=True)
class Tape:
    """The shop's tape. precision: marks to the inch."""

    precision: int = 16
    unit: Unit = "in"

    @classmethod
    def of(cls, shop: Shop) -> "Tape":
        return cls(shop.precision, shop.unit)

    def mark(self, size: Length) -> str:
        """Return a size to cut to: exactly where a 64th says it, else at the nearest mark of the tape."""
        return _mark(size, self.precision, self.unit)

    def bare(self, size: Length) -> str:
        """Return a size as a drawing has it, never broken, its unit said once: `25 1/4`, `≈ 2 5/16`."""
        bare = self.mark(size).removesuffix(f" {self.unit}").replace("about ", "≈ ")
        return bare.replace(" ", "\N{NO-BREAK SPACE}")

    @property
    def unit_words(self) -> str:
        return "millimetres" if self.unit == "mm" else "inches"


@lru_cache(maxsize=4096)
def _mark(size: Length, precision: int, unit: Unit) -> str:
    """Return the same; a layout names the same few sizes over and over."""
    fine = (size.tape(precision=marks, unit=unit) for marks in (precision, 32, 64))
    exactly = (text for text in fine if not text.startswith("about"))
    return next(exactly, None) or size.tape(precision=precision, unit=unit)
