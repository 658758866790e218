"""Makes a complete schedule at once: activities one after the other, each at its first place."""

from collections.abc import Sequence

from domain.schedule.problem import Problem
from domain.schedule.schedule import Schedule


class Generator:
    """Makes schedules of one problem from priorities, the lower the sooner an activity is served."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem

    def schedule(
        self, priorities: Sequence[float], *, teams: Sequence[tuple[int, ...] | None] | None = None
    ) -> Schedule:
        """Return a schedule. teams: who an activity should be done by, None where anybody may.

        Raises NoRoom if the horizon is too short.
        """
        raise NotImplementedError


def first(problem: Problem, *, kept: Schedule | None = None) -> Schedule:
    """Return a good schedule at once. kept: an earlier one that as little as possible should differ from.

    Raises NoRoom if the horizon is too short.
    """
    raise NotImplementedError
