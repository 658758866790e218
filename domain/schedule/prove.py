"""The solver's door of the planner, and the only one: a better schedule, or proof that there is none.

OR-Tools is an extra. Without it `is_there()` is false and nothing else here may be asked.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.util import find_spec

from domain.schedule.problem import Problem
from domain.schedule.schedule import Aim, Schedule


@cache
def is_there() -> bool:
    """Whether OR-Tools is installed."""
    return find_spec("ortools") is not None


@dataclass(frozen=True, slots=True)
class Found:
    """best: the best schedule so far; proved: none misses fewer windows, then is less late, then finishes sooner,
    what is not free unchanged; finish: a slot that the only free job cannot be finished before, None where unknown.
    """

    best: Schedule
    proved: bool
    finish: int | None = None


def prove(
    problem: Problem,
    start: Schedule,
    *,
    aim: Aim = Aim.SOONEST,
    effort: float = 1.0,
    stop: Callable[[], bool] = lambda: False,
    free_jobs: Sequence[int] | None = None,
) -> Iterator[Found]:
    """Yield ever better schedules, the last with what is proved of it.

    effort: the solver's own measure of work, never seconds; free_jobs: only these move, None: all.
    """
    raise NotImplementedError
