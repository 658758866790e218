"""Plays a schedule again with other durations: the same people in the same order, everything as soon as it can be.

Whoever takes what from whom in the schedule (people, resources, the air of a room) does so in the replay. Known in the
literature as an earliest-start policy, or a partial order schedule. Source: Igelmund, Radermacher, Preselective
strategies for the optimization of stochastic project networks, Networks 13 (1983); from memory.
"""

from collections.abc import Iterator, Sequence
from heapq import heapify, heappop, heappush
from itertools import pairwise

from domain.schedule.hours import Hours, hours_of, team_hours
from domain.schedule.problem import Lag, Mode, NoRoom, Problem
from domain.schedule.schedule import Schedule

Arc = tuple[int, int, bool]
"""The other activity, slots after an end of it, whether that end is its start."""

PASSES = 6
"""How often a replay goes back to hold something, so that a window is met, before the window counts as missed."""

_FACT = Hours(())
"""Stands for the hours of what has begun, which is finished by a rule of its own."""

_Step = tuple[int, tuple[tuple[int, int], ...], bool, Hours | None]
"""An activity, what it waits for to finish and how long after, whether there is more to look at, its hours."""


class Replay:
    """A schedule that can be played again and again, a few tenths of a millisecond each."""

    def __init__(self, problem: Problem, schedule: Schedule) -> None:
        self.problem, self.schedule = problem, schedule
        many = len(problem.activities)
        self.arcs: list[list[Arc]] = [[] for _ in range(many)]
        self.finish_arcs: list[list[Arc]] = [[] for _ in range(many)]
        self.timed: list[list[tuple[int, int, bool, Hours]]] = [[] for _ in range(many)]
        self._links()
        for before, after, spare in (*self._by_people(), *self._by_resources(), *self._by_air()):
            self.arcs[after].append((before, spare, False))
        self.order = self._in_order()
        self.place = {number: place for place, number in enumerate(self.order)}
        self.hours = [self._hours_of(number) for number in range(many)]
        self.whole = [activity.mode is Mode.WHOLE for activity in problem.activities]
        self.floor = [max(problem.now, activity.earliest) for activity in problem.activities]
        self.steps = [self._step(number) for number in self.order]
        self.limits = [
            (lag.before, lag.after, lag.most, lag.from_start, lag.to_finish)
            for number, lag in enumerate(problem.lags)
            if lag.most is not None and lag.calendar is None and number not in schedule.broken and not self._stays(lag)
        ]

    def _step(self, number: int) -> _Step:
        activity = self.problem.activities[number]
        after_finish = tuple((other, spare) for other, spare, from_start in self.arcs[number] if not from_start)
        is_fixed = activity.fact is not None or activity.pinned is not None
        more = is_fixed or bool(self.timed[number] or self.finish_arcs[number])
        more = more or len(after_finish) < len(self.arcs[number])
        hours = _FACT if activity.fact is not None else None if activity.pinned is not None else self.hours[number]
        return number, () if is_fixed else after_finish, more, hours

    def run(self, work: Sequence[int]) -> tuple[list[int], list[int]]:
        """Return starts and finishes by activity number. work: what each takes this time [slots of its own time].

        Raises NoRoom when it leads beyond the horizon.
        """
        many = len(work)
        start, finish, floor = [0] * many, [0] * many, list(self.floor)
        first = 0
        for _ in range(PASSES):
            self._pass(work, start, finish, floor, first)
            raised = [self._hold_back(limit, start, finish, floor, work) for limit in self.limits]
            places = [place for place in raised if place is not None]
            if not places:
                break
            first = min(places)
        return start, finish

    def _pass(self, work: Sequence[int], start: list[int], finish: list[int], floor: Sequence[int], first: int) -> None:
        """Place everything from a place of the order on. Written for speed: it runs a thousand times a page."""
        for number, after_finish, more, hours in self.steps[first:]:
            at, takes = floor[number], work[number]
            for other, spare in after_finish:
                soonest = finish[other] + spare
                if soonest > at:
                    at = soonest
            if more:
                at = self._at_least(number, at, takes, start, finish)
            if hours is None:
                start[number] = at
                finish[number] = at + takes
            elif hours is _FACT:
                start[number], finish[number] = at, self._goes_on(number, takes)
            else:
                # Work that has become too long to be whole is broken off.
                fits = hours.fit(at, takes, self.whole[number] and takes <= hours.longest)
                if fits is None:
                    raise NoRoom
                start[number], finish[number] = fits

    def _at_least(self, number: int, at: int, takes: int, start: Sequence[int], finish: Sequence[int]) -> int:
        """Return the slot that an activity starts no sooner than, by what is rarer than a wait for a finish."""
        activity = self.problem.activities[number]
        if activity.fact is not None:
            return activity.fact.start
        if activity.pinned is not None:
            return activity.pinned
        for other, spare, from_start in self.arcs[number]:
            if from_start:
                at = max(at, start[other] + spare)
        for other, spare, from_start, clock in self.timed[number]:
            at = max(at, clock.end(start[other] if from_start else finish[other], spare))
        for other, spare, from_start in self.finish_arcs[number]:
            at = max(at, (start[other] if from_start else finish[other]) + spare - takes)
        return at

    def _goes_on(self, number: int, takes: int) -> int:
        """Return when something begun is finished, if it takes so long in all; what is over stays as it was."""
        fact, hours = self.problem.activities[number].fact, self.hours[number]
        assert fact is not None
        if fact.finish <= self.problem.now or hours is None:
            return fact.finish
        return max(hours.end(fact.start, takes), self.problem.now)

    def _hold_back(
        self, limit: tuple[int, int, int, bool, bool], start: Sequence[int], finish: Sequence[int],
        floor: list[int], work: Sequence[int],
    ) -> int | None:  # fmt: skip
        """Hold back what comes too long before its window is used; return its place, None where all is well."""
        before, after, most, from_start, to_finish = limit
        begins = start[before] if from_start else finish[before]
        late = (finish[after] if to_finish else start[after]) - begins - most
        if late <= 0:
            return None
        hours = self.hours[before]
        if from_start or hours is None:
            held = start[before] + late
        else:
            ends = begins + late
            passed = hours.passed(ends)
            passed += hours.by(passed) < ends
            held = hours.next_open(hours.by(passed - work[before])) if work[before] else ends
        if held <= floor[before]:
            return None
        floor[before] = held
        return self.place[before]

    def _stays(self, lag: Lag) -> bool:
        before = self.problem.activities[lag.before]
        return before.fact is not None or before.pinned is not None

    def _hours_of(self, number: int) -> Hours | None:
        activity, team = self.problem.activities[number], self.schedule.team[number]
        if not team or (activity.mode is Mode.PASSIVE and activity.fact is None):
            return None
        return team_hours(self.problem, team)

    def _links(self) -> None:
        for lag in self.problem.lags:
            if lag.least is None:
                continue
            if lag.to_finish:
                self.finish_arcs[lag.after].append((lag.before, lag.least, lag.from_start))
            elif lag.calendar is None:
                self.arcs[lag.after].append((lag.before, lag.least, lag.from_start))
            else:
                hours = hours_of(self.problem.calendars[lag.calendar])
                self.timed[lag.after].append((lag.before, lag.least, lag.from_start, hours))

    def _by_people(self) -> Iterator[tuple[int, int, int]]:
        """Yield who follows whom at the hands of each person."""
        for person in range(len(self.problem.people)):
            theirs = [n for n, team in enumerate(self.schedule.team) if person in team]
            theirs.sort(key=lambda n: (self.schedule.start[n], self.schedule.finish[n], n))
            yield from ((before, after, 0) for before, after in pairwise(theirs))

    def _by_resources(self) -> Iterator[tuple[int, int, int]]:
        """Yield who takes over from whom what there is only so much of: the longest free is taken first."""
        start, finish = self.schedule.start, self.schedule.finish
        for resource, there in enumerate(self.problem.resources):
            holds = [hold for hold in self.problem.holds if hold.resource == resource and hold.amount]
            holds.sort(key=lambda hold: (start[hold.first], finish[hold.last]))
            free: list[tuple[int, int, int, int]] = [(-1, there.capacity, -1, 0)]  # since, how many, by whom, spare
            for hold in holds:
                wanted = hold.amount
                while wanted and free and free[0][0] <= start[hold.first]:
                    since, count, giver, spare = heappop(free)
                    taken = min(count, wanted)
                    wanted -= taken
                    if count > taken:
                        heappush(free, (since, count - taken, giver, spare))
                    if giver >= 0 and giver != hold.first:
                        yield giver, hold.first, spare
                heappush(free, (finish[hold.last] + hold.spare, hold.amount - wanted, hold.last, hold.spare))

    def _by_air(self) -> Iterator[tuple[int, int, int]]:
        """Yield what waits for the air to clear: all of one side for all of the other side just before it."""
        start, finish = self.schedule.start, self.schedule.finish
        for room in dict.fromkeys(air.room for air in self.problem.airs):
            airs = [air for air in self.problem.airs if air.room == room]
            airs.sort(key=lambda air: (start[air.first], finish[air.last]))
            blocks: list[list[int]] = []
            for place, air in enumerate(airs):
                if not blocks or airs[blocks[-1][0]].side is not air.side:
                    blocks.append([])
                blocks[-1].append(place)
            for former, latter in pairwise(blocks):
                for one in former:
                    for other in latter:
                        if airs[one].last != airs[other].first:
                            yield airs[one].last, airs[other].first, airs[one].spare

    def _in_order(self) -> list[int]:
        """Return the activities so that each comes after all it waits for, sooner ones first."""
        many = len(self.problem.activities)
        after: list[list[int]] = [[] for _ in range(many)]
        waits = [0] * many
        for number in range(many):
            others = {other for other, *_ in (*self.arcs[number], *self.finish_arcs[number])}
            others |= {other for other, *_ in self.timed[number]}
            for other in others - {number}:
                after[other].append(number)
                waits[number] += 1
        start = self.schedule.start
        ready = [(start[number], number) for number in range(many) if not waits[number]]
        heapify(ready)
        order: list[int] = []
        while ready:
            _, number = heappop(ready)
            order.append(number)
            for then in after[number]:
                waits[then] -= 1
                if not waits[then]:
                    heappush(ready, (start[then], then))
        if len(order) < many:
            raise ValueError("a schedule cannot be played again: something in it waits for itself")
        return order
