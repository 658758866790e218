"""What was typed about the shop itself -> a Shop, or problems."""

import re
from collections import Counter
from collections.abc import Iterable, Mapping
from functools import cache
from zoneinfo import available_timezones

from domain.holiday import region_of
from domain.length import Length, Unit
from domain.problem import Problem
from domain.schedule.schedule import Aim
from domain.shop import ClampsOf, Paper, Shop
from domain.words import counted, cut_short
from webapp.forms.field import Fields, size_text

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
    "clamps_of": "Clamps by length",
    "dry_places": "Places to dry",
    "finishing_room": "Finish dries",
    "aim": "After promises are kept",
    "region": "Public holidays of",
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

ROOMS = (("", "in the one room there is"), ("own", "in a room of its own"))
AIMS = tuple((aim.value, aim.value) for aim in Aim)
LONGEST_CLAMP = Length.feet(40)
MOST_CLAMPS = 10_000
_ROW = re.compile(r"(?P<count>\d{1,5}) ?(?:[x×*]|of) ?(?P<length>.+)", re.ASCII | re.IGNORECASE)

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
        "clamps_of": clamps_text(shop.clamps_of, shop.unit),
        "dry_places": str(shop.dry_places),
        "finishing_room": "own" if shop.finishing_room else "",
        "aim": shop.aim.value,
        "region": _region_name(shop.region),
    }


def _region_name(code: str) -> str:
    """Return a region as the form shows it; one that the list no longer knows as it was kept."""
    try:
        return region_of(code).name if code else ""
    except ValueError:
        return code


def clamps_text(clamps_of: Iterable[ClampsOf], unit: Unit) -> str:
    """Return clamps by length as the form takes them, a line each: `8 x 36`."""
    return "\n".join(f"{each.count} x {size_text(each.length, unit)}" for each in clamps_of)


def clamps_words(shop: Shop) -> str:
    """Return how the clamps by length are understood, the longest first: `24 clamps: 4 open to 50 in, ...`."""
    each = [f"{one.count} open to {_tape(one.length, shop)}" for one in reversed(shop.clamps_of)]
    return f"{counted(sum(one.count for one in shop.clamps_of), 'clamp')}: {', '.join(each)}" if each else ""


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
    clamps_of = _clamps_of(fields, "mm" if unit == "mm" else "in")
    clamps = _clamps(fields, clamps_of)
    benches = fields.whole("benches", LABELS["benches"], most=100)
    dry_places = fields.whole("dry_places", LABELS["dry_places"], needed=False, most=10_000)
    finishing_room = _one_of(fields, "finishing_room", dict(ROOMS)) == "own"
    aim = fields.choice("aim", LABELS["aim"], Aim, usual=Aim.SOONEST)
    region = _region(fields)
    if fields.problems or paper is None or aim is None or hands is None or clamps is None or benches is None:
        return None, fields.problems
    shop = Shop(
        name=name, zone=zone, unit="mm" if unit == "mm" else "in", precision=int(precision), currency=currency,
        paper=paper, hands=hands, clamps=clamps, benches=benches, is_set_up=True, address=words["address"],
        phone=words["phone"], email=words["email"], licence=words["licence"], clamps_of=clamps_of,
        dry_places=dry_places or 0, finishing_room=finishing_room, aim=aim, region=region,
    )  # fmt: skip
    return shop, []


def _clamps_of(fields: Fields, unit: Unit) -> tuple[ClampsOf, ...]:
    """Return the clamps by length, the shortest first, those of one length together."""
    found: Counter[Length] = Counter()
    for row in re.split(r"[\n;]", fields.raw("clamps_of")):
        if not (text := row.strip()):
            continue
        match = _ROW.fullmatch(text)
        count = int(match["count"]) if match else 0
        if not match or not 1 <= count <= MOST_CLAMPS:
            words = (
                f"{LABELS['clamps_of']}: “{cut_short(text)}” is not so many of a length. Try 8 x 36 in, a line each."
            )
            fields.problem("clamps_of", words)
            continue
        one = Fields({"clamps_of": match["length"]}, unit)
        length = one.size("clamps_of", LABELS["clamps_of"], least=Length.parse("1"), most=LONGEST_CLAMP)
        fields.problems += one.problems
        if length:
            found[length] += count
    return tuple(ClampsOf(length, found[length]) for length in sorted(found))


def _clamps(fields: Fields, clamps_of: Iterable[ClampsOf]) -> int | None:
    """Return how many clamps there are: as typed, or as many as their lengths add up to."""
    by_length = sum(each.count for each in clamps_of)
    count = fields.whole("clamps", LABELS["clamps"], needed=not fields.raw("clamps_of"), most=MOST_CLAMPS)
    if count is None or not by_length or count == by_length:
        return by_length if count is None else count
    words = f"{LABELS['clamps']} “{fields.raw('clamps')}”, but the lengths below add up to {by_length}. "
    fields.problem("clamps", f"{words}Make the two the same, or leave this one empty.")
    return None


def _region(fields: Fields) -> str:
    """Return the code of the region typed, empty when none is."""
    typed = fields.raw("region")
    try:
        return region_of(typed).code if typed else ""
    except ValueError as error:
        fields.problem("region", f"{LABELS['region']}: {error}")
        return ""


def _tape(length: Length, shop: Shop) -> str:
    return length.tape(precision=shop.precision, unit=shop.unit)


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
