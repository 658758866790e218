"""Adhesive families by their chemistry, what their labels usually say, and how much glue an area takes."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from domain.data import Range, number, rows, span
from domain.figure import Figure, Rule, Unit
from domain.practice import ShopPractice, slug
from domain.problem import Problem

_GLUE = Rule("area × spread ÷ 1000 × (1 + loss) ÷ density × 128 fl oz in a gallon")


@dataclass(frozen=True, slots=True)
class Adhesive:
    """An adhesive family of data/adhesives.csv, by chemistry. None: not known, or does not apply.

    open_assembly, total_assembly [min]; clamp_time [h at 21 °C]; before_machining, full_cure [h];
    least_temperature [°C]; spread [lb/1000 ft²]; pressure [psi, low- and high-density wood];
    widest_gap [in]; pot_life [min]. The label governs: a shop's own figures are set in Practice.
    """

    family: str
    typical_use: str
    open_assembly: Range
    total_assembly: Range
    clamp_time: Range
    before_machining: Fraction
    full_cure: Fraction
    least_temperature: Fraction
    spread: Range | None
    pressure: Range | None
    widest_gap: Fraction | None
    pot_life: Fraction | None
    storage: str
    water_class: str
    hazards: str
    notes: str
    source: str

    @property
    def needs_no_clamps(self) -> bool:
        """Whether a moment's pressure is enough, as for contact adhesive."""
        return self.clamp_time[1] == 0

    @property
    def is_squeezed(self) -> bool:
        """Whether it wants clamping pressure by density; epoxy wants contact only."""
        return self.pressure is not None and not self.needs_no_clamps


@cache
def _adhesives() -> dict[str, Adhesive]:
    return {row["family"]: _read(row) for row in rows("adhesives.csv")}


def _read(row: Mapping[str, str]) -> Adhesive:
    def known(name: str) -> Range:
        return Fraction(row[f"{name}_low"]), Fraction(row[f"{name}_high"])

    return Adhesive(
        family=row["family"],
        typical_use=row["typical_use"],
        open_assembly=known("open_assembly_min"),
        total_assembly=known("total_assembly_min"),
        clamp_time=known("clamp_time_21C_h"),
        before_machining=Fraction(row["before_machining_h"]),
        full_cure=Fraction(row["full_cure_h"]),
        least_temperature=Fraction(row["min_use_temp_C"]),
        spread=span(row, "spread_lb_per_1000ft2_low", "spread_lb_per_1000ft2_high"),
        pressure=span(row, "joint_pressure_psi_low_density_wood", "joint_pressure_psi_high_density_wood"),
        widest_gap=number(row, "max_gap_in"),
        pot_life=number(row, "pot_life_min"),
        storage=row["shelf_and_storage_notes"],
        water_class=row["water_class_en"],
        hazards=row["hazard_notes"],
        notes=row["notes"],
        source=f"{row['source']}; {row['confidence']}",
    )


@cache
def adhesive_families() -> tuple[str, ...]:
    """Return the names of the adhesive families."""
    return tuple(_adhesives())


def adhesive(family: str) -> Adhesive:
    """Return an adhesive family. Raises KeyError for an unknown one."""
    return _adhesives()[family]


@cache
def _key(family: str, name: str) -> str:
    return f"{slug(_adhesives()[family].family)}_{name}"


def label_figure(family: str, name: str, practice: ShopPractice) -> Figure:
    """Return what the label of a family says, `open_time` for instance. Raises KeyError for an unknown family."""
    return practice.figure(_key(family, name))


def open_assembly_time(family: str, practice: ShopPractice) -> Figure:
    """Return the time from the first spread until the joint must be closed [min]."""
    return label_figure(family, "open_time", practice)


def total_assembly_time(family: str, practice: ShopPractice) -> Figure:
    """Return the time from the first spread until all clamps must be tight [min]."""
    return label_figure(family, "total_time", practice)


def glue_for(area: Figure, family: str, practice: ShopPractice) -> Figure | Problem:
    """Return the glue for glue lines of an area [fl oz], or a problem: its spread is not known. area [ft²].

    Raises KeyError for an unknown family.
    """
    spread, density = label_figure(family, "spread", practice), label_figure(family, "density", practice)
    if not spread.value:
        return Problem("glue", f"How far {family} spreads is not known. Type its label's figure in Practice.")
    loss = practice.figure("glue_loss")
    pounds = area.value * spread.value / 1000 * (1 + loss.value)
    ounces = pounds / density.value * 128
    return Figure(family, ounces, Unit.FLUID_OUNCE, _GLUE, (area, spread, loss, density))
