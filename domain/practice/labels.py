"""Habits that come from tables: what rough boards dress to, and what the labels of glues and finishes say."""

import re
from collections.abc import Iterator, Mapping
from fractions import Fraction

from domain.data import rows
from domain.figure import Unit
from domain.length import Length
from domain.practice.habit import COMMON, MEMORY, Practice, habit

LABEL = "A generic figure: type what the label of yours says."

SELDOM_BOUGHT = frozenset({"3/8", "1/2", "5/8", "3/4", "7/4", "14/4"})
"""Rough thicknesses few yards keep: common practice, no source. Who buys one types its dressed thickness."""


def slug(name: str) -> str:
    """Return the part of a family's name before a comma or bracket as a word for keys: `pva_interior`."""
    return re.sub(r"[^a-z0-9]+", "_", re.split(r"[,(]", name)[0].strip().lower())


def _cited(row: Mapping[str, str]) -> str:
    return f"{row['source']}; {row['confidence']}"


def _middle(row: Mapping[str, str], low: str, high: str) -> str:
    """Return the middle of a range, `0` where the table knows none."""
    return str((Fraction(row[low]) + Fraction(row[high])) / 2) if row[low] else "0"


def fahrenheit(celsius: Fraction) -> Fraction:
    """Return a temperature in °F."""
    return celsius * 9 / 5 + 32


def dressed_thicknesses() -> Iterator[Practice]:
    """Yield what each rough thickness dresses to."""
    for row in rows("thickness.csv"):
        quarter, table = row["quarter"], row["dressed_s2s_in"]
        key, label = f"dressed_{quarter.replace('/', '_')}", f"{quarter} dresses to"
        words = f"0: not bought. The hardwood table gives {Length.of(table).exact()} in."
        usual, source = ("0", COMMON) if quarter in SELDOM_BOUGHT else (table, _cited(row))
        yield habit(key, label, "Rough thickness", usual, Unit.INCH, source, most="4", help=words)


def glue_labels() -> Iterator[Practice]:
    """Yield what the label of each family of glue says."""
    for row in rows("adhesives.csv"):
        source, pva = _cited(row), row["family"].startswith("PVA")
        spread = _middle(row, "spread_lb_per_1000ft2_low", "spread_lb_per_1000ft2_high")
        clamped, bench = ("3", COMMON) if pva else (row["clamp_time_21C_h_high"], source)
        opens, machined = row["open_assembly_min_low"], row["before_machining_h"]
        closes, coldest = row["total_assembly_min_low"], str(fahrenheit(Fraction(row["min_use_temp_C"])))
        panels = "Makers leave panels in clamps 2 to 4 h. " if pva else ""
        for name, label, usual, unit, said_by, least, most, words in (
            ("open_time", "Open assembly time", opens, Unit.MINUTE, source, "1/2", "600", ""),
            ("total_time", "Under full pressure within", closes, Unit.MINUTE, source, "1/2", "1200", ""),
            ("least_temperature", "Not used below", coldest, Unit.FAHRENHEIT, source, "-20", "120", ""),
            ("spread", "Spread", spread, Unit.POUND_PER_1000_SQUARE_FEET, source, "0", "500", "0: unknown. "),
            ("density", "Density", row["density_lb_per_gal"], Unit.POUND_PER_GALLON, MEMORY, "4", "20", ""),
            ("clamp_time", "In clamps", clamped, Unit.HOUR, bench, "0", "168", panels),
            ("before_machining", "Glue-up to the next machine", machined, Unit.HOUR, bench, "0", "720", ""),
        ):
            yield habit(
                f"{slug(row['family'])}_{name}", label, f"Glue: {row['family']}", usual, unit, said_by,
                least=least, most=most, help=words + LABEL,
            )  # fmt: skip


def finish_labels() -> Iterator[Practice]:
    """Yield what the label of each family of finish says."""
    for row in rows("finishes.csv"):
        first = _middle(row, "coverage_first_coat_ft2_per_gal_low", "coverage_first_coat_ft2_per_gal_high")
        later = _middle(row, "coverage_next_coats_ft2_per_gal_low", "coverage_next_coats_ft2_per_gal_high")
        for name, label, usual, unit, least, most in (
            ("coverage_first", "First coat covers", first, Unit.SQUARE_FOOT_PER_GALLON, "20", "5000"),
            ("coverage_next", "Further coats cover", first if later == "0" else later,
             Unit.SQUARE_FOOT_PER_GALLON, "20", "5000"),
            ("recoat_opens", "Next coat not before", row["min_recoat_h"], Unit.HOUR, "0", "720"),
            ("recoat_closes", "Next coat without scuffing until (0: any time)",
             row["max_recoat_without_scuff_h"] or "0", Unit.HOUR, "0", "720"),
            ("dry_to_handle", "Dry to handle", row["dry_to_handle_h"], Unit.HOUR, "0", "720"),
            ("full_cure", "Full cure (0: never)", row["full_cure_days_high"] or "0", Unit.DAY, "0", "365"),
        ):  # fmt: skip
            yield habit(f"{slug(row['family'])}_{name}", label, f"Finish: {row['family']}", usual, unit,
                        _cited(row), least=least, most=most, help=LABEL)  # fmt: skip
