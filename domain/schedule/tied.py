"""The few activities that windows tie together, as a problem of their own."""

from collections.abc import Collection
from dataclasses import dataclass, replace

from domain.schedule.problem import Problem
from domain.schedule.wish import Kind, Wish

OF_LAGS, OF_ACTIVITIES = frozenset({Kind.LEAST, Kind.MOST}), frozenset({Kind.EARLIEST, Kind.PIN})


@dataclass(frozen=True, slots=True)
class Part:
    """A problem of some activities of another. activities, lags: their numbers there, by their number here."""

    problem: Problem
    activities: tuple[int, ...]
    lags: tuple[int, ...]

    def there(self, wish: Wish) -> Wish:
        """Return a wish of this problem as one of the other."""
        if wish.kind in OF_LAGS:
            return Wish(wish.kind, self.lags[wish.number])
        return Wish(wish.kind, self.activities[wish.number]) if wish.kind in OF_ACTIVITIES else wish


def tied(problem: Problem, numbers: Collection[int]) -> tuple[int, ...]:
    """Return these activities and those that windows tie to them, directly or by others."""
    found, size = set(numbers), 0
    while size < len(found):
        size = len(found)
        for lag in problem.lags:
            if lag.most is not None and (lag.before in found) is not (lag.after in found):
                fixed = lag.after if lag.before in found else lag.before
                found.add(fixed)
    return tuple(sorted(found))


def alone(problem: Problem, numbers: Collection[int]) -> Part:
    """Return the problem of some activities alone: what is impossible in it is so altogether."""
    activities = tuple(sorted(numbers))
    here = {number: at for at, number in enumerate(activities)}
    lags = tuple(at for at, lag in enumerate(problem.lags) if lag.before in here and lag.after in here)
    small = replace(
        problem,
        activities=tuple(problem.activities[number] for number in activities),
        lags=tuple(
            replace(problem.lags[at], before=here[problem.lags[at].before], after=here[problem.lags[at].after])
            for at in lags
        ),
        holds=tuple(
            replace(hold, first=here[hold.first], last=here[hold.last])
            for hold in problem.holds
            if hold.first in here and hold.last in here
        ),
        airs=tuple(
            replace(air, first=here[air.first], last=here[air.last])
            for air in problem.airs
            if air.first in here and air.last in here
        ),
    )
    return Part(small, activities, lags)
