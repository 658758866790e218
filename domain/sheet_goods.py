"""Sheets needed for a set of sheet parts, by area, kerf, edge trim and usual yield."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from domain.exact import product, summed
from domain.figure import Figure, Rule, Unit, add_up, typed
from domain.length import Length
from domain.material import Material
from domain.part import Grain, Part
from domain.practice import ShopPractice
from domain.problem import Problem

FIBREBOARDS = ("mdf", "particleboard", "fiberboard", "fibreboard", "chipboard", "hardboard")
"""Words in a sheet's name that say it is sold in the oversize sheets of fibre and particle board."""

_AREA = Rule("count × width × length ÷ 144")
_KERF = Rule("each part's width and length with one saw kerf, ÷ 144")
_USABLE = Rule("(width − 2 × trim) × (length − 2 × trim) ÷ 144")
_WEIGHT = Rule("count × thickness × width × length ÷ 1728 × density")


@dataclass(frozen=True, slots=True)
class SheetSize:
    """A full sheet as sold. width, length: figures in inches, the grain along the length."""

    width: Figure
    length: Figure


@dataclass(frozen=True, slots=True)
class SheetNeed:
    """sheets: whole sheets for the parts that fit one; problems: each part that fits none."""

    sheets: Figure
    problems: tuple[Problem, ...] = ()


def is_fibreboard(material: Material) -> bool:
    """Return whether a sheet is fibre or particle board, by the words of its name."""
    name = material.name.casefold()
    return any(word in name for word in FIBREBOARDS)


def sheet_size(material: Material, practice: ShopPractice) -> SheetSize:
    """Return the sheet size the shop buys of a sheet material."""
    kind = "fibreboard" if is_fibreboard(material) else "sheet"
    return SheetSize(practice.figure(f"{kind}_width"), practice.figure(f"{kind}_length"))


def sheet_area(part: Part, *, alike: int = 1, label: str = "") -> Figure:
    """Return the net area of a part, all of its count [ft²]. alike: how many pieces there are with it."""
    value = product(alike, part.count, part.width.inches, part.length.inches, over=144)
    sizes = part.sizes[1:] or (typed("Width", part.width), typed("Length", part.length))
    return Figure(label or f"{part.mark} {part.name}", value, Unit.SQUARE_FOOT, _AREA, sizes)


def sheet_weight(part: Part, practice: ShopPractice, *, label: str = "Weight") -> Figure:
    """Return the weight of a sheet part, all of its count [lb]."""
    density = practice.figure(f"{'fibreboard' if is_fibreboard(part.material) else 'plywood'}_density")
    inches = (size.inches for size in (part.thickness, part.width, part.length))
    value = product(part.count, *inches, density.value, over=1728)
    sizes = part.sizes or (
        typed("Thickness", part.thickness),
        typed("Width", part.width),
        typed("Length", part.length),
    )
    return Figure(label, value, Unit.POUND, _WEIGHT, (*sizes, density))


def sheets_needed(parts: Sequence[Part], practice: ShopPractice) -> SheetNeed:
    """Return whole sheets for parts that are all of one sheet material, and the parts that fit no sheet.

    By area: parts with their kerfs ÷ usable area × usual yield, rounded up; never more sheets than parts,
    since each fits one, and never fewer than parts that are too large to share a sheet.
    Raises ValueError for parts of several materials or for none.
    Source: common practice, no source.
    """
    if len({part.material for part in parts}) != 1:
        raise ValueError("sheets are reckoned for the parts of one material at a time")
    sheet, trim = sheet_size(parts[0].material, practice), practice.figure("sheet_trim")
    width = sheet.width.length - 2 * trim.length
    length = sheet.length.length - 2 * trim.length
    if width.inches <= 0 or length.inches <= 0:
        raise ValueError(f"a trim of {trim.length.tape()} leaves nothing of the sheet")
    fitted = [fits(part, width, length) for part in parts]
    fitting = [part for part, fit in zip(parts, fitted, strict=True) if fit]
    problems = tuple(_too_large(part, width, length) for part, fit in zip(parts, fitted, strict=True) if not fit)
    return SheetNeed(_sheets(fitting, width, length, (sheet.width, sheet.length, trim), practice), problems)


def fits(part: Part, width: Length, length: Length) -> bool:
    """Return whether a part fits a sheet's usable size [in], its grain along the sheet's length."""
    along = part.length.inches <= length.inches and part.width.inches <= width.inches
    if part.grain is Grain.LENGTH:
        return along
    across = part.width.inches <= length.inches and part.length.inches <= width.inches
    return across or (along and part.grain is Grain.FREE)


def _too_large(part: Part, width: Length, length: Length) -> Problem:
    turned = "" if part.grain is Grain.FREE else f" with the grain {part.grain.value}"
    return Problem(
        "length",
        f"{part.name}, {part.width.tape()} by {part.length.tape()}{turned}, is larger than the "
        f"{width.tape()} by {length.tape()} of a trimmed sheet. Join it from two parts, turn its grain, or set "
        "a larger sheet in Practice.",
    )


def _sheets(
    parts: Sequence[Part], width: Length, length: Length, sizes: tuple[Figure, ...], practice: ShopPractice
) -> Figure:
    usable = Figure("Usable area of a sheet", width.inches * length.inches / 144, Unit.SQUARE_FOOT, _USABLE, sizes)
    kerf, share = practice.figure("kerf"), practice.figure("sheet_yield")
    areas = [sheet_area(part) for part in parts]
    net = add_up("Net area", areas, Unit.SQUARE_FOOT)
    cut = Figure("Area with kerfs", _with_kerfs(parts, kerf.value), Unit.SQUARE_FOOT, _KERF, (net, kerf))
    by_area = ceil(cut.value / (usable.value * share.value))
    halves = zip(parts, areas, strict=True)
    alone = sum(part.count for part, area in halves if 2 * area.value > part.count * usable.value)
    whole = max(alone, min(by_area, sum(part.count for part in parts)))
    words = "area with kerfs ÷ (usable area × usual yield), rounded up"
    if whole < by_area:
        words += "; no more sheets than parts, since each fits one"
    elif whole > by_area:
        words += f"; but {alone} parts are each more than half a sheet"
    return Figure("Sheets", Fraction(whole), Unit.SHEET, Rule(words), (cut, usable, share))


def _with_kerfs(parts: Iterable[Part], kerf: Fraction) -> Fraction:
    sizes = ((part.count, part.width.inches + kerf, part.length.inches + kerf) for part in parts)
    return summed(product(*one, over=144) for one in sizes)
