"""What was typed on the price page about prices -> prices for the price book, or problems."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta
from fractions import Fraction

from domain.material import Material
from domain.price import Price
from domain.problem import Problem
from webapp.forms.field import Fields
from webapp.forms.price import LONGEST_LEAD, SOLD_BY_ANY_QUANTITY, USUAL_PACKAGES

ASKED = {
    "package": "Package",
    "holds": "Holds",
    "price": "Price of one package",
    "supplier": "Supplier",
    "lead_days": "Days until it comes",
}


def price_name(price_id: int) -> str:
    """Return the name of the field that holds the price of one package."""
    return f"price-{price_id}"


def read_price(posted: Mapping[str, str], price: Price, on: date) -> tuple[Price | None, list[Problem]]:
    """Return a price of the price book as typed again on this day, or None and every problem."""
    fields = Fields(posted)
    amount = fields.money(price_name(price.id), f"Price of one {price.package}")
    if amount is None:
        return None, fields.problems
    return replace(price, package_price=amount, priced_on=on), []


def missing_name(place: int, name: str) -> str:
    """Return the name of a field in the list of missing prices."""
    return f"missing-{place}-{name}"


def fill_missing(materials: Sequence[Material]) -> dict[str, str]:
    """Return the list of missing prices as the form shows it first."""
    shown: dict[str, str] = {}
    for place, material in enumerate(materials):
        package, holds = USUAL_PACKAGES[material.kind]
        said = {"material": material.key, "package": package, "holds": holds}
        typed = said | {"price": "", "supplier": "", "lead_days": ""}
        shown |= {missing_name(place, name): text for name, text in typed.items()}
    return shown


def materials_of(posted: Mapping[str, str]) -> tuple[Material, ...]:
    """Return the materials that the posted list asked for, in its order. Raises ValueError for a key that is none."""
    found: list[Material] = []
    while key := posted.get(missing_name(len(found), "material")):
        found.append(Material.from_key(key))
    return tuple(found)


def read_missing(
    posted: Mapping[str, str], materials: Sequence[Material], on: date
) -> tuple[tuple[Price, ...], list[Problem]]:
    """Return the prices typed into the list, or every problem. A line left as it was offered is none."""
    fields, usual = Fields(posted), fill_missing(materials)
    typed = [place for place in range(len(materials)) if _is_typed(posted, usual, place)]
    if not typed:
        fields.problem(missing_name(0, "price"), "No price is typed yet. Type at least one, such as 7.85.")
    prices = [_missing(fields, place, materials[place], on) for place in typed]
    return (() if fields.problems else tuple(price for price in prices if price)), fields.problems


def _is_typed(posted: Mapping[str, str], usual: Mapping[str, str], place: int) -> bool:
    names = (missing_name(place, name) for name in ASKED)
    return any(posted.get(name, usual[name]).strip() != usual[name] for name in names)


def _missing(fields: Fields, place: int, material: Material, on: date) -> Price | None:
    package = fields.text(missing_name(place, "package"), f"{material.title}: package", needed=True)
    holds = fields.number(missing_name(place, "holds"), f"{material.title}: how much the package holds")
    if holds == 0:
        words = f"{material.title}: a package that holds 0 covers nothing. Try 1 or 16."
        fields.problem(missing_name(place, "holds"), words)
    price = fields.money(missing_name(place, "price"), f"{material.title}: price of one package")
    supplier = fields.text(missing_name(place, "supplier"), f"{material.title}: supplier")
    asked = f"{material.title}: days until it comes"
    lead_days = fields.whole(missing_name(place, "lead_days"), asked, needed=False, most=LONGEST_LEAD)
    if not holds or price is None:
        return None
    return Price(
        id=0, material=material, description=material.title, supplier=supplier, package=package,
        package_quantity=Fraction(holds), package_price=price, priced_on=on,
        lead_time=timedelta(days=lead_days or 0), whole=material.kind not in SOLD_BY_ANY_QUANTITY,
    )  # fmt: skip
