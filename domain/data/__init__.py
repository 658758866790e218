"""Tables of the trade, each row with its source and how sure it is, read once."""

import csv
from collections.abc import Mapping
from functools import cache
from importlib.resources import files


@cache
def rows(name: str) -> tuple[Mapping[str, str], ...]:
    """Return the rows of a table here, such as `species.csv`, as text by column name; an empty cell is unknown.

    Raises FileNotFoundError for a name that is no table.
    """
    text = (files(__name__) / name).read_text(encoding="utf-8")
    return tuple(csv.DictReader(text.splitlines()))
