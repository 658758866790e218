"""Whether what must be done between two slots fits into the hands, or the places, there are between them."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from operator import mul

from domain.schedule.hours import Hours, hours_of
from domain.schedule.problem import Mode, Problem
from domain.schedule.timing import Windows


@dataclass(frozen=True, slots=True)
class Load:
    """Things that need some of the same. passed: how much of it there was up to a slot; which: its number, if it has
    one; items: from the start of an activity to the finish of another, and so many slots longer, what is needed.
    """

    which: int | None
    passed: Callable[[int], int]
    items: tuple[tuple[int, int, int, int], ...]


def people_loads(problem: Problem) -> list[Load]:
    """Return for every group of people the work that nobody else can do."""
    who: dict[int, frozenset[int]] = {}
    for number, activity in enumerate(problem.activities):
        planned = activity.fact is None and activity.pinned is None
        if planned and activity.mode is not Mode.PASSIVE and activity.crew and activity.work:
            who[number] = frozenset(activity.leads + activity.helpers)
    groups = set(who.values())
    groups |= {one | other for one in groups for other in groups}
    hours = [hours_of(problem.calendars[person.calendar]) for person in problem.people]
    loads = []
    for group in sorted(groups, key=lambda group: (len(group), sorted(group))):
        own = [hours[person] for person in sorted(group)]
        items = tuple(
            (number, number, 0, problem.activities[number].work * problem.activities[number].crew)
            for number, able in who.items()
            if able <= group
        )
        which = min(group) if len(group) == 1 else None
        loads.append(Load(which, partial(_open, own), items))
    return loads


def _open(hours: Sequence[Hours], slot: int) -> int:
    return sum(one.passed(slot) for one in hours)


def resource_loads(problem: Problem) -> list[Load]:
    """Return for every resource what is held of it."""
    loads = []
    for which, resource in enumerate(problem.resources):
        items = []
        for hold in problem.holds:
            first, last = problem.activities[hold.first], problem.activities[hold.last]
            if hold.resource == which and first.fact is None and last.fact is None:
                least = first.work + (last.work if hold.last != hold.first else 0) + hold.spare
                if hold.last != hold.first and not follows(problem, hold.first, hold.last):
                    least = 0
                if least > 0 and hold.amount:
                    items.append((hold.first, hold.last, hold.spare, least * hold.amount))
        loads.append(Load(which, partial(mul, resource.capacity), tuple(items)))
    return loads


def follows(problem: Problem, first: int, last: int) -> bool:
    """Whether an activity starts only after another has finished, whatever lies between."""
    after: dict[int, list[int]] = {}
    for lag in problem.lags:
        if (
            lag.least is not None
            and lag.least >= 0
            and not lag.from_start
            and not lag.to_finish
            and lag.calendar is None
        ):
            after.setdefault(lag.before, []).append(lag.after)
    seen, look = {first}, [first]
    while look:
        for number in after.get(look.pop(), ()):
            if number == last:
                return True
            if number not in seen:
                seen.add(number)
                look.append(number)
    return False


def overfull(loads: Sequence[Load], windows: Windows) -> Load | None:
    """Return something of which more is needed between two slots than there is; None where everything may fit."""
    for load in loads:
        spans = sorted(
            (windows.latest_finish[last] + spare, windows.earliest_start[first], need)
            for first, last, spare, need in load.items
        )
        starts = sorted({start for _, start, _ in spans})
        before = [load.passed(start) for start in starts]
        ends = [load.passed(end) for end, _, _ in spans]
        for start, passed in zip(starts, before, strict=True):
            needed = 0
            for (_, since, need), until in zip(spans, ends, strict=True):
                if since >= start:
                    needed += need
                    if needed > until - passed:
                        return load
    return None
