"""What was typed about a price -> a Price, or problems."""

from collections.abc import Mapping
from datetime import date, timedelta
from fractions import Fraction

from domain.material import MaterialKind
from domain.price import Price
from domain.problem import Problem
from webapp.forms import material as material_forms
from webapp.forms.field import Fields
from webapp.forms.number import as_typed

LABELS = {
    "name": "Name",
    "size": "Size",
    "grade": "Grade",
    "supplier": "Supplier",
    "description": "What the supplier calls it",
    "package": "Package",
    "holds": "One package holds",
    "price": "Price of one package",
    "priced_on": "Priced on",
    "lead_days": "Lead time",
    "whole": "Sold in whole packages only",
    "taxed": "Sales tax is charged on it",
}

USUAL_PACKAGES = {
    MaterialKind.LUMBER: ("board foot", "1"),
    MaterialKind.SHEET: ("sheet", "1"),
    MaterialKind.GLUE: ("bottle", ""),
    MaterialKind.FINISH: ("can", ""),
    MaterialKind.FASTENER: ("box", ""),
    MaterialKind.EDGE_STRIP: ("roll", ""),
    MaterialKind.ABRASIVE: ("each", "1"),
    MaterialKind.HARDWARE: ("each", "1"),
    MaterialKind.OTHER: ("each", "1"),
}
"""Package and how much it holds, offered to start from: common practice, no source. Blank where they differ."""

SOLD_BY_ANY_QUANTITY = frozenset({MaterialKind.LUMBER})
"""Boards are bought by the board foot, everything else in whole packages; the price book can say otherwise."""

LONGEST_LEAD = 730


def blank(kind: MaterialKind, today: date) -> dict[str, str]:
    """Return what a new price starts with."""
    package, holds = USUAL_PACKAGES[kind]
    return dict.fromkeys(LABELS, "") | {
        "kind": kind.value,
        "package": package,
        "holds": holds,
        "priced_on": today.isoformat(),
        "lead_days": "0",
        "whole": "" if kind in SOLD_BY_ANY_QUANTITY else "yes",
        "taxed": "yes",
    }


def fill(price: Price) -> dict[str, str]:
    """Return a price as the form shows it."""
    own_words = price.description if price.description != price.material.title else ""
    return material_forms.fill(price.material) | {
        "supplier": price.supplier,
        "description": own_words,
        "package": price.package,
        "holds": as_typed(price.package_quantity),
        "price": price.package_price.plain(),
        "priced_on": price.priced_on.isoformat(),
        "lead_days": str(price.lead_time.days),
        "whole": "yes" if price.whole else "",
        "taxed": "yes" if price.taxed else "",
    }


def read(
    posted: Mapping[str, str], *, today: date, price_id: int = 0, version: int = 1
) -> tuple[Price | None, list[Problem]]:
    """Return the price as typed, or None and every problem. today: when it counts as priced if no day is typed."""
    fields = Fields(posted)
    kind = material_forms.read_kind(fields)
    if kind is None:
        return None, fields.problems
    material = material_forms.read(fields, kind)
    supplier = fields.text("supplier", LABELS["supplier"], needed=True)
    description = fields.text("description", LABELS["description"])
    package = fields.text("package", LABELS["package"], needed=True)
    holds = fields.number("holds", LABELS["holds"], least=Fraction(1, 1000))
    amount = fields.money("price", LABELS["price"])
    priced_on = fields.day("priced_on", LABELS["priced_on"]) or today
    if priced_on > today:
        fields.problem(
            "priced_on", f"Priced on {priced_on.isoformat()} is still to come. Today is {today.isoformat()}."
        )
    lead_days = fields.whole("lead_days", LABELS["lead_days"], needed=False, most=LONGEST_LEAD) or 0
    if fields.problems or material is None or holds is None or amount is None:
        return None, fields.problems
    price = Price(
        id=price_id, material=material, description=description or material.title, supplier=supplier, package=package,
        package_quantity=holds, package_price=amount, priced_on=priced_on, lead_time=timedelta(days=lead_days),
        whole=fields.tick("whole"), taxed=fields.tick("taxed"), version=version,
    )  # fmt: skip
    return price, []
