"""The handbook: woods, glues, finishes and grades side by side. Read only, with sources."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from domain.adhesive import Adhesive, adhesive, adhesive_families
from domain.figure import Figure, typed
from domain.finish import Finish, colour_families, finish, finish_families
from domain.length import Length
from domain.length import Unit as LengthUnit
from domain.lumber import Grade, Quarter, grade, grade_names, grade_yield, quarters
from domain.practice import ShopPractice
from domain.wood import Cut, Species, movement, species, species_names, specific_gravity
from domain.words import sentence
from webapp.desk import reading
from webapp.filters import decimal, percent
from webapp.links import anchor
from webapp.render import page
from webapp.store import shop as store
from webapp.working import SHOP_PAGES

router = APIRouter()

HOME = "/handbook"
SHOWN_WIDTH = Length.of(12)
"""Width of the face whose movement the species table compares."""


@dataclass(frozen=True)
class Wood:
    """A species as the table shows it. flat, quarter: movement of a 12 in face between the shop's dry and damp season,
    in words finer than a tape; mark: letter of its source below the table; confidence: how the figures were seen.
    """

    species: Species
    id: str
    gravity: Figure | None
    flat: Figure | None
    quarter: Figure | None
    flat_words: str
    quarter_words: str
    mark: str
    confidence: str


@dataclass(frozen=True)
class Source:
    mark: str
    words: str


@dataclass(frozen=True)
class SpeciesPage:
    """woods: in the order asked for; width, driest, dampest: what the movement is reckoned from."""

    woods: tuple[Wood, ...]
    sources: tuple[Source, ...]
    width: Figure
    driest: Figure
    dampest: Figure


@dataclass(frozen=True)
class GradeRow:
    grade: Grade
    id: str
    share: Figure


@dataclass(frozen=True)
class Fact:
    label: str
    words: str


@dataclass(frozen=True)
class Family:
    """A family of glue or finish, by chemistry. habits: where the shop types what its own label says."""

    name: str
    id: str
    use: str
    facts: tuple[Fact, ...]
    hazards: str
    notes: str
    source: str
    habits: str


@dataclass(frozen=True)
class HandbookFigures:
    """Every figure of the handbook that can be opened, by the id of its entry."""

    species: Mapping[str, Wood]
    grades: Mapping[str, GradeRow]
    quarters: tuple[Quarter, ...]


def handbook_figures(db: Session, now: datetime) -> HandbookFigures:
    practice = store.load_practice(db)
    woods = {wood.id: wood for wood in species_page(practice).woods}
    return HandbookFigures(woods, {row.id: row for row in _grades()}, quarters(practice))


SHOP_PAGES["handbook"] = handbook_figures


def species_page(practice: ShopPractice, unit: LengthUnit = "in", sort: str = "") -> SpeciesPage:
    """Return every wood of the table. sort: gravity, hardness or movement; otherwise in the table's own order."""
    width = typed(f"A face {SHOWN_WIDTH.tape()} wide", SHOWN_WIDTH)
    driest, dampest = practice.figure("moisture_driest"), practice.figure("moisture_dampest")
    texts = list(dict.fromkeys(_split(species(name))[0] for name in species_names()))
    marks = {text: chr(ord("a") + place) for place, text in enumerate(texts)}
    woods = tuple(_wood(species(name), width, driest, dampest, marks, unit) for name in species_names())
    order = SORTS.get(sort)
    ordered = tuple(sorted(woods, key=order)) if order else woods
    return SpeciesPage(ordered, tuple(Source(mark, text) for text, mark in marks.items()), width, driest, dampest)


def _wood(
    wood: Species, width: Figure, driest: Figure, dampest: Figure, marks: Mapping[str, str], unit: LengthUnit
) -> Wood:
    text, confidence = _split(wood)
    flat, quarter = (movement(wood, cut, width, driest, dampest) for cut in (Cut.FLAT, Cut.QUARTER))
    return Wood(
        wood, anchor(wood.name), specific_gravity(wood), flat, quarter, fine(flat, unit), fine(quarter, unit),
        marks[text], confidence,
    )  # fmt: skip


def fine(size: Figure | None, unit: LengthUnit) -> str:
    """Return a small size finer than a tape shows it, without its sign: `0.166 in`."""
    if size is None:
        return "not known"
    small = abs(size.value)
    return f"{decimal(Length(small).in_mm, 1)} mm" if unit == "mm" else f"{decimal(small, 3)} in"


def _split(wood: Species) -> tuple[str, str]:
    """Return the source of a wood's figures, and how they were seen."""
    text, _, confidence = wood.source.rpartition("; ")
    return text, confidence


def _last_if_unknown(value: Fraction | None) -> tuple[bool, Fraction]:
    return value is None, value or Fraction(0)


SORTS: Mapping[str, Callable[[Wood], tuple[bool, Fraction]]] = {
    "gravity": lambda wood: _last_if_unknown(wood.species.specific_gravity),
    "hardness": lambda wood: _last_if_unknown(wood.species.hardness),
    "movement": lambda wood: _last_if_unknown(wood.species.tangential_coefficient),
}
"""Orders of the species table, the lowest first and the unknown last."""


def _grades() -> tuple[GradeRow, ...]:
    return tuple(GradeRow(grade(name), anchor(name), grade_yield(name).share) for name in grade_names())


@router.get(HOME)
def show_handbook(request: Request) -> Response:
    return page(request, "handbook", woods=len(species_names()), glues=len(adhesive_families()),
                finishes=len(finish_families()) + len(colour_families()), grades=len(grade_names()))  # fmt: skip


@router.get(f"{HOME}/species")
def show_species(request: Request, sort: str = "") -> Response:
    with reading(request) as db:
        shown = species_page(store.load_practice(db), store.load_shop(db).unit, sort)
    return page(request, "handbook_species", page=shown, sort=sort if sort in SORTS else "")


@router.get(f"{HOME}/adhesives")
def show_adhesives(request: Request) -> Response:
    families = tuple(_glue(adhesive(family)) for family in adhesive_families())
    return page(request, "handbook_adhesives", families=families)


@router.get(f"{HOME}/finishes")
def show_finishes(request: Request) -> Response:
    families = tuple(_finish(finish(family)) for family in (*finish_families(), *colour_families()))
    return page(request, "handbook_finishes", families=families)


def _glue(glue: Adhesive) -> Family:
    facts = (
        Fact("Open assembly time", _span(glue.open_assembly, "min")),
        Fact("Closed at the latest", _span(glue.total_assembly, "min")),
        Fact(
            "In clamps, at 21 °C (70 °F)",
            "a moment's pressure" if glue.needs_no_clamps else _span(glue.clamp_time, "h"),
        ),
        Fact("Before a machine touches it", f"{decimal(glue.before_machining)} h"),
        Fact("Full cure", f"{decimal(glue.full_cure)} h"),
        Fact("Not below", _degrees(glue.least_temperature)),
        Fact("Spread", _span(glue.spread, "lb/1000 ft²")),
        Fact("Pressure, light to dense wood", _span(glue.pressure, "psi")),
        Fact("Widest gap", "" if glue.widest_gap is None else f"{decimal(glue.widest_gap, 3)} in"),
        Fact("Pot life", "" if glue.pot_life is None else f"{decimal(glue.pot_life)} min"),
        Fact("Water class", glue.water_class),
        Fact("Storage", glue.storage),
    )
    habits = f"/shop/practice#group-{anchor(f'Glue: {glue.family}')}"
    return Family(
        glue.family, anchor(glue.family), sentence(glue.typical_use), _known(facts), glue.hazards,
        sentence(glue.notes), glue.source, habits,
    )  # fmt: skip


def _finish(one: Finish) -> Family:
    low, high = one.temperature
    facts = (
        Fact("First coat covers", _span(one.coverage_first, "ft²/gal")),
        Fact("Further coats cover", _span(one.coverage_next, "ft²/gal")),
        Fact("Coats", f"{one.coats[1]} usually, {one.coats[0]} to {one.coats[2]}"),
        Fact("Next coat not before", f"{decimal(one.min_recoat)} h"),
        Fact("Next coat without scuffing until", "" if one.max_recoat is None else f"{decimal(one.max_recoat)} h"),
        Fact("Dry to handle", f"{decimal(one.dry_to_handle)} h"),
        Fact("Full cure", "never" if one.never_cures else _span(one.full_cure, "days")),
        Fact("Put on between", f"{_degrees(low)} and {_degrees(high)}"),
        Fact("Humidity at most", "" if one.humidity is None else percent(one.humidity)),
        Fact("Stands up to", one.resistance),
    )
    habits = f"/shop/practice#group-{anchor(f'Finish: {one.family}')}"
    return Family(
        one.family, anchor(one.family), sentence(one.chemistry), _known(facts), one.hazards, sentence(one.notes),
        one.source, habits,
    )  # fmt: skip


def _known(facts: tuple[Fact, ...]) -> tuple[Fact, ...]:
    return tuple(fact for fact in facts if fact.words)


def _span(values: tuple[Fraction, Fraction] | None, unit: str) -> str:
    if values is None:
        return ""
    low, high = values
    return f"{decimal(low)} {unit}" if low == high else f"{decimal(low)} to {decimal(high)} {unit}"


def _degrees(celsius: Fraction) -> str:
    return f"{decimal(celsius)} °C ({decimal(celsius * 9 / 5 + 32, 0)} °F)"


@router.get(f"{HOME}/grades")
def show_grades(request: Request) -> Response:
    with reading(request) as db:
        bought = quarters(store.load_practice(db))
    return page(request, "handbook_grades", grades=_grades(), quarters=bought)
