"""What was typed about air and wood -> what the moisture page works out, or problems."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from domain.length import Length
from domain.length import Unit as LengthUnit
from domain.problem import Problem
from domain.wood import Cut, Species, find_species
from domain.words import cut_short
from webapp.forms.field import Fields

LABELS = {
    "scale": "Temperature in",
    "temperature": "Temperature",
    "humidity": "Relative humidity",
    "temperature_then": "Temperature then",
    "humidity_then": "Relative humidity then",
    "wood": "Wood",
    "cut": "Sawn",
    "width": "Width across the grain",
}
SCALES = (("F", "°F"), ("C", "°C"))
CUTS = ((Cut.FLAT.value, "flat"), (Cut.QUARTER.value, "on the quarter"))

LIMITS = {"F": (Fraction(30), Fraction(210)), "C": (Fraction(-1), Fraction(99))}
"""Temperatures between which the formula holds, in whole degrees. Source: Wood Handbook (2021), Eq. 4-5."""

BLANK = dict.fromkeys(LABELS, "") | {"scale": "F", "cut": Cut.FLAT.value}


@dataclass(frozen=True, slots=True)
class Air:
    """temperature in the scale of the question; humidity: a share."""

    temperature: Fraction
    humidity: Fraction


@dataclass(frozen=True, slots=True)
class Question:
    """then: the air of another season, None when only one is asked; width: None when no board is asked of."""

    scale: str
    now: Air
    then: Air | None = None
    wood: Species | None = None
    cut: Cut = Cut.FLAT
    width: Length | None = None


def is_asked(query: Mapping[str, str]) -> bool:
    return any(query.get(name, "").strip() for name in ("temperature", "humidity", "temperature_then", "humidity_then"))


def read(query: Mapping[str, str], unit: LengthUnit) -> tuple[Question | None, list[Problem]]:
    """Return what is asked, or None and every problem. unit: of a width typed without one."""
    fields = Fields(query, unit)
    scale = "C" if fields.raw("scale") == "C" else "F"
    now = _air(fields, scale, "temperature", "humidity")
    has_then = bool(fields.raw("temperature_then") or fields.raw("humidity_then") or fields.raw("width"))
    then = _air(fields, scale, "temperature_then", "humidity_then") if has_then else None
    width = fields.size("width", LABELS["width"], needed=False, least=Length.of("1/8"), most=Length.feet(20))
    wood = find_species(fields.raw("wood"))
    if fields.raw("wood") and wood is None:
        fields.problem(
            "wood", f"Wood “{cut_short(fields.raw('wood'))}” is not in the species table. Choose one of the list."
        )
    elif width is not None and wood is None:
        fields.problem("wood", "Say which wood the width is of.")
    cut = fields.choice("cut", LABELS["cut"], Cut, usual=Cut.FLAT)
    if fields.problems or now is None or cut is None:
        return None, fields.problems
    return Question(scale, now, then, wood, cut, width), []


def _air(fields: Fields, scale: str, temperature: str, humidity: str) -> Air | None:
    least, most = LIMITS[scale]
    degrees = fields.number(temperature, LABELS[temperature], least=least, most=most)
    share = fields.share(humidity, LABELS[humidity])
    return None if degrees is None or share is None else Air(degrees, share)
