"""What holds a top down: screws from below that stay under its surface, in slots across the grain."""

from fractions import Fraction
from typing import Any

from domain.figure import Figure
from domain.part import Item
from domain.pieces.ask import size
from domain.pieces.last_cut import INSTALL
from domain.pieces.making import Making, how_far_apart, inches, screws
from domain.practice import COMMON

SCREW_LENGTHS = tuple(Fraction(text) for text in ("3/4", "1", "5/4", "3/2", "7/4", "2", "5/2", "3"))
"""Lengths wood screws are commonly sold in [in]. Source: common practice, no source."""


def under_ask() -> Any:
    """Return a field for the wood between a screw's head and the top."""
    return size(
        "Wood a hold-down screw goes through first", "3/4", least="1/8 in", most="4 in", group=INSTALL,
        help="Cabinet stretcher and support strip together.",
    )  # fmt: skip


def hold_downs(length: Figure, making: Making) -> Figure:
    """Return the screws that hold a top of that length, in two rows."""
    return how_far_apart("Hold-down screws", length, making.habit("hold_down_spacing"), rows=2)


def hold_down_item(needed: Figure, making: Making) -> Item:
    """Return so many hold-down screws of the length that suits the top."""
    long = screw_length(making).length.exact()
    return screws(f"#8 x {long}", needed, "hold the top down, in slotted holes across the grain")


def screw_length(making: Making) -> Figure:
    """Return the longest common screw that stays below the surface of the top [in]."""
    under, thick, below = making.typed("under"), making.typed("thickness"), making.habit("screw_below_surface")
    room = under.value + thick.value - below.value
    longest = max((length for length in SCREW_LENGTHS if length <= room), default=SCREW_LENGTHS[0])
    words = "longest common screw within the wood under it + thickness − what stays below the surface"
    return inches("Hold-down screw", longest, words, under, thick, below, source=COMMON)
