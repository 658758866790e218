"""Whole minutes of UTC and the stretches a shop is open in them: the arithmetic under the shop calendar."""

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Sequence
from datetime import UTC, date, datetime, timedelta

Stretch = tuple[int, int]
Stretches = Callable[[date, date], Sequence[Stretch]]
"""All open stretches that begin on the days from the first to the last, in order, none touching."""

EARLIEST, LATEST = date(1900, 1, 1), date(2200, 1, 1)
OUT_OF_REACH = "That leads outside the years 1900 to 2200. Check the dates and how long the tasks take."
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_MINUTE = timedelta(minutes=1)
_FARTHEST = 200 * 366 * 1440


def minute_at(instant: datetime) -> int:
    """Return the whole minute an instant falls in, counted from 1970 in UTC."""
    return (instant - _EPOCH) // _MINUTE


def minute_after(instant: datetime) -> int:
    """Return the first whole minute that is not before an instant."""
    return -((_EPOCH - instant) // _MINUTE)


def instant_of(minute: int) -> datetime:
    """Return the instant [UTC] of a whole minute."""
    return _EPOCH + timedelta(minutes=minute)


class OpenMinutes:
    """Open stretches as sorted minutes, laid down as far as anybody asks, found by bisection.

    stretches: gives the stretches of a span of days; longest: the longest one that comes every week [min].
    Every method raises ValueError, worded for a person, when the answer lies outside 1900 to 2200.
    """

    def __init__(self, stretches: Stretches, longest: int) -> None:
        self._stretches = stretches
        self.longest = longest
        self._first = self._last = EARLIEST
        self._since = self._upto = 0

    def next_open(self, minute: int) -> int:
        """Return the first open minute at or after a minute."""
        self._reach(minute)
        at = bisect_right(self._opens, minute) - 1
        if at >= 0 and minute < self._closes[at]:
            return minute
        self._have(at + 1)
        return self._opens[bisect_right(self._opens, minute)]

    def is_open(self, minute: int) -> bool:
        return self.next_open(minute) == minute

    def closes(self, minute: int) -> int:
        """Return when the stretch ends that holds a minute, or that comes next."""
        start = self.next_open(minute)
        return self._closes[bisect_right(self._opens, start) - 1]

    def add(self, minute: int, work: int) -> int:
        """Return the first minute by which so much open time has passed since a minute."""
        if work <= 0:
            return minute if work == 0 else self.subtract(minute, -work)
        self._reach(minute)
        target = self._passed(minute) + work
        while not self._opens or self._before[-1] + self._closes[-1] - self._opens[-1] < target:
            self._longer()
        at = bisect_left(self._before, target) - 1
        return self._opens[at] + target - self._before[at]

    def subtract(self, minute: int, work: int) -> int:
        """Return the last minute from which so much open time passes until a minute."""
        if work <= 0:
            return minute if work == 0 else self.add(minute, -work)
        self._reach(minute)
        while True:
            target = self._passed(minute) - work
            at = bisect_right(self._before, target) - 1
            if at >= 0 and (start := self._opens[at] + target - self._before[at]) >= self._since:
                return start
            self._longer(back=True)

    def between(self, start: int, end: int) -> int:
        """Return the open minutes from start to end, negative when the end comes first."""
        self._reach(start)
        self._reach(end)
        return self._passed(end) - self._passed(start)

    def start(self, ready: int, work: int, *, whole: bool) -> int:
        """Return the first minute at which so much work can start, once it is ready.

        whole: it must not be broken off at closing time, so it waits for a stretch that holds it. Work longer
        than any stretch of the week is broken off all the same. Work of no minutes can be done at closing time.
        """
        if not work and ready == self.closes(ready - 1):
            return ready
        start = self.next_open(ready)
        if not whole or work > self.longest:
            return start
        at = bisect_right(self._opens, start) - 1
        while self._closes[at] - start < work:
            if self._closes[at] >= self._upto:  # the days laid down end before this stretch does
                self._longer()
                continue
            self._have(at + 1)
            at += 1
            start = self._opens[at]
        return start

    def last_start(self, finish: int, work: int, *, whole: bool) -> int:
        """Return the last minute at which so much work can start and be finished by a minute."""
        self._reach(finish)
        if work > 0 and (not whole or work > self.longest):
            return self.subtract(finish, work)
        find = bisect_left if work > 0 else bisect_right
        at = find(self._opens, finish) - 1
        while True:
            if at >= 0 and min(self._closes[at], finish) - self._opens[at] >= work:
                if (start := min(self._closes[at], finish) - work) >= self._since:
                    return start
                at = 0
            if at <= 0:
                self._longer(back=True)
                at = find(self._opens, finish)
            at -= 1

    def open_between(self, start: int, end: int) -> list[Stretch]:
        """Return the open stretches from start to end, cut off at both."""
        self._reach(start)
        self._reach(end)
        first = max(bisect_right(self._opens, start) - 1, 0)
        last = bisect_left(self._opens, end)
        cut = ((max(self._opens[at], start), min(self._closes[at], end)) for at in range(first, last))
        return [(opens, closes) for opens, closes in cut if opens < closes]

    def _passed(self, minute: int) -> int:
        at = bisect_right(self._opens, minute) - 1
        if at < 0:
            return 0
        return self._before[at] + min(minute, self._closes[at]) - self._opens[at]

    def _reach(self, minute: int) -> None:
        if self._first == self._last:
            if abs(minute) > _FARTHEST:
                raise ValueError(OUT_OF_REACH)
            around = instant_of(minute).date()
            self._lay(max(around - timedelta(days=30), EARLIEST), min(around + timedelta(days=120), LATEST))
        while minute >= self._upto:
            self._longer()
        while minute < self._since:
            self._longer(back=True)

    def _have(self, at: int) -> None:
        """Lay down more days until there are more than `at` stretches."""
        while at >= len(self._opens):
            self._longer()

    def _longer(self, *, back: bool = False) -> None:
        more = timedelta(days=max((self._last - self._first).days, 1))
        if back:
            self._lay(max(self._first - more, EARLIEST), self._last)
        else:
            self._lay(self._first, min(self._last + more, LATEST))

    def _lay(self, first: date, last: date) -> None:
        if (first, last) == (self._first, self._last):
            raise ValueError(OUT_OF_REACH)
        self._first, self._last = first, last
        stretches = self._stretches(first, last)
        self._opens = [opens for opens, _ in stretches]
        self._closes = [closes for _, closes in stretches]
        self._before: list[int] = []
        passed = 0
        for opens, closes in stretches:
            self._before.append(passed)
            passed += closes - opens
        self._since = _days_from_epoch(first + timedelta(days=2)) * 1440
        self._upto = _days_from_epoch(last - timedelta(days=1)) * 1440


def _days_from_epoch(day: date) -> int:
    return (day - date(1970, 1, 1)).days
