"""What is wrong with a schedule, found as a person with the list in hand would; shares no code with the planner."""

from bisect import bisect_right
from collections.abc import Iterable, Iterator, Sequence
from itertools import accumulate

from domain.schedule.problem import Activity, Calendar, Lag, Mode, Problem, Side
from domain.schedule.schedule import Schedule

Stretches = Sequence[tuple[int, int]]


class _Open:
    """Open slots of a calendar, counted."""

    def __init__(self, stretches: Stretches) -> None:
        self.opens = [opens for opens, _ in stretches]
        self.closes = [closes for _, closes in stretches]
        self.before = [0, *accumulate(closes - opens for opens, closes in stretches)]

    def count(self, slot: int) -> int:
        """Return how many slots are open before this one."""
        at = bisect_right(self.opens, slot)
        return self.before[at] - max(0, self.closes[at - 1] - slot) if at else 0

    def has(self, slot: int) -> bool:
        at = bisect_right(self.opens, slot)
        return at > 0 and slot < self.closes[at - 1]


def violations(problem: Problem, schedule: Schedule) -> tuple[str, ...]:
    """Return what a schedule does that its problem forbids, in words; nothing when it may be shown.

    What facts alone bring about is never wrong: two of them may share a person, a room or too few clamps, and what
    had to be done before one may still be open.
    """
    many = len(problem.activities)
    sizes = {"start": len(schedule.start), "finish": len(schedule.finish), "team": len(schedule.team)}
    if wrong := [f"{many} activities, but {size} in {name}" for name, size in sizes.items() if size != many]:
        return tuple(wrong)
    opened = [_Open(calendar.stretches) for calendar in problem.calendars]
    return (
        *_activities(problem, schedule),
        *_teams(problem, schedule),
        *_people(problem, schedule),
        *_lags(problem, schedule, opened),
        *_resources(problem, schedule),
        *_airs(problem, schedule),
    )


def _activities(problem: Problem, schedule: Schedule) -> Iterator[str]:
    """Yield what is wrong with when things are done and how long they take."""
    common: dict[frozenset[int], _Open] = {}
    for number, (activity, start, finish, team) in enumerate(
        zip(problem.activities, schedule.start, schedule.finish, schedule.team, strict=True)
    ):
        if activity.fact is not None:
            if (start, finish) != (activity.fact.start, activity.fact.finish):
                was = f"{activity.fact.start} to {activity.fact.finish}"
                yield f"activity {number} is planned from {start} to {finish}, but happened from {was}"
            continue
        if start < problem.now:
            yield f"activity {number} starts at {start}, but it is {problem.now} now"
        if start < activity.earliest:
            yield f"activity {number} starts at {start}, but at {activity.earliest} at the earliest"
        if activity.pinned is not None and start != activity.pinned:
            yield f"activity {number} starts at {start}, but is pinned to {activity.pinned}"
        if activity.mode is Mode.PASSIVE:
            if finish != start + activity.work:
                yield f"activity {number} runs from {start} to {finish}, but takes {activity.work} slots"
            continue
        key = frozenset(problem.people[person].calendar for person in team if 0 <= person < len(problem.people))
        if key not in common:
            common[key] = _Open(_common([problem.calendars[at] for at in sorted(key)]))
        if team or not activity.crew:
            yield from _worked(number, activity, start, finish, common[key])


def _worked(number: int, activity: Activity, start: int, finish: int, hours: _Open) -> Iterator[str]:
    """Yield what is wrong with the working time of an activity that has not begun."""
    by_the_clock = activity.pinned is not None and (activity.mode is Mode.WHOLE or not hours.has(start))
    if by_the_clock or not activity.work:
        if finish != start + activity.work:
            yield f"activity {number} runs from {start} to {finish}, but takes {activity.work} slots of the clock"
        return
    worked = hours.count(finish) - hours.count(start)
    if worked != activity.work:
        yield f"activity {number} has {worked} open slots from {start} to {finish}, but takes {activity.work}"
    elif not hours.has(start) or not hours.has(finish - 1):
        yield f"activity {number} runs from {start} to {finish}, but its team is away when it starts or ends"
    elif activity.mode is Mode.WHOLE and finish - start != activity.work:
        yield f"activity {number} is broken off between {start} and {finish}, but must be done in one go"


def _common(calendars: Sequence[Calendar]) -> Stretches:
    """Return when all of them are open; nobody is never open."""
    if not calendars:
        return ()
    stretches: list[tuple[int, int]] = list(calendars[0].stretches)
    for calendar in calendars[1:]:
        edges = sorted([(at, 1) for at, _ in (*stretches, *calendar.stretches)] + [
            (at, -1) for _, at in (*stretches, *calendar.stretches)
        ])  # fmt: skip
        here, stretches = 0, []
        for at, step in edges:
            here += step
            if step > 0 and here == 2:
                opens = at
            elif step < 0 and here == 1:
                stretches.append((opens, at))
    return stretches


def _teams(problem: Problem, schedule: Schedule) -> Iterator[str]:
    """Yield what is wrong with who does what."""
    for number, (activity, team) in enumerate(zip(problem.activities, schedule.team, strict=True)):
        if activity.fact is not None:
            if sorted(team) != sorted(activity.fact.team):
                yield f"activity {number} has team {team}, but was begun by {activity.fact.team}"
            continue
        if len(set(team)) != len(team) or len(team) != activity.crew:
            yield f"activity {number} has team {team}, but needs {activity.crew} people at once"
        elif strangers := [person for person in team if person not in activity.leads + activity.helpers]:
            yield f"activity {number} has {strangers} in its team, who may not do it"
        elif activity.crew and not any(person in activity.leads for person in team):
            yield f"activity {number} has team {team}, but nobody who may lead it"


def _people(problem: Problem, schedule: Schedule) -> Iterator[str]:
    """Yield who is in two places at once."""
    where: list[list[tuple[int, int, int]]] = [[] for _ in problem.people]
    for number, team in enumerate(schedule.team):
        for person in set(team):
            if 0 <= person < len(where) and schedule.start[number] < schedule.finish[number]:
                where[person].append((schedule.start[number], schedule.finish[number], number))
    for person, stays in enumerate(where):
        busy: dict[bool, tuple[int, int]] = {}
        for start, finish, number in sorted(stays):
            is_fact = problem.activities[number].fact is not None
            for other_is_fact, (until, other) in busy.items():
                if start < until and not (is_fact and other_is_fact):
                    yield f"person {person} is at activity {other} until {until}, and at {number} from {start}"
            busy[is_fact] = max(busy.get(is_fact, (finish, number)), (finish, number))


def _lags(problem: Problem, schedule: Schedule, opened: Sequence[_Open]) -> Iterator[str]:
    """Yield lags that are too short, and windows missed that the schedule does not say it misses, or the reverse."""
    missed: list[int] = []
    for number, lag in enumerate(problem.lags):
        lasted = _lasted(lag, schedule, opened)
        joins = f"activity {lag.before} to {lag.after}"
        if lag.least is not None and lasted < lag.least and problem.activities[lag.after].fact is None:
            yield f"lag {number} from {joins} lasts {lasted}, but {lag.least} at least"
        if lag.most is not None and lasted > lag.most:
            missed.append(number)
            if number not in schedule.broken:
                yield f"lag {number} from {joins} lasts {lasted}, but {lag.most} at most, and is not said to be broken"
    for number in schedule.broken:
        if number not in missed:
            yield f"lag {number} is said to be broken, but is not"
    if len(set(schedule.broken)) != len(schedule.broken):
        yield f"a lag is said twice to be broken: {schedule.broken}"


def _lasted(lag: Lag, schedule: Schedule, opened: Sequence[_Open]) -> int:
    """Return the slots that lie between the two ends of a lag."""
    begins = schedule.start[lag.before] if lag.from_start else schedule.finish[lag.before]
    ends = schedule.finish[lag.after] if lag.to_finish else schedule.start[lag.after]
    if lag.calendar is None:
        return ends - begins
    return opened[lag.calendar].count(ends) - opened[lag.calendar].count(begins)


def _resources(problem: Problem, schedule: Schedule) -> Iterator[str]:
    """Yield what is held more of than there is."""
    steps: list[list[tuple[int, int, bool]]] = [[] for _ in problem.resources]
    for hold in problem.holds:
        begins, ends = schedule.start[hold.first], schedule.finish[hold.last] + hold.spare
        is_fact = problem.activities[hold.first].fact is not None
        if begins < ends and hold.amount:
            steps[hold.resource] += [(begins, hold.amount, is_fact), (ends, -hold.amount, is_fact)]
    for number, (resource, edges) in enumerate(zip(problem.resources, steps, strict=True)):
        held = planned = 0
        # What ends at a slot is let go before what starts then takes it.
        for at, amount, is_fact in sorted(edges):
            held += amount
            planned += 0 if is_fact else amount
            if amount > 0 and planned and held > resource.capacity:
                yield f"{held} of resource {number} are held at {at}, but there are {resource.capacity}"
                break


def _airs(problem: Problem, schedule: Schedule) -> Iterator[str]:
    """Yield where dust meets a wet finish."""
    rooms: dict[int, list[tuple[int, int, Side, bool, int]]] = {}
    for number, air in enumerate(problem.airs):
        begins, ends = schedule.start[air.first], schedule.finish[air.last] + air.spare
        if begins < ends:
            is_fact = problem.activities[air.first].fact is not None
            rooms.setdefault(air.room, []).append((begins, ends, air.side, is_fact, number))
    for room, stays in rooms.items():
        yield from _meetings(room, sorted(stays, key=lambda stay: (stay[0], stay[4])))


def _meetings(room: int, stays: Iterable[tuple[int, int, Side, bool, int]]) -> Iterator[str]:
    until: dict[tuple[Side, bool], int] = {}
    for begins, ends, side, is_fact, number in stays:
        for (other, other_is_fact), last in until.items():
            if other is not side and begins < last and not (is_fact and other_is_fact):
                yield f"room {room} has {other.value} until {last}, and {side.value} from {begins} (air {number})"
        until[side, is_fact] = max(until.get((side, is_fact), ends), ends)
