"""Making parts, joints and faces from typed sizes, each size keeping its working."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil
from typing import Any

from domain.figure import Figure, Rule, Unit, add_up, count
from domain.length import Length
from domain.lumber import quarter_for
from domain.material import Material, MaterialKind
from domain.part import Face, FinishChoice, Grain, Item, Joint, Part
from domain.pieces.ask import figure
from domain.practice import COMMON, ShopPractice
from domain.problem import Problem
from domain.sheet_goods import is_fibreboard, sheet_weight
from domain.wood import Cut, movement, species, weight

Sizes = tuple[Figure, Figure, Figure]
"""Finished thickness, width and length [in]."""

each = count
"""A count of things, by the name that reads well in a piece."""


@dataclass(frozen=True, slots=True)
class Making:
    """A piece being made: where its typed sizes and the shop's habits are found as figures."""

    piece: Any
    practice: ShopPractice
    where: str

    def typed(self, name: str) -> Figure:
        """Return a size or number typed for the piece."""
        return figure(self.piece, name, self.where)

    def habit(self, key: str) -> Figure:
        return self.practice.figure(key)


def inches(label: str, value: Fraction, words: str, *came_from: Figure, source: str = "") -> Figure:
    """Return a size worked out from others [in]."""
    return Figure(label, value, Unit.INCH, Rule(words, source), came_from)


def times(made: Figure, how_many: Figure) -> Figure:
    """Return a figure for so many; for one, the figure itself."""
    if how_many.value == 1:
        return made
    return Figure(made.label, made.value * how_many.value, made.unit, Rule("one × how many"), (made, how_many))


def mark(place: int) -> str:
    """Return the part mark of a place in the piece: A to Z, then AA."""
    return chr(ord("A") + place) if place < 26 else mark(place // 26 - 1) + mark(place % 26)


def marked(parts: Iterable[Part]) -> tuple[Part, ...]:
    """Return the parts with marks in their order."""
    return tuple(replace(part, mark=mark(place)) for place, part in enumerate(parts))


def part(name: str, count: int, sizes: Sizes, material: Material, *, grain: Grain = Grain.LENGTH,
         extra: Figure | None = None, counted: Figure | None = None, mark: str = "") -> Part:  # fmt: skip
    """Return alike parts, unmarked unless said.

    sizes: finished; extra: length kept until the last cut [in]; counted: how the count came about.
    """
    thickness, width, length = (size.length for size in sizes)
    if material.kind is MaterialKind.SHEET and is_fibreboard(material):
        grain = Grain.FREE
    kept = (*sizes, extra) if extra else sizes
    more = extra.length if extra else Length(Fraction(0))
    return Part(mark, name, count, thickness, width, length, material, grain, more, kept, counted)


def joint(name: str, count: int, length: Figure, width: Figure, glue: str, fastener: Material | None = None,
          fasteners: Figure | None = None) -> Joint:  # fmt: skip
    """Return alike joints; a fastener that turns out not to be needed is left out."""
    needed = fasteners if fasteners and fasteners.value else None
    used = fastener if needed else None
    return Joint(name, count, length.length, width.length, glue, used, needed, (length, width))


def faces(choice: FinishChoice | None, *surfaces: tuple[str, int, Figure, Figure]) -> tuple[Face, ...]:
    """Return the surfaces that get the finish: none without one. surfaces: name, count, width, length."""
    if choice is None:
        return ()
    return tuple(
        Face(name, count, width.length, length.length, choice, (width, length))
        for name, count, width, length in surfaces
        if count
    )


def lumber(species: str, grade: str, thickness: Length, practice: ShopPractice, *, quarter: str = "") -> Material:
    """Return the rough stock for a finished thickness, or the one asked for.

    Stock that no one buys is left without a size, which rough_size() then reports.
    """
    if not quarter:
        found = quarter_for(thickness, practice)
        quarter = "" if isinstance(found, Problem) else found.name
    return Material(MaterialKind.LUMBER, species, quarter, grade)


def sheet(name: str, nominal: str) -> Material:
    return Material(MaterialKind.SHEET, name.strip(), nominal)


def sheet_thickness(name: str, nominal: str, practice: ShopPractice) -> Figure:
    """Return the real thickness of a sheet [in]: of plywood as the shop measured it, else its nominal size."""
    if is_fibreboard(sheet(name, nominal)):
        return inches(
            f"{name} is", Fraction(nominal), "fibre and particle board is as thick as its name", source=COMMON
        )
    return practice.figure(f"actual_{nominal.replace('/', '_')}")


def seasonal(wood: str, cut: Cut, across: Figure, practice: ShopPractice) -> Figure | None:
    """Return how much wider a width is in the dampest season than in the driest [in]; None when not known."""
    year = practice.seasons
    return movement(species(wood), cut, across, year.driest, year.dampest)


def weight_of(parts: Sequence[Part], practice: ShopPractice) -> Figure | None:
    """Return what the parts weigh at their finished sizes [lb]; None when a wood's density is not known."""
    weights = [_weight(one, practice) for one in parts]
    if not weights or None in weights:
        return None
    return add_up("Weight of one", (one for one in weights if one), Unit.POUND, "its parts added up")


def _weight(one: Part, practice: ShopPractice) -> Figure | None:
    label = f"{one.count} × {one.name}"
    if one.material.kind is MaterialKind.SHEET:
        return sheet_weight(one, practice, label=label)
    thickness, width, length = one.sizes[:3]
    return weight(one.material.name, thickness, width, length, one.count, label=label)


def lifters(weighed: Figure | None, practice: ShopPractice) -> Figure:
    """Return how many people carry a weight [lb] between them; of an unknown weight, one.

    Source: NIOSH revised lifting equation, load constant, as set in Practice.
    """
    limit = practice.figure("one_person_lift")
    if weighed is None:
        return each("People to lift it", 1, "its weight is not known: one, or as many as it takes")
    words = "weight ÷ most that one person lifts, rounded up"
    return each("People to lift it", max(1, ceil(weighed.value / limit.value)), words, weighed, limit)


def hardware(name: str, size: str, quantity: Figure, why: str) -> Item:
    return Item(Material(MaterialKind.HARDWARE, name, size), quantity, why)


def screws(size: str, quantity: Figure, why: str) -> Item:
    """Return wood screws of a size such as `#8 x 1 1/4`. Source of the sizes asked for: common practice, no source."""
    return Item(Material(MaterialKind.FASTENER, "wood screw", size), quantity, why)


def edge_strip(sheet_name: str, nominal: str, length: Figure) -> Item:
    """Return edge strip for a sheet's visible edges, an eighth wider than the sheet. length [ft].

    Source: common practice, no source.
    """
    wood = sheet_name.strip()
    wood = wood.removesuffix("plywood").strip() if wood.casefold().endswith("plywood") else wood
    width = Length.of(Fraction(nominal) + Fraction(1, 8)).exact()
    material = Material(MaterialKind.EDGE_STRIP, f"{wood or 'wood'} edge strip", width)
    return Item(material, length, "visible edges of sheets")


def running_feet(label: str, *lengths: tuple[int, Figure]) -> Figure:
    """Return so many lengths [in] added up, in feet."""
    value = sum((count * length.value for count, length in lengths), Fraction(0)) / 12
    counts = " + ".join(f"{count} × {length.label.lower()}" for count, length in lengths if count)
    came_from = tuple(length for count, length in lengths if count)
    return Figure(label, value, Unit.FOOT, Rule(f"({counts}) ÷ 12" if counts else "none"), came_from)


def how_far_apart(label: str, length: Figure, spacing: Figure, *, rows: int = 1, least: int = 2) -> Figure:
    """Return how many stand in rows along a length at most a spacing apart [each], ends included."""
    in_a_row = max(ceil(length.value / spacing.value) + 1, least)
    counted = each(label, in_a_row, f"length ÷ spacing, rounded up, and one more; at least {least}", length, spacing)
    return counted if rows == 1 else each(label, rows * in_a_row, f"{rows} rows of them", counted)
