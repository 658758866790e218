"""Boards of a panel against the boards the shop usually buys: what no usual board gives, and what would work."""

from collections.abc import Iterator
from math import ceil

from domain.length import Length
from domain.pieces.end_joints import StripRows
from domain.pieces.making import Making
from domain.pieces.panel import Panel, off_its_edges
from domain.problem import Problem


def stock_warnings(panel: Panel, rows: StripRows | None, making: Making, *, long: str, wide: str) -> Iterator[Problem]:
    """Yield boards longer or wider than those usually bought. long, wide: the fields that decide their sizes."""
    practice = making.practice
    if rows is None:
        yield from _too_long(panel, making, long)
    less = off_its_edges(practice)
    widest, most = max(width.value for _, width in panel.boards) + less, practice.length("board_widest")
    if widest > most.inches:
        room = most.inches - less
        needed = panel.across.value + 2 * practice.value("panel_trim")
        works = f" Take {ceil(needed / room)} boards or more." if room > 0 else ""
        yield Problem(
            wide,
            f"Boards {Length(widest).tape()} wide, rough, are wider than the {most.tape()} you usually buy.{works} "
            "Or list wider ones on the rack.",
        )


def _too_long(panel: Panel, making: Making, field: str) -> Iterator[Problem]:
    practice = making.practice
    rough = panel.glued_length.value + practice.value("length_per_part") + practice.value("kerf")
    most = practice.length("board_longest")
    if rough > most.inches:
        yield Problem(
            field,
            f"Boards {Length(rough).tape()} long, rough, are longer than the {most.tape()} you usually buy. Make each "
            "row of shorter strips, or list longer boards on the rack.",
        )
