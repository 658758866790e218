"""Earliest and latest times by calendars and lags alone: nobody is busy and nothing runs short.

Everything grows with what it follows from, so the earliest times that suit all lags are the least fixpoint of pushing
each activity as far as the others ask for, and the latest ones the greatest. Source: K. Neumann, C. Schwindt,
J. Zimmermann, Project Scheduling with Time Windows and Scarce Resources, 2003, chapter 1; from memory.
"""

from collections import deque
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from domain.schedule.hours import Hours, hours_of
from domain.schedule.moves import LATE, NEVER, Pinned, Ways, last_with
from domain.schedule.problem import Mode, NoRoom, Problem

PATIENCE = 30
"""An activity is pushed so often before anybody looks whether the limits contradict one another on every calendar."""


@dataclass(frozen=True, slots=True)
class Windows:
    """Between which slots each activity starts and finishes, by its number."""

    earliest_start: tuple[int, ...]
    earliest_finish: tuple[int, ...]
    latest_start: tuple[int, ...]
    latest_finish: tuple[int, ...]


class Contradiction(ValueError):
    """Limits that cannot all hold, whoever is free.

    lags: their numbers; activities: those they join, in order; job: the one that would be finished too late, None where
    the lags alone contradict one another, what is pinned or has happened.
    """

    def __init__(self, lags: Sequence[int], activities: Sequence[int], job: int | None = None) -> None:
        super().__init__("Some limits contradict one another.")
        self.lags, self.activities, self.job = tuple(lags), tuple(activities), job

    def __reduce__(self) -> tuple[type["Contradiction"], tuple[object, ...]]:
        return Contradiction, (self.lags, self.activities, self.job)


def windows(problem: Problem, latest_finish: Sequence[int | None] = ()) -> Windows:
    """Return between which slots activities can start and finish.

    latest_finish: by job, when it must be finished; None or left out: by the horizon.
    Raises Contradiction, naming the limits that cannot hold, and NoRoom where only the horizon is in the way.
    """
    return Timing(problem).windows(latest_finish)


@dataclass(frozen=True, slots=True)
class Arc:
    """An end of `after` has at least so many slots more before it than an end of `before`; hours: that count, if any.

    lag: its number; limits: whether it is the lag's `most`, turned round.
    """

    before: int
    from_finish: bool
    after: int
    to_finish: bool
    least: int
    hours: Hours | None
    lag: int
    limits: bool

    def forth(self, slot: int) -> int:
        """Return the first slot of `after` that suits a slot of `before`."""
        if self.hours is None:
            return slot + self.least
        try:
            return self.hours.by(self.hours.passed(slot) + self.least)
        except NoRoom:
            return LATE

    def back(self, slot: int) -> int:
        """Return the last slot of `before` that suits a slot of `after`."""
        if self.hours is None:
            return slot - self.least
        return last_with(self.hours, self.hours.passed(slot) - self.least)


@dataclass(slots=True)
class Earliest:
    """Earliest times; cause: the arc that pushed an activity last, None where it starts as soon as it may."""

    start: list[int]
    finish: list[int]
    cause: list[Arc | None]

    def chain(self, activity: int) -> tuple[list[Arc], list[int]]:
        """Return the arcs that push an activity, first to last, and the activities they join."""
        arcs: list[Arc] = []
        activities = [activity]
        while (arc := self.cause[activities[-1]]) is not None:
            arcs.append(arc)
            activities.append(arc.before)
            if arc.before in activities[:-1]:
                break
        return arcs[::-1], activities[::-1]


class Timing:
    """The limits of a problem, made ready once and asked for windows again and again.

    forgiven: numbers of lags whose `most` need not hold; held: activities that stay, by number, with start and finish;
    more: arcs beside those of the problem.
    """

    def __init__(
        self,
        problem: Problem,
        forgiven: Collection[int] = (),
        held: Mapping[int, tuple[int, int]] = MappingProxyType({}),
        more: Iterable[Arc] = (),
    ) -> None:
        self.problem, self.ways, self.held = problem, Ways(problem), held
        self.moves = [self.ways.moves(activity) for activity in problem.activities]
        for number, (start, finish) in held.items():
            self.moves[number] = Pinned(start, [finish])
        many = len(problem.activities)
        self.after: list[list[Arc]] = [[] for _ in range(many)]
        self.before: list[list[Arc]] = [[] for _ in range(many)]
        for arc in (*_arcs(problem, forgiven, held), *more):
            self.after[arc.before].append(arc)
            self.before[arc.after].append(arc)
        self.order = self._order()

    def _order(self) -> list[int]:
        """Return the activities, each after those it waits for as far as that is possible."""
        waits = [sum(not arc.limits for arc in arcs) for arcs in self.before]
        order = [number for number, many in enumerate(waits) if not many]
        for number in order:
            for arc in self.after[number]:
                if not arc.limits:
                    waits[arc.after] -= 1
                    if not waits[arc.after]:
                        order.append(arc.after)
        return order + [number for number, many in enumerate(waits) if many > 0]

    def windows(self, latest_finish: Sequence[int | None] = ()) -> Windows:
        """Return the windows with every job finished in time; raises Contradiction and NoRoom."""
        found = self.earliest(latest_finish)
        start, finish = self._latest(latest_finish)
        for number, (earliest, latest) in enumerate(zip(found.start, start, strict=True)):
            if earliest > latest:
                job = self.problem.activities[number].job
                self._contradict(found, number, job if any(one is not None for one in latest_finish) else None)
        return Windows(tuple(found.start), tuple(found.finish), tuple(start), tuple(finish))

    def earliest(self, latest_finish: Sequence[int | None] = ()) -> Earliest:
        """Return the earliest times; raises Contradiction, also where a job cannot be finished in time, and NoRoom."""
        activities, horizon = self.problem.activities, self.problem.horizon
        many = len(activities)
        found = Earliest([NEVER] * many, [NEVER] * many, [None] * many)
        asked_start, asked_finish = [0] * many, [NEVER] * many
        for number, activity in enumerate(activities):
            if number in self.held:
                asked_start[number] = self.held[number][0]
            elif activity.fact is not None:
                asked_start[number] = activity.fact.start
            elif activity.pinned is None:
                asked_start[number] = max(self.problem.now, activity.earliest)
            else:
                asked_start[number] = activity.pinned
        pushes = [0] * many
        queue, queued = deque(self.order), [True] * many
        while queue:
            number = queue.popleft()
            queued[number] = False
            moves, was = self.moves[number], (found.start[number], found.finish[number])
            wanted = asked_finish[number]
            start = asked_start[number]
            if wanted > NEVER:
                start = max(start, moves.start_for(wanted))
            start = moves.ready(start) if start < LATE else LATE
            finish = max(moves.finish(start), wanted) if start < LATE else LATE
            if finish > horizon and activities[number].fact is None:
                self._contradict(found, number, None)
            if (start, finish) == was:
                continue
            found.start[number], found.finish[number] = start, finish
            pushes[number] += 1
            if pushes[number] == PATIENCE:
                self._look_for_a_ring()
            for arc in self.after[number]:
                slot = arc.forth(finish if arc.from_finish else start)
                asked = asked_finish if arc.to_finish else asked_start
                has = found.finish if arc.to_finish else found.start
                after = arc.after
                if slot > asked[after]:
                    asked[after] = slot
                    if slot > has[after]:
                        found.cause[after] = arc
                        if not queued[after]:
                            queue.append(after)
                            queued[after] = True
        for number, activity in enumerate(activities):
            if activity.counts and activity.job < len(latest_finish):
                until = latest_finish[activity.job]
                if until is not None and found.finish[number] > until:
                    self._contradict(found, number, activity.job)
        return found

    def _latest(self, latest_finish: Sequence[int | None]) -> tuple[list[int], list[int]]:
        activities, horizon = self.problem.activities, self.problem.horizon
        by_start, by_finish = [LATE] * len(activities), [horizon] * len(activities)
        starts, finishes = [LATE] * len(activities), [LATE] * len(activities)
        for number, activity in enumerate(activities):
            if activity.fact is not None:
                by_finish[number] = activity.fact.finish
            elif activity.counts and activity.job < len(latest_finish):
                until = latest_finish[activity.job]
                by_finish[number] = horizon if until is None else min(horizon, until)
        queue, queued = deque(reversed(self.order)), [True] * len(activities)
        while queue:
            number = queue.popleft()
            queued[number] = False
            moves = self.moves[number]
            start = moves.last(by_finish[number])
            if by_start[number] < start:
                start = moves.last(moves.last_finish(by_start[number])) if by_start[number] > NEVER else NEVER
            start = min(start, by_start[number])
            finish = min(moves.last_finish(start), by_finish[number]) if start > NEVER else NEVER
            if (start, finish) == (starts[number], finishes[number]):
                continue
            starts[number], finishes[number] = start, finish
            if start < 0 and activities[number].fact is None:
                return starts, finishes
            for arc in self.before[number]:
                slot = arc.back(finish if arc.to_finish else start)
                by = by_finish if arc.from_finish else by_start
                if slot < by[arc.before]:
                    by[arc.before] = slot
                    if not queued[arc.before]:
                        queue.append(arc.before)
                        queued[arc.before] = True
        return starts, finishes

    def _look_for_a_ring(self) -> None:
        """Raise Contradiction where limits contradict one another even if everybody worked day and night."""
        many = len(self.problem.activities)
        at: list[list[int]] = [[0, 0] for _ in range(many)]
        rigid = Earliest([0] * many, [0] * many, [None] * many)
        changed = -1
        for _ in range(2 * many + 1):
            changed = -1
            for number in self.order:
                here, activity = at[number], self.problem.activities[number]
                if activity.fact is not None or activity.pinned is not None or number in self.held:
                    continue
                here[1] = max(here[1], here[0] + activity.work)
                if activity.mode is not Mode.SPLITTABLE:
                    here[0] = max(here[0], here[1] - activity.work)
                for arc in self.after[number]:
                    if arc.hours is not None and arc.least < 0:
                        continue
                    slot = here[arc.from_finish] + arc.least
                    if slot > at[arc.after][arc.to_finish]:
                        at[arc.after][arc.to_finish] = slot
                        rigid.cause[arc.after] = arc
                        changed = arc.after
            if changed < 0:
                return
        self._contradict(rigid, changed, None)

    def _contradict(self, found: Earliest, activity: int, job: int | None) -> None:
        """Raise what pushes an activity too far: Contradiction, or NoRoom where that is only the horizon."""
        arcs, activities = found.chain(activity)
        lags = dict.fromkeys(arc.lag for arc in arcs)
        rings = len(set(activities)) < len(activities)
        pushed = self.problem.activities[activity]
        fixed = pushed.fact is not None or pushed.pinned is not None or activity in self.held
        if job is None and not rings and not fixed and self.moves[activity].ready(0) < LATE:
            raise NoRoom
        raise Contradiction(list(lags), activities, job)


def _arcs(problem: Problem, forgiven: Collection[int], held: Collection[int]) -> Iterable[Arc]:
    """Yield the limits that matter: what has happened waits for nothing, but may be waited for."""
    for number, lag in enumerate(problem.lags):
        before, after = problem.activities[lag.before], problem.activities[lag.after]
        if (before.fact is not None or lag.before in held) and (after.fact is not None or lag.after in held):
            continue
        hours = None if lag.calendar is None else hours_of(problem.calendars[lag.calendar])
        if lag.least is not None and after.fact is None:
            yield Arc(lag.before, not lag.from_start, lag.after, lag.to_finish, lag.least, hours, number, False)
        if lag.most is not None and number not in forgiven:
            yield Arc(lag.after, lag.to_finish, lag.before, not lag.from_start, -lag.most, hours, number, True)
