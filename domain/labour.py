"""Labour added up the two ways a maker checks it: by operation and by piece."""

from collections.abc import Iterable
from dataclasses import dataclass

from domain.estimate import LabourLine
from domain.figure import Figure, Unit, together
from domain.job_steps import named_finishes
from domain.operation import OPERATIONS
from domain.take_off import TakeOff

WHOLE_JOB = "The job as a whole"


@dataclass(frozen=True, slots=True)
class LabourSum:
    """Labour of one operation, of one piece, of one finish, or of the job as a whole.

    minutes: of all hands together [min]; extension [$]; key: the operation's, empty for a piece.
    """

    title: str
    minutes: Figure
    extension: Figure
    key: str = ""


def by_operation(labour: Iterable[LabourLine]) -> tuple[LabourSum, ...]:
    """Return the labour of each operation, in the catalogue's order."""
    found: dict[str, list[LabourLine]] = {}
    for line in labour:
        found.setdefault(line.operation, []).append(line)
    return tuple(_sum(OPERATIONS[key].name, found[key], key) for key in OPERATIONS if key in found)


def by_piece(labour: Iterable[LabourLine], take_off: TakeOff) -> tuple[LabourSum, ...]:
    """Return the labour of each piece in the job's order, of each finish, then of the job as a whole.

    Whatever has no labour is left out.
    """
    found: dict[tuple[int | None, str], list[LabourLine]] = {}
    for line in labour:
        found.setdefault((line.piece_id, line.finish), []).append(line)
    names: dict[tuple[int | None, str], str] = {(built.placed.id, ""): built.placed.name for built in take_off.pieces}
    names |= {(None, name): f"Finishing: {area.choice.family}" for name, area in named_finishes(take_off).items()}
    names[(None, "")] = WHOLE_JOB
    return tuple(_sum(name, found[whose]) for whose, name in names.items() if whose in found)


def _sum(title: str, lines: list[LabourLine], key: str = "") -> LabourSum:
    minutes = together(title, (line.minutes for line in lines), Unit.MINUTE)
    return LabourSum(title, minutes, together(title, (line.extension for line in lines), Unit.DOLLAR), key)
