"""Places activities one after the other, each where its people, what it needs and its lags let it start soonest."""

from collections.abc import Iterator, Sequence

from domain.schedule.hours import Hours
from domain.schedule.prepared import Link, Prepared, Team
from domain.schedule.problem import Mode, NoRoom
from domain.schedule.schedule import Schedule
from domain.schedule.taken import Taken
from domain.schedule.timetable import FOREVER

TRIES, PATIENCE = 8, 50
"""How often one limit sends a schedule back before it counts as missed, and all of them, beside one per activity.

What is held from one activity to another moves its beginning so often, then what is in its way, and gives up at last.
"""


class PinMissed(NoRoom):
    """What is pinned comes too soon for something that must be done before it. activity: what is done too late; lag."""

    def __init__(self, activity: int, lag: int) -> None:
        super().__init__("Something pinned comes too soon.")
        self.activity, self.lag = activity, lag


Room = tuple[int, int, int, int, int]
"""A timetable, and how much of it may be in use: for at least so many slots, until when, and how long after."""


class _Back(Exception):
    """An activity must be placed anew, and all after it."""

    def __init__(self, number: int) -> None:
        super().__init__()
        self.number = number


class Placing(Taken):
    """Places activities; where a limit is missed, it goes back and starts what the limit counts from later."""

    def __init__(self, prepared: Prepared) -> None:
        super().__init__(prepared)
        problem = prepared.problem
        many = len(problem.activities)
        self.horizon = problem.horizon
        self.base = [max(problem.now, activity.earliest) for activity in problem.activities]
        self.floor = list(self.base)
        self.finish_floor = [0] * many
        self.tries: dict[int, int] = {}
        self.span_tries: dict[int, int] = {}
        self.hopeless, self.patience = False, PATIENCE + many
        self._place_fixed()

    def run(self, order: Sequence[int], teams: Sequence[Team | None] | None, kept: Schedule | None) -> Schedule:
        """Place everything in an order; go back where a limit is missed. Raises NoRoom."""
        at, back = 0, {number: at for at, number in enumerate(order)}
        while at < len(order):
            number = order[at]
            try:
                self._place(number, None if teams is None else teams[number], kept)
                at += 1
                continue
            except _Back as gone:
                to = back[gone.number]
            except NoRoom:
                if not self.tries or self.hopeless:
                    raise
                # Limits that cannot be met have pushed everything past the horizon: without them there may be room.
                self.hopeless, to = True, 0
                self.floor, self.finish_floor = list(self.base), [0] * len(self.base)
            for other in reversed(order[to : at + 1]):
                if self.placed[other]:
                    self.take_back(other)
            at = to
        return self.schedule()

    def _place_fixed(self) -> None:
        facts = [number for number, activity in enumerate(self.activities) if activity.fact is not None]
        pins = [
            n for n, activity in enumerate(self.activities) if activity.fact is None and activity.pinned is not None
        ]
        for number in facts:
            fact = self.activities[number].fact
            assert fact is not None
            self.put(number, fact.start, fact.finish, fact.team)
        for number in sorted(pins, key=lambda number: (self.activities[number].pinned, number)):
            start = self.activities[number].pinned
            assert start is not None
            options = []
            for place, (team, hours) in enumerate(self.prepared.teams[number]):
                end = self._pinned_end(number, start, hours)
                taken = sum(self.busy[person].until(start, end, 0) > 0 for person in team)
                options.append((taken, end, sum(self.load[person] for person in team), place, team))
            _, end, _, _, team = min(options)
            self.put(number, start, end, team)

    def _pinned_end(self, number: int, start: int, hours: Hours | None) -> int:
        activity = self.activities[number]
        if hours is not None and activity.mode is Mode.SPLITTABLE and hours.start(start, 1, False) == start:
            return hours.end(start, activity.work)
        return start + activity.work

    def _place(self, number: int, wished: Team | None, kept: Schedule | None) -> None:
        """Place an activity, or raise that another must be placed later."""
        low, low_finish = self._bounds(number)
        best: tuple[int, int, int, Team] | None = None
        options = self.prepared.teams[number]
        wish = wished if wished is not None or kept is None else kept.team[number]
        good_by = FOREVER if wished is not None or kept is None else kept.start[number]
        if wish is not None:
            for team, hours in options:
                if set(team) == set(wish):
                    if (found := self._search(number, team, hours, low, low_finish)) is None:
                        break
                    start, finish = found
                    if start <= good_by:
                        options = ()
                    best = finish, -1, start, team
                    break
        for team, hours in options:
            if (found := self._search(number, team, hours, low, low_finish, best[0] if best else FOREVER)) is None:
                continue
            start, finish = found
            load = sum(self.load[person] for person in team)
            if best is None or (finish, load) < best[:2]:
                best = finish, load, start, team
        if best is None:
            raise NoRoom
        finish, _, start, team = best
        self._check_limits(number, start, finish)
        self.put(number, start, finish, team)
        self._check_spans(number)

    def _bounds(self, number: int) -> tuple[int, int]:
        """Return the slots an activity must not start, and not finish, before, by what is placed."""
        low, low_finish = self.floor[number], self.finish_floor[number]
        for link in self.prepared.links_in[number]:
            if link.least is None or not self.placed[link.other]:
                continue
            begins = self.start[link.other] if link.from_start else self.finish[link.other]
            bound = begins + link.least if link.hours is None else _after(link.hours, begins, link.least)
            if link.to_finish:
                low_finish = max(low_finish, bound)
            else:
                low = max(low, bound)
        for link in self.prepared.links_out[number]:
            if link.most is None or not self.placed[link.other]:
                continue
            bound = _sooner(link, self.finish[link.other] if link.to_finish else self.start[link.other], link.most)
            if link.from_start:
                low = max(low, bound)
            else:
                low_finish = max(low_finish, bound)
        return low, low_finish

    def _check_limits(self, number: int, start: int, finish: int) -> None:
        """Raise where a limit is missed and something placed before can make room for it."""
        for link in self.prepared.links_in[number]:
            if link.most is None or not self.placed[link.other] or self.prepared.fixed[link.other]:
                continue
            begins = self.start[link.other] if link.from_start else self.finish[link.other]
            ends = finish if link.to_finish else start
            if (link.hours.between(begins, ends) if link.hours else ends - begins) > link.most:
                bound = _sooner(link, ends, link.most)
                self._retry(link, *((bound, 0) if link.from_start else (0, bound)))
        for link in self.prepared.links_out[number]:
            if link.least is None or not self.placed[link.other]:
                continue
            if self.activities[link.other].fact is not None:
                continue
            begins = start if link.from_start else finish
            ends = self.finish[link.other] if link.to_finish else self.start[link.other]
            bound = begins + link.least if link.hours is None else _after(link.hours, begins, link.least)
            if bound > ends:
                if not self.prepared.fixed[link.other]:
                    self._retry(link, *((0, bound) if link.to_finish else (bound, 0)))
                raise PinMissed(number, link.lag)

    def _retry(self, link: Link, start: int, finish: int) -> None:
        """Go back to what a limit is counted from, to place it no sooner, unless that has been tried too often."""
        tries = self.tries[link.lag] = self.tries.get(link.lag, 0) + 1
        self.patience -= 1
        if self.patience < 0:
            return
        if tries <= TRIES and not self.hopeless:
            self._back(link.other, start, finish)
        if tries == TRIES + 1 and not self.hopeless:
            self.floor[link.other], self.finish_floor[link.other] = self.base[link.other], 0
            raise _Back(link.other)

    def _back(self, number: int, start: int, finish: int) -> None:
        self.floor[number] = max(self.floor[number], start)
        self.finish_floor[number] = max(self.finish_floor[number], finish)
        raise _Back(number)

    def _check_spans(self, number: int) -> None:
        """Raise where a span that has just been closed takes what others have taken: it begins later, or they do."""
        for place in self.prepared.closes[number]:
            span = self.prepared.spans[place]
            need = span.need
            if not self.placed[span.first]:
                continue
            begins, ends = self.start[span.first], self.finish[number] + need.spare
            if begins >= ends:
                continue
            most = need.most + (need.amount if need.uses == need.where else 0)
            clash = self.usage[need.where].until(begins, ends, most)
            if not clash:
                continue
            tries = self.span_tries[place] = self.span_tries.get(place, 0) + 1
            if tries > PATIENCE:
                raise NoRoom
            if not self.prepared.fixed[span.first] and tries <= TRIES:
                self._back(span.first, clash, 0)
            if (other := self.in_the_way(need.where, begins, ends)) is not None:
                self._back(other, ends, 0)

    def _search(
        self, number: int, team: Team, hours: Hours | None, low: int, low_finish: int, by: int = FOREVER
    ) -> tuple[int, int] | None:
        """Return the first start and finish of an activity with a team, None when it can't be finished by a slot."""
        if low_finish:
            activity = self.activities[number]
            try:
                low = max(low, _start_for(hours, low_finish, activity.work, activity.mode is Mode.WHOLE))
            except NoRoom:
                return None
        needs: Sequence[Room] = self.prepared.rooms_needed[number]
        if self.prepared.opens[number]:
            needs = [*needs, *self._spanning(number)]
        by = min(by, self.horizon)
        held = any(self.pending[need[0]] for need in needs)
        found = self._first_place(number, team, hours, low, needs, held, by)
        if found is None and held:
            # What is held until an end that is not known yet leaves no room: its end may come sooner than that.
            return self._first_place(number, team, hours, low, needs, False, by)
        return found

    def _first_place(
        self,
        number: int,
        team: Team,
        hours: Hours | None,
        start: int,
        needs: Sequence[Room],
        held: bool,
        by: int,
    ) -> tuple[int, int] | None:
        activity = self.activities[number]
        work, whole = activity.work, activity.mode is Mode.WHOLE
        busy = [self.busy[person] for person in team] if work else ()
        rooms = [(where, self.usage[where], most, least, end, spare, max(work + spare, least))
                 for where, most, least, end, spare in needs]  # fmt: skip
        while True:
            if hours is None:
                finish = start + work
            elif (fits := hours.fit(start, work, whole)) is not None:
                start, finish = fits
            else:
                return None
            if finish > by:
                return None
            clash = 0
            for one in busy:
                if (until := one.until(start, finish, work)) > clash:
                    clash = until
            for where, usage, most, least, end, spare, lasting in rooms:
                ends = max(finish + spare, start + least, end)
                if ends > start:
                    if (until := usage.until(start, ends, most, lasting)) > clash:
                        clash = until
                    if held and self.pending[where]:
                        clash = max(clash, self.held(where, start, ends, most))
            if not clash:
                return start, finish
            start = clash

    def _spanning(self, number: int) -> Iterator[Room]:
        """Yield what must be free for what is held from this activity on."""
        prepared = self.prepared
        for place in prepared.opens[number]:
            span = prepared.spans[place]
            if self.placed[span.last]:
                until = self.finish[span.last] + span.need.spare
                yield span.need.where, prepared.span_most[place], 0, until, -FOREVER
            else:
                yield span.need.where, prepared.span_most[place], span.least, 0, 0


def _after(hours: Hours, slot: int, least: int) -> int:
    """Return the first slot that comes at least so many open slots after another, before it when least is negative."""
    return hours.end(slot, least) if least >= 0 else hours.by(hours.passed(slot) + least)


def _sooner(link: Link, end: int, most: int) -> int:
    """Return the first slot of which an end lies at most so many slots after."""
    return end - most if link.hours is None else link.hours.by(link.hours.passed(end) - most)


def _start_for(hours: Hours | None, finish: int, work: int, whole: bool) -> int:
    """Return the first slot so that work started then, or later, is not finished before another."""
    if hours is None or whole or not work:
        return finish - work
    passed = hours.passed(finish) - work
    slot = hours.by(passed)
    return slot if hours.end(hours.start(slot, work, False), work) >= finish else hours.by(passed + 1)
