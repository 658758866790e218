"""The time of work as hands count it, closed hours left out: so that it takes as long as it is, wherever it lies.

Split work that lasts over a night fills the night on the clock, though nobody is there. What fits into the hands there
are is seen far sooner where there are no nights: proofs of jobs that hands limit take a fiftieth to a tenth as long.
"""

from bisect import bisect_right
from collections.abc import Sequence
from itertools import pairwise
from typing import Any

from domain.schedule.hours import Hours
from domain.schedule.moves import pinned_finish
from domain.schedule.part import Span
from domain.schedule.problem import Mode
from domain.schedule.prove_model import Expression, Model
from domain.schedule.starts import by_length


def shared(model: Model, working: Sequence[int], elsewhere: Sequence[Sequence[Span]]) -> Hours | None:
    """Return the hours of everybody who may do some of the work; None where they differ, or where somebody is busy
    outside of them.
    """
    ways = [model.timing.ways.hours(model.part.problem.activities[number]) for number in working]
    mixes = {mix for way in ways for mix in way}
    if len(mixes) != 1:
        return None
    (hours,) = ways[0].values()
    if any(hours.between(*span) <= 0 for spans in elsewhere for span in spans):
        return None
    return hours if all(_is_inside(model, number, hours) for number in working) else None


def _is_inside(model: Model, number: int, hours: Hours) -> bool:
    """Whether an activity begins and ends within the hours; one that is pinned need not."""
    activity = model.part.problem.activities[number]
    if activity.pinned is None:
        return True
    finish = pinned_finish(activity, activity.pinned, hours)
    is_open = hours.between(activity.pinned, activity.pinned + 1) > 0
    return is_open and hours.between(activity.pinned, finish) == activity.work


def counted(model: Model, working: Sequence[int], hours: Hours) -> dict[int, Expression]:
    """Return how many open slots there are before the start of each activity, and let them follow one another in these.

    An activity of so many slots of work ends that many open slots later.
    """
    passed = {number: _passed(model, number, hours) for number in working}
    for arcs in model.timing.after:
        for arc in arcs:
            if arc.before not in passed or arc.after not in passed:
                continue
            follows = arc.hours is None and arc.least >= 0 and arc.from_finish and not arc.to_finish
            if follows or arc.hours is hours:
                near = passed[arc.before] + (_work(model, arc.before) if arc.from_finish else 0)
                far = passed[arc.after] + (_work(model, arc.after) if arc.to_finish else 0)
                model.model.add(far >= near + (0 if follows else arc.least))
    return passed


def _work(model: Model, number: int) -> int:
    return model.part.problem.activities[number].work


def _passed(model: Model, number: int, hours: Hours) -> Expression:
    """Return the open slots before the start of an activity, tied to its start by which stretch that is in."""
    runs = _runs(model, number, hours)
    was, start = model.was[number][0], model.start[number]
    ends: dict[int, Span] = {}
    for at, low, high in runs:
        ends[at] = ends[at][0] if at in ends else low, high
    shifts = {at: hours.before[at] - hours.opens[at] for at in ends}
    order = sorted(ends)
    if len(order) < 2:
        return start + (shifts[order[0]] if order else 0)
    passed = model.number([(low + shifts[at], high + shifts[at]) for at, low, high in runs], hours.passed(was))
    shift: Expression = shifts[order[0]]
    for earlier, later in pairwise(order):
        begun = model.yes_or_no(was >= ends[later][0])
        _from(model, start, ends[later][0], ends[earlier][1], begun)
        _from(model, passed, ends[later][0] + shifts[later], ends[earlier][1] + shifts[earlier], begun)
        shift += (shifts[later] - shifts[earlier]) * begun
    model.model.add(passed == start + shift)
    return passed


def _from(model: Model, what: Expression, low: int, high: int, begun: Any) -> None:
    """Let something be at least so much when a literal is true, else at most so much."""
    model.model.add(what >= low).only_enforce_if(begun)
    model.model.add(what <= high).only_enforce_if(begun.negated())


def _runs(model: Model, number: int, hours: Hours) -> list[tuple[int, int, int]]:
    """Return the starts an activity can have: of which stretch, from, to, in order."""
    activity = model.part.problem.activities[number]
    if activity.pinned is not None:
        runs = [(activity.pinned, activity.pinned)]
    else:
        groups = by_length(hours, activity.work, activity.mode is Mode.WHOLE, *model.window(number, False))
        runs = sorted(run for group in groups.values() for run in group)
    return [(bisect_right(hours.opens, low) - 1, low, high) for low, high in runs]
