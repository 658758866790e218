"""Whole cans across the job: what is bought for what is needed, and which of it is left over."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from domain.figure import Figure, Rule, Unit
from domain.material import Material
from domain.price import Packages

SOME_LEFT = Fraction(1, 100)
"""Less than this of a gallon is no rest worth keeping: common practice, no source."""


@dataclass(frozen=True, slots=True)
class Cans:
    """One finish or stain in the cans it is bought in. needed, bought, left [gal]: left + needed = bought.

    last: the smallest can bought, which is the one left open; share_left: of that can, at most the whole of it.
    """

    material: Material
    needed: Figure
    packages: tuple[Packages, ...]
    bought: Figure
    left: Figure
    last: str
    share_left: Figure

    @property
    def is_worth_keeping(self) -> bool:
        return self.left.value >= SOME_LEFT


def cans(material: Material, needed: Figure, packages: Sequence[Packages]) -> Cans:
    """Return what is left of cans that hold at least what is needed.

    needed: in the material's base unit. Raises ValueError when the cans hold less, or there are none.
    """
    if not packages:
        raise ValueError(f"no cans of {material.title}")
    held = tuple(_held(one, material) for one in packages)
    bought = Figure(f"{material.title} bought", sum((one.value for one in held), Fraction(0)), material.unit,
                    Rule("what the cans hold, added up"), held)  # fmt: skip
    if bought.value < needed.value:
        raise ValueError(f"the cans hold {bought.value} {bought.unit.value}, less than the {needed.value} needed")
    rest = Rule("bought less needed")
    left = Figure(f"{material.title} left over", bought.value - needed.value, material.unit, rest, (bought, needed))
    smallest = min(packages, key=lambda one: one.price.package_quantity).price
    holds = Figure(f"One {smallest.package} holds", smallest.package_quantity, material.unit,
                   Rule("as sold", "price book", smallest.where))  # fmt: skip
    share = Fraction(round(min(left.value / holds.value, Fraction(1)) * 100), 100)
    words = Rule("left over ÷ what the smallest can holds, at most the whole can, to a whole percent")
    return Cans(material, needed, tuple(packages), bought, left, smallest.package,
                Figure("Share of the last can", share, Unit.SHARE, words, (left, holds)))  # fmt: skip


def _held(one: Packages, material: Material) -> Figure:
    price = one.price
    sold = Rule("as sold", "price book", price.where)
    each = Figure(f"One {price.package} holds", price.package_quantity, material.unit, sold)
    count = Figure(
        "Cans", one.count, Unit.PACKAGE, Rule("whole cans that cover what is needed", "price book", price.where)
    )
    return Figure(f"{price.package} from {price.supplier}", one.holds, material.unit, Rule("cans × what one holds"),
                  (count, each))  # fmt: skip
