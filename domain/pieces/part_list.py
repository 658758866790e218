"""The part list: parts of anything else, typed or pasted, one to a line."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from functools import cache, lru_cache
from typing import ClassVar

from domain.figure import Figure, typed
from domain.length import Length, Unit
from domain.lumber import grade_names, stock
from domain.material import MaterialKind
from domain.part import Built, Face, Part, Stage, Step, TaskKind
from domain.pieces.ask import pick, text
from domain.pieces.choices import Finished, SheetThickness
from domain.pieces.making import Making, each, faces, lumber, mark, part, sheet, weight_of
from domain.pieces.piece import Link
from domain.pieces.steps import after, sand_step, work
from domain.practice import ShopPractice
from domain.problem import Problem
from domain.sheet_goods import FIBREBOARDS
from domain.wood import species_names
from domain.words import counted, cut_short

MOST_LINES, MOST_SIGNS, MOST_COUNT, MOST_PROBLEMS = 500, 100_000, 1_000, 20
LEAST, THICKEST, WIDEST, LONGEST = Length.of("1/32"), Length.of(12), Length.feet(10), Length.feet(40)

SHEET_WORDS = ("plywood", "sheet", "melamine", "veneered", "laminate", *FIBREBOARDS)
"""Words in a material that say it is a sheet."""

_THICK = re.compile(r"^\d{1,2}/\d{1,2}(?: ?in\.?|\")? +(?=[a-z])", re.IGNORECASE)
_QUARTER = re.compile(r"\b(\d{1,2}/4)\b", re.ASCII)
_COUNT = re.compile(r"\d{1,6}", re.ASCII)
_FORM = "name, count, thickness, width, length, material"


class ListUnit(Enum):
    INCHES = "inches"
    MILLIMETRES = "millimetres"


@dataclass(frozen=True, slots=True)
class Listed:
    """One line read. line: its number, from 1; quarter, grade: of boards, empty for a sheet."""

    line: int
    name: str
    count: int
    thickness: Length
    width: Length
    length: Length
    material: str
    is_sheet: bool
    quarter: str
    grade: str


@dataclass(frozen=True, kw_only=True)
class PartList(Finished):
    kind: ClassVar[str] = "part_list"
    title: ClassVar[str] = "Part list"
    belongs_to: ClassVar[tuple[str, ...]] = ("top", "corner_top", "base_cabinet")
    links: ClassVar[tuple[Link, ...]] = ()

    lines: str = text(
        "Parts", "", needed=True, longest=2_000_000, lines=True, group="Parts",
        help=f"One part to a line: {_FORM}. Tabs, semicolons or commas between; a first line of headings is skipped.",
    )  # fmt: skip
    unit: ListUnit = pick("Numbers without a unit are", ListUnit.INCHES, group="Parts")

    @property
    def bare(self) -> Unit:
        """The unit of numbers typed without one."""
        return "mm" if self.unit is ListUnit.MILLIMETRES else "in"

    def own_problems(self, practice: ShopPractice) -> Iterator[Problem]:
        yield from self.finish_refusals()
        listed, problems = read_list(self.lines, self.bare)
        shown = [*problems, *_stock_problems(listed, practice)]
        yield from (Problem("lines", words) for words in shown[:MOST_PROBLEMS])
        if len(shown) > MOST_PROBLEMS:
            yield Problem("lines", f"And {len(shown) - MOST_PROBLEMS} more lines that cannot be read.")

    def build(self, practice: ShopPractice, where: str) -> Built:
        making = Making(self, practice, where)
        listed, _ = read_list(self.lines, self.bare)
        parts = tuple(_part(one, mark(place), making) for place, one in enumerate(listed))
        surfaces = tuple(face for one in parts for face in self._faces(one))
        heavy = weight_of(parts, practice)
        return Built(
            parts=parts,
            faces=surfaces,
            steps=tuple(_steps(parts, surfaces)),
            weight=heavy,
            figures=(heavy,) if heavy else (),
            problems=self.finish_warnings(),
        )

    def _faces(self, made: Part) -> tuple[Face, ...]:
        thickness, width, length = made.sizes[:3]
        return faces(
            self.finish_choice(),
            (f"{made.name}, both faces", 2 * made.count, width, length),
            (f"{made.name}, long edges", 2 * made.count, thickness, length),
            (f"{made.name}, ends", 2 * made.count, thickness, width),
        )


def read_list(lines: str, bare: Unit) -> tuple[tuple[Listed, ...], tuple[str, ...]]:
    """Return the parts of a list, and what is wrong with it, each naming its line. bare: unit of bare numbers."""
    if (many := lines.count("\n") + 1) > MOST_LINES + 1:
        return (), (f"{many:,} lines are too many for one list: up to {MOST_LINES} fit. Split it over several pieces.",)
    if len(lines) > MOST_SIGNS:
        return (), (f"{len(lines):,} characters are too many for one list. Keep it to {MOST_SIGNS:,}.",)
    return _read(lines, bare)


@lru_cache(maxsize=16)
def _read(lines: str, bare: Unit) -> tuple[tuple[Listed, ...], tuple[str, ...]]:
    found: list[Listed] = []
    problems: list[str] = []
    rows = [(number, row) for number, line in enumerate(lines.splitlines(), start=1) if (row := _cells(line))]
    body = rows[1:] if rows and _is_heading(rows[0][1]) else rows
    for number, row in body:
        try:
            found.append(_listed(number, row, bare))
        except ValueError as error:
            problems.append(f"Line {number}: {error}")
    if not body:
        problems.append(f"Parts is empty. Type one part to a line: {_FORM}.")
    return tuple(found), tuple(problems)


def _cells(line: str) -> tuple[str, ...]:
    """Return the cells of a line, cut at tabs, else at semicolons, else at commas; none of an empty line."""
    if not line.strip():
        return ()
    separator = next((mark for mark in ("\t", ";", ",") if mark in line), ",")
    return tuple(cell.strip() for cell in line.strip().split(separator))


def _is_heading(row: Sequence[str]) -> bool:
    return len(row) > 2 and not any(character.isdigit() for cell in row for character in cell)


def _listed(number: int, row: Sequence[str], bare: Unit) -> Listed:
    """Return a line's part. Raises ValueError, worded for the person."""
    if len(row) != 6:
        holds = counted(len(row), "thing")
        raise ValueError(f"“{cut_short(', '.join(row))}” holds {holds}; a line holds 6. Type {_FORM}.")
    name, count, *sizes, material = row
    odd = "|" in material or not f"{name}{material}".isprintable()
    if not name or not material or max(len(name), len(material)) > 80 or odd:
        raise ValueError(
            f"name “{cut_short(name)}” or material “{cut_short(material)}” is empty, too long or has odd signs."
        )
    if not _COUNT.fullmatch(count) or not 1 <= int(count) <= MOST_COUNT:
        raise ValueError(f"count “{cut_short(count)}” must be a whole number from 1 to {MOST_COUNT:,}. Try 2.")
    thickness, width, length = (
        _size(label, typed_size, most, bare)
        for label, typed_size, most in zip(
            ("thickness", "width", "length"), sizes, (THICKEST, WIDEST, LONGEST), strict=True
        )
    )
    return Listed(number, name, int(count), thickness, width, length, *_understood(material))


@lru_cache(maxsize=4096)
def _size(label: str, text: str, most: Length, bare: Unit) -> Length:
    try:
        value = Length.parse(text, bare=bare)
    except ValueError as error:
        raise ValueError(f"{label} {error}") from None
    if not LEAST <= value <= most:
        raise ValueError(f"{label} “{cut_short(text)}” must be from {LEAST.tape(precision=32)} to {most.in_feet} ft.")
    return value


@lru_cache(maxsize=256)
def _understood(name: str) -> tuple[str, bool, str, str]:
    """Return material, whether it is a sheet, quarter and grade. Raises ValueError for neither a wood nor a sheet."""
    if any(word in name.casefold() for word in SHEET_WORDS):
        return _THICK.sub("", name), True, "", ""
    grade = next((known for known in grade_names() if name.casefold().endswith(known.casefold())), "")
    wood = name[: len(name) - len(grade)] if grade else name
    quarter = _QUARTER.search(wood)
    wood = _QUARTER.sub("", wood).strip(" ,")
    species = _woods().get(wood.casefold()) or _one_wood(wood)
    if species is None:
        raise ValueError(
            f"material “{cut_short(name)}” is neither a wood of the handbook nor a sheet. "
            "Try White oak, White oak 8/4 or maple plywood."
        )
    return species, False, quarter[1] if quarter else "", grade or "FAS"


@cache
def _woods() -> dict[str, str]:
    """Return species by every name a person may type for them: as listed, and the names before and in brackets."""
    found: dict[str, str | None] = {}
    for name in species_names():
        for short in (half.strip(" )").casefold() for half in name.split("(")):
            found[short] = None if short in found else name
    exact = {name.casefold(): name for name in species_names()}
    return {short: name for short, name in found.items() if name} | exact


def _one_wood(typed: str) -> str | None:
    """Return the one wood that has every word typed, as `poplar` has but one; None for none.

    Raises ValueError, naming them, when several have.
    """
    words = set(_words(typed))
    found = [name for name in species_names() if words and words <= set(_words(name))]
    if len(found) > 1:
        more = ", …" if len(found) > 4 else ""
        raise ValueError(f"material “{cut_short(typed)}” may be {', '.join(found[:4])}{more}. Type which.")
    return found[0] if found else None


def _words(name: str) -> list[str]:
    return re.findall(r"[^\W\d_]+", name.casefold())


@lru_cache(maxsize=256)
def nominal(thickness: Length, practice: ShopPractice) -> str | None:
    """Return the nominal thickness of a sheet by its nominal or its real thickness; None when none is near."""
    for one in SheetThickness:
        real = practice.length(f"actual_{one.value.replace('/', '_')}")
        if thickness == Length.of(one.value) or abs((thickness - real).inches) <= Fraction(1, 32):
            return one.value
    return None


def _stock_problems(listed: Sequence[Listed], practice: ShopPractice) -> Iterator[str]:
    for one in listed:
        if one.is_sheet:
            if nominal(one.thickness, practice) is None:
                known = ", ".join(thickness.value for thickness in SheetThickness)
                yield f"Line {one.line}: thickness “{one.thickness.tape()}” is not a sheet's. Try {known}."
            continue
        found = stock(one.name, one.thickness, one.quarter, practice)
        if isinstance(found, Problem):
            yield f"Line {one.line}: {found.words}"


def _part(one: Listed, mark: str, making: Making) -> Part:
    where, label = f"{making.where}:lines", f"line {one.line}"
    width, length = typed(f"Width, {label}", one.width, where=where), typed(f"Length, {label}", one.length, where=where)
    thickness: Figure = typed(f"Thickness, {label}", one.thickness, where=where)
    if one.is_sheet:
        material = sheet(one.material, nominal(one.thickness, making.practice) or "")
    else:
        material = lumber(one.material, one.grade, one.thickness, making.practice, quarter=one.quarter)
    counted = typed(f"Count, {label}", one.count, where=where)
    return part(one.name, one.count, (thickness, width, length), material, counted=counted, mark=mark)


def _steps(parts: Sequence[Part], surfaces: Sequence[Face]) -> Iterator[Step]:
    solid = sum(one.count for one in parts if one.material.kind is MaterialKind.LUMBER)
    sheets = sum(one.count for one in parts) - solid
    boards, cut = each("Solid parts", solid, "counted on the list"), each("Sheet parts", sheets, "counted on the list")
    ready = ""
    if solid:
        yield Step("mill", "Mill solid parts", TaskKind.MILL, work=work("mill", boards))
        ready = "mill"
    done = (*work("cut-solid", boards), *work("cut-sheet", cut))
    yield Step("cut", "Cut parts to size", TaskKind.CUT, work=done, after=after(*(ready,) if ready else ()))
    yield from sand_step(surfaces, after("cut"))
    fitted = each("Parts", solid + sheets, "counted on the list")
    yield Step("install", "Fit the parts", TaskKind.INSTALL, Stage.INSTALL, work("install-part", fitted))
