"""A problem laid out for placing its activities one by one, made once and used for every schedule."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import combinations, islice

from domain.schedule.hours import Hours, hours_of, team_hours
from domain.schedule.problem import Activity, Mode, NoRoom, Problem, Side
from domain.schedule.timetable import FOREVER

Team = tuple[int, ...]
MOST_TEAMS = 200
"""Teams tried for one activity; more come only from crowds no small shop has."""


@dataclass(frozen=True, slots=True)
class Need:
    """What must not be in use while an activity lasts, and so many slots longer, and what it uses itself.

    No more than `most` of timetable `where` may be in use; the activity uses `amount` of timetable `uses`. Two for a
    resource are the same; two for air are the two sides of a room.
    """

    where: int
    most: int
    uses: int
    amount: int
    spare: int


@dataclass(frozen=True, slots=True)
class Span:
    """A need from the start of one activity to the finish of another. least: slots it lasts, spare included."""

    need: Need
    first: int
    last: int
    least: int


@dataclass(frozen=True, slots=True)
class Link:
    """A lag as seen from one of its activities. other: the one at its far end."""

    lag: int
    other: int
    least: int | None
    most: int | None
    from_start: bool
    to_finish: bool
    hours: Hours | None


class Prepared:
    """Teams, needs, spans and links of each activity by its number, and the order they ask for."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        activities = problem.activities
        many = len(activities)
        self.fixed = [activity.fact is not None or activity.pinned is not None for activity in activities]
        self.teams = self._teams()
        self.links_in: list[list[Link]] = [[] for _ in range(many)]
        self.links_out: list[list[Link]] = [[] for _ in range(many)]
        for number, lag in enumerate(problem.lags):
            hours = None if lag.calendar is None else hours_of(problem.calendars[lag.calendar])
            ends = lag.from_start, lag.to_finish, hours
            self.links_in[lag.after].append(Link(number, lag.before, lag.least, lag.most, *ends))
            self.links_out[lag.before].append(Link(number, lag.after, lag.least, lag.most, *ends))
        self.rooms = {room: at for at, room in enumerate(dict.fromkeys(air.room for air in problem.airs))}
        self.timetables = len(problem.resources) + 2 * len(self.rooms)
        self.needs: list[list[Need]] = [[] for _ in range(many)]
        spans = list(self._needs())
        self.before, self.after, self.depth = ordered(problem, self.fixed, spans)
        self.spans = [Span(need, first, last, self._least(need, first, last)) for need, first, last in spans]
        self.opens: list[list[int]] = [[] for _ in range(many)]
        self.closes: list[list[int]] = [[] for _ in range(many)]
        self.goals: list[list[int]] = [[] for _ in range(many)]
        self.rooms_needed = [[(one.where, one.most, 0, 0, one.spare) for one in needs] for needs in self.needs]
        self.span_most: list[int] = []
        for number, span in enumerate(self.spans):
            beside = [*self.needs[span.first], *(self.spans[other].need for other in self.opens[span.first])]
            self.span_most.append(span.need.most - _amount(beside, span.need.where))
            self.opens[span.first].append(number)
            self.closes[span.last].append(number)
            self._goal(span.first, span.last)
        for lag in problem.lags:
            if lag.most is not None:
                self._goal(lag.before, lag.after)
        if any(need.most < 0 for needs in self.needs for need in needs) or min(self.span_most, default=0) < 0:
            raise NoRoom

    def _goal(self, first: int, last: int) -> None:
        if not self.fixed[last] and last not in self.goals[first]:
            self.goals[first].append(last)

    def _teams(self) -> list[tuple[tuple[Team, Hours | None], ...]]:
        found: dict[tuple[object, ...], tuple[tuple[Team, Hours | None], ...]] = {}
        teams = []
        for activity in self.problem.activities:
            key = (activity.crew, activity.leads, activity.helpers, activity.mode, activity.work)
            if key not in found:
                found[key] = tuple(self._who(activity))
                if not found[key] and activity.fact is None:
                    raise NoRoom
            teams.append(found[key])
        return teams

    def _who(self, activity: Activity) -> Iterator[tuple[Team, Hours | None]]:
        """Yield the teams that can do an activity and the hours they have in common."""
        if activity.crew == 0:
            yield (), None
            return
        leads = list(dict.fromkeys(activity.leads))
        others = [person for person in dict.fromkeys(activity.helpers) if person not in leads]
        every = (team for team in combinations(leads + others, activity.crew) if team[0] in leads)
        for team in islice(every, MOST_TEAMS):
            if activity.mode is Mode.PASSIVE:
                yield team, None
                continue
            hours = team_hours(self.problem, team)
            enough = hours.longest if activity.mode is Mode.WHOLE else hours.total
            if activity.pinned is not None or (hours.total and activity.work <= enough):
                yield team, hours

    def _needs(self) -> Iterator[tuple[Need, int, int]]:
        """Note what single activities need; yield the needs that span several, with the first and the last."""
        problem = self.problem
        every = [
            (Need(hold.resource, problem.resources[hold.resource].capacity - hold.amount, hold.resource, hold.amount,
                  hold.spare), hold.first, hold.last)
            for hold in problem.holds if hold.amount > 0
        ]  # fmt: skip
        for air in problem.airs:
            dust = len(problem.resources) + 2 * self.rooms[air.room]
            own, other = (dust, dust + 1) if air.side is Side.DUST else (dust + 1, dust)
            every.append((Need(other, 0, own, 1, air.spare), air.first, air.last))
        for need, first, last in every:
            if first == last:
                self.needs[first].append(need)
            else:
                yield need, first, last
        for number, needs in enumerate(self.needs):
            if len(needs) > 1:
                self.needs[number] = list(_together(needs))

    def _least(self, need: Need, first: int, last: int) -> int:
        """Return how many slots a span lasts at least: work and clock lags along the way."""
        work = [self.problem.activities[first].work, self.problem.activities[last].work]
        between, waiting = {last}, [last]
        while waiting:
            for other in self.before[waiting.pop()]:
                if other not in between and self.depth[other] > self.depth[first]:
                    between.add(other)
                    waiting.append(other)
        finish = {first: work[0]}
        for number in sorted(between, key=self.depth.__getitem__):
            ways = [self._way(finish, number, link) for link in self.links_in[number] if link.other in finish]
            if reached := [way for way in ways if way is not None]:
                finish[number] = max(reached)
        return max(finish.get(last, 0) + need.spare, work[0])

    def _way(self, finish: dict[int, int], number: int, link: Link) -> int | None:
        if link.least is None or link.hours is not None:
            return None
        activities = self.problem.activities
        begins = finish[link.other] - (activities[link.other].work if link.from_start else 0)
        return begins + link.least + (0 if link.to_finish else activities[number].work)


def _together(needs: list[Need]) -> Iterator[Need]:
    """Yield the needs of one activity so that each leaves room for those that last as long or longer."""
    longer: list[Need] = []
    for need in sorted(needs, key=lambda need: -need.spare):
        yield replace(need, most=need.most - _amount(longer, need.where))
        longer.append(need)


def _amount(needs: list[Need], where: int) -> int:
    return sum(need.amount for need in needs if need.uses == where)


def ordered(
    problem: Problem, fixed: list[bool], spans: list[tuple[Need, int, int]]
) -> tuple[list[list[int]], list[list[int]], list[int]]:
    """Return by activity which others are placed before it, which after, and how many at least in a row before it.

    Never in a circle. What is fixed is placed before everything, so it is in none of them.
    """
    edges: dict[tuple[int, int], int] = {}
    for lag in problem.lags:
        pair = lag.before, lag.after
        if lag.before != lag.after and not (fixed[lag.before] or fixed[lag.after]):
            weight = -FOREVER if lag.least is None else lag.least
            edges[pair] = max(edges.get(pair, weight), weight)
    for _, first, last in spans:
        if not (fixed[first] or fixed[last]):
            edges.setdefault((first, last), 0)
    after: list[list[int]] = [[] for _ in problem.activities]
    for first, last in edges:
        after[first].append(last)
    before = _turned(after)
    if (depth := _depths(before, after)) is None:
        after = [[] for _ in problem.activities]
        for first, last in sorted(edges, key=lambda pair: -edges[pair]):
            if not _leads_to(after, last, first):
                after[first].append(last)
        before = _turned(after)
        depth = _depths(before, after)
        assert depth is not None
    return before, after, depth


def _turned(after: list[list[int]]) -> list[list[int]]:
    before: list[list[int]] = [[] for _ in after]
    for number, later in enumerate(after):
        for other in later:
            before[other].append(number)
    return before


def _depths(before: list[list[int]], after: list[list[int]]) -> list[int] | None:
    """Return how many come in the longest row before each, None when some run in a circle."""
    waiting = [len(numbers) for numbers in before]
    depth = [0] * len(before)
    ready = [number for number, count in enumerate(waiting) if not count]
    for number in ready:
        for other in after[number]:
            depth[other] = max(depth[other], depth[number] + 1)
            waiting[other] -= 1
            if not waiting[other]:
                ready.append(other)
    return depth if len(ready) == len(before) else None


def _leads_to(after: list[list[int]], start: int, goal: int) -> bool:
    seen, waiting = {start}, [start]
    while waiting:
        for other in after[waiting.pop()]:
            if other not in seen:
                seen.add(other)
                waiting.append(other)
    return goal in seen
