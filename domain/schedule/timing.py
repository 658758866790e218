"""Earliest and latest times by calendars and lags alone: nobody is busy and nothing runs short.

Everything grows with what it follows from, so the earliest times that suit all lags are the least fixpoint of pushing
each activity as far as the others ask for, and the latest ones the greatest. Source: K. Neumann, C. Schwindt,
J. Zimmermann, Project Scheduling with Time Windows and Scarce Resources, 2003, chapter 1; from memory.
"""

from collections import deque
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from domain.schedule.arc import Arc, Earliest, arcs_of
from domain.schedule.moves import LATE, NEVER, Pinned, Ways
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
        self.problem, self.ways, self.held, self.forgiven = problem, Ways(problem), held, tuple(forgiven)
        self.moves = [self.ways.moves(activity) for activity in problem.activities]
        for number, (start, finish) in held.items():
            self.moves[number] = Pinned(start, [finish])
        many = len(problem.activities)
        self.after: list[list[Arc]] = [[] for _ in range(many)]
        self.before: list[list[Arc]] = [[] for _ in range(many)]
        for arc in (*arcs_of(problem, forgiven, held), *more):
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
        found = Earliest([NEVER] * many, [NEVER] * many, [(None, None)] * many)
        asked = [self._asked(number) for number in range(many)], [NEVER] * many
        by: tuple[list[Arc | None], list[Arc | None]] = [None] * many, [None] * many
        pushes = [0] * many
        queue, queued = deque(self.order), [True] * many
        while queue:
            number = queue.popleft()
            queued[number] = False
            moves, start, wanted = self.moves[number], asked[0][number], asked[1][number]
            cause = by[0][number]
            if wanted > NEVER and (for_finish := moves.start_for(wanted)) > start:
                start, cause = for_finish, by[1][number]
            start = moves.ready(start) if start < LATE else LATE
            finish = moves.finish(start) if start < LATE else LATE
            found.causes[number] = cause, cause if wanted <= finish else by[1][number]
            finish = max(finish, wanted)
            if finish > horizon and activities[number].fact is None:
                self._contradict(found, number, None)
            if start == found.start[number] and finish == found.finish[number]:
                continue
            found.start[number], found.finish[number] = start, finish
            pushes[number] += 1
            if pushes[number] == PATIENCE:
                self._look_for_a_ring()
            for arc in self.after[number]:
                slot, after = arc.forth(finish if arc.from_finish else start), arc.after
                if slot > asked[arc.to_finish][after]:
                    asked[arc.to_finish][after], by[arc.to_finish][after] = slot, arc
                    if slot > (found.finish if arc.to_finish else found.start)[after] and not queued[after]:
                        queue.append(after)
                        queued[after] = True
        for number, activity in enumerate(activities):
            if activity.counts and activity.job < len(latest_finish):
                until = latest_finish[activity.job]
                if until is not None and found.finish[number] > until:
                    self._contradict(found, number, activity.job)
        return found

    def _asked(self, number: int) -> int:
        """Return the slot before which an activity cannot start, whatever the others do."""
        activity = self.problem.activities[number]
        if number in self.held:
            return self.held[number][0]
        if activity.fact is not None:
            return activity.fact.start
        return max(self.problem.now, activity.earliest) if activity.pinned is None else activity.pinned

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
        fixed = [self._is_fixed(number) for number in range(many)]
        rigid = Earliest([0] * many, [activity.work for activity in self.problem.activities], [(None, None)] * many)
        changed = -1
        for _ in range(2 * many + 1):
            changed = -1
            for number in self.order:
                for arc in self.after[number]:
                    if fixed[number] or fixed[arc.after] or (arc.hours is not None and arc.least < 0):
                        continue
                    slot = (rigid.finish if arc.from_finish else rigid.start)[number] + arc.least
                    if slot > (rigid.finish if arc.to_finish else rigid.start)[arc.after]:
                        self._push(rigid, arc, slot)
                        changed = arc.after
            if changed < 0:
                return
        self._contradict(rigid, changed, None)

    def _push(self, rigid: Earliest, arc: Arc, slot: int) -> None:
        """Push an end of an activity, and the other with it as its work asks for."""
        activity, number = self.problem.activities[arc.after], arc.after
        start_by, finish_by = rigid.causes[number]
        if arc.to_finish:
            rigid.finish[number], finish_by = slot, arc
            if activity.mode is not Mode.SPLITTABLE and slot - activity.work > rigid.start[number]:
                rigid.start[number], start_by = slot - activity.work, arc
        else:
            rigid.start[number], start_by = slot, arc
            if slot + activity.work > rigid.finish[number]:
                rigid.finish[number], finish_by = slot + activity.work, arc
        rigid.causes[number] = start_by, finish_by

    def _is_fixed(self, number: int) -> bool:
        activity = self.problem.activities[number]
        return activity.fact is not None or activity.pinned is not None or number in self.held

    def _contradict(self, found: Earliest, activity: int, job: int | None) -> None:
        """Raise what pushes an activity too far: Contradiction, or NoRoom where that is only the horizon."""
        arcs, activities = found.chain(activity)
        lags = dict.fromkeys(arc.lag for arc in arcs)
        rings = bool(arcs) and found.causes[arcs[0].before][arcs[0].from_finish] is not None
        if job is None and not rings and not self._is_fixed(activity) and self.moves[activity].ready(0) < LATE:
            raise NoRoom
        raise Contradiction(list(lags), activities, job)
