"""What keeps activities apart, for the solver: people, what there is only so much of, and the air of rooms."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise, product
from typing import Any

from domain.schedule.problem import Air, Hold, Problem, Side
from domain.schedule.wish import Kind, Wish


@dataclass(frozen=True, slots=True)
class Limits:
    """model: the solver's; lits: whether a wish is kept, for those that are only assumed; start, finish, on_it: of each
    activity, numbers where it has begun; on_it by person.
    """

    model: Any
    problem: Problem
    lits: Mapping[Wish, Any]
    start: Sequence[Any]
    finish: Sequence[Any]
    on_it: Sequence[Mapping[int, Any]]

    def add(self) -> None:
        self._add_people()
        self._add_resources()
        self._add_airs()

    def _add_people(self) -> None:
        for person in range(len(self.problem.people)):
            spans = self._begun(person)
            lit = self.lits.get(Wish(Kind.PEOPLE, person))
            for number, activity in enumerate(self.problem.activities):
                if activity.fact is None and person in self.on_it[number] and activity.work:
                    spans.append(self._span(number, self._kept(self.on_it[number][person], lit)))
            if len(spans) > 1:
                self.model.add_no_overlap(spans)

    def _kept(self, on_it: Any, lit: Any) -> Any:
        """Return whether somebody is on it and may not be elsewhere."""
        if lit is None:
            return on_it
        both = self.model.new_bool_var("")
        self.model.add_bool_or([~on_it, ~lit, both])
        return both

    def _span(self, number: int, is_there: Any) -> Any:
        start, finish = self.start[number], self.finish[number]
        size = self.model.new_int_var(0, self.problem.horizon, "")
        return self.model.new_optional_interval_var(start, size, finish, is_there, "")

    def _begun(self, person: int) -> list[Any]:
        """Return when somebody is on what has begun, once however many there are."""
        facts = [activity.fact for activity in self.problem.activities if activity.fact is not None]
        stays = sorted((fact.start, fact.finish) for fact in facts if person in fact.team and fact.start < fact.finish)
        merged: list[list[int]] = []
        for start, finish in stays:
            if merged and start <= merged[-1][1]:
                merged[-1][1] = max(merged[-1][1], finish)
            else:
                merged.append([start, finish])
        return [self.model.new_fixed_size_interval_var(start, finish - start, "") for start, finish in merged]

    def _until(self, thing: Hold | Air) -> tuple[Any, Any]:
        """Return from when to when something is held or in the air, or longer: a schedule need not make use of it."""
        start, freed = self.start[thing.first], self.finish[thing.last] + thing.spare
        if thing.first == thing.last or (isinstance(start, int) and isinstance(freed, int)):
            return start, freed
        end = self.model.new_int_var(0, 2 * self.problem.horizon + thing.spare, "")
        self.model.add(end >= start)
        self.model.add(end >= freed)
        return start, end

    def _add_resources(self) -> None:
        for which, resource in enumerate(self.problem.resources):
            holds = [hold for hold in self.problem.holds if hold.resource == which and hold.amount]
            lit = self.lits.get(Wish(Kind.CAPACITY, which))
            if lit is None and sum(hold.amount for hold in holds) <= resource.capacity:
                continue
            begun = [hold for hold in holds if self.problem.activities[hold.first].fact is not None]
            spans, amounts = self._begun_holds(begun, resource.capacity)
            for hold in holds:
                if hold not in begun:
                    start, end = self._until(hold)
                    size = self.model.new_int_var(0, 2 * self.problem.horizon + hold.spare, "")
                    spans.append(self.model.new_interval_var(start, size, end, ""))
                    amounts.append(hold.amount)
            room = resource.capacity if lit is None else resource.capacity + sum(amounts) * (1 - lit)
            self.model.add_cumulative(spans, amounts, room)

    def _begun_holds(self, begun: Sequence[Hold], capacity: int) -> tuple[list[Any], list[int]]:
        """Return what facts hold, never more at once than there is: what facts bring about is not forbidden."""
        spans, amounts, fixed = list[Any](), list[int](), dict[int, int]()
        left = capacity
        for hold in begun:
            start, end = self._until(hold)
            if isinstance(end, int):
                if start < end:
                    fixed[start] = fixed.get(start, 0) + hold.amount
                    fixed[end] = fixed.get(end, 0) - hold.amount
                continue
            size = self.model.new_int_var(0, 2 * self.problem.horizon + hold.spare, "")
            spans.append(self.model.new_interval_var(start, size, end, ""))
            amounts.append(min(hold.amount, left))
            left -= amounts[-1]
        held = 0
        for at, then in pairwise(sorted(fixed)):
            held += fixed[at]
            if min(held, left) > 0:
                spans.append(self.model.new_fixed_size_interval_var(at, then - at, ""))
                amounts.append(min(held, left))
        return spans, amounts

    def _add_airs(self) -> None:
        for room in {air.room for air in self.problem.airs}:
            airs = [air for air in self.problem.airs if air.room == room]
            for dust, wet in product(*([air for air in airs if air.side is side] for side in (Side.DUST, Side.WET))):
                self._apart(dust, wet, Wish(Kind.AIR, room))

    def _apart(self, dust: Air, wet: Air, wish: Wish) -> None:
        activities = self.problem.activities
        if activities[dust.first].fact is not None and activities[wet.first].fact is not None:
            return
        ends = [(self.start[air.first], self.finish[air.last] + air.spare) for air in (dust, wet)]
        if any(isinstance(one, int) and isinstance(other, int) and one >= other for one, other in ends):
            return
        ways = [self.model.new_bool_var("") for _ in range(4)]
        limits = [
            ends[0][1] <= ends[1][0],
            ends[1][1] <= ends[0][0],
            *(until <= begins for begins, until in ends),
        ]
        for way, limit in zip(ways, limits, strict=True):
            if isinstance(limit, bool):
                self.model.add(way == 0) if not limit else None
            else:
                self.model.add(limit).only_enforce_if(way)
        self.model.add_bool_or(ways + ([~self.lits[wish]] if wish in self.lits else []))
