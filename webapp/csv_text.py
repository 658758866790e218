"""Tables as CSV that a spreadsheet opens without taking anybody's words for a formula."""

import csv
from collections.abc import Iterable, Sequence
from decimal import Decimal
from fractions import Fraction
from io import StringIO

from fastapi import Response

from domain.length import Length
from domain.money import Money

Cell = str | int | Fraction | Length | Money | None

FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
"""What makes a spreadsheet take a cell for a formula, full-width forms among it."""

PLACES = 6
"""Decimals of a number: the least tape mark, 1/64 in, needs all six."""


def table(header: Sequence[str], rows: Iterable[Sequence[Cell]]) -> str:
    """Return CSV text. Numbers, sizes [in] and money stay numbers, unquoted; words are quoted, and made safe."""
    text = StringIO()
    writer = csv.writer(text, quoting=csv.QUOTE_NONNUMERIC)
    writer.writerow([safe(title) for title in header])
    for row in rows:
        writer.writerow([_cell(cell) for cell in row])
    return text.getvalue()


def safe(words: str) -> str:
    """Return words with an apostrophe before them when a spreadsheet would calculate them."""
    return f"'{words}" if words.startswith(FORMULA_STARTS) else words


def download(name: str, header: Sequence[str], rows: Iterable[Sequence[Cell]]) -> Response:
    """Return the table as a file to keep. name: our own, never a person's; the mark in front says UTF-8."""
    return Response(
        table(header, rows).encode("utf-8-sig"),
        media_type="text/csv; charset=utf-8",
        headers={"Content-Disposition": f'attachment; filename="{name}.csv"'},
    )


def _cell(cell: Cell) -> str | int | Decimal:
    match cell:
        case None:
            return ""
        case str():
            return safe(cell)
        case Length():
            return _number(cell.inches)
        case Money():
            return _number(cell.dollars)
        case _:
            return _number(Fraction(cell))


def _number(value: Fraction) -> int | Decimal:
    """Return a number whose text is plain decimals, to the nearest millionth, halves away from zero."""
    if value.denominator == 1:
        return int(value)
    scaled = (abs(value) * 10**PLACES * 2 + 1) // 2
    text = f"{Decimal(-scaled if value < 0 else scaled).scaleb(-PLACES):f}"
    return Decimal(text.rstrip("0").rstrip("."))
