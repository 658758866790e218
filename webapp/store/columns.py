"""Columns that keep money and measures exact, and type names that SQLite's strict tables know."""

from fractions import Fraction
from functools import lru_cache
from typing import Any

from sqlalchemy import Boolean, Date, DateTime, Dialect, Enum, String
from sqlalchemy.ext.compiler import compiles
from sqlalchemy.types import BigInteger, Text, Time, TypeDecorator

from domain.money import Money


class MoneyColumn(TypeDecorator[Money]):
    """Whole cents as an integer of 64 bits."""

    impl = BigInteger
    cache_ok = True

    def process_bind_param(self, value: Money | None, dialect: Dialect) -> int | None:
        return None if value is None else value.cents

    def process_result_value(self, value: Any, dialect: Dialect) -> Money | None:
        return None if value is None else Money(value)


class ExactColumn(TypeDecorator[Fraction]):
    """An exact number as text that a person and `Fraction` read alike: `3/4`."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: Fraction | None, dialect: Dialect) -> str | None:
        if isinstance(value, float):
            raise TypeError(f"{value} is a float, which is not exact")
        return None if value is None else str(Fraction(value))

    def process_result_value(self, value: Any, dialect: Dialect) -> Fraction | None:
        return None if value is None else _exact(value)


@lru_cache(maxsize=4096)
def _exact(text: str) -> Fraction:
    """Return the number of a text; the same few stand in most rows."""
    return Fraction(text)


@compiles(String, "sqlite")
@compiles(DateTime, "sqlite")
@compiles(Date, "sqlite")
@compiles(Time, "sqlite")
@compiles(Enum, "sqlite")
def _text(element: Any, compiler: Any, **kw: Any) -> str:
    """Strict tables know TEXT, not VARCHAR or DATE."""
    return "TEXT"


@compiles(Boolean, "sqlite")
@compiles(BigInteger, "sqlite")
def _integer(element: Any, compiler: Any, **kw: Any) -> str:
    return "INTEGER"
