"""Labour added up the two ways a maker checks it: by operation and by piece."""

from collections.abc import Iterable
from dataclasses import dataclass

from domain.estimate import LabourLine
from domain.figure import Figure, Unit, add_up
from domain.operation import OPERATIONS
from domain.take_off import TakeOff

WHOLE_JOB = "The job as a whole"


@dataclass(frozen=True, slots=True)
class LabourSum:
    """Labour of one operation or of one piece. minutes: of all hands together [min]; extension [$].

    key: the operation's; piece_id: the piece's, None for the job as a whole.
    """

    title: str
    minutes: Figure
    extension: Figure
    key: str = ""
    piece_id: int | None = None


def by_operation(labour: Iterable[LabourLine]) -> tuple[LabourSum, ...]:
    """Return the labour of each operation, in the catalogue's order."""
    found: dict[str, list[LabourLine]] = {}
    for line in labour:
        found.setdefault(line.operation, []).append(line)
    return tuple(_sum(OPERATIONS[key].name, found[key], key=key) for key in OPERATIONS if key in found)


def by_piece(labour: Iterable[LabourLine], take_off: TakeOff) -> tuple[LabourSum, ...]:
    """Return the labour of each piece in the job's order, then of the job as a whole; none where there is none."""
    found: dict[int | None, list[LabourLine]] = {}
    for line in labour:
        found.setdefault(line.piece_id, []).append(line)
    names: dict[int | None, str] = {built.placed.id: built.placed.name for built in take_off.pieces}
    names[None] = WHOLE_JOB
    return tuple(_sum(name, found[id], piece_id=id) for id, name in names.items() if id in found)


def _sum(title: str, lines: list[LabourLine], *, key: str = "", piece_id: int | None = None) -> LabourSum:
    minutes, pay = [line.minutes for line in lines], [line.extension for line in lines]
    if len(lines) == 1:
        return LabourSum(title, minutes[0], pay[0], key, piece_id)
    return LabourSum(title, add_up(title, minutes, Unit.MINUTE), add_up(title, pay, Unit.DOLLAR), key, piece_id)
