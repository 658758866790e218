"""What was asked on the wood choice page -> the woods and the width, or problems."""

from collections.abc import Mapping
from dataclasses import dataclass

from domain.length import Length
from domain.length import Unit as LengthUnit
from domain.problem import Problem
from domain.wood import find_species
from domain.wood_choice import FEWEST, MOST
from domain.words import cut_short
from webapp.forms.field import Fields, size_text

USUAL_WIDTH = Length.of(24)
"""A top's depth or a wide panel, to compare by."""

FIELDS = tuple(f"wood_{place}" for place in range(1, MOST + 1))
LABELS = {name: f"Wood {place}" for place, name in enumerate(FIELDS, start=1)} | {
    "width": "Width across the grain",
}


@dataclass(frozen=True, slots=True)
class Asked:
    """woods: names as the table has them, each once."""

    woods: tuple[str, ...]
    width: Length


def job_of(query: Mapping[str, str]) -> int:
    """Return the job that woods are looked at for, 0 for none: what is no number asks for none."""
    text = query.get("job", "")
    return int(text) if text.isascii() and text.isdigit() and len(text) < 10 else 0


def typed(query: Mapping[str, str], unit: LengthUnit) -> dict[str, str]:
    """Return the fields as they are shown: what was typed, else blank and the usual width."""
    usual = {"width": size_text(USUAL_WIDTH, unit)}
    return dict.fromkeys(LABELS, "") | usual | {name: query[name] for name in LABELS if name in query}


def is_asked(query: Mapping[str, str]) -> bool:
    """Whether woods are asked about; a link that fills in the first of them only begins the question."""
    return any(query.get(name, "").strip() for name in FIELDS) and any(name in query for name in (*FIELDS[1:], "width"))


def read(query: Mapping[str, str], unit: LengthUnit) -> tuple[Asked | None, list[Problem]]:
    """Return what is asked, or None and every problem. unit: of a width typed without one."""
    fields = Fields(query, unit)
    woods: dict[str, None] = {}
    for name in FIELDS:
        text = fields.raw(name)
        if not text:
            continue
        wood = find_species(text)
        if wood is None:
            words = f"{LABELS[name]} “{cut_short(text)}” is not in the table of woods. Choose one of the list."
            fields.problem(name, words)
        else:
            woods[wood.name] = None
    if not fields.problems and len(woods) < FEWEST:
        empty = next((name for name in FIELDS if not fields.raw(name)), FIELDS[1])
        fields.problem(empty, f"Choose at least {FEWEST} different woods to stand side by side.")
    least, most = Length.of("1/8"), Length.feet(20)
    width = fields.size("width", LABELS["width"], needed=False, least=least, most=most) or USUAL_WIDTH
    return (None if fields.problems else Asked(tuple(woods), width)), fields.problems
