"""What is to be done with the boards and sheets ticked on the rack -> that, or why nothing is done."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import Enum

from domain.problem import Problem
from domain.rack import RackPiece
from domain.words import counted


class Do(Enum):
    """What can be done with several at once; the value is what the form posts."""

    HERE = "here"
    ASIDE = "aside"
    FREE = "free"
    REMOVE = "remove"


@dataclass(frozen=True, slots=True)
class Several:
    """pieces: those ticked; job_id: what they are set aside for, None for nothing."""

    do: Do
    pieces: tuple[RackPiece, ...]
    job_id: int | None = None


def read(
    posted: Mapping[str, str], rack: Iterable[RackPiece], jobs: Mapping[int, str]
) -> tuple[Several | None, list[Problem]]:
    """Return what is to be done, or None and why nothing is. rack: what still lies there; jobs: to set aside for."""
    ticked = tuple(piece for piece in rack if posted.get(f"piece-{piece.id}"))
    do = next((one for one in Do if one.value == posted.get("do")), None)
    if do is None:
        return None, [Problem("", "Nothing was done. Choose what to do with the ticked ones, at the end of the list.")]
    if gone := sum(name.startswith("piece-") for name in posted) - len(ticked):
        words = (
            f"{counted(gone, 'one', 'ones')} of those ticked cut up or taken off meanwhile. Look again at the others."
        )
        return None, [Problem("", words)]
    if not ticked:
        return None, [Problem("", "Nothing is ticked. Tick boards in the list, then say what to do with them.")]
    if do is not Do.ASIDE:
        return Several(do, ticked), []
    job_id = next((known for known in jobs if str(known) == posted.get("set_aside_for")), None)
    if job_id is None:
        words = "No job is chosen. Choose which job they are set aside for."
        return None, [Problem("set_aside_for", words)]
    return Several(do, ticked, job_id), []
