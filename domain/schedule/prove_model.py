"""A part of a problem in the solver's words: variables for what may move, and what they have to keep to.

The fastest of six formulations tried: time is the wall clock, closed hours are cut out of the starts, and one yes or
no stands for each length that work split over closed hours can have. Every variable is told where the schedule to
beat has it. The solver's classes are handed in, so that only prove.py imports it.
"""

from collections.abc import Callable, Collection, Iterable, Sequence
from typing import Any

from domain.schedule.hours import Hours
from domain.schedule.moves import pinned_finish
from domain.schedule.part import Part, Span
from domain.schedule.problem import Activity, Mode
from domain.schedule.prove_hours import Counted, shared
from domain.schedule.schedule import Schedule
from domain.schedule.starts import by_length
from domain.schedule.timing import Timing, Windows

Expression = Any
"""A number, a variable of the solver, or a sum of both."""


class Model:
    """Variables and constraints of a part; windows: between which slots its activities lie in every better schedule;
    soft: its lags whose `most` may be missed, at a price. Numbers are those of the part. alike: nobody is told from
    another, so that teams are found afterwards; exact: nothing is forbidden that a schedule may do;
    counted: work by the open slots before it, where everybody who may do it keeps the same hours, else None;
    busy: when each person is elsewhere; moving: from when to when anything moves.
    """

    def __init__(self, solver: Any, part: Part, timing: Timing, windows: Windows, was: Schedule, soft: Collection[int]):
        self.cp, self.part, self.timing, self.windows = solver, part, timing, windows
        self.model = solver.CpModel()
        self.was = [(was.start[n], was.finish[n], was.team[n]) for n in part.numbers]
        self.start: list[Expression] = [start for start, _, _ in self.was]
        self.finish: list[Expression] = [finish for _, finish, _ in self.was]
        self.length: list[Expression] = [finish - start for start, finish, _ in self.was]
        self.who: list[dict[int, Expression]] = [dict.fromkeys(team, 1) for _, _, team in self.was]
        self.missed = {lag: self.yes_or_no(part.lags[lag] in was.broken) for lag in soft}
        self.moving: Span = (
            min(windows.earliest_start[number] for number in part.free),
            max(windows.latest_finish[number] for number in part.free),
        )
        self.busy = [self.between(spans) for spans in part.busy]
        activities = part.problem.activities
        self.working = [n for n in part.free if activities[n].crew and activities[n].work]
        hours = shared(self, self.working, self.busy) if self.working else None
        self.counted = None if hours is None else Counted(self, self.working, hours)
        self.alike = False
        self.exact = True
        for number in part.free:
            self._place(number)

    def yes_or_no(self, hint: bool) -> Any:
        """Return a literal. hint: what it was."""
        made = self.model.new_bool_var("")
        self.model.add_hint(made, hint)
        return made

    def number(self, runs: Iterable[Span], hint: int) -> Any:
        """Return a whole number that lies in one of the runs. hint: what it was."""
        made = self.model.new_int_var_from_domain(self.cp.Domain.from_intervals([list(run) for run in runs]), "")
        self.model.add_hint(made, hint)
        return made

    def within(self, what: Expression, runs: Iterable[Span], when: Sequence[Any]) -> None:
        """Let something lie in one of the runs whenever all of the literals are true."""
        domain = self.cp.Domain.from_intervals([list(run) for run in runs])
        self.model.add_linear_expression_in_domain(what, domain).only_enforce_if(when)

    def _place(self, number: int) -> None:
        """Make start, length, finish and team of a free activity."""
        activity = self.part.problem.activities[number]
        if self.counted is not None and number in self.counted.passed:
            self.who[number] = self._team(activity, self.was[number][2])
            return
        first, last = self.windows.earliest_start[number], self.windows.latest_start[number]
        if activity.mode is Mode.PASSIVE:
            self.start[number] = (
                activity.pinned if activity.pinned is not None else self.number([(first, last)], self.was[number][0])
            )
            self.length[number] = activity.work
            self.finish[number] = self.start[number] + activity.work
            self.who[number] = self._team(activity, self.was[number][2])
            return
        mixes = self.timing.ways.hours(activity)
        self.who[number] = self._team(activity, self.was[number][2])
        chosen = self._mixes(list(mixes), self.who[number], self.was[number][2])
        groups: list[tuple[int, list[Span], Any]] = []
        for hours, literal in zip(mixes.values(), chosen, strict=True):
            for length, runs in self._lengths(activity, hours, first, last).items():
                groups.append((length, runs, literal))
        self._lasts(number, activity, groups, chosen)

    def _lengths(self, activity: Activity, hours: Hours, first: int, last: int) -> dict[int, list[Span]]:
        if activity.pinned is not None:
            return {
                pinned_finish(activity, activity.pinned, hours) - activity.pinned: [(activity.pinned, activity.pinned)]
            }
        return by_length(hours, activity.work, activity.mode is Mode.WHOLE, first, last)

    def _lasts(
        self, number: int, activity: Activity, groups: list[tuple[int, list[Span], Any]], chosen: list[Any]
    ) -> None:
        """Let an activity start in one of the groups of runs and last as long as that group does."""
        start, finish, team = self.was[number]
        runs = sorted(run for _, group, _ in groups for run in group)
        if not runs:
            self.model.add_bool_or([])
            return
        self.start[number] = self.number(runs, start)
        lengths = sorted({length for length, _, _ in groups})
        if len(lengths) == 1 and len(chosen) == 1:
            self.length[number] = lengths[0]
            self.finish[number] = self.start[number] + lengths[0]
            return
        mine = frozenset(self.part.problem.people[person].calendar for person in team)
        mixes = list(self.timing.ways.hours(activity))
        of = {id(literal): mix for mix, literal in zip(mixes, chosen, strict=True)}
        literals = []
        for length, group, literal in groups:
            here = any(low <= start <= high for low, high in group) and (len(chosen) == 1 or of[id(literal)] == mine)
            own = self.yes_or_no(here)
            self.within(self.start[number], group, [own])
            if len(chosen) > 1:
                self.model.add_implication(own, literal)
            literals.append((length, own))
        self.model.add_exactly_one([own for _, own in literals])
        if len(lengths) == 1:
            self.length[number] = lengths[0]
            self.finish[number] = self.start[number] + lengths[0]
            return
        self.length[number] = self.number([(length, length) for length in lengths], finish - start)
        self.model.add(self.length[number] == sum(length * own for length, own in literals))
        until = self.windows.earliest_finish[number], self.windows.latest_finish[number]
        self.finish[number] = self.number([until], finish)
        self.model.add(self.finish[number] == self.start[number] + self.length[number])

    def _team(self, activity: Activity, team: Sequence[int]) -> dict[int, Expression]:
        """Return for each person who may be on an activity whether they are; 1 for those who must be."""
        able = list(dict.fromkeys(activity.leads + activity.helpers)) if activity.crew else []
        if len(able) == activity.crew:
            return dict.fromkeys(able, 1)
        who = {person: self.yes_or_no(person in team) for person in able}
        if activity.crew == 1:
            self.model.add_exactly_one([who[person] for person in activity.leads])
            for person in able:
                if person not in activity.leads:
                    self.model.add(who[person] == 0)
            return who
        self.model.add(sum(who.values()) == activity.crew)
        self.model.add_bool_or([who[person] for person in activity.leads])
        return who

    def _mixes(self, mixes: list[frozenset[int]], who: dict[int, Expression], team: Sequence[int]) -> list[Any]:
        """Return for each mix of calendars whether the team has it; a single one needs no literal."""
        if len(mixes) == 1:
            return [1]
        calendar = [person.calendar for person in self.part.problem.people]
        mine = frozenset(calendar[person] for person in team)
        chosen = [self.yes_or_no(mix == mine) for mix in mixes]
        self.model.add_exactly_one(chosen)
        for mix, literal in zip(mixes, chosen, strict=True):
            for person, on_it in who.items():
                if calendar[person] not in mix:
                    self.model.add_implication(literal, on_it.negated())
            for one in mix:
                self.model.add_bool_or(
                    [on_it for person, on_it in who.items() if calendar[person] == one]
                ).only_enforce_if(literal)
        return chosen

    def between(self, spans: Iterable[Span]) -> list[Span]:
        """Return those spans that reach into the time in which anything moves."""
        first, last = self.moving
        return [span for span in spans if span[1] > first and span[0] < last]

    def end(self, number: int, finish: bool) -> Expression:
        """Return the slot of an end of an activity."""
        if self.counted is not None and number in self.counted.passed:
            return self.counted.clock(number, finish)
        return self.finish[number] if finish else self.start[number]

    def lasts(self, number: int) -> Expression | None:
        """Return the slots from start to finish of an activity; None where nothing in the model says so."""
        if self.counted is None or number not in self.counted.passed:
            return self.length[number]
        activity = self.part.problem.activities[number]
        return activity.work if activity.mode is Mode.WHOLE else None

    def placed(self, number: int, value: Callable[[Any], int]) -> tuple[int, int, tuple[int, ...]]:
        """Return the start, finish and team of an activity in a solution."""
        team = tuple(person for person, on_it in self.who[number].items() if value(on_it))
        if self.counted is not None and number in self.counted.passed:
            return *self.counted.placed(number, value), team
        return value(self.start[number]), value(self.finish[number]), team

    def window(self, number: int, finish: bool) -> Span:
        """Return between which slots an end of an activity lies."""
        windows = self.windows
        if finish:
            return windows.earliest_finish[number], windows.latest_finish[number]
        return windows.earliest_start[number], windows.latest_start[number]
