"""Tables of the trade, each row with its source and how sure it is, read once."""

import csv
from collections.abc import Mapping
from fractions import Fraction
from functools import cache
from importlib.resources import files

Range = tuple[Fraction, Fraction]
"""The lowest and the highest of values seen."""


@cache
def rows(name: str) -> tuple[Mapping[str, str], ...]:
    """Return the rows of a table here, such as `species.csv`, as text by column name; an empty cell is unknown.

    Raises FileNotFoundError for a name that is no table.
    """
    text = (files(__name__) / name).read_text(encoding="utf-8")
    return tuple(csv.DictReader(text.splitlines()))


def number(row: Mapping[str, str], name: str) -> Fraction | None:
    """Return the number in a column, None when it is not known."""
    return Fraction(row[name]) if row[name] else None


def span(row: Mapping[str, str], low: str, high: str) -> Range | None:
    """Return the range in two columns, None when one of them is not known."""
    lowest, highest = number(row, low), number(row, high)
    return None if lowest is None or highest is None else (lowest, highest)
