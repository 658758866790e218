"""What is left of a job's material once it is built, so that it can go back into stock."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from domain.figure import Figure, Rule
from domain.material import Material, MaterialKind
from domain.order import Order
from domain.rack import CUT_FROM
from domain.take_off import TakeOffLine

SOME = Fraction(1, 10)
LEAST = {MaterialKind.FINISH: Fraction(1, 50)}
"""Less than this of a material's base unit is not worth a place on the shelf: common practice, no source."""


@dataclass(frozen=True, slots=True)
class LeftOver:
    """quantity: in the material's base unit, enough to keep."""

    material: Material
    quantity: Figure


def left_over(
    needs: Iterable[TakeOffLine], orders: Sequence[Order], *, job_id: int, laid_out: bool = False
) -> tuple[LeftOver, ...]:
    """Return what came for a job beyond what it needed, by material. A guess from figures: the shelf knows better.

    laid_out: boards and sheets are cut by a layout, so what is left of them lies on the rack, piece by piece.
    """
    needed = {need.material: need.needed for need in needs}
    came: dict[Material, Fraction] = {}
    lines = (line for order in orders for line in order.lines if line.received)
    for line in (line for line in lines if not (laid_out and line.material.kind in CUT_FROM)):
        came[line.material] = came.get(line.material, Fraction(0)) + line.received * line.package_quantity
    found = (_left(material, quantity, needed.get(material), job_id) for material, quantity in came.items())
    return tuple(left for left in found if left.quantity.value >= LEAST.get(left.material.kind, SOME))


def _left(material: Material, quantity: Fraction, needed: Figure | None, job_id: int) -> LeftOver:
    received = Figure(
        "Came with this job's orders", quantity, material.unit, Rule("received", where=f"job:{job_id}:order")
    )
    rule = Rule("came less needed")
    sources = (received, needed) if needed else (received,)
    value = quantity - (needed.value if needed else 0)
    return LeftOver(material, Figure(f"{material.title} left over", value, material.unit, rule, sources))
