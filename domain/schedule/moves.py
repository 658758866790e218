"""When one activity alone can start and finish: on the clock, or in the hours of the people who could do it."""

from bisect import bisect_right
from collections.abc import Sequence
from itertools import combinations
from typing import Protocol

from domain.schedule.hours import Hours, team_hours
from domain.schedule.problem import Activity, Mode, NoRoom, Problem

NEVER = -(1 << 60)
"""Earlier than every slot: there is no such slot before."""
LATE = 1 << 60
"""Later than every slot: there is no such slot after."""


class Moves(Protocol):
    """Starts and finishes that suit an activity; each of them grows with what it is asked."""

    def ready(self, slot: int) -> int:
        """Return the first slot it can start at, not before this one."""

    def finish(self, slot: int) -> int:
        """Return the first slot it can be finished at, when it starts no sooner than this one."""

    def start_for(self, finish: int) -> int:
        """Return the first slot it can start at and not be finished before this one."""

    def last(self, finish: int) -> int:
        """Return the last slot it can start at and be finished by this one."""

    def last_finish(self, slot: int) -> int:
        """Return the last slot it can be finished at, when it starts no later than this one."""


class ByClock:
    """An activity whose time passes day and night."""

    __slots__ = ("work",)

    def __init__(self, work: int) -> None:
        self.work = work

    def ready(self, slot: int) -> int:
        return slot

    def finish(self, slot: int) -> int:
        return slot + self.work

    def start_for(self, finish: int) -> int:
        return finish - self.work

    def last(self, finish: int) -> int:
        return finish - self.work

    def last_finish(self, slot: int) -> int:
        return slot + self.work


class ByHours:
    """An activity done in certain hours."""

    __slots__ = ("hours", "whole", "work")

    def __init__(self, hours: Hours, work: int, whole: bool) -> None:
        self.hours, self.work, self.whole = hours, work, whole or work == 0

    def ready(self, slot: int) -> int:
        try:
            return self.hours.start(slot, self.work, self.whole)
        except NoRoom:
            return LATE

    def finish(self, slot: int) -> int:
        try:
            start = self.hours.start(slot, self.work, self.whole)
            return start + self.work if self.whole else self.hours.end(start, self.work)
        except NoRoom:
            return LATE

    def start_for(self, finish: int) -> int:
        if self.whole:
            return self.ready(finish - self.work)
        hours = self.hours
        try:
            return hours.next_open(hours.by(hours.passed(finish - 1) + 1 - self.work))
        except NoRoom:
            return LATE

    def last(self, finish: int) -> int:
        try:
            return self.hours.last_start(finish, self.work, self.whole)
        except NoRoom:
            return NEVER

    def last_finish(self, slot: int) -> int:
        if self.whole:
            start = self.last(slot + self.work)
            return start if start == NEVER else start + self.work
        first = min(self.hours.passed(slot + 1) - 1, self.hours.total - self.work)
        return self.hours.by(first + self.work) if first >= 0 else NEVER


class ByAny:
    """An activity done in the hours of one of several teams, whichever suits best."""

    __slots__ = ("ways",)

    def __init__(self, ways: Sequence[Moves]) -> None:
        self.ways = ways

    def ready(self, slot: int) -> int:
        return min(way.ready(slot) for way in self.ways)

    def finish(self, slot: int) -> int:
        return min(way.finish(slot) for way in self.ways)

    def start_for(self, finish: int) -> int:
        return min(way.start_for(finish) for way in self.ways)

    def last(self, finish: int) -> int:
        return max(way.last(finish) for way in self.ways)

    def last_finish(self, slot: int) -> int:
        return max(way.last_finish(slot) for way in self.ways)


class Pinned:
    """An activity that starts at one slot and can be finished between two."""

    __slots__ = ("earliest", "latest", "start")

    def __init__(self, start: int, finishes: Sequence[int]) -> None:
        self.start, self.earliest, self.latest = start, min(finishes), max(finishes)

    def ready(self, slot: int) -> int:
        return self.start if slot <= self.start else LATE

    def finish(self, slot: int) -> int:
        return self.earliest if slot <= self.start else LATE

    def start_for(self, finish: int) -> int:
        return self.start if finish <= self.latest else LATE

    def last(self, finish: int) -> int:
        return self.start if finish >= self.earliest else NEVER

    def last_finish(self, slot: int) -> int:
        return self.latest if slot >= self.start else NEVER


class Ways:
    """The hours in which each activity of a problem can be done, found once for all that may be done by the same."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self._found: dict[tuple[int, tuple[int, ...], tuple[int, ...]], dict[frozenset[int], Hours]] = {}
        self._hours: dict[frozenset[int], Hours] = {}

    def hours(self, activity: Activity) -> dict[frozenset[int], Hours]:
        """Return the common hours of every mix of calendars that a team of it can have, by the calendars' numbers."""
        key = activity.crew, activity.leads, activity.helpers
        if key not in self._found:
            people = self.problem.people
            found: dict[frozenset[int], Hours] = {}
            everybody = tuple(dict.fromkeys(activity.leads + activity.helpers))
            for team in combinations(everybody, activity.crew):
                mix = frozenset(people[person].calendar for person in team)
                if mix not in found and any(person in activity.leads for person in team):
                    if mix not in self._hours:
                        self._hours[mix] = team_hours(self.problem, team)
                    found[mix] = self._hours[mix]
            self._found[key] = found
        return self._found[key]

    def moves(self, activity: Activity) -> Moves:
        """Return when an activity can start and finish, whoever of those who may does it."""
        if activity.fact is not None:
            return Pinned(activity.fact.start, [activity.fact.finish])
        if activity.mode is Mode.PASSIVE:
            clock = ByClock(activity.work)
            return clock if activity.pinned is None else Pinned(activity.pinned, [activity.pinned + activity.work])
        hours = self.hours(activity)
        if activity.pinned is not None:
            pinned = activity.pinned
            return Pinned(pinned, [pinned_finish(activity, pinned, one) for one in hours.values()] or [LATE])
        # Fewer calendars to agree with is never worse.
        best = [one for mix, one in hours.items() if not any(other < mix for other in hours)]
        ways = [ByHours(one, activity.work, activity.mode is Mode.WHOLE) for one in best]
        return ways[0] if len(ways) == 1 else ByAny(ways or [Pinned(LATE, [LATE])])


def pinned_finish(activity: Activity, start: int, hours: Hours) -> int:
    """Return when an activity that starts at a set slot is finished: by the clock, unless it is split over the hours of
    a team that is there at the start. LATE where the hours end first.
    """
    if activity.mode is not Mode.SPLITTABLE or not activity.work or hours.passed(start) == hours.passed(start + 1):
        return start + activity.work
    try:
        return hours.end(start, activity.work)
    except NoRoom:
        return LATE


def last_with(hours: Hours, passed: int) -> int:
    """Return the last slot that has no more than so many open ones before it; NEVER and LATE where none ends it."""
    if passed < 0:
        return NEVER
    if passed >= hours.total:
        return LATE
    at = bisect_right(hours.before, passed) - 1
    return hours.opens[at] + passed - hours.before[at]
