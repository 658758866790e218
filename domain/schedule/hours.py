"""Open slots of a calendar: when work can start, when it is finished, how much fits between. Found by bisection."""

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache

from domain.schedule.problem import Calendar, NoRoom, Problem


class Hours:
    """The stretches of a calendar with the open slots before each; longest: the longest stretch [slots].

    Work of no slots can be done at any open slot, and at closing time. Every method raises NoRoom when the answer lies
    outside the stretches: after the last one, or for last_start before the first.
    """

    __slots__ = ("before", "closes", "longest", "opens", "total")

    def __init__(self, stretches: Iterable[tuple[int, int]]) -> None:
        self.opens, self.closes, self.before = list[int](), list[int](), list[int]()
        self.total = self.longest = 0
        for opens, closes in stretches:
            self.opens.append(opens)
            self.closes.append(closes)
            self.before.append(self.total)
            self.total += closes - opens
            self.longest = max(self.longest, closes - opens)

    def next_open(self, slot: int) -> int:
        """Return the first open slot at or after a slot."""
        at = bisect_right(self.closes, slot)
        if at == len(self.opens):
            raise NoRoom
        return max(slot, self.opens[at])

    def start(self, ready: int, work: int, whole: bool) -> int:
        """Return the first slot at which so much work can start, once it is ready.

        whole: it waits for a stretch that holds all of it. Whether work that is broken off also ends, end says.
        """
        at = bisect_left(self.closes, ready) if work == 0 else bisect_right(self.closes, ready)
        if whole and work > self.longest:
            raise NoRoom
        for place in range(at, len(self.opens)):
            start = max(ready, self.opens[place])
            if not whole or self.closes[place] - start >= work:
                return start
        raise NoRoom

    def fit(self, ready: int, work: int, whole: bool) -> tuple[int, int] | None:
        """Return start and end of so much work once it is ready, None where there is no room: both at one go."""
        closes, opens = self.closes, self.opens
        at = bisect_right(closes, ready) if work else bisect_left(closes, ready)
        if at == len(closes):
            return None
        start = opens[at] if opens[at] > ready else ready
        if start + work <= closes[at]:
            return start, start + work
        if whole:
            for place in range(at + 1, len(closes)):
                if closes[place] - opens[place] >= work:
                    return opens[place], opens[place] + work
            return None
        passed = self.before[at] + start - opens[at] + work
        if passed > self.total:
            return None
        at = bisect_left(self.before, passed, at) - 1
        return start, opens[at] + passed - self.before[at]

    def end(self, start: int, work: int) -> int:
        """Return the first slot by which so much open time has passed since a slot."""
        return start if work == 0 else self.by(self.passed(start) + work)

    def last_start(self, finish: int, work: int, whole: bool) -> int:
        """Return the last slot at which so much work can start and be finished by a slot."""
        if work > 0 and not whole:
            target = self.passed(finish) - work
            if target < 0:
                raise NoRoom
            at = bisect_right(self.before, target) - 1
            return self.opens[at] + target - self.before[at]
        at = (bisect_right if work == 0 else bisect_left)(self.opens, finish) - 1
        while at >= 0:
            if (start := min(self.closes[at], finish) - work) >= self.opens[at]:
                return start
            at -= 1
        raise NoRoom

    def between(self, start: int, end: int) -> int:
        """Return the open slots from start to end, negative when the end comes first."""
        return self.passed(end) - self.passed(start)

    def passed(self, slot: int) -> int:
        """Return the open slots before a slot."""
        at = bisect_right(self.opens, slot) - 1
        return 0 if at < 0 else self.before[at] + min(slot, self.closes[at]) - self.opens[at]

    def by(self, passed: int) -> int:
        """Return the first slot that has so many open ones before it; 0 for none."""
        if passed <= 0:
            return 0
        if passed > self.total:
            raise NoRoom
        at = bisect_left(self.before, passed) - 1
        return self.opens[at] + passed - self.before[at]


@lru_cache(maxsize=64)
def hours_of(calendar: Calendar) -> Hours:
    """Return the open slots of a calendar, counted once."""
    return Hours(calendar.stretches)


def team_hours(problem: Problem, team: tuple[int, ...]) -> Hours:
    """Return the open slots that the calendars of a team's people have in common; the team has somebody in it."""
    numbers = dict.fromkeys(problem.people[person].calendar for person in team)
    return common([problem.calendars[number] for number in numbers])


def common(calendars: Sequence[Calendar]) -> Hours:
    """Return the open slots that calendars have in common, counted once. Raises ValueError for no calendars."""
    first, *others = calendars
    return _common(first, tuple(others)) if others else hours_of(first)


@lru_cache(maxsize=256)
def _common(first: Calendar, others: tuple[Calendar, ...]) -> Hours:
    stretches = first.stretches
    for other in others:
        stretches = tuple(both(stretches, other.stretches))
    return Hours(stretches)


def both(these: Iterable[tuple[int, int]], those: Sequence[tuple[int, int]]) -> Iterator[tuple[int, int]]:
    """Yield the parts of stretches that lie in other stretches too; both in order, none overlapping."""
    at = 0
    for opens, closes in these:
        while at < len(those) and those[at][1] <= opens:
            at += 1
        place = at
        while place < len(those) and those[place][0] < closes:
            yield max(opens, those[place][0]), min(closes, those[place][1])
            place += 1
