"""Problems without people and calendars: all time runs day and night, so a schedule can be turned round and packed.

What is in use of every resource in a slot is a few bits of one long integer, a guard bit above each of them: one
addition says whether an activity fits over all its slots, and which is the last where it does not.
Double justification: Valls, Ballestín, Quintanilla, European Journal of Operational Research 165 (2005) 375-386; from
memory.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from domain.schedule.problem import Mode, NoRoom, Problem
from domain.schedule.schedule import Schedule

Row = tuple[tuple[tuple[int, int], ...], int, int, int, int, int]
"""What an activity starts so many slots after, when it is ready; what it takes, that and what there is none of, guards
and all bits, each over all its slots."""


@dataclass(frozen=True, slots=True)
class Plain:
    """length: slots of each activity; width: bits of a slot; order: so that each comes after all it waits for;
    forward, back: the rows of the activities, and those of the problem turned round; tails: what follows each, itself
    included.
    """

    length: tuple[int, ...]
    width: int
    order: tuple[int, ...]
    forward: tuple[Row, ...]
    back: tuple[Row, ...]
    tails: tuple[int, ...]


LONGEST = 20_000
"""Slots of work in all that are worth packing bit by bit; academic projects have a few hundred, a long wait more."""


def plain_of(problem: Problem) -> Plain | None:
    """Return a problem packed for quick schedules, None where there is more to it than work, waits and resources."""
    activities = problem.activities
    if len(problem.jobs) > 1 or problem.airs or not activities or sum(one.work for one in activities) > LONGEST:
        return None
    for activity in activities:
        if activity.mode is not Mode.PASSIVE or activity.crew or activity.fact or activity.pinned is not None:
            return None
    if any(hold.first != hold.last or hold.spare for hold in problem.holds) or not all(
        one.counts for one in activities
    ):
        return None
    length = tuple(activity.work for activity in activities)
    waits: list[dict[int, int]] = [{} for _ in activities]
    turned: list[dict[int, int]] = [{} for _ in activities]
    for lag in problem.lags:
        if lag.calendar is not None or lag.most is not None or lag.least is None:
            return None
        gap = lag.least + (0 if lag.from_start else length[lag.before]) - (length[lag.after] if lag.to_finish else 0)
        back = gap + length[lag.after] - length[lag.before]
        if gap < 0 or back < 0:
            return None
        waits[lag.after][lag.before] = max(gap, waits[lag.after].get(lag.before, 0))
        turned[lag.before][lag.after] = max(back, turned[lag.before].get(lag.after, 0))
    order = _order(waits, turned)
    packed = _packed(problem, length)
    if len(order) < len(activities) or packed is None:
        return None
    tails = list(length)
    for number in reversed(order):
        for other in turned[number]:
            tails[number] = max(tails[number], waits[other][number] + tails[other])
    width, bits = packed
    forward = [
        (tuple(others.items()), max(problem.now, activity.earliest), *row)
        for others, activity, row in zip(waits, activities, bits, strict=True)
    ]
    back_rows = [(tuple(others.items()), 0, *row) for others, row in zip(turned, bits, strict=True)]
    return Plain(length, width, order, tuple(forward), tuple(back_rows), tuple(tails))


def _order(waits: Sequence[dict[int, int]], turned: Sequence[dict[int, int]]) -> tuple[int, ...]:
    left = [len(others) for others in waits]
    order = [number for number, count in enumerate(left) if not count]
    for number in order:
        for other in turned[number]:
            left[other] -= 1
            if not left[other]:
                order.append(other)
    return tuple(order)


def _packed(problem: Problem, length: Sequence[int]) -> tuple[int, list[tuple[int, int, int, int]]] | None:
    """Return the bits of a slot, and by activity what it takes, that with what there is none of, guards, all bits."""
    places, width = [], 0
    for resource in problem.resources:
        places.append(width)
        width += resource.capacity.bit_length() + 1
    width = max(width, 1)
    taken: list[dict[int, int]] = [{} for _ in length]
    for hold in problem.holds:
        if hold.amount > 0:
            taken[hold.first][hold.resource] = taken[hold.first].get(hold.resource, 0) + hold.amount
    rows = []
    for amounts, count in zip(taken, length, strict=True):
        use = asked = guard = 0
        for which, amount in amounts.items():
            capacity = problem.resources[which].capacity
            if amount > capacity:
                return None
            use |= amount << places[which]
            asked |= amount + (1 << capacity.bit_length()) - 1 - capacity << places[which]
            guard |= 1 << places[which] + capacity.bit_length()
        every = sum(1 << width * slot for slot in range(count))
        rows.append((use * every, asked * every, guard * every, (1 << width * count) - 1))
    return width, rows


def placed(plain: Plain, rows: Sequence[Row], order: Sequence[int]) -> list[int]:
    """Return the start of each activity, each as soon as it fits. order: each after all it waits for."""
    start = [0] * len(order)
    used, width = 0, plain.width
    for number in order:
        waits, at, use, asked, guards, bits = rows[number]
        for other, gap in waits:
            after = start[other] + gap
            if after > at:
                at = after
        if use:
            while short := ((used >> width * at & bits) + asked) & guards:
                at += (short.bit_length() - 1) // width + 1
            used += use << width * at
        start[number] = at
    return start


def sorted_order(plain: Plain, keys: Sequence[float]) -> list[int]:
    """Return activities by key, each after all it waits for."""
    key = list(keys)
    rows = plain.forward
    for number in plain.order:
        least = key[number]
        for other, _ in rows[number][0]:
            if key[other] > least:
                least = key[other]
        key[number] = least
    return sorted(plain.order, key=key.__getitem__)


def finish_of(plain: Plain, start: Sequence[int]) -> int:
    """Return when everything is finished."""
    return max(map(int.__add__, start, plain.length))


def packed_both_ways(plain: Plain, start: Sequence[int]) -> list[int]:
    """Return a schedule pushed to the right, then to the left: seldom longer, often shorter."""
    finish = list(map(int.__add__, start, plain.length))
    end = max(finish)
    turned = placed(plain, plain.back, sorted(plain.order, key=finish.__getitem__)[::-1])
    right = [end - at - took for at, took in zip(turned, plain.length, strict=True)]
    return placed(plain, plain.forward, sorted(plain.order, key=right.__getitem__))


def at_once(plain: Plain) -> list[int]:
    """Return the starts of a good schedule: what has most after it first, then packed both ways while that helps."""
    found = placed(plain, plain.forward, sorted_order(plain, [-tail for tail in plain.tails]))
    while True:
        packed = packed_both_ways(plain, found)
        if finish_of(plain, packed) >= finish_of(plain, found):
            return found
        found = packed


def schedule_of(problem: Problem, plain: Plain, start: Sequence[int]) -> Schedule:
    """Return a schedule from starts. Raises NoRoom when it is longer than the horizon."""
    finish = tuple(map(int.__add__, start, plain.length))
    if max(finish) > problem.horizon:
        raise NoRoom
    return Schedule(tuple(start), finish, ((),) * len(finish))
