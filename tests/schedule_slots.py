"""Every schedule of a small problem, by trying all places slot by slot; shares no code with planner and checker."""

from collections.abc import Iterator, Sequence
from itertools import combinations

from domain.schedule.problem import Activity, Air, Hold, Lag, Mode, Problem
from domain.schedule.schedule import Schedule

Place = tuple[int, int, tuple[int, ...]]
"""Start, finish and team of an activity."""


def schedules(problem: Problem, last: int, *, most: bool = False) -> Iterator[Schedule]:
    """Yield every schedule that is finished by a slot. most: only those that miss no window."""
    choices = [list(places(problem, number, last)) for number in range(len(problem.activities))]
    order = sorted(range(len(choices)), key=lambda number: len(choices[number]))
    placed: list[Place | None] = [None] * len(choices)

    def put(at: int) -> Iterator[Schedule]:
        if at == len(order):
            yield as_schedule(problem, [place for place in placed if place is not None])
            return
        for place in choices[order[at]]:
            placed[order[at]] = place
            if is_allowed(problem, placed, most=most):
                yield from put(at + 1)
        placed[order[at]] = None

    return put(0)


def as_schedule(problem: Problem, placed: Sequence[Place]) -> Schedule:
    """Return a schedule that says which windows it misses."""
    broken = tuple(
        number
        for number, lag in enumerate(problem.lags)
        if lag.most is not None and lasted(problem, lag, placed[lag.before], placed[lag.after]) > lag.most
    )
    return Schedule(
        tuple(start for start, _, _ in placed),
        tuple(finish for _, finish, _ in placed),
        tuple(team for _, _, team in placed),
        broken,
    )


def places(problem: Problem, number: int, last: int) -> Iterator[Place]:
    """Yield where an activity can be, by itself, if it is finished by a slot, soonest first."""
    activity = problem.activities[number]
    if activity.fact is not None:
        yield activity.fact.start, activity.fact.finish, activity.fact.team
        return
    begins = max(problem.now, activity.earliest)
    starts = range(begins, last + 1) if activity.pinned is None else [activity.pinned]
    for start in starts:
        for team in teams(activity) if start >= begins else ():
            finish = finish_of(problem, activity, start, team)
            if finish is not None and finish <= last:
                yield start, finish, team


def teams(activity: Activity) -> list[tuple[int, ...]]:
    """Return who can be on an activity together."""
    if not activity.crew:
        return [()]
    able = sorted({*activity.leads, *activity.helpers})
    every = combinations(able, activity.crew)
    return [team for team in every if any(person in activity.leads for person in team)]


def finish_of(problem: Problem, activity: Activity, start: int, team: Sequence[int]) -> int | None:
    """Return when an activity that starts then is finished; None where it cannot start then."""
    if activity.mode is Mode.PASSIVE or not activity.work:
        return start + activity.work
    is_there = all(_is_open(problem, problem.people[person].calendar, start) for person in team)
    if activity.pinned is not None and (activity.mode is Mode.WHOLE or not is_there):
        return start + activity.work
    if not is_there:
        return None
    left, slot = activity.work, start
    while left and slot < problem.horizon:
        if all(_is_open(problem, problem.people[person].calendar, slot) for person in team):
            left -= 1
        elif activity.mode is Mode.WHOLE:
            return None
        slot += 1
    return None if left else slot


def _is_open(problem: Problem, calendar: int, slot: int) -> bool:
    return any(opens <= slot < closes for opens, closes in problem.calendars[calendar].stretches)


def lasted(problem: Problem, lag: Lag, before: Place, after: Place) -> int:
    """Return how many slots lie between the two ends of a lag, counted one by one."""
    begins, ends = before[0 if lag.from_start else 1], after[1 if lag.to_finish else 0]
    if lag.calendar is None:
        return ends - begins
    counted = range(min(begins, ends), max(begins, ends))
    many = sum(_is_open(problem, lag.calendar, slot) for slot in counted)
    return many if ends >= begins else -many


def is_allowed(problem: Problem, placed: Sequence[Place | None], *, most: bool = False) -> bool:
    """Whether activities that stand somewhere, each allowed by itself, do not disturb one another.

    None: it stands nowhere yet, nor does what is held or in the air because of it; most: windows count, too.
    """
    for lag in problem.lags:
        before, after = placed[lag.before], placed[lag.after]
        if before is not None and after is not None:
            slots = lasted(problem, lag, before, after)
            if lag.least is not None and slots < lag.least and not _is_fact(problem, lag.after):
                return False
            if most and lag.most is not None and slots > lag.most:
                return False
    return (
        _nobody_twice(problem, placed)
        and _enough(problem, _spans(placed, problem.holds))
        and _no_dust_on_wet(problem, _spans(placed, problem.airs))
    )


def _is_fact(problem: Problem, number: int) -> bool:
    return problem.activities[number].fact is not None


def _meet(one: range, other: range) -> bool:
    return bool(one) and bool(other) and one.start < other.stop and other.start < one.stop


def _nobody_twice(problem: Problem, placed: Sequence[Place | None]) -> bool:
    there = [(number, place) for number, place in enumerate(placed) if place is not None and place[2]]
    return not any(
        set(first[2]) & set(second[2])
        and _meet(range(*first[:2]), range(*second[:2]))
        and not (_is_fact(problem, one) and _is_fact(problem, other))
        for (one, first), (other, second) in combinations(there, 2)
    )


def _spans(placed: Sequence[Place | None], things: Sequence[Hold] | Sequence[Air]) -> list[range]:
    found = []
    for thing in things:
        first, last = placed[thing.first], placed[thing.last]
        found.append(range(0) if first is None or last is None else range(first[0], last[1] + thing.spare))
    return found


def _enough(problem: Problem, spans: Sequence[range]) -> bool:
    for slot in {span.start for span in spans if span}:
        for which, resource in enumerate(problem.resources):
            here = [
                hold for hold, span in zip(problem.holds, spans, strict=True) if hold.resource == which and slot in span
            ]
            is_begun = all(_is_fact(problem, hold.first) for hold in here)
            if sum(hold.amount for hold in here) > resource.capacity and not is_begun:
                return False
    return True


def _no_dust_on_wet(problem: Problem, spans: Sequence[range]) -> bool:
    return not any(
        one.room == other.room
        and one.side is not other.side
        and _meet(first, second)
        and not (_is_fact(problem, one.first) and _is_fact(problem, other.first))
        for (one, first), (other, second) in combinations(zip(problem.airs, spans, strict=True), 2)
    )
