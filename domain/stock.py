"""What lies in the shop: leftovers, and what is set aside for a job."""

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from domain.material import Material


@dataclass(frozen=True, slots=True)
class StockItem:
    """So much of a material [its base unit]. set_aside_for: the job that has it, used or not, until it closes.

    Raises ValueError for a negative quantity.
    """

    id: int
    material: Material
    quantity: Fraction
    set_aside_for: int | None = None
    note: str = ""
    version: int = 1

    def __post_init__(self) -> None:
        if self.quantity < 0:
            raise ValueError(f"stock is at least 0, not {self.quantity} {self.material.unit.value}")


def in_stock(stock: Iterable[StockItem], material: Material, *, job_id: int) -> Fraction:
    """Return how much of a material a job may take [its base unit]: its own and what no job has set aside."""
    return sum(
        (item.quantity for item in stock if item.material == material and item.set_aside_for in (None, job_id)),
        Fraction(0),
    )
