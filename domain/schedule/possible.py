"""The solver's second door of the planner: whether everything asked is possible, and which wishes say no together.

OR-Tools is an extra; without it (`domain.schedule.prove.is_there`) nothing here may be asked. It works alone: with
several at work the solver takes no heed of what is only assumed.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from domain.schedule.check import violations
from domain.schedule.hours import Hours, hours_of
from domain.schedule.moves import LATE, Ways, pinned_finish
from domain.schedule.part import missed
from domain.schedule.possible_limits import Limits
from domain.schedule.problem import Activity, Lag, Mode, Problem
from domain.schedule.schedule import Schedule
from domain.schedule.timing import Windows, windows
from domain.schedule.wish import Kind, Wish, without

SEED = 1


@dataclass(frozen=True, slots=True)
class Answer:
    """schedule: one that keeps to everything; against: wishes that say no together; both None: nothing was found out
    with so much work.
    """

    schedule: Schedule | None = None
    against: frozenset[Wish] | None = None


def possible(problem: Problem, assumed: Sequence[Wish] = (), *, due_is_hard: bool, effort: float) -> Answer:
    """Return a schedule that misses no window, or wishes that cannot be had together, beside all that is no wish.

    assumed: wishes of any kind but HOURS and PIN; effort: the solver's own measure of work. Raises what windows raises.
    """
    return _Model(problem, assumed, due_is_hard=due_is_hard).answer(effort)


def pieces(hours: Hours, work: int, whole: bool) -> list[tuple[int, int, int]]:
    """Return (first start, last start, slots until the finish) of all starts, each piece with one number of slots."""
    found: list[tuple[int, int, int]] = []
    ends = list(zip(hours.opens, hours.closes, hours.before, strict=True))
    last = 0
    for opens, closes, before in ends:
        if work == 0 or (whole and closes - opens >= work):
            found.append((opens, closes - work, work))
        if work == 0 or whole:
            continue
        start = opens
        while start < closes and before + start - opens + work <= hours.total:
            worked = before + start - opens + work
            while ends[last][2] + ends[last][1] - ends[last][0] < worked:
                last += 1
            finish = ends[last][0] + worked - ends[last][2]
            until = min(closes - 1, start + ends[last][1] - finish)
            found.append((start, until, finish - start))
            start = until + 1
    return found


class _Model:
    def __init__(self, problem: Problem, assumed: Sequence[Wish], *, due_is_hard: bool) -> None:
        from ortools.sat.python import cp_model

        self.cp, self.model, self.problem = cp_model, cp_model.CpModel(), problem
        self.lits = {wish: self.model.new_bool_var("") for wish in assumed}
        dues = [job.due if due_is_hard else None for job in problem.jobs]
        free = without(problem, *assumed)
        until = [due if Wish(Kind.DUE, at) not in self.lits else None for at, due in enumerate(dues)]
        self.windows: Windows = windows(free, until)
        self.ways = Ways(problem)
        self.start: list[Any] = []
        self.finish: list[Any] = []
        self.on_it: list[dict[int, Any]] = []
        self._passed: dict[tuple[int, int, bool], Any] = {}
        for number, activity in enumerate(problem.activities):
            self._add_activity(number, activity)
        for number, lag in enumerate(problem.lags):
            self._add_lag(number, lag)
        for number, activity in enumerate(problem.activities):
            due = dues[activity.job]
            if due is not None and activity.counts:
                self._only(self.finish[number] <= due, Wish(Kind.DUE, activity.job))
        Limits(self.model, problem, self.lits, self.start, self.finish, self.on_it).add()

    def answer(self, effort: float) -> Answer:
        solver = self.cp.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = SEED
        solver.parameters.max_deterministic_time = effort
        # Nothing is made as small as can be here: long preparations and relaxations take longer than the search itself.
        solver.parameters.max_presolve_iterations = 1
        solver.parameters.cp_model_probing_level = 0
        solver.parameters.symmetry_level = 0
        solver.parameters.linearization_level = 0
        if self.lits:
            self.model.add_assumptions(list(self.lits.values()))
        status = solver.solve(self.model)
        if status == self.cp.INFEASIBLE:
            indices = set(solver.sufficient_assumptions_for_infeasibility())
            return Answer(against=frozenset(wish for wish, lit in self.lits.items() if lit.index in indices))
        if status not in (self.cp.OPTIMAL, self.cp.FEASIBLE):
            return Answer()
        made = self._schedule(solver)
        return Answer() if violations(self.problem, made) else Answer(schedule=made)

    def _schedule(self, solver: Any) -> Schedule:
        start, finish = ([solver.value(one) for one in each] for each in (self.start, self.finish))
        teams = []
        for activity, lits in zip(self.problem.activities, self.on_it, strict=True):
            there = tuple(person for person, lit in lits.items() if solver.value(lit))
            teams.append(there if activity.fact is None else activity.fact.team)
        return Schedule(tuple(start), tuple(finish), tuple(teams), missed(self.problem, start, finish))

    def _is_past(self, lag: Lag) -> bool:
        return all(self.problem.activities[at].fact is not None for at in (lag.before, lag.after))

    def _ends(self, lag: Lag) -> tuple[Any, Any]:
        return (
            (self.start if lag.from_start else self.finish)[lag.before],
            (self.finish if lag.to_finish else self.start)[lag.after],
        )

    def _only(self, what: Any, *wishes: Wish, when: Iterable[Any] = ()) -> None:
        """Add a limit that holds as long as wishes are kept, and when so many other things are so."""
        enforced = [*when, *(self.lits[wish] for wish in wishes if wish in self.lits)]
        added = self.model.add(what)
        if enforced:
            added.only_enforce_if(enforced)

    def _add_activity(self, number: int, activity: Activity) -> None:
        if activity.fact is not None:
            self.start.append(activity.fact.start)
            self.finish.append(activity.fact.finish)
            self.on_it.append({})
            return
        low, high = self.windows.earliest_start[number], self.windows.latest_start[number]
        ends = self.windows.earliest_finish[number], self.windows.latest_finish[number]
        self.start.append(self.model.new_int_var(low, high, ""))
        self.finish.append(self.model.new_int_var(*ends, ""))
        self._only(self.start[-1] >= self.problem.now)
        self._only(self.start[-1] >= activity.earliest, Wish(Kind.EARLIEST, number))
        self.on_it.append({person: self.model.new_bool_var("") for person in _able(activity)})
        if activity.crew:
            self.model.add(sum(self.on_it[-1].values()) == activity.crew)
            self.model.add_bool_or([self.on_it[-1][person] for person in activity.leads])
        self._add_ways(number, activity)

    def _add_ways(self, number: int, activity: Activity) -> None:
        """Say when an activity can start and how long it then takes, for each mix of calendars."""
        if activity.pinned is not None:
            self.model.add(self.start[number] == activity.pinned)
        if activity.mode is Mode.PASSIVE:
            self.model.add(self.finish[number] == self.start[number] + activity.work)
            return
        chosen: list[Any] = []
        mixes = self.ways.hours(activity)
        for mix, hours in mixes.items():
            ways = [self._way(number, slots, spans) for slots, spans in self._groups(number, activity, hours).items()]
            if len(mixes) > 1:
                self._mixed(number, ways, mix)
            chosen += ways
        self.model.add_exactly_one(chosen)

    def _groups(self, number: int, activity: Activity, hours: Hours) -> dict[int, list[list[int]]]:
        """Return when it can start, by the slots it then takes."""
        if activity.pinned is not None:
            finish = pinned_finish(activity, activity.pinned, hours)
            return {} if finish == LATE else {finish - activity.pinned: [[activity.pinned, activity.pinned]]}
        low, high = self.windows.earliest_start[number], self.windows.latest_start[number]
        groups: dict[int, list[list[int]]] = {}
        for first, last, slots in pieces(hours, activity.work, activity.mode is Mode.WHOLE):
            if first <= high and last >= low:
                groups.setdefault(slots, []).append([max(first, low), min(last, high)])
        return groups

    def _way(self, number: int, slots: int, spans: list[list[int]]) -> Any:
        way = self.model.new_bool_var("")
        domain = self.cp.Domain.from_intervals(spans)
        self.model.add_linear_expression_in_domain(self.start[number], domain).only_enforce_if(way)
        self.model.add(self.finish[number] == self.start[number] + slots).only_enforce_if(way)
        return way

    def _mixed(self, number: int, ways: Sequence[Any], mix: frozenset[int]) -> None:
        """Say that these ways are those of teams with just these calendars."""
        by_calendar: dict[int, list[Any]] = {}
        for person, lit in self.on_it[number].items():
            by_calendar.setdefault(self.problem.people[person].calendar, []).append(lit)
        for way in ways:
            for calendar, lits in by_calendar.items():
                if calendar in mix:
                    self.model.add_bool_or(lits).only_enforce_if(way)
                else:
                    self.model.add_bool_and([~lit for lit in lits]).only_enforce_if(way)

    def _add_lag(self, number: int, lag: Lag) -> None:
        if self._is_past(lag):
            return
        begins, ends = self._ends(lag)
        if lag.calendar is not None:
            begins = self._open_before(lag.calendar, lag.before, not lag.from_start)
            ends = self._open_before(lag.calendar, lag.after, lag.to_finish)
        if lag.least is not None and self.problem.activities[lag.after].fact is None:
            self._only(ends - begins >= lag.least, Wish(Kind.LEAST, number))
        if lag.most is not None:
            self._only(ends - begins <= lag.most, Wish(Kind.MOST, number))

    def _open_before(self, calendar: int, number: int, at_finish: bool) -> Any:
        """Return how many slots of a calendar are open before an end of an activity."""
        key = calendar, number, at_finish
        if key not in self._passed:
            hours = hours_of(self.problem.calendars[calendar])
            fact = self.problem.activities[number].fact
            if fact is not None:
                self._passed[key] = hours.passed(fact.finish if at_finish else fact.start)
                return self._passed[key]
            made = self.windows
            low, high = (
                (made.earliest_finish[number], made.latest_finish[number])
                if at_finish
                else (made.earliest_start[number], made.latest_start[number])
            )
            table = [hours.passed(slot) for slot in range(low, high + 1)]
            passed = self.model.new_int_var(table[0], table[-1], "")
            self.model.add_element((self.finish if at_finish else self.start)[number] - low, table, passed)
            self._passed[key] = passed
        return self._passed[key]


def _able(activity: Activity) -> list[int]:
    return sorted({*activity.leads, *activity.helpers}) if activity.crew else []
