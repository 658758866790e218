"""Public holidays of a region and year, suggested as closed days. The shop's own list is the truth, never this one.

Source: the `holidays` library, an open list kept by volunteers from laws and official calendars.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from typing import Any

from domain.words import cut_short, listing

FIRST_COUNTRIES = ("US", "CA")
"""Whose states and provinces are known by their bare name: the trade this app reckons for works in inches."""

YEARS = range(2000, 2101)
_ALIKE = {"GE": "Georgia (country)"}
"""Countries that a state is called like."""

_SMALL = frozenset({"and", "of", "the"})


@dataclass(frozen=True, slots=True)
class Region:
    """A country, or a state of it. code: `US-NY`; name: `United States, New York`."""

    code: str
    name: str


@dataclass(frozen=True, slots=True)
class Holiday:
    """A day and what it is called."""

    day: date
    name: str


def region_of(typed: str) -> Region:
    """Return the region meant by `US-NY`, `United States, New York`, `New York` or `Canada`.

    Raises ValueError, worded for a person, for one that is not known.
    """
    text = " ".join(typed.split())
    country, _, part = (piece.strip() for piece in text.partition("," if "," in text else "-"))
    known = _countries()
    whole = _found(known, text)
    found = whole or _found(known, country)
    if part and found and not whole:
        names = _names(found)
        if code := _found(names, part):
            return _region(found, code)
        help_words = f"Try {listing([names[code] for code in sorted(names)], most=5)}" if names else "It has no parts"
        raise ValueError(f"“{cut_short(part)}” is no part of {known[found]}. {help_words}.")
    for first in FIRST_COUNTRIES:
        if len(text) > 2 and (code := _found(_names(first), text)):
            return _region(first, code)
    if found:
        return _region(found, "")
    raise ValueError(f"“{cut_short(text)}” is no region that is known here. Try New York, US-NY, Ontario or Germany.")


def holidays_of(code: str, year: int) -> tuple[Holiday, ...]:
    """Return the public holidays of a region in a year, the earliest first. code: as in Region."""
    if year not in YEARS:
        raise ValueError(f"holidays are listed from {YEARS[0]} to {YEARS[-1]}, not for {year}")
    country, _, part = code.partition("-")
    listed = _listed(country, part or None, year)
    return tuple(Holiday(day, " and ".join(listed.get_list(day))) for day in sorted(listed))


def suggestions() -> tuple[str, ...]:
    """Return names to choose a region from: states and provinces first, then countries."""
    parts = [_region(first, code).name for first in FIRST_COUNTRIES for code in _names(first)]
    return (
        *sorted(parts, key=lambda name: (not name.startswith("United States"), name)),
        *sorted(_countries().values()),
    )


def _region(country: str, part: str) -> Region:
    name = _countries()[country]
    return Region(f"{country}-{part}", f"{name}, {_names(country).get(part, part)}") if part else Region(country, name)


def _found(known: Mapping[str, str], text: str) -> str:
    """Return the code of a code or a name, however it is capitalised; empty when there is none."""
    if text.upper() in known:
        return text.upper()
    return next((code for code, name in known.items() if _plain(name) == _plain(text)), "")


def _plain(name: str) -> str:
    return name.casefold().replace("-", " ")


@lru_cache(maxsize=1)
def _countries() -> Mapping[str, str]:
    """Return the names of countries by their ISO 3166 code."""
    from holidays.registry import COUNTRIES

    return {names[1]: _titled(key.split("_")) for key, names in COUNTRIES.items()} | _ALIKE


def _titled(words: Iterable[str]) -> str:
    return " ".join(word if word in _SMALL else word.capitalize() for word in words)


def _names(country: str) -> Mapping[str, str]:
    """Return the names of a country's parts by code; of one with several names the first, without a name its code."""
    listed = _listed(country, None, YEARS[0])
    named: dict[str, str] = {}
    for name, code in listed.subdivisions_aliases.items():
        named.setdefault(code, name)
    return {code: named.get(code, code) for code in listed.subdivisions}


@lru_cache(maxsize=16)
def _listed(country: str, part: str | None, year: int) -> Any:
    import holidays

    listed = holidays.country_holidays(country)
    language = "en_US" if "en_US" in listed.supported_languages else None
    return holidays.country_holidays(country, subdiv=part, years=year, expand=False, language=language)
