"""What is taken when: people by the stretches they are busy, everything else by how much of it is in use."""

from bisect import bisect_left, bisect_right

from domain.schedule.hours import Hours

FOREVER = 1 << 60
"""Later than any slot."""


class Busy:
    """The stretches somebody is busy: starts and ends in order, none overlapping, and how much work fits after each.

    hours: when they work at all. A search leaps over what is free for too short a time.
    """

    __slots__ = ("ends", "hours", "room", "starts")

    def __init__(self, hours: Hours) -> None:
        self.hours = hours
        self.starts, self.ends, self.room = list[int](), list[int](), list[int]()

    def until(self, start: int, end: int, work: int) -> int:
        """Return the end of a stretch in a span, 0 when there is none.

        Of several the last, or a later one: so that so much work fits after it.
        """
        at = bisect_left(self.starts, end) - 1
        if at < 0 or self.ends[at] <= start:
            return 0
        room = self.room
        while room[at] < work:
            at += 1
        return self.ends[at]

    def add(self, start: int, end: int) -> None:
        """Make a free span busy."""
        at = bisect_right(self.starts, start)
        self.starts.insert(at, start)
        self.ends.insert(at, end)
        self.room.insert(at, 0)
        self._count(at)

    def remove(self, start: int) -> None:
        """Free the stretch that starts then."""
        at = bisect_left(self.starts, start)
        del self.starts[at], self.ends[at], self.room[at]
        self._count(at)

    def cover(self, start: int, end: int) -> None:
        """Make a span busy, whether it is free or not."""
        low, high = bisect_left(self.ends, start), bisect_right(self.starts, end)
        if low < high:
            start, end = min(start, self.starts[low]), max(end, self.ends[high - 1])
        self.starts[low:high], self.ends[low:high], self.room[low:high] = [start], [end], [0]
        self._count(low)

    def _count(self, at: int) -> None:
        """Count how much work fits before and after a stretch."""
        passed, last = self.hours.passed, len(self.starts) - 1
        for place in (at - 1, at):
            if 0 <= place < last:
                self.room[place] = passed(self.starts[place + 1]) - passed(self.ends[place])
            elif place == last >= 0:
                self.room[place] = FOREVER


class Usage:
    """How much of something is in use from each time until the next."""

    __slots__ = ("times", "used")

    def __init__(self, times: list[int], used: list[int]) -> None:
        self.times, self.used = times, used

    def until(self, start: int, end: int, most: int, lasting: int = 0) -> int:
        """Return the end of a part of a span with more than so much in use, 0 when there is none.

        Of several the last, or a later one: so that there is room for what lasts at least so long.
        """
        times, used = self.times, self.used
        at = bisect_left(times, end) - 1
        first = bisect_right(times, start) - 1
        while at >= first and used[at] <= most:
            at -= 1
        if at < first:
            return 0
        return self._free_after(at, most, lasting)

    def _free_after(self, at: int, most: int, lasting: int) -> int:
        """Return the first time after a full part from which on no more than so much is in use for so long."""
        times, used = self.times, self.used
        last = len(times) - 1
        while at < last:
            at += 1
            if used[at] > most:
                continue
            since = times[at]
            while at < last and used[at + 1] <= most:
                at += 1
            if at == last or times[at + 1] - since >= lasting:
                return since
        return FOREVER

    def add(self, start: int, end: int, amount: int) -> None:
        """Use so much more over a span, less when the amount is negative."""
        first = self._cut(start)
        for at in range(first, self._cut(end)):
            self.used[at] += amount

    def _cut(self, time: int) -> int:
        at = bisect_left(self.times, time)
        if at == len(self.times) or self.times[at] != time:
            self.times.insert(at, time)
            self.used.insert(at, self.used[at - 1])
        return at
