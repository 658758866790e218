"""What is taken when: people by the stretches they are busy, everything else by how much of it is in use."""

from bisect import bisect_left, bisect_right

FOREVER = 1 << 60
"""Later than any slot."""


class Busy:
    """The stretches somebody is busy: starts and ends in order, none overlapping."""

    __slots__ = ("ends", "starts")

    def __init__(self, starts: list[int], ends: list[int]) -> None:
        self.starts, self.ends = starts, ends

    def until(self, start: int, end: int) -> int:
        """Return the end of the last stretch that overlaps a span, 0 when none does."""
        at = bisect_left(self.starts, end) - 1
        return self.ends[at] if at >= 0 and self.ends[at] > start else 0

    def add(self, start: int, end: int) -> None:
        """Make a free span busy."""
        at = bisect_right(self.starts, start)
        self.starts.insert(at, start)
        self.ends.insert(at, end)

    def remove(self, start: int) -> None:
        """Free the stretch that starts then."""
        at = bisect_left(self.starts, start)
        del self.starts[at], self.ends[at]

    def cover(self, start: int, end: int) -> None:
        """Make a span busy, whether it is free or not."""
        low, high = bisect_left(self.ends, start), bisect_right(self.starts, end)
        if low < high:
            start, end = min(start, self.starts[low]), max(end, self.ends[high - 1])
        self.starts[low:high], self.ends[low:high] = [start], [end]


class Usage:
    """How much of something is in use from each time until the next."""

    __slots__ = ("times", "used")

    def __init__(self, times: list[int], used: list[int]) -> None:
        self.times, self.used = times, used

    def until(self, start: int, end: int, most: int) -> int:
        """Return when the last part of a span ends in which more than so much is in use, 0 when there is none."""
        times, used = self.times, self.used
        for at in range(bisect_left(times, end) - 1, bisect_right(times, start) - 2, -1):
            if used[at] > most:
                return times[at + 1] if at + 1 < len(times) else FOREVER
        return 0

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
