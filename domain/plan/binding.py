"""Everything that together keeps a task from starting sooner: take all of it away, and it could; leave any, and not.

All other tasks stay where the plan has them. Found by a deletion filter over the kinds of limits, see
domain.schedule.contradiction for its source.
"""

from bisect import bisect_left
from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import combinations, islice

from domain.plan.held import HeldBy, Holder
from domain.plan.model import Model
from domain.plan.planned import Plan
from domain.schedule.hours import hours_of, team_hours
from domain.schedule.moves import LATE
from domain.schedule.problem import Activity, Air, Hold, Lag, Mode, NoRoom, Problem
from domain.schedule.schedule import Schedule

MOST_TEAMS = 60
"""Teams looked at for one task; enough to say who is busy."""
KINDS = (
    HeldBy.WINDOW, HeldBy.HOURS, HeldBy.AIR, HeldBy.DRYING, HeldBy.BENCH, HeldBy.CLAMPS, HeldBy.PERSON,
    HeldBy.HELD_BACK, HeldBy.LINK,
)  # fmt: skip
"""What can hold a task; where either of two would do, the later one is said."""
WAITED_FOR = {HeldBy.LINK, HeldBy.HELD_BACK}
"""What must be over before shop hours can hold a task at all."""

NOON = 120
"""A break shorter than this is not what a task waits for [min]. Source: common practice, no source."""

Push = tuple[int, tuple[int, ...]]
"""The first slot that suits a limit, and the activities because of which it is no sooner."""


Stay = tuple[int, int, int, int]
"""From slot to slot, so much of something, and the activity that keeps it busy."""


@dataclass(frozen=True, slots=True)
class _Try:
    """A start that is tried: its slot, the finish it leads to, the team, as numbers of people, and limits left out."""

    start: int
    finish: int
    team: tuple[int, ...]
    free: frozenset[HeldBy]


def binding(plan: Plan, key: str) -> tuple[Holder, ...]:
    """Return what holds a task, the last to let go first; of what has begun or is pinned or held by nothing, that."""
    each = plan.tasks[key]
    if plan.model is None or plan.schedule is None or each.holder is None:
        return () if each.holder is None else (each.holder,)
    if each.holder.kind in (HeldBy.FACT, HeldBy.PINNED, HeldBy.NOTHING):
        return (each.holder,)
    return _Binding(plan.model, plan.schedule, plan.model.number[key]).holders() or (each.holder,)


class _Binding:
    """One activity of a schedule, with all others where they are."""

    def __init__(self, made: Model, schedule: Schedule, number: int) -> None:
        self.made, self.problem, self.schedule, self.number = made, made.problem, schedule, number
        self.activity: Activity = self.problem.activities[number]
        self.start = schedule.start[number]
        self.holds = [hold for hold in self.problem.holds if hold.first == number]
        self.airs = [air for air in self.problem.airs if air.first == number]
        self.lags_in = [lag for lag in self.problem.lags if lag.after == number and lag.least is not None]
        self.lags_out = [
            lag
            for at, (lag, (_, link)) in enumerate(zip(self.problem.lags, made.links, strict=True))
            if lag.before == number and lag.most is not None and link.at_most is not None and at not in schedule.broken
        ]  # a wait that begins by itself follows the task wherever it goes
        self.stock = [(hold, self._others_of(hold)) for hold in self.holds]
        self.rooms = [(air, self._others_in(air)) for air in self.airs]
        self.teams = tuple(islice(_teams(self.activity), MOST_TEAMS)) or ((),)
        own = {person for team in self.teams for person in team}
        self.busy: dict[int, list[tuple[int, int, int]]] = {person: [] for person in own}
        for other, team in enumerate(schedule.team):
            span = schedule.start[other], schedule.finish[other]
            if other != number and span[0] < span[1]:
                for person in own.intersection(team):
                    self.busy[person].append((*span, other))

    def holders(self) -> tuple[Holder, ...]:
        """Return what holds it; nothing when it could not start sooner even without all of it.

        What could start sooner as things are stays where the plan had it.
        """
        free = set(KINDS)
        if self._is_sooner(set()):
            sooner = min(self._first(team, set())[0] for team in self.teams)
            return (Holder(HeldBy.STEADY, self.made.grid.instant(sooner)),)
        if not self._is_sooner(free):
            return ()
        order, before = self._by_when_they_let_go(), 0
        while before != len(free):  # work at any hour is done sooner, which may be what misses a window
            before = len(free)
            for kind in order:
                if kind in free and self._is_sooner(free - {kind}):
                    free.discard(kind)
        found = [self._say(kind, self._last_push(kind, free - {kind})) for kind in free]
        return tuple(sorted(found, key=lambda each: (-each.until.timestamp(), -KINDS.index(each.kind))))

    def _by_when_they_let_go(self) -> list[HeldBy]:
        """Return the kinds of limits in the order they let go in; a break at noon is nothing to hold against."""
        pushes = self._pushes(set())
        let_go = {kind: push[0] for kind, push in pushes.items()}
        if HeldBy.HOURS in let_go:
            let_go[HeldBy.HOURS] -= NOON // self.made.grid.slot
        if self._is_sooner(set(KINDS) - WAITED_FOR - {HeldBy.HOURS}):
            let_go[HeldBy.HOURS] = -1  # there was time for it, so that what took that time is the reason
        return sorted(KINDS, key=lambda kind: let_go.get(kind, 0))

    def _say(self, kind: HeldBy, push: Push) -> Holder:
        slot, by = push
        keys = tuple(self.made.keys[number] for number in dict.fromkeys(by))
        return Holder(kind, self.made.grid.instant(min(slot, self.start)), keys)

    def _is_sooner(self, free: set[HeldBy]) -> bool:
        """Whether it could start sooner without these limits."""
        return any(self._first(team, free)[0] < self.start for team in self.teams)

    def _pushes(self, free: set[HeldBy]) -> dict[HeldBy, Push]:
        """Return of each limit left when it lets go of the first team, where it does not right away."""
        return min((self._first(team, free) for team in self.teams), key=lambda found: found[0])[1]

    def _last_push(self, kind: HeldBy, free: set[HeldBy]) -> Push:
        """Return when a limit lets go of a team that it holds, and why no sooner."""
        found = (self._first(team, free)[1] for team in self.teams)
        held = (pushes[kind] for pushes in found if kind in pushes)
        return min(held, key=lambda push: push[0], default=(self.start, ()))

    def _first(self, team: tuple[int, ...], free: set[HeldBy]) -> tuple[int, dict[HeldBy, Push]]:
        """Return the first slot a team could start it at without some limits, and what each of the others did last."""
        slot, pushes = self.problem.now, dict[HeldBy, Push]()
        checks = [(kind, check) for kind, check in self._checks if kind not in free]
        while slot < self.start:
            tried = _Try(slot, self._finish(slot, team, free), team, frozenset(free))
            for kind, check in checks:
                push = check(self, tried)
                if push[0] > tried.start:
                    pushes[kind] = push
                    slot = max(slot, push[0])
            if slot == tried.start:
                break
        return slot, pushes

    def _finish(self, slot: int, team: tuple[int, ...], free: Collection[HeldBy]) -> int:
        if self.activity.mode is Mode.PASSIVE or not team or HeldBy.HOURS in free:
            return slot + self.activity.work
        try:
            return team_hours(self.problem, team).end(slot, self.activity.work)
        except NoRoom:
            return LATE

    def _hours(self, tried: _Try) -> Push:
        if not tried.team:
            return tried.start, ()
        try:
            hours = team_hours(self.problem, tried.team)
            whole = self.activity.mode is Mode.WHOLE
            slot = hours.start(tried.start, self.activity.work if whole else min(self.activity.work, 1), whole=True)
        except NoRoom:
            return LATE, ()
        return slot, ()

    def _person(self, tried: _Try) -> Push:
        if tried.start == tried.finish:
            return tried.start, ()
        meeting = [
            stay
            for person in tried.team
            for stay in self.busy[person]
            if stay[0] < tried.finish and stay[1] > tried.start
        ]
        slot = max((stay[1] for stay in meeting), default=tried.start)
        return slot, tuple(stay[2] for stay in meeting if stay[1] == slot)

    def _link(self, tried: _Try) -> Push:
        best: Push = (tried.start, ())
        for lag in self.lags_in:
            since = self.schedule.start[lag.before] if lag.from_start else self.schedule.finish[lag.before]
            slot = _least(self.problem, lag, since)
            if lag.to_finish:
                slot = tried.start + max(slot - tried.finish, 0)
            best = max(best, (slot, (lag.before,)), key=lambda push: push[0])
        return best

    def _held_back(self, tried: _Try) -> Push:
        return max(tried.start, self.activity.earliest), ()

    def _window(self, tried: _Try) -> Push:
        best: Push = (tried.start, ())
        for lag in self.lags_out:
            end = self.schedule.finish[lag.after] if lag.to_finish else self.schedule.start[lag.after]
            slots = range(tried.start, max(self.start, tried.start) + 1)
            soonest = bisect_left(slots, True, key=partial(self._is_met, tried, lag, end))
            if soonest:
                best = max(best, (tried.start + soonest, (lag.after,)), key=lambda push: push[0])
        return best

    def _is_met(self, tried: _Try, lag: Lag, end: int, start: int) -> bool:
        """Whether a start is late enough that what comes after, where it is, is in time; a night may do the rest."""
        begins = start if lag.from_start else self._finish(start, tried.team, tried.free)
        return _between(self.problem, lag, begins, end) <= (lag.most or 0)

    def _stock(self, kind: HeldBy, tried: _Try) -> Push:
        best: Push = (tried.start, ())
        for hold, others in self.stock:
            if self.made.kinds[hold.resource].held_by is not kind:
                continue
            ends = (tried.finish if hold.last == self.number else self.schedule.finish[hold.last]) + hold.spare
            room = self.problem.resources[hold.resource].capacity - hold.amount
            best = max(best, _short(others, tried.start, ends, room), key=lambda push: push[0])
        return best

    def _air(self, tried: _Try) -> Push:
        best: Push = (tried.start, ())
        for air, others in self.rooms:
            ends = (tried.finish if air.last == self.number else self.schedule.finish[air.last]) + air.spare
            best = max(best, _short(others, tried.start, ends, 0), key=lambda push: push[0])
        return best

    def _others_of(self, hold: Hold) -> list[Stay]:
        return [
            (self.schedule.start[one.first], self.schedule.finish[one.last] + one.spare, one.amount, one.first)
            for one in self.problem.holds
            if one.resource == hold.resource and one is not hold
        ]

    def _others_in(self, air: Air) -> list[Stay]:
        return [
            (self.schedule.start[one.first], self.schedule.finish[one.last] + one.spare, 1, one.first)
            for one in self.problem.airs
            if one.room == air.room and one.side is not air.side
        ]

    _checks: tuple[tuple[HeldBy, Callable[["_Binding", _Try], Push]], ...] = (
        (HeldBy.LINK, _link),
        (HeldBy.HELD_BACK, _held_back),
        (HeldBy.HOURS, _hours),
        (HeldBy.PERSON, _person),
        (HeldBy.CLAMPS, lambda self, tried: self._stock(HeldBy.CLAMPS, tried)),
        (HeldBy.BENCH, lambda self, tried: self._stock(HeldBy.BENCH, tried)),
        (HeldBy.DRYING, lambda self, tried: self._stock(HeldBy.DRYING, tried)),
        (HeldBy.AIR, _air),
        (HeldBy.WINDOW, _window),
    )


def _teams(activity: Activity) -> Iterable[tuple[int, ...]]:
    if not activity.crew:
        return ()
    leads = set(activity.leads)
    everybody = sorted({*leads, *activity.helpers})
    return (team for team in combinations(everybody, activity.crew) if leads.intersection(team))


def _least(problem: Problem, lag: Lag, since: int) -> int:
    least = lag.least or 0
    if lag.calendar is None or least == 0:
        return since + least
    hours = hours_of(problem.calendars[lag.calendar])
    return hours.by(hours.passed(since) + least)


def _between(problem: Problem, lag: Lag, begins: int, ends: int) -> int:
    if lag.calendar is None:
        return ends - begins
    return hours_of(problem.calendars[lag.calendar]).between(begins, ends)


def _short(others: Sequence[Stay], start: int, end: int, room: int) -> Push:
    """Return when so much is free as is asked, as far as one can tell, and what uses it until then."""
    if start >= end:
        return start, ()
    meeting = [stay for stay in others if stay[0] < end and stay[1] > start and stay[0] < stay[1]]
    for at in sorted({max(stay[0], start) for stay in meeting}):
        using = [stay for stay in meeting if stay[0] <= at < stay[1]]
        if sum(stay[2] for stay in using) > room:
            return min(stay[1] for stay in using), tuple(stay[3] for stay in using)
    return start, ()
