"""What was typed about what a job took of a wood -> a BoardUse, or problems."""

from collections.abc import Mapping
from dataclasses import replace

from domain.board_use import BoardUse, least_used
from domain.problem import Problem
from webapp.forms.field import Fields
from webapp.forms.number import as_typed

LABELS = {"used": "Board feet cut up", "note": "Note"}


def fill(use: BoardUse) -> dict[str, str]:
    """Return a use as the form shows it."""
    return {"used": as_typed(use.used), "note": use.note}


def read(posted: Mapping[str, str], asked: BoardUse) -> tuple[BoardUse | None, list[Problem]]:
    """Return the use as typed, or None and every problem. asked: the job, the wood, and the net in its parts."""
    fields = Fields(posted)
    used = fields.number("used", LABELS["used"], most=100_000)
    note = fields.text("note", LABELS["note"])
    least = least_used(asked.net)
    if used is not None and used < least:
        fields.problem(
            "used",
            f"{LABELS['used']} “{as_typed(used)}” is less than half of what is in the parts. Count every board that "
            "was cut into, whole, or correct the pieces if less was built.",
        )
    if fields.problems or used is None:
        return None, fields.problems
    return replace(asked, used=used, note=note), []
