"""What things cost: the price book, whole packages, and the two ways to state a profit."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from fractions import Fraction
from math import ceil, gcd, lcm

from domain.figure import Figure, Rule, Unit
from domain.material import Material
from domain.money import NOTHING, Money
from domain.practice import ShopPractice
from domain.problem import Problem


@dataclass(frozen=True, slots=True)
class Markup:
    """Profit as a share of the cost: 20 % on a cost of $80,000.00 sells at $96,000.00.

    Raises ValueError for a negative share.
    """

    of_cost: Fraction

    def __post_init__(self) -> None:
        if self.of_cost < 0:
            raise ValueError(f"a markup is at least 0 %, not {self.of_cost}")

    def price(self, cost: Money) -> Money:
        return Money.of(cost.dollars * (1 + self.of_cost))

    def as_margin(self) -> "Margin":
        """Return the margin that gives the same price."""
        return Margin(self.of_cost / (1 + self.of_cost))


@dataclass(frozen=True, slots=True)
class Margin:
    """Profit as a share of the price: 20 % on a cost of $80,000.00 sells at $100,000.00.

    Raises ValueError for a negative share, and for one that no price can give (100 % or more).
    """

    of_price: Fraction

    def __post_init__(self) -> None:
        if not 0 <= self.of_price < 1:
            raise ValueError(f"a margin is at least 0 % and below 100 %, not {self.of_price}")

    def price(self, cost: Money) -> Money:
        return Money.of(cost.dollars / (1 - self.of_price))

    def as_markup(self) -> Markup:
        """Return the markup that gives the same price."""
        return Markup(self.of_price / (1 - self.of_price))


Profit = Markup | Margin


def recovery_rate(overhead: Money, base: Money) -> Fraction:
    """Return a year's overhead as a share of a year's base (direct cost, labour cost or revenue: say which).

    Raises ValueError for a base that is not positive.
    """
    if base <= NOTHING:
        raise ValueError(f"overhead needs a base above zero to be shared over, not {base.plain()}")
    return overhead.dollars / base.dollars


@dataclass(frozen=True, slots=True)
class Price:
    """What one package of a material costs at one supplier.

    package: what it is, such as `sheet`, `16 fl oz bottle`, `box of 100`; package_quantity: how much of the
    material, in its base unit; whole: sold in whole packages only, as against boards by any board foot;
    lead_time: from ordering to the bench, day and night; taxed: the shop pays or charges sales tax on it.
    id: of a board or sheet with a price of its own, the number it has on the rack, negative.
    Raises ValueError for a package that holds nothing, a negative price or a negative lead time.
    """

    id: int
    material: Material
    description: str
    supplier: str
    package: str
    package_quantity: Fraction
    package_price: Money
    priced_on: date
    lead_time: timedelta = timedelta()
    whole: bool = True
    taxed: bool = True
    version: int = 1

    def __post_init__(self) -> None:
        if self.package_quantity <= 0:
            raise ValueError(f"a package holds more than {self.package_quantity} {self.material.unit.value}")
        if self.package_price < NOTHING or self.lead_time < timedelta():
            raise ValueError(f"price and lead time are at least 0: {self.package_price}, {self.lead_time}")

    @property
    def unit_price(self) -> Fraction:
        """Return the exact price of one base unit [$]."""
        return self.package_price.dollars / self.package_quantity

    @property
    def where(self) -> str:
        return f"rack:{-self.id}" if self.is_listed else f"price:{self.id}"

    @property
    def is_listed(self) -> bool:
        """Whether it is the price of one board or sheet of the rack, which has its number there for an id, negative."""
        return self.id < 0

    def is_old(self, on: date, practice: ShopPractice) -> bool:
        """Whether it was last checked longer ago than the shop lets a price stand."""
        return (on - self.priced_on).days > practice.value("price_age_days")


@dataclass(frozen=True, slots=True)
class Packages:
    """So many packages at one price; a whole count unless the price is by any quantity."""

    price: Price
    count: Fraction

    @property
    def holds(self) -> Fraction:
        """Return how much material they hold, in its base unit."""
        return self.count * self.price.package_quantity

    @property
    def extension(self) -> Money:
        return Money.of(self.count * self.price.package_price.dollars)

    def figure(self, needed: Figure) -> Figure:
        """Return the extension with its working, from the needed quantity."""
        price = self.price
        one = f"One {price.package} from {price.supplier}"
        said = "as listed on the rack" if price.is_listed else f"priced on {price.priced_on.isoformat()}"
        priced = Rule(said, "typed" if price.is_listed else "price book", price.where)
        each = Figure(one, price.package_price.dollars, Unit.DOLLAR, priced)
        sold = Rule("as sold", "price book", price.where)
        holds = Figure(f"One {price.package} holds", price.package_quantity, price.material.unit, sold)
        bought = "whole packages that cover what is needed" if price.whole else "sold by any quantity"
        count = Figure("Packages to buy", self.count, Unit.PACKAGE, Rule(bought), (needed, holds))
        rule = Rule("packages × price of one, to the cent", where=price.where)
        return Figure(price.description, self.extension.dollars, Unit.DOLLAR, rule, (count, each))


@dataclass(frozen=True, slots=True)
class PriceBook:
    """Every price the shop knows, found by material."""

    prices: tuple[Price, ...] = ()
    _by_material: Mapping[Material, tuple[Price, ...]] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        found: dict[Material, tuple[Price, ...]] = {}
        for price in self.prices:
            found[price.material] = (*found.get(price.material, ()), price)
        object.__setattr__(self, "_by_material", found)

    @property
    def materials(self) -> Iterable[Material]:
        """Return every material that has a price, each once."""
        return self._by_material.keys()

    def of(self, material: Material) -> tuple[Price, ...]:
        return self._by_material.get(material, ())

    def cover(self, material: Material, needed: Fraction) -> tuple[Packages, ...]:
        """Return the cheapest packages that hold at least what is needed, in the material's base unit.

        Of nothing needed, none. Raises KeyError when the material has no price: ask missing() first.
        """
        if not self.of(material):
            raise KeyError(material.key)
        return cheapest(self.of(material), needed)

    def missing(self, material: Material) -> Problem | None:
        """Return the problem of a material without a price; its field is its address."""
        if self.of(material):
            return None
        what = f"{material.title} ({material.kind.value})"
        return Problem(
            f"material:{material.key}", f"No price for {what}. Add one to the price book; 0 if it costs nothing."
        )


def cheapest(prices: Iterable[Price], needed: Fraction) -> tuple[Packages, ...]:
    """Return the cheapest mix of packages of one material that holds at least what is needed [its base unit].

    Exact. The best buy per unit fills up; each other size is tried in the few counts that could still pay:
    never so many that whole packages of the best buy hold the same, never at more than the best mix so far.
    """
    if needed <= 0:
        return ()
    offers = sorted(prices, key=lambda price: (price.unit_price, -price.package_quantity, price.id))
    whole = [price for price in offers if price.whole]
    loose = next((price for price in offers if not price.whole), None)
    if loose and (not whole or loose.unit_price <= whole[0].unit_price):
        return (Packages(loose, needed / loose.package_quantity),)
    if len(whole) == 1 and not loose:
        return (Packages(whole[0], Fraction(ceil(needed / whole[0].package_quantity))),)
    search = _Search(needed, whole, loose)
    bought = [Packages(price, Fraction(count)) for price, count in zip(whole, search.counts, strict=True) if count]
    rest = needed - sum(packages.holds for packages in bought)
    return (*bought, Packages(loose, rest / loose.package_quantity)) if loose and rest > 0 else tuple(bought)


class _Search:
    """The search for the cheapest counts of whole packages, best buy first, in whole cents and whole crumbs.

    A crumb is a quantity that divides every package and the need. counts: the answer, in the order of `whole`.
    """

    def __init__(self, needed: Fraction, whole: Sequence[Price], loose: Price | None) -> None:
        offers = (*whole, loose) if loose else whole
        crumbs = lcm(needed.denominator, *(price.package_quantity.denominator for price in offers))
        sizes = [(int(price.package_quantity * crumbs), price.package_price.cents) for price in offers]
        self._best, *self._others = sizes[: len(whole)]
        self._loose = sizes[-1] if loose else None
        need = int(needed * crumbs)
        alone = -(-need // self._best[0])
        self.counts: tuple[int, ...] = (alone, *(0 for _ in self._others))
        self._cost = alone * self._best[1]
        self._add_to((), 0, need)

    def _add_to(self, counts: tuple[int, ...], cost: int, rest: int) -> None:
        """Try every way to cover the rest that could still be cheaper. counts: of the other sizes so far."""
        if rest <= 0 or len(counts) == len(self._others):
            self._fill_up(counts, cost, max(rest, 0))
            return
        holds, cents = self._others[len(counts)]
        best_holds, best_cents = self._best
        for count in range(best_holds // gcd(holds, best_holds)):
            left, paid = rest - count * holds, cost + count * cents
            if (self._cost - paid) * best_holds <= max(left, 0) * best_cents:
                break
            self._add_to((*counts, count), paid, left)
            if left <= 0:
                break

    def _fill_up(self, counts: tuple[int, ...], cost: int, rest: int) -> None:
        holds, cents = self._best
        counts += (0,) * (len(self._others) - len(counts))
        self._keep((-(-rest // holds), *counts), cost + -(-rest // holds) * cents)
        if self._loose:
            loose_holds, loose_cents = self._loose
            left = rest % holds
            by_the_unit = (2 * left * loose_cents + loose_holds) // (2 * loose_holds)
            self._keep((rest // holds, *counts), cost + rest // holds * cents + by_the_unit)

    def _keep(self, counts: tuple[int, ...], cost: int) -> None:
        if cost < self._cost:
            self.counts, self._cost = counts, cost
