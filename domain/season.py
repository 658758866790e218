"""What wood settles at from season to season, in the house and as it is built."""

from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from math import floor

from domain.figure import Figure, Rule, Unit
from domain.wood import EMC_SOURCE, emc_fahrenheit


@lru_cache(maxsize=64)
def settled(label: str, temperature: Figure, humidity: Figure, where: str = "") -> Figure:
    """Return what wood settles at in air [% MC], to a tenth, as near as the published table goes.

    temperature [°F]; humidity: a share; where: the habit that says it outright.
    Raises ValueError outside the formula. Source: Wood Handbook (2021), Eq. 4-5.
    """
    exact = emc_fahrenheit(temperature.value, humidity.value)
    words = f"{exact.rule.words}, to a tenth"
    return Figure(
        label, _to_a_tenth(exact.value), Unit.MOISTURE, Rule(words, EMC_SOURCE, where), (temperature, humidity)
    )


def _to_a_tenth(moisture: Fraction) -> Fraction:
    return Fraction(floor(moisture * 10 + Fraction(1, 2)), 10)


@dataclass(frozen=True, slots=True)
class Seasons:
    """Moisture of wood [% MC]. built: as it is built; driest, dampest: in the house, driest never above dampest.

    is_turned_round: what the shop calls its dry season leaves wood damper than the other.
    """

    built: Figure
    driest: Figure
    dampest: Figure
    is_turned_round: bool = False


def seasons(built: Figure, dry: Figure, damp: Figure) -> Seasons:
    """Return the seasons with the drier one first, whichever the shop calls so."""
    turned = dry.value > damp.value
    return Seasons(built, damp, dry, turned) if turned else Seasons(built, dry, damp)


def ready_to_mill(seasons: Seasons, within: Figure) -> tuple[Figure, Figure]:
    """Return the moisture [% MC] from which and up to which lumber is used to where it will stand.

    within: points either side of what it settles at over the year. Source: woodworkers' forums.
    """
    middle = (seasons.driest.value + seasons.dampest.value) / 2
    in_use = Figure(
        "Wood in use, over the year", _to_a_tenth(middle), Unit.MOISTURE,
        Rule("halfway between the driest season and the dampest, to a tenth"), (seasons.driest, seasons.dampest),
    )  # fmt: skip
    ends = (("Mill from", -within.value, "less"), ("Mill up to", within.value, "and"))
    low, high = (
        Figure(
            label, in_use.value + more, Unit.MOISTURE, Rule(f"wood in use {word} the points allowed"), (in_use, within)
        )
        for label, more, word in ends
    )
    return low, high
