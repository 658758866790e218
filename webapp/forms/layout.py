"""What was typed about boards that are cut -> which boards, and the sizes of their offcuts; the way a job reckons."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from domain.cutting import BoardToCut
from domain.length import Length, Unit
from domain.problem import Problem
from domain.take_off import WasteMethod
from domain.words import cut_short
from webapp.forms.field import Fields
from webapp.forms.number import size_as_typed

LEAST = Length.of("1/4")

WAYS = {"layout": WasteMethod.LAYOUT, "own": WasteMethod.OWN_YIELD, "factor": None}
"""By what boards and sheets are reckoned, as posted; None: the factor the shop usually takes."""


@dataclass(frozen=True, slots=True)
class Cut:
    """Boards that are cut and offcuts that are kept, by their keys; of an offcut width and length."""

    boards: frozenset[str]
    offcuts: Mapping[str, tuple[Length, Length]]


def fill(boards: Iterable[BoardToCut], unit: Unit) -> dict[str, str]:
    """Return every board and offcut as the form shows it at first: all ticked, sizes as laid out."""
    typed: dict[str, str] = {}
    for board in boards:
        typed[f"board-{board.key}"] = "yes"
        for offcut in board.offcuts:
            typed[f"keep-{offcut.key}"] = "yes"
            typed[f"width-{offcut.key}"] = size_as_typed(offcut.width, unit)
            typed[f"length-{offcut.key}"] = size_as_typed(offcut.length, unit)
    return typed


def typed_again(posted: Mapping[str, str], boards: Iterable[BoardToCut], unit: Unit) -> dict[str, str]:
    """Return the form as it was posted; a tick that was taken off stays off."""
    return {name: posted.get(name, "") for name in fill(boards, unit)}


def read(posted: Mapping[str, str], boards: Iterable[BoardToCut], unit: Unit) -> tuple[Cut, list[Problem]]:
    """Return what is cut and kept, or every problem with it."""
    fields = Fields(posted, unit)
    cut = [board for board in boards if fields.tick(f"board-{board.key}")]
    if not cut:
        fields.problem("boards", "No board is ticked. Tick those that are cut.")
    kept: dict[str, tuple[Length, Length]] = {}
    for board in cut:
        most = max(board.size.width, board.size.length)
        for offcut in board.offcuts:
            if not fields.tick(f"keep-{offcut.key}"):
                continue
            name = f"offcut of No. {board.number}"
            width = fields.size(f"width-{offcut.key}", f"Width of the {name}", least=LEAST, most=most)
            length = fields.size(f"length-{offcut.key}", f"Length of the {name}", least=LEAST, most=most)
            if width and length:
                kept[offcut.key] = width, length
    return Cut(frozenset(board.key for board in cut), kept), fields.problems


def read_way(posted: Mapping[str, str]) -> tuple[WasteMethod | None, list[Problem]]:
    """Return the way of reckoning that was chosen, None for the shop's usual factor; or a problem."""
    fields = Fields(posted)
    way = fields.raw("way")
    if way not in WAYS:
        fields.problem("way", f"“{cut_short(way)}” is no way to reckon. Choose by layouts or by factor.")
    return WAYS.get(way), fields.problems
