"""How long glue takes in the clamps and until a machine may touch it, and what a cold shop does to both."""

from collections.abc import Iterator
from fractions import Fraction
from math import floor

from domain.adhesive import adhesive, adhesive_families, label_figure
from domain.figure import Figure, Rule, Unit
from domain.practice import COMMON, ShopPractice
from domain.problem import Problem

LABEL_TEMPERATURE = Fraction(70)
"""What the times of data/adhesives.csv are for: 21 °C, by the thermometer 70 °F."""


def clamp_time(family: str, practice: ShopPractice) -> Figure:
    """Return how long clamps stay on in a shop as warm as this one [h], day and night."""
    return _slowed(label_figure(family, "clamp_time", practice), practice)


def cure_before_machining(family: str, practice: ShopPractice) -> Figure:
    """Return how long after the glue-up until a machine may touch it [h], its time in clamps included."""
    return _slowed(label_figure(family, "before_machining", practice), practice)


def least_temperature(family: str, practice: ShopPractice) -> Figure:
    """Return the temperature below which a family must not be used [°F]."""
    return label_figure(family, "least_temperature", practice)


def cold_factor(practice: ShopPractice) -> Figure:
    """Return how many times as long glue takes in a shop as cold as this one; 1 from 70 °F up.

    Twice for every so many degrees, on a straight line between, which is never less than the curve through them.
    Source: common practice, no source: twice as long for each 10 °C; the shop's own figure is set in Practice.
    """
    shop, doubling = practice.figure("shop_temperature"), practice.figure("cold_doubling")
    colder = LABEL_TEMPERATURE - shop.value
    factor = Fraction(1)
    if colder > 0 and doubling.value:
        steps = colder / doubling.value
        factor = 2 ** floor(steps) * (1 + steps - floor(steps))
    words = "twice as long for every so many degrees colder than 70 °F, in a straight line between"
    return Figure("Longer in the cold, times", factor, Unit.EACH, Rule(words, COMMON), (shop, doubling))


def _slowed(label: Figure, practice: ShopPractice) -> Figure:
    factor = cold_factor(practice)
    if factor.value == 1:
        return label
    rule = Rule("what the label says × longer in the cold")
    return Figure(label.label, label.value * factor.value, label.unit, rule, (label, factor))


def cold_problems(family: str, practice: ShopPractice) -> Iterator[Problem]:
    """Yield the problem of a shop too cold for a glue, and what would work. Raises KeyError for an unknown family."""
    shop, least = practice.value("shop_temperature"), least_temperature(family, practice).value
    if shop >= least:
        return
    others = [
        other
        for other in adhesive_families()
        if adhesive(other).is_squeezed and least_temperature(other, practice).value <= shop
    ]
    coldest = min(others, key=lambda other: least_temperature(other, practice).value, default="")
    instead = f", or take a glue for the cold such as {coldest}" if coldest else ""
    yield Problem(
        "glue",
        f"The shop is at {degrees(shop)} and {family} needs {degrees(least)} at least: below that it does not hold. "
        f"Warm the shop, the wood and the glue{instead}. The label governs.",
    )


def degrees(fahrenheit: Fraction) -> str:
    """Return a temperature as both kinds of thermometer say it: `70 °F (21 °C)`."""
    celsius = (fahrenheit - 32) * 5 / 9
    return f"{_tenths(fahrenheit)} °F ({_tenths(celsius)} °C)"


def _tenths(value: Fraction) -> str:
    """Return a number of degrees to the nearest tenth, whole ones without it."""
    whole, tenth = divmod(floor(abs(value) * 10 + Fraction(1, 2)), 10)
    minus = "\N{MINUS SIGN}" if value < 0 and (whole or tenth) else ""
    return f"{minus}{whole}.{tenth}" if tenth else f"{minus}{whole}"
