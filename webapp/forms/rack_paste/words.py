"""Woods, stock and grades as a yard writes them -> as jobs ask for them; and a line of plain words."""

import re
from collections.abc import Iterator, Sequence
from functools import lru_cache

from domain.length import Length, Unit
from domain.lumber import quarters
from domain.material import MaterialKind
from domain.pieces.choices import sheets
from domain.practice import ShopPractice
from domain.rack import RackPlace
from domain.rack_list import stock_size
from domain.wood import species_names
from domain.words import cut_short, listing

GRADES = {
    "FAS": ("fas", "firsts and seconds", "1sts and 2nds"),
    "FAS One Face (F1F)": ("f1f", "fas 1 face", "fas one face", "fas 1f", "fas one face f1f"),
    "Selects": ("sel", "select", "selects"),
    "No. 1 Common": ("1c", "1 c", "1 com", "1 common", "no 1 common", "no 1 com", "no 1 c", "no 1c"),
    "No. 2A Common": ("2a", "2ac", "2a com", "2a common", "no 2a common", "no 2a com", "no 2a"),
    "No. 2B Common": ("2b", "2bc", "2b com", "2b common", "no 2b common", "no 2b com", "no 2b"),
    "No. 3A Common": ("3a", "3ac", "3a com", "3a common", "no 3a common", "no 3a com", "no 3a"),
    "No. 3B Common": ("3b", "3bc", "3b com", "3b common", "no 3b common", "no 3b com", "no 3b"),
}
"""Short forms of grades: common practice, no source."""

PLACES = {
    RackPlace.SHOP: ("in the shop", "shop", "here", "rack", "on the rack"),
    RackPlace.YARD: ("at the yard", "yard", "seen", "there"),
}
SHEET_WORDS = frozenset({"plywood", "ply", "mdf", "fibreboard", "fiberboard", "particleboard", "melamine", "hardboard"})
QUARTERS = frozenset({"5", "6", "7", "8", "10", "12", "14", "16"})
"""Bare numbers that are quarters of an inch, since no board is so many inches thick; 4 may be either."""


@lru_cache(maxsize=1024)
def grade_named(text: str) -> str:
    """Return the grade that a yard's word means, empty when it is none."""
    word = " ".join(re.findall(r"[a-z0-9]+", text.casefold()))
    return next((grade for grade, words in GRADES.items() if word == _plain(grade) or word in words), "")


@lru_cache(maxsize=1024)
def woods_named(text: str) -> tuple[str, ...]:
    """Return the woods and sheets that a word may mean: one if it is plain, several, or none: `Oak, white`."""
    known = (*species_names(), *sheets())
    same = next((name for name in known if name.casefold() == text.strip().casefold()), None)
    if same:
        return (same,)
    said = set(_plain(text).split())
    if "plywood" not in said and "ply" in said:
        said = said - {"ply"} | {"plywood"}
    among = sheets() if said & SHEET_WORDS else species_names()
    return tuple(name for name in among if said and said <= set(_plain(name).split()))


def is_sheet(name: str) -> bool:
    """Whether a name is that of a sheet."""
    return bool(set(_plain(name).split()) & SHEET_WORDS)


def place_named(text: str) -> RackPlace | None:
    """Return the place that a word means, None when it means none."""
    return next((place for place, words in PLACES.items() if text.strip().casefold() in words), None)


def wood_problem(text: str, found: Sequence[str]) -> str:
    """Return why a word does not say which wood it is."""
    return f"Wood “{cut_short(text)}” can be {' or '.join(found[:6])}. Write which one."


def stock_named(text: str, kind: MaterialKind, unit: Unit, practice: ShopPractice) -> tuple[str, str]:
    """Return the stock that a typed thickness is of and an empty text, or an empty text and why it is none."""
    word = re.sub(r"(?<=/4) ?(quarter|in\.?|\")?$", "", text.strip().casefold())
    bought = [quarter.name for quarter in quarters(practice)]
    if kind is MaterialKind.LUMBER and word in bought:
        return word, ""
    if kind is MaterialKind.LUMBER and unit == "in" and word in QUARTERS and f"{word}/4" in bought:
        return f"{word}/4", ""
    try:
        thick = Length.parse(text, bare=unit)
    except ValueError as error:
        return "", f"Thickness: {error}"
    if kind is MaterialKind.LUMBER and word == "4":
        return "", "Thickness “4” can be 4/4 or 4 in. Write 4/4 or 16/4."
    name = stock_size(thick, kind, practice)
    if kind is MaterialKind.SHEET:
        return name or text.strip(), ""
    words = f"Thickness “{cut_short(text)}” is of no stock you buy. Write what it was sawn as"
    return name, "" if name else f"{words}: {listing(bought, most=len(bought))}."


NUMBER = r"(?:\d{1,5}[ -]\d{1,3}/\d{1,3}|\d{1,3}/\d{1,3}|\d{1,5} ?[¼½¾⅛⅜⅝⅞]|\d{0,5}\.\d{1,4}|\d{1,5})"
INCHES = "(?:\"|”|″|''|in\\.?(?![a-z])|mm|cm)"
FEET = rf"{NUMBER} ?(?:'(?!')|’|′|ft\.?)(?: ?-? ?{NUMBER} ?{INCHES}?)?"
SIZE = rf"(?:{FEET}|{NUMBER} ?{INCHES}?)"
SIZES = re.compile(rf"(?<![\w/.]){SIZE}(?: ?(?:x|×|by) ?{SIZE}){{1,2}}(?![\w/])", re.IGNORECASE)
_ONE_SIZE = re.compile(SIZE, re.IGNORECASE)
_CELL_ENDS = re.compile(r"[\t;,]")
_CENTS = re.compile(r"\d{1,4}\.\d\d")
_CENTS_LAST = re.compile(r"[\s,;]+(\d{1,4}\.\d\d)(?: ?/? ?(?:bf|bd\.? ?ft\.?))?\s*$", re.IGNORECASE)
_TIMES = re.compile(r" ?(?:x|×|by) ?", re.IGNORECASE)
_PRICE = re.compile(
    r"(?:\$ ?|@ ?\$? ?)(\d[\d,]*(?:\.\d+)?)(?: ?/? ?(?:per )?(?:bf|bd\.? ?ft\.?|board f(?:oo|ee)t))?", re.I
)
_THICK = re.compile(r"(?<![\w/.])(\d{1,2}/4)(?![\w/])")
_COUNT = re.compile(r"(?<![\w/.$])(\d{1,3}) ?(?:pcs?|pieces?|boards?|sheets?|ea|off)\b\.?", re.I)
_MARK = re.compile(r"^\s*#?([a-z]{1,3}-?\d{1,4}|\d{1,4}(?=[:.)] ))[:.)]?(?=\s)", re.I)


def sizes_in(text: str) -> tuple[str, ...]:
    """Return the two or three sizes of a text such as `5/4 x 7 1/4 x 9' 10`; none of a text that has no such thing."""
    found = SIZES.search(text)
    return tuple(_TIMES.split(found[0])) if found else ()


def as_words(text: str) -> str:
    """Return one line of cells as a yard would say it, `7 x 120 $7.20`; a line that has no such cells as it is."""
    cells = [cell.strip() for cell in _CELL_ENDS.split(text) if cell.strip()]
    sizes = [cell for cell in cells if _ONE_SIZE.fullmatch(cell) and not _THICK.fullmatch(cell)]
    price = sizes.pop() if len(sizes) == 3 and _CENTS.fullmatch(sizes[-1]) else ""
    if len(sizes) != 2 or sizes_in(text):
        return text.replace("\t", ", ").replace(";", ",")
    others = [cell for cell in cells if cell not in (*sizes, price)]
    return ", ".join([*others, " x ".join(sizes), *([f"${price}"] if price else [])])


def line_in_words(text: str) -> dict[str, str]:
    """Return what a line of plain words says by the field it fills: `Y3: 8/4 cherry FAS 7 1/4 x 9' 10" $8.45`."""
    said: dict[str, str] = {"dimensions": ""}
    text = _with_price_last(text)
    if found := SIZES.search(text):
        said["dimensions"] = found[0]
        text = f"{text[: found.start()]} , {text[found.end() :]}"
    for field, pattern in (("mark", _MARK), ("price", _PRICE), ("count", _COUNT), ("size", _THICK)):
        if match := pattern.search(text):
            said[field] = match[1]
            text = f"{text[: match.start()]} , {text[match.end() :]}"
    for field, means in (("grade", grade_named), ("name", woods_named)):
        if phrase := next((phrase for phrase in _phrases(text) if means(phrase)), ""):
            said[field] = phrase
            text = text.replace(phrase, " , ", 1)
    if rest := " ".join(word for word in text.replace(",", " ").split() if word.strip(".;:-")):
        said["note" if "name" in said else "rest"] = rest
    return said


def _with_price_last(text: str) -> str:
    """Return a line whose last word is dollars and cents without a sign with the sign: `7 x 8' $6.40`.

    Otherwise 6.40 would be read as inches beyond 8 ft.
    """
    found = None if _PRICE.search(text) else _CENTS_LAST.search(text)
    before = text[: found.start()] if found else ""
    is_price = sizes_in(before) and not before.casefold().endswith(("x", "×", "by"))
    return f"{before} ${found[1]}" if found and is_price else text


def _phrases(text: str) -> Iterator[str]:
    """Yield runs of up to five words that stand together in a text, long ones first."""
    runs = [part.split() for part in text.split(",") if part.strip()]
    for many in range(5, 0, -1):
        for run in runs:
            for first in range(len(run) - many + 1):
                yield " ".join(run[first : first + many])


def _plain(name: str) -> str:
    return " ".join(re.findall(r"[a-z0-9]+", name.casefold()))
