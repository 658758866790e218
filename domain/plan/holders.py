"""What keeps each task of a schedule from starting sooner: the limit that lets go of it last."""

from bisect import bisect_left
from collections.abc import Iterable, Iterator, Sequence
from itertools import combinations, islice

from domain.plan.grid import Grid
from domain.plan.held import HeldBy, Holder
from domain.plan.model import Model
from domain.schedule.hours import Hours, hours_of, team_hours
from domain.schedule.problem import Activity, Mode, NoRoom, Side
from domain.schedule.schedule import Schedule
from domain.schedule.timetable import FOREVER, Usage

MOST_TEAMS = 60
"""Teams looked at for one task; enough to say who is busy."""

Stay = tuple[int, int, int, int]
"""From slot to slot, so much of something, and the activity that keeps it busy."""
Bound = tuple[int, HeldBy, tuple[int, ...]]
"""The slot a limit lets go at, which limit, and the activities it comes from."""


class Holders:
    """What holds each task of a schedule, found when it is asked for."""

    def __init__(self, made: Model, schedule: Schedule) -> None:
        self._found: dict[int, Holder] = {}
        self.made, self.schedule, self.problem = made, schedule, made.problem
        self.grid: Grid = made.grid
        activities = self.problem.activities
        self.busy: list[list[Stay]] = [[] for _ in self.problem.people]
        for number, team in enumerate(schedule.team):
            for person in team:
                if schedule.start[number] < schedule.finish[number]:
                    self.busy[person].append((schedule.start[number], schedule.finish[number], 1, number))
        for stays in self.busy:
            stays.sort()
        self.held = [_Held() for _ in self.problem.resources]
        self.holds_of: list[list[int]] = [[] for _ in activities]
        for at, hold in enumerate(self.problem.holds):
            ends = schedule.finish[hold.last] + hold.spare
            self.held[hold.resource].add((schedule.start[hold.first], ends, hold.amount, hold.first))
            self.holds_of[hold.first].append(at)
        self.aired: dict[tuple[int, Side], _Held] = {}
        self.airs_of: list[list[int]] = [[] for _ in activities]
        for at, air in enumerate(self.problem.airs):
            ends = schedule.finish[air.last] + air.spare
            held = self.aired.setdefault((air.room, air.side), _Held())
            held.add((schedule.start[air.first], ends, 1, air.first))
            self.airs_of[air.first].append(at)
        self.lags_in: list[list[int]] = [[] for _ in activities]
        self.lags_out: list[list[int]] = [[] for _ in activities]
        for at, lag in enumerate(self.problem.lags):
            self.lags_in[lag.after].append(at)
            if lag.most is not None:
                self.lags_out[lag.before].append(at)

    def of(self, number: int) -> Holder:
        """Return what keeps an activity, by its number, from starting sooner than it does."""
        if number not in self._found:
            self._found[number] = self._holder(number)
        return self._found[number]

    def _holder(self, number: int) -> Holder:
        activity, start = self.problem.activities[number], self.schedule.start[number]
        if activity.fact is not None:
            return self._say((start, HeldBy.FACT, ()))
        if activity.pinned is not None:
            return self._say((start, HeldBy.PINNED, ()))
        ready = self._ready(number)
        if start <= ready[0]:
            return self._say(ready)
        found = max(self._limits(number, ready[0]), key=lambda bound: bound[0], default=None)
        alone = self._alone(number, ready[0])
        if found is not None and found[0] > alone:
            return self._say(found)
        if start <= alone:
            return self._say((start, HeldBy.HOURS, ready[2]))
        if (window := self._window(number, alone)) is not None:
            return self._say((start, HeldBy.WINDOW, (window,)))
        return self._say((alone, HeldBy.STEADY, ready[2]))

    def _say(self, bound: Bound) -> Holder:
        slot, kind, numbers = bound
        return Holder(kind, self.grid.instant(slot), tuple(self.made.keys[number] for number in numbers))

    def _ready(self, number: int) -> Bound:
        """Return when everything an activity waits for has let go, and which did last."""
        activity = self.problem.activities[number]
        best: Bound = (self.problem.now, HeldBy.NOTHING, ())
        if activity.earliest > best[0]:
            best = (activity.earliest, HeldBy.HELD_BACK, ())
        for at in self.lags_in[number]:
            lag = self.problem.lags[at]
            if lag.least is None:
                continue
            since = self.schedule.start[lag.before] if lag.from_start else self.schedule.finish[lag.before]
            slot = since + lag.least
            if lag.calendar is not None:
                hours = hours_of(self.problem.calendars[lag.calendar])
                slot = hours.by(hours.passed(since) + lag.least) if lag.least else since
            if lag.to_finish:
                slot -= self.schedule.finish[number] - self.schedule.start[number]
            if slot > best[0]:
                best = (slot, HeldBy.LINK, (lag.before,))
        return best

    def _limits(self, number: int, ready: int) -> Iterator[Bound]:
        """Yield for each limit when it alone would let the activity start, where that is later than its hours."""
        if self.problem.activities[number].crew:
            yield from self._people(number, ready)
        start, finish = self.schedule.start[number], self.schedule.finish[number]
        for at in self.holds_of[number]:
            hold = self.problem.holds[at]
            span = max(self.schedule.finish[hold.last] + hold.spare, finish) - start
            there = self.problem.resources[hold.resource].capacity - hold.amount
            if free := self.held[hold.resource].until(ready, start, span, there, number):
                yield free[0], self.made.kinds[hold.resource].held_by, free[1]
        for at in self.airs_of[number]:
            air = self.problem.airs[at]
            other = self.aired.get((air.room, Side.WET if air.side is Side.DUST else Side.DUST))
            if other and (free := other.until(ready, start, finish + air.spare - start, 0, number)):
                yield free[0], HeldBy.AIR, free[1]

    def _people(self, number: int, ready: int) -> Iterator[Bound]:
        """Yield when the first team that can do it is free, if its people are busy before that."""
        activity, start = self.problem.activities[number], self.schedule.start[number]
        found: tuple[int, set[int]] | None = None
        for team in _teams(activity):
            hours = team_hours(self.problem, team)
            slot, by = self._team_free(number, team, hours, ready, start)
            if found is None or slot < found[0]:
                found = slot, by
        if found is not None and found[1]:
            yield min(found[0], start), HeldBy.PERSON, tuple(sorted(found[1]))

    def _team_free(
        self, number: int, team: Sequence[int], hours: Hours, ready: int, until: int
    ) -> tuple[int, set[int]]:
        activity = self.problem.activities[number]
        by: set[int] = set()
        slot = ready
        while slot < until:
            try:
                slot = hours.start(slot, activity.work, activity.mode is Mode.WHOLE)
                end = hours.end(slot, activity.work)
            except NoRoom:
                return until, by
            clash = [stay for person in team for stay in _meeting(self.busy[person], slot, max(end, slot + 1))
                     if stay[3] != number]  # fmt: skip
            if not clash:
                return slot, by
            last = max(clash, key=lambda stay: stay[1])
            by = {stay[3] for stay in clash if stay[1] == last[1]}
            slot = max(last[1], slot + 1)
        return slot, by

    def _alone(self, number: int, ready: int) -> int:
        """Return when the hours of some team that can do it would let an activity start."""
        activity = self.problem.activities[number]
        found = None
        for team in _teams(activity):
            try:
                hours = team_hours(self.problem, team)
                slot = hours.start(ready, activity.work, activity.mode is Mode.WHOLE)
            except NoRoom:
                continue
            found = slot if found is None else min(found, slot)
        return ready if found is None else found

    def _window(self, number: int, alone: int) -> int | None:
        """Return the activity that would miss its window if this one started as soon as it could, else None."""
        schedule = self.schedule
        sooner = schedule.start[number] - alone
        for at in self.lags_out[number]:
            lag = self.problem.lags[at]
            assert lag.most is not None
            if self.problem.activities[lag.after].mode is Mode.PASSIVE:
                continue
            begins = schedule.start[number] if lag.from_start else schedule.finish[number]
            ends = schedule.finish[lag.after] if lag.to_finish else schedule.start[lag.after]
            hours = None if lag.calendar is None else hours_of(self.problem.calendars[lag.calendar])
            lasts = ends - begins + sooner if hours is None else hours.between(begins - sooner, ends)
            if lasts > lag.most:
                return lag.after
        return None


def _teams(activity: Activity) -> Iterable[tuple[int, ...]]:
    if not activity.crew:
        return ()
    everybody = (*activity.leads, *activity.helpers)
    return islice((team for team in combinations(everybody, activity.crew) if team[0] in activity.leads), MOST_TEAMS)


def _meeting(stays: Sequence[Stay], start: int, end: int) -> Iterator[Stay]:
    """Yield the stays of one person that overlap a span."""
    for at in range(bisect_left(stays, (end,)) - 1, -1, -1):
        if stays[at][1] > start:
            yield stays[at]
        elif stays[at][1] < start - 2000:
            return


class _Held:
    """How much of something is in use when, and by what."""

    def __init__(self) -> None:
        self.stays: list[Stay] = []
        self.usage = Usage([-FOREVER], [0])

    def add(self, stay: Stay) -> None:
        start, end, amount, _ = stay
        if start < end:
            self.stays.append(stay)
            self.usage.add(start, end, amount)

    def until(self, ready: int, start: int, span: int, most: int, number: int) -> tuple[int, tuple[int, ...]] | None:
        """Return when no more than so much is in use for a span, if it is not so at once, and what uses it till then.

        number: of the activity it is asked for, which uses nothing itself.
        """
        own = [stay for stay in self.stays if stay[3] == number]
        for begins, ends, amount, _ in own:
            self.usage.add(begins, ends, -amount)
        slot = ready
        while slot < start and (free := self.usage.until(slot, slot + max(span, 1), most)):
            slot = free
        for begins, ends, amount, _ in own:
            self.usage.add(begins, ends, amount)
        if slot == ready:
            return None
        using = sorted(stay for stay in self.stays if stay[0] < slot <= stay[1] and stay[3] != number)
        return min(slot, start), tuple(dict.fromkeys(stay[3] for stay in using))
