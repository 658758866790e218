"""The smallest sets of wishes that contradict one another: give up any one of them, and the rest can be had."""

from collections.abc import Sequence
from dataclasses import dataclass

from domain.schedule.problem import Problem
from domain.schedule.wish import Wish


@dataclass(frozen=True, slots=True)
class Conflict:
    """wishes: that contradict one another, () where none do. is_proved: that they do, and that without any one of them
    the others do not; or, where there are none, that a schedule keeps to everything.
    """

    wishes: tuple[Wish, ...]
    is_proved: bool


class Hopeless(ValueError):
    """It cannot be done, whatever of the wishes is given up."""


def smallest(problem: Problem, wishes: Sequence[Wish] | None = None, *, due_is_hard: bool = False) -> Conflict:
    """Return wishes that contradict one another, as few as need be; what is no wish holds all the same.

    wishes: what may be given up, what should rather be given up first; None: all that a problem asks.
    due_is_hard: jobs must be finished when they are due. Raises Hopeless, and NoRoom where the horizon is too short.
    """
    raise NotImplementedError
