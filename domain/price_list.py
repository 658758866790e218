"""A price list against the price book: what is new, what replaces an older price; and what one unit costs."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction

from domain.figure import Figure, Rule, Unit
from domain.material import Material
from domain.price import Price, PriceBook

Offer = tuple[Material, str, str, Fraction]


@dataclass(frozen=True, slots=True)
class Listed:
    """One price of a list, with the id and version of the stored price that it replaces, if any."""

    price: Price
    replaces: Price | None = None

    @property
    def is_same(self) -> bool:
        """Whether nothing would change."""
        return self.price == self.replaces


def offer(price: Price) -> Offer:
    """Return what tells offers apart: material, supplier and package; capitals do not."""
    return price.material, price.supplier.casefold(), price.package.casefold(), price.package_quantity


def listed(prices: Iterable[Price], book: PriceBook) -> tuple[Listed, ...]:
    """Return the prices of a list, each with the stored price of the same offer that it replaces."""
    stored = {offer(price): price for price in reversed(book.prices)}
    return tuple(_against(price, stored.get(offer(price))) for price in prices)


def _against(price: Price, old: Price | None) -> Listed:
    return Listed(price) if old is None else Listed(replace(price, id=old.id, version=old.version), old)


def unit_price(price: Price) -> Figure:
    """Return what one base unit of the material costs [$], with its working."""
    said = Rule(f"priced on {price.priced_on.isoformat()}", "price book", price.where)
    whole = Figure(f"One {price.package}", price.package_price.dollars, Unit.DOLLAR, said)
    holds = Figure(f"One {price.package} holds", price.package_quantity, price.material.unit, said)
    label = f"{price.description}, {one_of(price.material.unit)}"
    return Figure(label, price.unit_price, Unit.DOLLAR, Rule("price ÷ what the package holds"), (whole, holds))


def one_of(unit: Unit) -> str:
    """Return what one base unit is called: `each`, `a sheet`, `a bf`."""
    return "each" if unit is Unit.EACH else "a sheet" if unit is Unit.SHEET else f"a {unit.value}"
