"""What was typed about a thing to buy -> a Material, or problems. Prices and stock ask for it alike."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from domain.adhesive import adhesive_families
from domain.data import rows
from domain.finish import colour_families, finish_families
from domain.glue_up import Fastening
from domain.length import ZERO, Length
from domain.lumber import grade_names
from domain.material import BASE_UNIT, Material, MaterialKind
from domain.pieces.choices import SheetThickness, sheets
from domain.wood import species_names
from domain.words import cut_short
from webapp.forms.field import Fields


@dataclass(frozen=True, slots=True)
class MaterialAsk:
    """How a kind of material is asked for. An empty label is not asked; options are offered, `only` them if so said."""

    kind: MaterialKind
    title: str
    words: str
    name: str
    names: tuple[str, ...] = ()
    only_names: bool = False
    size: str = ""
    sizes: tuple[str, ...] = ()
    size_help: str = ""
    grade: str = ""
    grades: tuple[str, ...] = ()
    grade_help: str = ""
    needs_all: bool = False

    @property
    def unit(self) -> str:
        """What a quantity of it counts, in words."""
        return BASE_UNIT[self.kind].value or "pieces"

    def choices(self, known: tuple[str, ...], typed: str) -> tuple[tuple[str, str], ...]:
        """Return options to choose from: those known, and what was typed or stored even if it is none of them."""
        others = (typed,) if typed and typed not in known else ()
        blank = () if typed else (("", "choose"),)
        return (*blank, *((one, one) for one in (*known, *others)))


@cache
def asks() -> Mapping[MaterialKind, MaterialAsk]:
    """Return how each kind of material is asked for."""
    kind = MaterialKind
    quarters = tuple(row["quarter"] for row in rows("thickness.csv"))
    found = (
        MaterialAsk(kind.LUMBER, "Lumber", "by the board foot", "Wood", species_names(), size="Rough thickness",
                    sizes=quarters, grade="Grade", grades=grade_names(), needs_all=True),
        MaterialAsk(kind.SHEET, "Sheets", "plywood and fibreboard, by the sheet", "Sheet", sheets(),
                    size="Nominal thickness", sizes=tuple(one.value for one in SheetThickness), needs_all=True,
                    size_help="As the take-off names it, for instance 3/4", grade="Width x length",
                    grade_help="Only where it is not your usual sheet: 60 x 60"),
        MaterialAsk(kind.GLUE, "Glue", "by the fluid ounce", "Family", adhesive_families(), only_names=True),
        MaterialAsk(kind.FINISH, "Finish and stain", "by the gallon", "Family",
                    (*finish_families(), *colour_families()), only_names=True),
        MaterialAsk(kind.FASTENER, "Fasteners", "screws, biscuits, dowels, by the piece", "Fastener",
                    tuple(one.value for one in Fastening), size="Size", size_help="For instance #8 x 1 1/4 or #20"),
        MaterialAsk(kind.EDGE_STRIP, "Edge strip", "by the foot", "Edge strip", ("maple edge strip",), size="Width",
                    sizes=("7/8",)),
        MaterialAsk(kind.ABRASIVE, "Abrasives", "discs and sheets, by the piece", "Abrasive",
                    ("sanding disc", "sanding sheet"), size="Grit", sizes=("80", "120", "150", "180", "220", "320")),
        MaterialAsk(kind.HARDWARE, "Hardware", "slides, hinges, pulls, by the piece", "Hardware",
                    ("drawer slide pair, side-mounted", "hinge", "leveling foot", "pull", "shelf pin"), size="Size",
                    size_help="As the take-off names it; empty if it has none"),
        MaterialAsk(kind.OTHER, "Anything else", "by the piece", "What it is", size="Size"),
    )  # fmt: skip
    return {one.kind: one for one in found}


def known_kind(text: str) -> MaterialKind | None:
    """Return the kind a query or a form names, None when it names none."""
    return next((kind for kind in MaterialKind if kind.value == text.strip().casefold()), None)


def read_kind(fields: Fields) -> MaterialKind | None:
    """Return the kind that is posted, or None after noting a problem."""
    kind = known_kind(fields.raw("kind"))
    if kind is None:
        known = ", ".join(one.value for one in MaterialKind)
        fields.problem("kind", f"Kind “{cut_short(fields.raw('kind'))}” is not one of: {known}.")
    return kind


def known_material(key: str) -> Material | None:
    """Return the material of a key in an address, None when it is no key."""
    try:
        return Material.from_key(key)
    except ValueError:
        return None


def fill(material: Material) -> dict[str, str]:
    return {"kind": material.kind.value, "name": material.name, "size": material.size, "grade": material.grade}


def read(fields: Fields, kind: MaterialKind) -> Material | None:
    """Return the material as typed, spelled as the tables spell it, or None after noting problems."""
    ask, before = asks()[kind], len(fields.problems)
    name = _spelled(fields.text("name", ask.name, needed=True), ask.names)
    size = _size(fields.text("size", ask.size), kind) if ask.size else ""
    grade = _spelled(fields.text("grade", ask.grade), ask.grades) if ask.grade else ""
    if kind is MaterialKind.SHEET and grade:
        grade = _sheet_size(fields, grade)
    for field, label, text, known in (("size", ask.size, size, ask.sizes), ("grade", ask.grade, grade, ask.grades)):
        if ask.needs_all and label and known and not text:
            fields.problem(field, f"{label} is empty. Jobs ask for it by that too; try {known[0]} or {known[-1]}.")
    if ask.only_names and name and name not in ask.names:
        fields.problem("name", f"{ask.name} “{cut_short(name)}” is not in the handbook. Choose the one nearest to it.")
    for field, text in (("name", name), ("size", size), ("grade", grade)):
        if "|" in text:
            fields.problem(field, f"“{cut_short(text)}” holds a |, which keys are made with. Type it without.")
    return None if len(fields.problems) > before else Material(kind, name, size, grade)


def _spelled(text: str, known: tuple[str, ...]) -> str:
    """Return the text as the table spells it, when the table has it in other capitals."""
    return next((name for name in known if name.casefold() == text.casefold()), " ".join(text.split()))


def _sheet_size(fields: Fields, text: str) -> str:
    """Return the size of a sheet as materials have it, `60 x 60`, or note that it is none."""
    width, _, length = text.casefold().replace("×", "x").partition("x")
    try:
        sizes = Length.parse(width), Length.parse(length)
    except ValueError:
        sizes = (ZERO, ZERO)
    if min(sizes) <= ZERO:
        words = f"Width x length “{cut_short(text)}” is not the size of a sheet. Try 60 x 60, or leave it empty."
        fields.problem("grade", words)
        return text
    return " x ".join(size.exact() for size in sizes)


def _size(text: str, kind: MaterialKind) -> str:
    """Return a size as the take-off writes it: `3/4`, not `3/4 in`; a size in millimetres keeps its unit."""
    if kind in (MaterialKind.SHEET, MaterialKind.EDGE_STRIP) and not re.search(
        r"[a-hj-z]", text.casefold().strip("in. ")
    ):
        try:
            return Length.parse(text).exact()
        except ValueError:
            return text
    return " ".join(text.split())
