"""The columns of a pasted list of boards: by their titles, or by what stands in them."""

import csv
import re
from collections.abc import Sequence
from dataclasses import dataclass

from domain.length import Length
from webapp.csv_text import FORMULA_STARTS
from webapp.forms.rack_paste.words import grade_named, place_named, sizes_in, woods_named

Row = tuple[str, ...]

TITLES = {
    "mark": ("mark", "no", "nr", "number", "board", "boardno", "tag", "id", "label"),
    "kind": ("kind", "type"),
    "name": ("name", "wood", "species", "material", "sheet"),
    "size": ("thickness", "thick", "t", "quarter", "quarters", "stock", "nominal", "roughthickness"),
    "width": ("width", "wide", "w"),
    "length": ("length", "long", "len", "l"),
    "dimensions": ("dimensions", "dimension", "dims", "size", "sizes", "widthxlength", "wxl", "txwxl"),
    "grade": ("grade",),
    "price": ("price", "cost", "pricebf", "perbf", "priceperbf", "priceperboardfoot", "rate"),
    "count": ("count", "qty", "quantity", "pcs", "pieces", "howmany", "howmanyalike"),
    "place": ("place", "where", "whereitis", "location"),
    "supplier": ("supplier", "vendor", "dealer", "yard"),
    "note": ("note", "notes", "remark", "remarks", "comment", "comments", "description"),
}
"""Words of a header line, without spaces, signs and units, by the field they fill."""

_UNITS = {"mm": "mm", "in": "in", "inch": "in", "inches": "in", "ft": "ft", "feet": "ft", "foot": "ft"}
_UNIT = re.compile(r"[\s,([]+(mm|in|inch|inches|ft|feet|foot)[.)\]]*$")
_QUARTER = re.compile(r"\d{1,2}/4\"?")
_MARKED = re.compile(r"#\d{1,5}[a-z]?|[a-z]{1,3}-?\d{1,5}[a-z]?", re.IGNORECASE)
_BARE = re.compile(r"[\d\s./¼½¾⅛⅜⅝⅞-]+")
_CENTS = re.compile(r"\d{1,4}\.\d\d")
THICKEST = Length.of(5)
"""No board is thicker; a column of sizes above is none of thicknesses."""


@dataclass(frozen=True, slots=True)
class Columns:
    """What each column fills, empty for nothing. units: of bare numbers in it; unused: titles of those not used."""

    fields: tuple[str, ...]
    units: tuple[str, ...]
    unused: tuple[str, ...] = ()

    def typed(self, row: Row) -> dict[str, str]:
        """Return what a row says by the field it fills, sizes with the unit of their column."""
        cells = zip(self.fields, self.units, row, strict=False)
        return {field: in_unit(cell, unit) for field, unit, cell in cells if field and cell}

    def unit_of(self, field: str) -> str:
        """Return the unit that the title of a field's column names."""
        return self.units[self.fields.index(field)] if field in self.fields else ""


def in_unit(cell: str, unit: str) -> str:
    """Return a size with its unit behind it, if one is given and it has none of its own."""
    return f"{cell} {unit}" if unit and _BARE.fullmatch(cell) else cell


def check_named(columns: Columns) -> None:
    """Raises ValueError, worded for the person, when the titles name no size."""
    missing = [name for name in ("width", "length") if name not in columns.fields]
    if missing and "dimensions" not in columns.fields:
        raise ValueError(
            f"No column is called {' or '.join(missing)}. The first line names the columns: thickness, width, length."
        )


def cells_of(line: str, delimiter: str) -> Row:
    """Return the cells of one line, a spreadsheet's quotes taken off."""
    return tuple(plain_cell(cell) for cell in next(csv.reader([line], delimiter=delimiter), []))


def plain_cell(cell: str) -> str:
    """Return a cell's words without the apostrophe that keeps a spreadsheet from calculating them."""
    words = cell.strip()
    return words[1:] if words.startswith("'") and words[1:].startswith(FORMULA_STARTS) else words


def delimiter_of(lines: Sequence[str]) -> str:
    """Return what parts the cells of most lines of a list; empty when its lines are plain words, or each of its own."""
    return next((sign for sign in ("\t", ";", ",") if 2 * sum(sign in line for line in lines) > len(lines)), "")


def by_title(header: Row) -> Columns | None:
    """Return the columns that a line names; None when it is no header."""
    fields: list[str] = []
    units: list[str] = []
    for title in header:
        words = title.casefold().strip()
        unit = _UNIT.search(words)
        word = re.sub(r"[^a-z]+", "", words[: unit.start()] if unit else words)
        field = "price" if "$" in title else next((name for name, known in TITLES.items() if word in known), "")
        fields.append("" if field in fields else field)
        units.append(_UNITS[unit[1]] if unit else "")
    is_header = len(set(fields) - {""}) >= min(2, len(header)) and not any(re.search(r"\d", cell) for cell in header)
    unused = tuple(title for title, field in zip(header, fields, strict=True) if title and not field)
    return Columns(tuple(fields), tuple(units), unused) if is_header else None


def by_content(rows: Sequence[Row]) -> Columns | None:
    """Return the columns of lines without titles, told by what stands in them; None when they cannot be told."""
    many = max(len(row) for row in rows)
    columns = [[row[place] for row in rows if place < len(row) and row[place]] for place in range(many)]
    fields = [_told(cells) if cells else "" for cells in columns]
    sizes = [place for place, field in enumerate(fields) if field == "a size"]
    named = _sizes_named([columns[place] for place in sizes], set(fields))
    if named is None:
        return None
    for place, field in zip(sizes, named, strict=True):
        fields[place] = field
    words = [place for place, field in enumerate(fields) if field == "words"]
    for place, field in zip(words, ["note"] if "name" in fields else ["name", "note"], strict=False):
        fields[place] = field
    told = tuple("" if field in ("words", *fields[:place]) else field for place, field in enumerate(fields))
    return Columns(told, ("",) * many)


def _told(cells: Sequence[str]) -> str:
    """Return the field of a column, `a size` or `words`."""
    tests = (
        ("size", _QUARTER.fullmatch),
        ("dimensions", sizes_in),
        ("price", lambda cell: cell.startswith("$")),
        ("grade", grade_named),
        ("mark", _MARKED.fullmatch),
        ("a size", _is_size),
        ("place", place_named),
        ("name", woods_named),
    )
    return next((field for field, holds in tests if all(holds(cell) for cell in cells)), "words")


def _sizes_named(columns: Sequence[Sequence[str]], others: set[str]) -> tuple[str, ...] | None:
    """Return what columns of sizes are, in their order; None when it cannot be told."""
    if columns and "price" not in others and all(_CENTS.fullmatch(cell) for cell in columns[-1]):
        rest = _sizes_named(columns[:-1], others | {"price"})
        return (*rest, "price") if rest else None
    if not columns:
        return () if "dimensions" in others else None
    if "dimensions" in others:
        return None
    if len(columns) == 2:
        return "width", "length"
    if len(columns) == 3 and "size" not in others and all(Length.parse(cell) < THICKEST for cell in columns[0]):
        return "size", "width", "length"
    return None


def _is_size(cell: str) -> bool:
    try:
        Length.parse(cell)
    except ValueError:
        return False
    return True
