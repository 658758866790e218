"""The part of a problem that a contradiction of timing is about."""

from dataclasses import replace

from domain.schedule.problem import Problem
from domain.schedule.timing import Contradiction
from domain.schedule.wish import Kind, Wish


class Near:
    """What has to do with a contradiction that was found. problem: only that, and nobody and nothing is short."""

    def __init__(self, whole: Problem, found: Contradiction) -> None:
        self._lags = sorted(set(found.lags))
        ends = {end for at in self._lags for end in (whole.lags[at].before, whole.lags[at].after)}
        self._activities = sorted(ends | set(found.activities))
        each = [whole.activities[number] for number in self._activities]
        people = {person for one in each if one.crew for person in (*one.leads, *one.helpers)}
        self._calendars = {whole.people[person].calendar for person in people}
        own = {number: at for at, number in enumerate(self._activities)}
        lags = (whole.lags[number] for number in self._lags)
        self.problem = replace(
            whole,
            activities=tuple(each),
            lags=tuple(replace(lag, before=own[lag.before], after=own[lag.after]) for lag in lags),
            resources=(),
            holds=(),
            airs=(),
        )

    def has(self, wish: Wish) -> bool:
        if wish.kind in (Kind.LEAST, Kind.MOST):
            return wish.number in self._lags
        if wish.kind in (Kind.EARLIEST, Kind.PIN):
            return wish.number in self._activities
        return wish.kind is Kind.DUE or (wish.kind is Kind.HOURS and wish.number in self._calendars)

    def inside(self, wish: Wish) -> Wish:
        """Return what a wish is called in the part."""
        if wish.kind in (Kind.LEAST, Kind.MOST):
            return replace(wish, number=self._lags.index(wish.number))
        if wish.kind in (Kind.EARLIEST, Kind.PIN):
            return replace(wish, number=self._activities.index(wish.number))
        return wish
