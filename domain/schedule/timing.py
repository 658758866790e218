"""Earliest and latest times by calendars and lags alone: nobody is busy and nothing runs short."""

from collections.abc import Sequence
from dataclasses import dataclass

from domain.schedule.problem import Problem


@dataclass(frozen=True, slots=True)
class Windows:
    """Between which slots each activity starts and finishes, by its number."""

    earliest_start: tuple[int, ...]
    earliest_finish: tuple[int, ...]
    latest_start: tuple[int, ...]
    latest_finish: tuple[int, ...]


class Contradiction(ValueError):
    """Limits that cannot all hold, whoever is free.

    lags: their numbers; activities: those they join, in order; job: the one that would be finished too late, None where
    the lags alone contradict one another, what is pinned or has happened.
    """

    def __init__(self, lags: Sequence[int], activities: Sequence[int], job: int | None = None) -> None:
        super().__init__("Some limits contradict one another.")
        self.lags, self.activities, self.job = tuple(lags), tuple(activities), job


def windows(problem: Problem, latest_finish: Sequence[int | None] = ()) -> Windows:
    """Return between which slots activities can start and finish.

    latest_finish: by job, when it must be finished; None or left out: by the horizon.
    Raises Contradiction, naming the limits that cannot hold.
    """
    raise NotImplementedError
