"""A schedule at once, then better ones while there is time, and what is known of how good they are."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from domain.schedule.problem import Problem
from domain.schedule.schedule import Aim, Progress, Schedule


@dataclass(frozen=True, slots=True)
class Effort:
    """How much work a search is worth, the same on every machine. rounds: other orders that are tried;
    solver: the solver's own measure of work for all it is asked, 0: it is not asked.
    """

    rounds: int = 2000
    solver: float = 10.0


def solve(
    problem: Problem,
    *,
    aim: Aim = Aim.SOONEST,
    start: Schedule | None = None,
    effort: Effort = Effort(),
    stop: Callable[[], bool] = lambda: False,
) -> Iterator[Progress]:
    """Yield ever better schedules, each complete and checked, the first at once.

    start: a schedule to begin from. Raises Contradiction where limits that no schedule may break cannot hold,
    NoRoom where the horizon is too short.
    """
    raise NotImplementedError
