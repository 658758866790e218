"""What was typed about a measured run -> a Run, or problems."""

from collections.abc import Mapping
from typing import Any

from domain.length import Length
from domain.measure import DEPTHS, LABELS, LONGEST, WIDTHS, Cover, End, Run, run_problems
from domain.problem import Problem
from domain.shop import Shop
from webapp.forms.field import LONGEST_NOTE, Fields, size_text, understood

FLOOR_AND_CORNER = ("out_of_square", "floor_slope")
HIDING = ("hides", "clearance")
SIZES = (*WIDTHS, *DEPTHS, *FLOOR_AND_CORNER, *HIDING)
SIGNED = frozenset({"out_of_square"})

ALL_LABELS: Mapping[str, str] = {
    "name": "Run",
    "room": "Room",
    "left": "The left end meets",
    "right": "The right end meets",
    **LABELS,
    "cover": "What hides the gap",
    "notes": "Notes",
}

ENDS = ((End.WALL.value, "a wall"), (End.OPEN.value, "nothing: it is open"))
COVERS = (
    (Cover.NONE.value, "nothing"),
    (Cover.BEAD.value, "a bead along the wall"),
    (Cover.TILE.value, "wall tile on top of it"),
    (Cover.CAULK.value, "caulk"),
)

LEAST = Length.of("1/16")

BLANK: Mapping[str, str] = {
    **dict.fromkeys(ALL_LABELS, ""),
    "left": End.WALL.value,
    "right": End.WALL.value,
    "cover": Cover.NONE.value,
}


def fill(run: Run, shop: Shop) -> dict[str, str]:
    """Return the run as the form shows it."""
    words = {"name": run.name, "room": run.room, "notes": run.notes}
    choices = {"left": run.left.value, "right": run.right.value, "cover": run.cover.value}
    return {**words, **choices, **{name: size_text(getattr(run, name), shop.unit) for name in SIZES}}


def echoes(typed: Mapping[str, str], shop: Shop) -> dict[str, str]:
    """Return how each typed size is understood, empty where it is not a size."""
    return {name: understood(typed.get(name, ""), shop, signed=name in SIGNED) for name in SIZES}


def read(
    posted: Mapping[str, str], shop: Shop, *, run_id: int = 0, version: int = 1
) -> tuple[Run | None, list[Problem]]:
    """Return the run as typed, or None and every problem. A size that is left empty was not measured."""
    fields = Fields(posted, shop.unit)
    name = fields.text("name", ALL_LABELS["name"], needed=True)
    room = fields.text("room", ALL_LABELS["room"])
    notes = fields.text("notes", ALL_LABELS["notes"], most=LONGEST_NOTE)
    left = fields.choice("left", ALL_LABELS["left"], End, usual=End.WALL)
    right = fields.choice("right", ALL_LABELS["right"], End, usual=End.WALL)
    cover = fields.choice("cover", ALL_LABELS["cover"], Cover, usual=Cover.NONE)
    sizes: dict[str, Any] = {size: _size(fields, size) for size in SIZES}
    if fields.problems or left is None or right is None or cover is None:
        return None, fields.problems
    run = Run(run_id, name, room, left, right, cover=cover, notes=notes, version=version, **sizes)
    problems = list(run_problems(run))
    return (None if problems else run), problems


def _size(fields: Fields, name: str) -> Length | None:
    label = ALL_LABELS[name]
    if name in (*WIDTHS, *DEPTHS):
        return fields.size(name, label, needed=False, least=LEAST, most=LONGEST)
    least = Length.feet(-1) if name in SIGNED else Length.of(0)
    return fields.size(name, label, needed=False, least=least, most=Length.feet(1), signed=name in SIGNED)
