"""What was typed about a link between two tasks -> an OwnLink, or problems."""

from collections.abc import Mapping
from datetime import timedelta

from domain.problem import Problem
from domain.task import Clock, End, OwnLink
from webapp.forms.duration import read_duration
from webapp.forms.field import Fields

LABELS = {
    "before": "Waits for",
    "at_least": "At least so long after",
    "at_most": "At most so long after",
    "ends": "What waits for what",
    "clock": "That time passes",
}

ENDS: Mapping[str, tuple[End, End]] = {
    "finish-start": (End.FINISH, End.START),
    "start-start": (End.START, End.START),
    "finish-finish": (End.FINISH, End.FINISH),
    "start-finish": (End.START, End.FINISH),
}
"""Which end of the other task, and of this one, by what the form sends."""

END_WORDS = (
    ("finish-start", "this begins once the other is finished"),
    ("start-start", "this begins once the other has begun"),
    ("finish-finish", "this is finished once the other is finished"),
    ("start-finish", "this is finished once the other has begun"),
)
CLOCK_WORDS = ((Clock.ELAPSED.value, "day and night"), (Clock.ATTENDED.value, "in shop hours only"))

BLANK: Mapping[str, str] = {**dict.fromkeys(LABELS, ""), "ends": "finish-start", "clock": Clock.ELAPSED.value}


def read(posted: Mapping[str, str], after: str) -> tuple[OwnLink | None, list[Problem]]:
    """Return a link by which task `after` waits for the chosen one, or None and every problem."""
    fields = Fields(posted)
    before = fields.text("before", LABELS["before"])
    if not before:
        fields.problem("before", "Choose the task that it waits for.")
    ends = ENDS.get(fields.raw("ends") or BLANK["ends"])
    if ends is None:
        fields.problem("ends", f"{LABELS['ends']}: choose one of the list.")
    clock = fields.choice("clock", LABELS["clock"], Clock, usual=Clock.ELAPSED)
    least = read_duration(fields, "at_least", LABELS["at_least"], clock or Clock.ELAPSED)
    most = read_duration(fields, "at_most", LABELS["at_most"], clock or Clock.ELAPSED)
    if least is not None and most is not None and most < least:
        words = f"At most “{fields.raw('at_most')}” is less than at least “{fields.raw('at_least')}”. Make it longer."
        fields.problem("at_most", words)
    if fields.problems or ends is None or clock is None:
        return None, fields.problems
    leaves, reaches = ends
    return OwnLink(before, after, least or timedelta(), most, clock, leaves, reaches), []
