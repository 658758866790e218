"""What was typed about how long an operation takes -> its time, or problems."""

from collections.abc import Mapping

from domain.operation import OPERATIONS, Operation, OperationTime
from domain.problem import Problem
from webapp.forms.field import Fields
from webapp.forms.number import as_typed

LONGEST = 10_000
"""Minutes that one operation may take: more than a month of working days is a slip of the pen."""


def fill(operation: Operation, time: OperationTime | None) -> dict[str, str]:
    """Return what was said of an operation as its fields show it; what nobody has said is blank."""
    said = time or OperationTime(crew=operation.crew)
    names = _names(operation.key)
    return dict(zip(names, (as_typed(said.setup), as_typed(said.each), str(said.crew)), strict=True))


def read(key: str, posted: Mapping[str, str]) -> tuple[OperationTime | None, list[Problem]]:
    """Return the time typed for an operation, or None and every problem. Raises KeyError for an unknown one."""
    operation, fields = OPERATIONS[key], Fields(posted)
    setup_name, each_name, crew_name = _names(key)
    setup = fields.number(setup_name, "Minutes to set up", needed=False, most=LONGEST)
    each = fields.number(each_name, f"Minutes per {operation.per}", needed=False, most=LONGEST)
    crew = fields.whole(crew_name, "People at once", least=1, most=20)
    if fields.problems or crew is None:
        return None, fields.problems
    return OperationTime(setup, each, crew), []


def _names(key: str) -> tuple[str, str, str]:
    """Return the names of an operation's fields, told apart by its key as they stand on one page."""
    return f"{key}-setup", f"{key}-each", f"{key}-crew"
