"""What was typed about the shop itself -> a Shop, or problems."""

from collections.abc import Mapping
from functools import cache
from zoneinfo import available_timezones

from domain.problem import Problem
from domain.shop import Paper, Shop
from domain.words import cut_short
from webapp.forms.field import Fields

LABELS = {
    "name": "Name of the shop",
    "address": "Address",
    "phone": "Phone",
    "email": "E-mail",
    "licence": "Licence number",
    "zone": "Time zone",
    "unit": "Sizes are shown and typed in",
    "precision": "Tape marks",
    "currency": "Currency sign",
    "paper": "Paper",
    "hands": "Hands",
    "clamps": "Clamps",
    "benches": "Benches",
}

UNITS = (("in", "inches"), ("mm", "millimetres"))
PRECISIONS = (
    ("2", "1/2 in"),
    ("4", "1/4 in"),
    ("8", "1/8 in"),
    ("16", "1/16 in"),
    ("32", "1/32 in"),
    ("64", "1/64 in"),
)
PAPERS = ((Paper.LETTER.value, "letter, 8 1/2 × 11 in"), (Paper.A4.value, "A4, 210 × 297 mm"))

REGIONS = (
    "America", "Africa", "Antarctica", "Asia", "Atlantic", "Australia", "Europe", "Indian", "Pacific",
)  # fmt: skip


@cache
def zones() -> tuple[tuple[str, tuple[tuple[str, str], ...]], ...]:
    """Return the time zones by region: IANA name and the place as a person knows it. UTC comes last."""
    found: dict[str, list[tuple[str, str]]] = {region: [] for region in REGIONS}
    for zone in sorted(available_timezones()):
        region, _, place = zone.partition("/")
        if region in found:
            found[region].append((zone, place.replace("_", " ").replace("/", ", ")))
    regions = tuple((region, tuple(places)) for region, places in found.items())
    return (*regions, ("Anywhere", (("UTC", "UTC, without a summer time"),)))


def fill(shop: Shop) -> dict[str, str]:
    """Return the shop as the form shows it; before it is set up nobody has said where it is."""
    return {
        "name": shop.name,
        "address": shop.address,
        "phone": shop.phone,
        "email": shop.email,
        "licence": shop.licence,
        "zone": shop.zone if shop.is_set_up else "",
        "unit": shop.unit,
        "precision": str(shop.precision),
        "currency": shop.currency,
        "paper": shop.paper.value,
        "hands": str(shop.hands),
        "clamps": str(shop.clamps),
        "benches": str(shop.benches),
    }


def read(posted: Mapping[str, str]) -> tuple[Shop | None, list[Problem]]:
    """Return the shop as typed, or None and every problem."""
    fields = Fields(posted)
    words = {name: fields.text(name, LABELS[name]) for name in ("address", "phone", "email", "licence")}
    name = fields.text("name", LABELS["name"], needed=True)
    zone = _zone(fields)
    unit = _one_of(fields, "unit", dict(UNITS))
    precision = _one_of(fields, "precision", dict(PRECISIONS))
    currency = fields.text("currency", LABELS["currency"], needed=True, most=4)
    paper = fields.choice("paper", LABELS["paper"], Paper)
    hands = fields.whole("hands", LABELS["hands"], least=1, most=100)
    clamps = fields.whole("clamps", LABELS["clamps"], most=10_000)
    benches = fields.whole("benches", LABELS["benches"], most=100)
    if fields.problems or paper is None or hands is None or clamps is None or benches is None:
        return None, fields.problems
    shop = Shop(
        name=name, zone=zone, unit="mm" if unit == "mm" else "in", precision=int(precision), currency=currency,
        paper=paper, hands=hands, clamps=clamps, benches=benches, is_set_up=True, address=words["address"],
        phone=words["phone"], email=words["email"], licence=words["licence"],
    )  # fmt: skip
    return shop, []


def _zone(fields: Fields) -> str:
    zone = fields.raw("zone")
    known = {name for _, places in zones() for name, _ in places}
    if not zone:
        fields.problem("zone", "Time zone is not chosen. Choose the place whose clock the shop keeps.")
    elif zone not in known:
        fields.problem("zone", f"Time zone “{cut_short(zone)}” is not known here. Choose one of the list.")
    return zone


def _one_of(fields: Fields, name: str, options: Mapping[str, str]) -> str:
    chosen = fields.raw(name)
    if chosen not in options:
        known = ", ".join(options.values())
        fields.problem(name, f"{LABELS[name]} “{cut_short(chosen)}” is not one of: {known}.")
    return chosen
