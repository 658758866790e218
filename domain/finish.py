"""Faces and coats to gallons, and how long a coat takes to dry, recoat and cure."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from domain.data import Range, number, rows, span
from domain.figure import Figure, Rule, Unit, add_up, count
from domain.part import Face, FinishChoice
from domain.practice import COMMON, ShopPractice, slug
from domain.problem import Problem


@dataclass(frozen=True, slots=True)
class Finish:
    """A finish or stain family of data/finishes.csv, by chemistry. None: not known, or does not apply.

    coverage_first, coverage_next [ft²/gal]; coats: least, typical, most; min_recoat, max_recoat [h];
    dry_to_handle [h]; full_cure [days]; temperature [°C]; humidity: most at application [share].
    The label governs: figures of a shop's own product are set in Practice.
    """

    family: str
    chemistry: str
    coverage_first: Range
    coverage_next: Range | None
    coats: tuple[int, int, int]
    min_recoat: Fraction
    max_recoat: Fraction | None
    dry_to_handle: Fraction
    full_cure: Range | None
    temperature: Range
    humidity: Fraction | None
    resistance: str
    hazards: str
    notes: str
    source: str

    @property
    def is_colour(self) -> bool:
        """Whether it is a stain, which needs a topcoat."""
        return "needs a topcoat" in self.resistance

    @property
    def is_sprayed(self) -> bool:
        return "sprayed" in self.family

    @property
    def is_waterborne(self) -> bool:
        return "waterborne" in self.family.casefold()

    @property
    def makes_oily_rags(self) -> bool:
        """Whether its rags heat themselves and can catch fire."""
        return "self-heat" in self.hazards

    @property
    def never_cures(self) -> bool:
        """Whether it stays wet for ever, so that no film sticks over it."""
        return self.chemistry == "non-drying oil"


@cache
def _families() -> dict[str, Finish]:
    return {row["family"]: _read(row) for row in rows("finishes.csv")}


def _read(row: Mapping[str, str]) -> Finish:
    def low_to_high(name: str) -> Range | None:
        return span(row, f"{name}_low", f"{name}_high")

    rh = number(row, "app_max_rh_pct")
    return Finish(
        family=row["family"],
        chemistry=row["chemistry_group"],
        coverage_first=(
            Fraction(row["coverage_first_coat_ft2_per_gal_low"]),
            Fraction(row["coverage_first_coat_ft2_per_gal_high"]),
        ),
        coverage_next=low_to_high("coverage_next_coats_ft2_per_gal"),
        coats=(int(row["coats_low"]), int(row["coats_typical"]), int(row["coats_high"])),
        min_recoat=Fraction(row["min_recoat_h"]),
        max_recoat=number(row, "max_recoat_without_scuff_h"),
        dry_to_handle=Fraction(row["dry_to_handle_h"]),
        full_cure=low_to_high("full_cure_days"),
        temperature=(Fraction(row["app_temp_min_C"]), Fraction(row["app_temp_max_C"])),
        humidity=None if rh is None else rh / 100,
        resistance=row["resistance_notes"],
        hazards=row["hazard_notes"],
        notes=row["notes"],
        source=f"{row['source']}; {row['confidence']}",
    )


@cache
def finish_families() -> tuple[str, ...]:
    """Return the topcoat families."""
    return tuple(one.family for one in _families().values() if not one.is_colour)


@cache
def colour_families() -> tuple[str, ...]:
    """Return the stain families."""
    return tuple(one.family for one in _families().values() if one.is_colour)


def finish(family: str) -> Finish:
    """Return a finish or stain family. Raises KeyError for an unknown one."""
    return _families()[family]


@cache
def _key(family: str, name: str) -> str:
    """Return the practice key of a label figure. Raises KeyError for an unknown family."""
    return f"{slug(_families()[family].family)}_{name}"


def area(faces: Iterable[Face]) -> Figure:
    """Return the area of faces [ft²]."""
    return add_up("Area to finish", (face.area for face in faces), Unit.SQUARE_FOOT)


def gallons(area: Figure, coats: int, family: str, practice: ShopPractice) -> Figure:
    """Return the finish for an area in so many coats [gal], the first coat with its own coverage, loss added.

    area [ft²]. Raises KeyError for an unknown family, ValueError for a negative number of coats.
    """
    if coats < 0:
        raise ValueError(f"coats are counted from 0, not {coats}")
    first, later = practice.figure(_key(family, "coverage_first")), practice.figure(_key(family, "coverage_next"))
    loss = practice.figure("finish_loss")
    per_foot = (1 / first.value if coats else Fraction(0)) + max(coats - 1, 0) / later.value
    came_from = (area, count("Coats", coats, "chosen"), first, *((later,) if coats > 1 else ()), loss)
    words = "area ÷ first coat's coverage × (1 + loss)"
    if coats > 1:
        words = "area × (1 ÷ first coat's coverage + (coats − 1) ÷ further coats' coverage) × (1 + loss)"
    return Figure(family, area.value * per_foot * (1 + loss.value), Unit.GALLON, Rule(words), came_from)


_DUST_FREE = Rule("share × the time until the next coat, but the least time at least; the label governs", COMMON)


def coat_gallons(area: Figure, number: int, family: str, practice: ShopPractice) -> Figure:
    """Return the finish for one coat of an area [gal], loss added; the first is the thirstiest.

    area [ft²]; number: of the coat, from 1. Raises KeyError for an unknown family, ValueError for another number.
    """
    if number < 1:
        raise ValueError(f"coats are numbered from 1, not {number}")
    coverage = practice.figure(_key(family, "coverage_first" if number == 1 else "coverage_next"))
    loss = practice.figure("finish_loss")
    rule = Rule("area ÷ coverage × (1 + loss)")
    return Figure(f"Coat {number}", area.value / coverage.value * (1 + loss.value), Unit.GALLON, rule,
                  (area, coverage, loss))  # fmt: skip


def recoat_opens(family: str, practice: ShopPractice, *, under: str = "") -> Figure:
    """Return the least time until the next coat [h].

    under: the family that goes over it; an oil stain waits longer under lacquer or anything waterborne.
    Raises KeyError for an unknown family.
    """
    usual = practice.figure(_key(family, "recoat_opens"))
    over = finish(under) if under and under != family else None
    slow = over is not None and (over.is_waterborne or over.is_sprayed)
    if not (slow and finish(family).is_colour and finish(family).makes_oily_rags):
        return usual
    careful = practice.figure("stain_under_film")
    return careful if careful.value > usual.value else usual


def recoat_closes(family: str, practice: ShopPractice) -> Figure | None:
    """Return the longest time until the next coat without scuffing [h]; None when the window never closes."""
    return _unless_zero(practice.figure(_key(family, "recoat_closes")))


def dry_to_handle(family: str, practice: ShopPractice) -> Figure:
    """Return the time until a coated piece can be handled [h]."""
    return practice.figure(_key(family, "dry_to_handle"))


def dust_free(family: str, practice: ShopPractice) -> Figure:
    """Return the time until a coat takes no dust any more [h], told cautiously: the label governs.

    Raises KeyError for an unknown family. Source: common practice, no source.
    """
    share, least = practice.figure("dust_free_share"), practice.figure("dust_free_least")
    opens = practice.figure(_key(family, "recoat_opens"))
    hours = max(share.value * opens.value, least.value)
    return Figure("Takes no dust after", hours, Unit.HOUR, _DUST_FREE, (share, opens, least))


def full_cure(family: str, practice: ShopPractice) -> Figure | None:
    """Return the time until full cure [days]; None for a finish that never cures."""
    return _unless_zero(practice.figure(_key(family, "full_cure")))


def _unless_zero(figure: Figure) -> Figure | None:
    return figure if figure.value else None


def finish_problems(choice: FinishChoice) -> tuple[Problem, ...]:
    """Return what would not work about a choice, in words; families and coats that the table does not know."""
    known = _families()
    if choice.family not in known or known[choice.family].is_colour:
        return (Problem("family", f"“{choice.family}” is not a finish. Try {', '.join(finish_families())}."),)
    if choice.colour and (choice.colour not in known or not known[choice.colour].is_colour):
        return (Problem("colour", f"“{choice.colour}” is not a stain. Try {', '.join(colour_families())}."),)
    return tuple(_choice_problems(choice, known[choice.family]))


def _choice_problems(choice: FinishChoice, found: Finish) -> Iterable[Problem]:
    least, typical, most = found.coats
    if choice.coats < 1:
        yield Problem("coats", f"Coats “{choice.coats}” is none at all. Try {typical}.")
    elif not least <= choice.coats <= most:
        yield Problem("coats", f"{choice.coats} coats of {found.family} is unusual: {least} to {most} are usual.")
    if choice.colour and found.never_cures:
        yield Problem("colour", f"{found.family} never hardens, so it does not protect a stain. Choose a film.")


def discs_needed(area: Figure, grit: str, practice: ShopPractice) -> Figure:
    """Return the sanding discs of one grit for an area [whole discs]. area [ft²]."""
    each = practice.figure("disc_area")
    discs = Fraction(-(-area.value // each.value))
    return Figure(f"Discs, grit {grit}", discs, Unit.EACH, Rule("area ÷ area of one disc, rounded up"), (area, each))


def scuff_sheets_needed(area: Figure, times: int, practice: ShopPractice) -> Figure:
    """Return 9 x 11 in sheets for scuffing an area so many times [whole sheets]. area [ft²]."""
    each, between = practice.figure("scuff_sheet_area"), count("Times scuffed", times, "between coats")
    sheets = Fraction(-(-area.value * times // each.value))
    rule = Rule("area × times ÷ area of one sheet, rounded up")
    return Figure("Scuffing sheets", sheets, Unit.EACH, rule, (area, between, each))
