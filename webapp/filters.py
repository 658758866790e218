"""A value -> its text on a page."""

import re
from collections.abc import Callable, Iterable, Mapping
from datetime import date, datetime
from fractions import Fraction
from math import floor
from typing import Any

from jinja2 import pass_context
from jinja2.runtime import Context

from domain.cure import degrees
from domain.drawing.tape import Tape
from domain.figure import Figure, Unit
from domain.length import Length
from domain.money import Money
from domain.when import DAYS, MONTHS, clock, clock_left, span
from domain.when import when as near

MINUS = "−"
BY_THE_SECOND = 10
"""Below so many minutes seconds count: a glue is open for five."""

FLUID_OUNCES = 128  # in a US gallon, by definition


def decimal(value: Fraction | int, places: int = 2) -> str:
    """Return a number with up to so many decimals, halves up, thousands apart: `1,234.5`."""
    scaled = floor(abs(Fraction(value)) * 10**places + Fraction(1, 2))
    whole, part = divmod(scaled, 10**places)
    text = f"{whole:,}" + (f".{part:0{places}}".rstrip("0").rstrip(".") if places else "")
    return f"{MINUS}{text}" if value < 0 and scaled else text


def percent(share: Fraction) -> str:
    return f"{decimal(share * 100)} %"


def hours(value: Fraction) -> str:
    """Return minutes as hours however many there are, since a day of work is no day and night: `78 h 55 min`."""
    whole, rest = divmod(floor(abs(value) + Fraction(1, 2)), 60)
    words = f"{whole:,} h" + (f" {rest} min" if rest else "") if whole else f"{rest} min"
    return f"{MINUS}{words}" if value < 0 else words


def unbroken(text: str) -> str:
    """Return words in which no size is broken over two lines: `34 1/2 in` stays together."""
    return re.sub(r"(?<=\d) (?=\d+/\d|in\b|mm\b|ft\b)", "\N{NO-BREAK SPACE}", text)


def dated(value: date) -> str:
    """Return a date that is not about a day of the week: `4 Jun 2026`."""
    return f"{value.day} {MONTHS[value.month - 1]} {value.year}"


@pass_context
def day(context: Context, value: date) -> str:
    """Return a date, or an instant's in the shop's zone, with its weekday: `Thu 4 Jun 2026`."""
    on = value.astimezone(context["zone"]).date() if isinstance(value, datetime) else value
    return f"{DAYS[on.weekday()]} {dated(on)}"


def pairs(values: Iterable[str]) -> list[tuple[str, str]]:
    """Return values as options that read as they are."""
    return [(value, value) for value in values]


@pass_context
def money(context: Context, value: Money) -> str:
    sign = MINUS if value.cents < 0 else ""
    return f"{sign}{context['shop'].currency}{abs(value.cents) // 100:,}.{abs(value.cents) % 100:02}"


@pass_context
def tape(context: Context, value: Length) -> str:
    shop = context["shop"]
    return value.tape(precision=shop.precision, unit=shop.unit)


@pass_context
def mark(context: Context, value: Length) -> str:
    """Return a size to cut to: exactly where a 64th says it, else at the nearest mark of the shop's tape."""
    return Tape.of(context["shop"]).mark(value)


@pass_context
def bare(context: Context, text: str) -> str:
    """Return a size without the shop's unit, for a column that names it."""
    return text.removesuffix(f" {context['shop'].unit}")


@pass_context
def as_drawn(context: Context, value: Length) -> str:
    """Return a size as a drawing has it, never broken: `25 1/4`, `≈ 2 5/16`."""
    return Tape.of(context["shop"]).bare(value)


@pass_context
def when(context: Context, value: datetime) -> str:
    """Return an instant in the shop's zone, as near as it needs to be: `14:20`, `tomorrow 09:40`, `Tue 9 Jun 09:40`."""
    return near(value, context["now"], context["zone"])


@pass_context
def amount(context: Context, figure: Figure) -> str:
    """Return a figure's value with its unit, as a person writes it."""
    match figure.unit:
        case Unit.DOLLAR:
            return money(context, Money.of(figure.value))
        case Unit.DOLLAR_PER_HOUR:
            return f"{money(context, Money.of(figure.value))}/h"
        case Unit.INCH:
            return tape(context, Length(figure.value))
        case Unit.SHARE:
            return percent(figure.value)
        case Unit.MINUTE:
            return clock(figure.value) if 0 < abs(figure.value) < BY_THE_SECOND else hours(figure.value)
        case Unit.HOUR:
            return hours(figure.value * 60)
        case Unit.EACH:
            return decimal(figure.value)
        case Unit.SHEET | Unit.PACKAGE | Unit.DAY if abs(figure.value) == 1:
            return f"{decimal(figure.value)} {figure.unit.value.removesuffix('s')}"
        case Unit.POUND:
            return f"{decimal(figure.value, 0 if abs(figure.value) >= 10 else 1)} {figure.unit.value}"
        case Unit.DAY:
            return f"{decimal(figure.value, 1)} {figure.unit.value}"
        case Unit.GALLON if 0 < abs(figure.value) < Fraction(1, 10):
            return f"{decimal(figure.value * FLUID_OUNCES)} {Unit.FLUID_OUNCE.value}"
        case Unit.COEFFICIENT:
            return f"{decimal(figure.value, 5)} {figure.unit.value}"
        case _:
            places = 2 if abs(figure.value) >= Fraction(1, 10) else 4
            return f"{decimal(figure.value, places)} {figure.unit.value}"


FILTERS: Mapping[str, Callable[..., Any]] = {
    "amount": amount,
    "as_drawn": as_drawn,
    "bare": bare,
    "clock": clock,
    "clock_left": clock_left,
    "dated": dated,
    "day": day,
    "decimal": decimal,
    "degrees": degrees,
    "mark": mark,
    "money": money,
    "pairs": pairs,
    "percent": percent,
    "span": span,
    "tape": tape,
    "unbroken": unbroken,
    "when": when,
}
