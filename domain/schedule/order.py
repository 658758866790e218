"""In which order activities are placed: by priority, but what has been begun to be held is led to its end first."""

from collections.abc import Sequence
from heapq import heapify, heappop, heappush

from domain.schedule.prepared import Prepared


def serving_order(prepared: Prepared, priorities: Sequence[float]) -> list[int]:
    """Return the activities that are not fixed in the order to place them.

    An activity comes after all it waits for. Where it begins a hold, or a window that closes, what leads to the end of
    that comes next, and whatever the end waits for besides came before.
    """
    before, after, goals, fixed = prepared.before, prepared.after, prepared.goals, prepared.fixed
    waiting = [-1 if fixed[number] else len(others) for number, others in enumerate(before)]
    ready = [(priorities[number], number) for number, count in enumerate(waiting) if count == 0]
    heapify(ready)
    begun = [(priorities[goal], goal) for number, numbers in enumerate(goals) if fixed[number] for goal in numbers]
    stack = [goal for _, goal in sorted(begun, reverse=True)]
    order: list[int] = []

    def on_the_way(goal: int, to_pass: set[int]) -> int:
        """Return what is ready, not to be passed over, and comes before a goal: the most urgent, -1 when nothing."""
        if waiting[goal] <= 0:
            return goal if waiting[goal] == 0 and goal not in to_pass else -1
        best, seen, look = -1, {goal}, [goal]
        while look:
            for other in before[look.pop()]:
                if waiting[other] < 0 or other in seen:
                    continue
                seen.add(other)
                if waiting[other]:
                    look.append(other)
                elif other not in to_pass and (best < 0 or (priorities[other], other) < (priorities[best], best)):
                    best = other
        return best

    def gated(number: int) -> int:
        """Return what must be served so that this one can be: itself, or what its goals wait for besides."""
        passed: set[int] = set()
        while goals[number]:
            passed.add(number)
            sooner = [other for goal in goals[number] if (other := on_the_way(goal, passed)) >= 0]
            if not sooner:
                break
            number = min(sooner, key=lambda other: (priorities[other], other))
        return number

    while True:
        while stack and waiting[stack[-1]] < 0:
            stack.pop()
        if stack:
            number = on_the_way(stack[-1], set())
        else:
            while ready and waiting[ready[0][1]] < 0:
                heappop(ready)
            if not ready:
                return order
            number = ready[0][1]
        number = gated(number)
        order.append(number)
        waiting[number] = -1
        for other in after[number]:
            waiting[other] -= 1
            if waiting[other] == 0:
                heappush(ready, (priorities[other], other))
        if goals[number]:
            stack += sorted(goals[number], key=lambda goal: (priorities[goal], goal), reverse=True)


def loose_order(prepared: Prepared, priorities: Sequence[float]) -> list[int]:
    """Return the same by priority alone, after all each waits for: what others have begun may be slipped in between."""
    waiting = [-1 if fixed else len(others) for fixed, others in zip(prepared.fixed, prepared.before, strict=True)]
    ready = [(priorities[number], number) for number, count in enumerate(waiting) if count == 0]
    heapify(ready)
    order: list[int] = []
    while ready:
        number = heappop(ready)[1]
        order.append(number)
        for other in prepared.after[number]:
            waiting[other] -= 1
            if waiting[other] == 0:
                heappush(ready, (priorities[other], other))
    return order
