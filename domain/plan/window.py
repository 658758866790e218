"""Windows that close: the next coat before it needs sanding, the first coat soon after install."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from domain.open_minutes import OpenMinutes, instant_of
from domain.shop_calendar import in_minutes
from domain.task import Clock, Link, Task
from domain.task_times import Times

Say = Callable[[int], str]
_SEARCHED = timedelta(days=30) // timedelta(minutes=1)


@dataclass(frozen=True, slots=True)
class Window:
    """Task `after` may begin from opens_at to closes_at, counted from when task `before` is finished.

    is_running: `before` is over, `after` has not begun; is_met: it begins in time, as planned or as it was;
    words: what a person should know; suggestions: what would work instead;
    hold_until: the instant to hold `before` back to, so that the window is met, None when nothing is found
    or `before` has begun.
    """

    before: str
    after: str
    opens_at: datetime
    closes_at: datetime
    is_running: bool
    is_met: bool
    words: str
    suggestions: tuple[str, ...] = ()
    hold_until: datetime | None = None


def windows(
    tasks: Sequence[Task], times: Mapping[str, Times], hours: OpenMinutes, now: int, say: Say
) -> tuple[Window, ...]:
    """Return the windows of tasks that are not over, soonest to close first.

    now: minute of domain.open_minutes; say: a minute in words.
    """
    by_key = {task.key: task for task in tasks}
    found = [
        _window(_Case(by_key[link.before], task, link, times, hours, now), say)
        for task in tasks
        for link in task.links
        if link.at_most is not None and link.before in by_key and not times[task.key].is_over
    ]
    return tuple(sorted(found, key=lambda each: (each.closes_at, each.after)))


class _Case:
    """One link whose window closes, in minutes."""

    def __init__(
        self, before: Task, after: Task, link: Link, times: Mapping[str, Times], hours: OpenMinutes, now: int
    ) -> None:
        self.before, self.after, self.link, self.hours, self.now = before, after, link, hours, now
        self.first, self.then = times[before.key], times[after.key]
        self.opens, self.closes = self.span(self.first.finish)
        self.has_begun = self.then.is_running
        self.is_met = self.then.start <= self.closes

    def span(self, finish: int) -> tuple[int, int]:
        """Return when the window opens and closes after `before` is finished."""
        assert self.link.at_most is not None
        least, most = in_minutes(self.link.at_least), in_minutes(self.link.at_most)
        if self.link.clock is Clock.ATTENDED:
            return self.hours.add(finish, least), self.hours.add(finish, most)
        return finish + least, finish + most

    def fits_the_hours(self) -> bool:
        """Whether `after` could begin within its window if nothing but shop hours held it."""
        return self._starts(self.after, max(self.opens, self.now)) <= self.closes

    def better_start(self) -> int | None:
        """Return a later start of `before` with which `after` falls into its window, the first one found."""
        if self.first.is_running or self.first.is_over:
            return None
        for candidate in sorted(set(self._candidates())):
            opens, closes = self.span(self._finishes(self.before, candidate))
            if candidate > self.first.start and self._starts(self.after, opens) <= closes:
                return candidate
        return None

    def _candidates(self) -> Iterator[int]:
        """Yield starts of `before` as the shop opens, and such that its window closes as the shop opens."""
        first, work = self.first.start, in_minutes(self.before.duration)
        for opens, _ in self.hours.open_between(first, first + _SEARCHED):
            yield self._starts(self.before, opens)
            _, closes = self.span(opens)
            finish = 2 * opens - closes
            if finish > first and self.before.clock is Clock.ATTENDED:
                yield self._starts(self.before, max(self.hours.subtract(finish, work), first))
            elif finish > first:
                yield max(finish - work, first)

    def _starts(self, task: Task, ready: int) -> int:
        """Return when a task could start by shop hours alone."""
        if task.clock is Clock.ELAPSED:
            return ready
        return self.hours.start(ready, in_minutes(task.duration), whole=not task.splittable)

    def _finishes(self, task: Task, start: int) -> int:
        work = in_minutes(task.duration)
        return self.hours.add(start, work) if task.clock is Clock.ATTENDED else start + work


def _window(case: _Case, say: Say) -> Window:
    better = None if case.is_met else case.better_start()
    return Window(
        before=case.before.key,
        after=case.after.key,
        opens_at=instant_of(case.opens),
        closes_at=instant_of(case.closes),
        is_running=case.first.is_over and not case.has_begun,
        is_met=case.is_met,
        words=_words(case, say),
        suggestions=() if case.is_met else tuple(_suggestions(case, better, say)),
        hold_until=None if better is None else instant_of(better),
    )


def _words(case: _Case, say: Say) -> str:
    """Return what a person should know: `Second coat closes Tue 09:40; after that it needs sanding.`"""
    name, closes = case.after.name, say(case.closes)
    if case.has_begun:
        late = "in time" if case.is_met else f"after its window had closed {closes}{_consequence(case.link, ': ')}"
        return f"{name} began {say(case.then.start)}, {late}."
    if case.first.is_over and case.closes < case.now:
        return f"{name} closed {closes}{_consequence(case.link, ': ')}."
    after = _consequence(case.link, "; after that ")
    if case.is_met:
        would = "closes" if case.first.is_over else "would close"
        opens = f" opens {say(case.opens)} and" if case.opens > case.now and case.first.is_over else ""
        return f"{name}{opens} {would} {closes}{after}."
    opens = f"{name} can start {say(max(case.opens, case.now))} at the earliest and closes {closes}"
    return f"{opens}, but {_why_not(case, say)}{after}."


def _consequence(link: Link, joined: str) -> str:
    """Return what a closed window means, joined to a sentence: what it takes then, else why there is a window."""
    if link.if_missed:
        return f"{joined}{link.if_missed}"
    return f": {link.why}" if link.why else ""


def _why_not(case: _Case, say: Say) -> str:
    if case.fits_the_hours():
        return f"it is planned for {say(case.then.start)}"
    ready = max(case.opens, case.now)
    opens = case.hours.next_open(ready)
    if opens > case.closes:
        closed = case.hours.last_start(ready, 0, whole=False)
        return f"nobody works from {say(closed)} to {say(opens)}"
    return f"there are not {in_minutes(case.after.duration)} min in one go before closing time"


def _suggestions(case: _Case, better: int | None, say: Say) -> Iterator[str]:
    if better is not None:
        yield f"Hold “{case.before.name}” until {say(better)}."
    if case.closes >= case.now and not case.fits_the_hours():
        yield f"Work outside shop hours, beginning by {say(case.closes)}."
    if case.link.if_missed:
        yield f"Plan for it: {case.link.if_missed}."


def closes_soonest(found: Sequence[Window], key: str) -> Window | None:
    """Return the running window of a task that closes first, None when it has none."""
    running = [each for each in found if each.after == key and each.is_running]
    return min(running, key=lambda each: each.closes_at, default=None)
