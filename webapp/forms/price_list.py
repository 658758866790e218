"""A price list pasted from a spreadsheet -> prices, with what is wrong in each line."""

import csv
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from io import StringIO

from domain.material import MaterialKind
from domain.price import Price
from domain.price_list import Offer, offer
from domain.problem import Problem
from webapp.csv_text import FORMULA_STARTS
from webapp.forms import price as price_forms
from webapp.forms.material import known_kind

MOST_LINES = 2_000

WORDS = {
    "kind": ("kind", "type", "category"),
    "name": ("name", "material", "species", "wood", "item", "product", "article"),
    "size": ("size", "thickness", "dimension"),
    "grade": ("grade",),
    "description": ("description", "details", "text"),
    "supplier": ("supplier", "vendor", "dealer", "yard"),
    "package": ("package", "pack", "unit", "soldas", "per"),
    "holds": ("holds", "quantity", "qty", "contents", "packagequantity", "packsize", "onepackageholds"),
    "price": ("price", "cost", "amount", "unitprice", "priceofonepackage"),
    "priced_on": ("pricedon", "date", "asof", "priced"),
    "lead_days": ("leaddays", "lead", "leadtime", "days"),
    "whole": ("whole", "wholepackages", "soldinwholepackagesonly"),
    "taxed": ("taxed", "tax", "taxable", "salestaxischargedonit"),
}
"""Words of a header line, without spaces and signs, by the field they fill."""

NO = frozenset({"no", "n", "0", "false", "none", "-"})


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a list. number: as pasted, the header being 1; price: None when there are problems."""

    number: int
    text: str
    price: Price | None
    problems: tuple[Problem, ...]


@dataclass(frozen=True, slots=True)
class PastedList:
    """What was understood of a list. used, unused: titles of its columns; problem: why it cannot be read at all."""

    lines: tuple[Line, ...] = ()
    used: tuple[str, ...] = ()
    unused: tuple[str, ...] = ()
    problem: Problem | None = None

    @property
    def prices(self) -> tuple[Price, ...]:
        return tuple(line.price for line in self.lines if line.price)

    @property
    def wrong(self) -> tuple[Line, ...]:
        return tuple(line for line in self.lines if not line.price)


def read(posted: Mapping[str, str], *, today: date) -> PastedList:
    """Return what a pasted list says. Its first line names the columns; tabs, commas or semicolons part them.

    posted: `text`, and `kind` and `supplier` for lines that do not say.
    """
    text = posted.get("text", "").strip("\r\n")
    if not text.strip():
        return PastedList(
            problem=Problem("text", "Nothing is pasted. Copy rows from a spreadsheet, header line included.")
        )
    if (count := text.count("\n")) > MOST_LINES:
        words = (
            f"{count:,} lines are more than {MOST_LINES:,} at a time. Paste a part, each with the header line first."
        )
        return PastedList(problem=Problem("text", words))
    try:
        header, *rows = csv.reader(StringIO(text), delimiter=_delimiter(text))
    except (csv.Error, ValueError) as error:
        return PastedList(problem=Problem("text", f"This is not a table: {error}. Paste it as plain text."))
    columns = _columns(header)
    if missing := {"name", "price"} - {field for field in columns if field}:
        words = (
            f"No column is called {' or '.join(sorted(missing))}. The first line names the columns: name, size, price."
        )
        return PastedList(problem=Problem("text", words))
    lines = tuple(_lines(rows, columns, posted, today))
    used = tuple(title for title, field in zip(header, columns, strict=True) if field)
    unused = tuple(title for title, field in zip(header, columns, strict=True) if title.strip() and not field)
    return PastedList(lines, used, unused)


def _delimiter(text: str) -> str:
    header = text.splitlines()[0]
    return next((sign for sign in ("\t", ";") if sign in header), ",")


def _columns(header: Sequence[str]) -> list[str]:
    """Return the field that each column fills, empty for one that fills none or that came before."""
    found: list[str] = []
    for title in header:
        word = re.sub(r"[^a-z]+", "", title.casefold())
        field = next((field for field, words in WORDS.items() if word in words), "")
        found.append("" if field in found else field)
    return found


def _lines(
    rows: Sequence[Sequence[str]], columns: Sequence[str], posted: Mapping[str, str], today: date
) -> Iterator[Line]:
    seen: dict[Offer, int] = {}
    for number, row in enumerate(rows, start=2):
        if not any(cell.strip() for cell in row):
            continue
        typed = {field: _plain(cell) for field, cell in zip(columns, row, strict=False) if field}
        price, problems = price_forms.read(_completed(typed, posted, today), today=today)
        if price and (first := seen.setdefault(offer(price), number)) != number:
            words = f"The same material, supplier and package stand in line {first}. Leave one of them out."
            price, problems = None, [Problem("name", words)]
        yield Line(number, " · ".join(cell.strip() for cell in row if cell.strip())[:200], price, tuple(problems))


def _plain(cell: str) -> str:
    """Return a cell's words without the apostrophe that keeps a spreadsheet from calculating them."""
    words = cell.strip()
    return words[1:] if words.startswith("'") and words[1:].startswith(FORMULA_STARTS) else words


def _completed(typed: Mapping[str, str], posted: Mapping[str, str], today: date) -> dict[str, str]:
    """Return a line as the price form would post it, with the usual values where it says nothing."""
    said = {name: text for name, text in typed.items() if text}
    said["kind"] = _kind_word(said.get("kind", "")) or posted.get("kind", "")
    said.setdefault("supplier", posted.get("supplier", "").strip())
    kind = known_kind(said["kind"])
    usual = price_forms.blank(kind, today) if kind else {}
    for name in ("whole", "taxed"):
        if name in said:
            said[name] = "" if said[name].casefold() in NO else "yes"
    return usual | said


def _kind_word(text: str) -> str:
    """Return a kind in the form's own word: `Sheets` is a sheet."""
    word = text.strip().casefold()
    known = {kind.value for kind in MaterialKind}
    return next((one for one in (word, word.removesuffix("s"), word.removesuffix("es")) if one in known), word)
