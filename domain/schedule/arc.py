"""The limits between two activities as arcs, and what pushed an activity to where it is."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass

from domain.schedule.hours import Hours, hours_of
from domain.schedule.moves import LATE, last_with
from domain.schedule.problem import NoRoom, Problem


@dataclass(frozen=True, slots=True)
class Arc:
    """An end of `after` has at least so many slots more before it than an end of `before`; hours: that count, if any.

    lag: its number; limits: whether it is the lag's `most`, turned round.
    """

    before: int
    from_finish: bool
    after: int
    to_finish: bool
    least: int
    hours: Hours | None
    lag: int
    limits: bool

    def forth(self, slot: int) -> int:
        """Return the first slot of `after` that suits a slot of `before`."""
        if self.hours is None:
            return slot + self.least
        try:
            return self.hours.by(self.hours.passed(slot) + self.least)
        except NoRoom:
            return LATE

    def back(self, slot: int) -> int:
        """Return the last slot of `before` that suits a slot of `after`."""
        if self.hours is None:
            return slot - self.least
        return last_with(self.hours, self.hours.passed(slot) - self.least)


Node = tuple[int, bool]
"""An activity and which of its ends: whether its finish."""


@dataclass(slots=True)
class Earliest:
    """Earliest times; causes: the arcs that pushed start and finish last, None where it is as soon as it may be."""

    start: list[int]
    finish: list[int]
    causes: list[tuple[Arc | None, Arc | None]]

    def chain(self, activity: int, end: bool = True) -> tuple[list[Arc], list[int]]:
        """Return the arcs that push an end of an activity, first to last, and the activities they join."""
        arcs: list[Arc] = []
        nodes: list[Node] = [(activity, end)]
        while (arc := self.causes[nodes[-1][0]][nodes[-1][1]]) is not None:
            arcs.append(arc)
            nodes.append((arc.before, arc.from_finish))
            if nodes[-1] in nodes[:-1]:
                break
        return arcs[::-1], [number for number, _ in reversed(nodes)]


def arcs_of(problem: Problem, forgiven: Collection[int], held: Collection[int]) -> Iterable[Arc]:
    """Yield the limits that matter: what has happened waits for nothing, but may be waited for."""
    for number, lag in enumerate(problem.lags):
        before, after = problem.activities[lag.before], problem.activities[lag.after]
        if (before.fact is not None or lag.before in held) and (after.fact is not None or lag.after in held):
            continue
        hours = None if lag.calendar is None else hours_of(problem.calendars[lag.calendar])
        if lag.least is not None and after.fact is None:
            yield Arc(lag.before, not lag.from_start, lag.after, lag.to_finish, lag.least, hours, number, False)
        if lag.most is not None and number not in forgiven:
            yield Arc(lag.after, lag.to_finish, lag.before, not lag.from_start, -lag.most, hours, number, True)
