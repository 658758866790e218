"""Reading typed text: every form reads its fields here, so the same mistake gets the same words everywhere."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time
from enum import Enum
from fractions import Fraction
from typing import TypeVar

from domain.length import Length, Unit
from domain.money import Money
from domain.problem import Problem
from domain.shop import Shop
from domain.words import cut_short

E = TypeVar("E", bound=Enum)

LONGEST_LINE, LONGEST_NOTE = 200, 5_000
_NUMBER = re.compile(r"-?(?:\d{1,9} )?\d{1,9}(?:\.\d{1,6}|/\d{1,6})?", re.ASCII)


def size_text(value: Length | None, unit: Unit) -> str:
    """Return a size as a person would type it, exactly, bare when it is in this unit: `25 1/4`, `641 mm`.

    A size that is no mark of an inch tape and whole tenths of a millimetre was typed in those.
    """
    if value is None:
        return ""
    tenths = value.in_mm * 10
    if tenths.denominator != 1 or (unit == "in" and value.inches.denominator <= 64):
        return value.exact() if unit == "in" else f"{value.exact()} in"
    whole, tenth = divmod(abs(int(tenths)), 10)
    text = f"{'-' if tenths < 0 else ''}{whole}" + (f".{tenth}" if tenth else "")
    return text if unit == "mm" else f"{text} mm"


@dataclass
class Fields:
    """The posted fields, and the problems found while reading them. unit: of bare numbers that are sizes.

    Every reader returns the value, or None after noting a problem under the field's name.
    A blank is a problem where needed, else None.
    """

    posted: Mapping[str, str]
    unit: Unit = "in"
    problems: list[Problem] = field(default_factory=list)

    def problem(self, name: str, words: str) -> None:
        self.problems.append(Problem(name, words))

    def raw(self, name: str) -> str:
        return self.posted.get(name, "").strip()

    def text(self, name: str, label: str, *, needed: bool = False, most: int = LONGEST_LINE) -> str:
        text = self.raw(name)
        if needed and not text:
            self.problem(name, f"{label} is empty. Type something to know it by.")
        if len(text) > most:
            self.problem(name, f"{label} is {len(text):,} characters long. Keep it to {most:,}.")
        return text

    def size(
        self,
        name: str,
        label: str,
        *,
        needed: bool = True,
        least: Length | None = None,
        most: Length | None = None,
        signed: bool = False,
    ) -> Length | None:
        """Return a size. signed: a minus in front is taken."""
        text = self.raw(name)
        if not text:
            self._blank(name, label, needed, "Try 25 1/4, 8' 6 or 641 mm.")
            return None
        try:
            value = Length.parse(text, bare=self.unit, signed=signed)
        except ValueError as error:
            self.problem(name, f"{label}: {error}")
            return None
        if (least and value < least) or (most and value > most):
            limits = " and ".join(
                f"at {word} {limit.tape(unit=self.unit)}"
                for word, limit in (("least", least), ("most", most))
                if limit is not None
            )
            self.problem(name, f"{label} “{text}” is {value.tape(unit=self.unit)}. It must be {limits}.")
            return None
        return value

    def money(self, name: str, label: str, *, needed: bool = True) -> Money | None:
        text = self.raw(name)
        if not text:
            self._blank(name, label, needed, "Try 7.85 or 1250.")
            return None
        try:
            return Money.parse(text)
        except ValueError as error:
            self.problem(name, f"{label}: {error}")
            return None

    def number(
        self,
        name: str,
        label: str,
        *,
        needed: bool = True,
        least: Fraction | int = 0,
        most: Fraction | int = 1_000_000,
    ) -> Fraction | None:
        return self._number(name, label, "number", "Try 12, 7.5 or 3/4.", needed=needed, least=least, most=most)

    def _number(
        self,
        name: str,
        label: str,
        kind: str,
        example: str,
        *,
        needed: bool,
        least: Fraction | int,
        most: Fraction | int,
    ) -> Fraction | None:
        text = self.raw(name)
        if not text:
            self._blank(name, label, needed, example)
            return None
        value = _number(text)
        if value is None:
            self.problem(name, f"{label} “{cut_short(text)}” is not a {kind}. {example}")
        elif not least <= value <= most:
            self.problem(name, f"{label} “{cut_short(text)}” is out of range. It must be from {least} to {most}.")
        else:
            return value
        return None

    def whole(self, name: str, label: str, *, needed: bool = True, least: int = 0, most: int = 1_000_000) -> int | None:
        before = len(self.problems)
        example = "Try 1, 2 or 12."
        value = self._number(name, label, "whole number", example, needed=needed, least=least, most=most)
        if value is not None and value.denominator != 1:
            self.problem(
                name,
                f"{label} “{cut_short(self.raw(name))}” is not a whole number. Try {int(value)} or {int(value) + 1}.",
            )
            return None
        return None if value is None or len(self.problems) > before else int(value)

    def share(
        self, name: str, label: str, *, needed: bool = True, least: int = 0, most: Fraction | int = 100
    ) -> Fraction | None:
        """Return a share typed in percent: `15` or `15 %` is 3/20."""
        text = self.raw(name).removesuffix("%").strip()
        if not text:
            self._blank(name, label, needed, "Try 15 for 15 %.")
            return None
        value = _number(text)
        if value is None or not least <= value <= most:
            self.problem(
                name,
                f"{label} “{cut_short(self.raw(name))}” is not a share from {least} to {most} %. Try 15 or 7.5.",
            )
            return None
        return value / 100

    def day(self, name: str, label: str, *, needed: bool = False) -> date | None:
        text = self.raw(name)
        if not text:
            self._blank(name, label, needed, "Try 2026-06-04.")
            return None
        try:
            if not text.isascii():
                raise ValueError
            value = date.fromisoformat(text)
        except ValueError:
            self.problem(name, f"{label} “{cut_short(text)}” is not a day in the calendar. Try 2026-06-04.")
            return None
        if not 2000 <= value.year <= 2100:
            self.problem(name, f"{label} “{text}” is too far away. Use a year from 2000 to 2100.")
            return None
        return value

    def clock(self, name: str, label: str, *, needed: bool = True) -> time | None:
        text = self.raw(name)
        if not text:
            self._blank(name, label, needed, "Try 08:00.")
            return None
        try:
            if not re.fullmatch(r"\d{1,2}:\d\d", text, re.ASCII):
                raise ValueError
            return time.fromisoformat(text.zfill(5))
        except ValueError:
            self.problem(name, f"{label} “{cut_short(text)}” is not a time of day. Try 08:00 or 16:30.")
            return None

    def instant(self, name: str, label: str, *, needed: bool = True) -> datetime | None:
        """Return a naive local instant as a browser's date-and-time field sends it; the caller adds the zone."""
        text = self.raw(name)
        if not text:
            self._blank(name, label, needed, "Try 2026-06-04 14:20.")
            return None
        try:
            if not text.isascii():
                raise ValueError
            value = datetime.fromisoformat(text)
            if value.tzinfo or not 2000 <= value.year <= 2100:
                raise ValueError
        except ValueError:
            self.problem(name, f"{label} “{cut_short(text)}” is not a date and time. Try 2026-06-04 14:20.")
            return None
        return value

    def choice(self, name: str, label: str, kind: type[E], *, usual: E | None = None) -> E | None:
        text = self.raw(name)
        if not text and usual is not None:
            return usual
        try:
            return kind(text)
        except ValueError:
            known = ", ".join(str(one.value) for one in kind)
            self.problem(name, f"{label} “{cut_short(text)}” is not one of: {known}.")
            return None

    def tick(self, name: str) -> bool:
        return self.raw(name) not in ("", "0", "no", "off")

    def _blank(self, name: str, label: str, needed: bool, hint: str) -> None:
        if needed:
            self.problem(name, f"{label} is empty. {hint}")


def _number(text: str) -> Fraction | None:
    """Return an exact number typed as 12, 7.5, 3/4 or 1 3/4; None for anything else, `1,5` among it."""
    if not _NUMBER.fullmatch(text):
        return None
    sign = -1 if text.startswith("-") else 1
    try:
        return sign * sum((Fraction(part) for part in text.lstrip("-").split(" ")), Fraction(0))
    except ZeroDivisionError:
        return None


def understood(text: str, shop: Shop, *, signed: bool = False) -> str:
    """Return how a typed size is read, at the nearest mark of the shop's tape; empty when it is not a size."""
    fields = Fields({"size": text}, shop.unit)
    value = fields.size("size", "Size", needed=False, signed=signed)
    return "" if value is None else value.tape(precision=shop.precision, unit=shop.unit)
