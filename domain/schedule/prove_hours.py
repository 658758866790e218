"""The time of work as hands count it, closed hours left out: so that it takes as long as it is, wherever it lies.

Split work that lasts over a night fills the night on the clock, though nobody is there. What fits into the hands there
are is seen far sooner where there are no nights: proofs of jobs that hands limit take a fiftieth to a tenth as long.
"""

from bisect import bisect_right
from collections.abc import Callable, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from domain.schedule.hours import Hours
from domain.schedule.moves import pinned_finish
from domain.schedule.part import Span
from domain.schedule.problem import Mode
from domain.schedule.starts import by_length

if TYPE_CHECKING:
    from domain.schedule.prove_model import Expression, Model


def shared(model: "Model", working: Sequence[int], elsewhere: Sequence[Sequence[Span]]) -> Hours | None:
    """Return the hours of everybody who may do some of the work; None where they differ, or where somebody is busy
    outside of them.
    """
    ways = [model.timing.ways.hours(model.part.problem.activities[number]) for number in working]
    if len({mix for way in ways for mix in way}) != 1:
        return None
    (hours,) = ways[0].values()
    if any(hours.between(*span) <= 0 for spans in elsewhere for span in spans):
        return None
    return hours if all(_is_inside(model, number, hours) for number in working) else None


def _is_inside(model: "Model", number: int, hours: Hours) -> bool:
    """Whether an activity begins and ends within the hours; one that is pinned need not."""
    activity = model.part.problem.activities[number]
    if activity.pinned is None:
        return True
    finish = pinned_finish(activity, activity.pinned, hours)
    is_open = hours.between(activity.pinned, activity.pinned + 1) > 0
    return is_open and hours.between(activity.pinned, finish) == activity.work


class Counted:
    """Work by the open slots before it; what the clock says of it is asked of the solver only where somebody asks.

    passed: how many there are before the start of each activity. So many slots of work end that many open slots later.
    """

    def __init__(self, model: "Model", working: Sequence[int], hours: Hours) -> None:
        self.model, self.hours = model, hours
        self._clock: dict[tuple[int, bool], Expression] = {}
        self.passed = {number: self._passed(number) for number in working}

    def at(self, number: int, finish: bool) -> "Expression":
        """Return how many open slots there are before an end of an activity."""
        return self.passed[number] + (self._activity(number).work if finish else 0)

    def clock(self, number: int, finish: bool) -> "Expression":
        """Return the slot of an end of an activity."""
        activity = self._activity(number)
        if finish and activity.mode is Mode.WHOLE:
            return self.clock(number, False) + activity.work
        if (number, finish) not in self._clock:
            self._clock[number, finish] = self._told(number, finish)
        return self._clock[number, finish]

    def work(self, number: int) -> int:
        """Return the open slots an activity takes."""
        return int(self._activity(number).work)

    def span(self, span: Span) -> Span:
        """Return the open slots before the two ends of a span."""
        return self.hours.passed(span[0]), self.hours.passed(span[1])

    def placed(self, number: int, value: Callable[[Any], int]) -> Span:
        """Return the start and finish of an activity in a solution."""
        passed = value(self.passed[number])
        place = bisect_right(self.hours.before, passed) - 1
        start = self.hours.opens[place] + passed - self.hours.before[place]
        return start, self.hours.by(passed + self._activity(number).work)

    def _activity(self, number: int) -> Any:
        return self.model.part.problem.activities[number]

    def _passed(self, number: int) -> "Expression":
        activity, hours = self._activity(number), self.hours
        if activity.pinned is not None:
            return hours.passed(activity.pinned)
        groups = by_length(hours, activity.work, activity.mode is Mode.WHOLE, *self.model.window(number, False))
        runs = [(hours.passed(low), hours.passed(high)) for group in groups.values() for low, high in group]
        if not runs:
            self.model.model.add_bool_or([])
            return 0
        return self.model.number(sorted(runs), hours.passed(self.model.was[number][0]))

    def _told(self, number: int, finish: bool) -> "Expression":
        """Return the slot of an end, tied to the open slots before it by which stretch it lies in."""
        hours, (first, last) = self.hours, self.model.window(number, finish)
        # An end at closing time belongs to the stretch before, a start at opening time to the one after.
        over = int(finish)
        places = [
            at for at, closes in enumerate(hours.closes) if closes + over > first and hours.opens[at] + over <= last
        ]
        if not places:
            return first
        (start, end, _), passed = self.model.was[number], self.at(number, finish)
        was = end if finish else start
        if isinstance(passed, int):
            place = next((at for at in reversed(places) if hours.before[at] + over <= passed), places[0])
            return passed + hours.opens[place] - hours.before[place]
        slot: Expression = passed + hours.opens[places[0]] - hours.before[places[0]]
        for earlier, later in pairwise(places):
            begun = self.model.yes_or_no(was >= hours.opens[later] + over)
            self.model.model.add(passed >= hours.before[later] + over).only_enforce_if(begun)
            self.model.model.add(passed < hours.before[later] + over).only_enforce_if(begun.negated())
            slot += (hours.opens[later] - hours.closes[earlier]) * begun
        told = self.model.number([(first, last)], was)
        self.model.model.add(told == slot)
        return told
