"""The solver's door of the planner, and the only one: a better schedule, or proof that there is none.

OR-Tools is an extra. Without it `is_there()` is false and nothing else here may be asked.
"""

from collections.abc import Callable, Generator, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.util import find_spec
from math import ceil
from typing import Any

from domain.schedule.cost import cost
from domain.schedule.moves import LATE
from domain.schedule.part import part_of, spread, with_teams
from domain.schedule.problem import NoRoom, Problem
from domain.schedule.prove_limits import add_limits
from domain.schedule.prove_model import Model
from domain.schedule.prove_search import Placed, settle, solutions
from domain.schedule.schedule import Aim, Schedule, job_finishes
from domain.schedule.timing import Contradiction, Timing

RUNGS = 8
"""How many steps there are, about, from what no schedule can beat up to the schedule to beat."""

TRIES = ((1, 0.03), (3, 0.06), (5, 0.09))
"""Seeds and work of short searches: luck differs more between them than between long ones."""

WIDE_RUNGS, LONG_TRIES = 4, ((1, 0.2), (3, 0.2))
"""The same where work is counted in open slots: too narrow a window is ruled out at once, so that luck matters less."""


@cache
def is_there() -> bool:
    """Whether OR-Tools is installed."""
    return find_spec("ortools") is not None


@dataclass(frozen=True, slots=True)
class Found:
    """best: the best schedule so far; proved: none misses fewer windows, then is less late, then finishes sooner,
    what is not free unchanged; finish: a slot that the only free job cannot be finished before, None where unknown;
    must_break: so many windows are missed by every schedule of what is free; used: work it took so far.
    """

    best: Schedule
    proved: bool
    finish: int | None = None
    must_break: int = 0
    used: float = 0.0


def prove(
    problem: Problem,
    start: Schedule,
    *,
    aim: Aim = Aim.SOONEST,
    effort: float = 1.0,
    stop: Callable[[], bool] = lambda: False,
    free_jobs: Sequence[int] | None = None,
    least: int = 0,
) -> Iterator[Found]:
    """Yield ever better schedules, the last with what is proved of it.

    effort: the solver's own measure of work, never seconds; free_jobs: only these move, None: all; least: a slot that
    the only free job is known not to be finished before.
    """
    search = _Search(problem, start, aim, effort, stop, free_jobs)
    search.least = least
    yield from search.run()


class _Search:
    """One question to the solver, or two where the schedule to beat misses windows."""

    def __init__(
        self,
        problem: Problem,
        start: Schedule,
        aim: Aim,
        effort: float,
        stop: Callable[[], bool],
        free_jobs: Sequence[int] | None,
    ) -> None:
        self.problem, self.aim, self.effort, self.stop = problem, aim, effort, stop
        self.jobs = list(range(len(problem.jobs)) if free_jobs is None else dict.fromkeys(free_jobs))
        self.part = part_of(problem, start, free_jobs)
        self.best, self.cost, self.status = start, cost(problem, start, aim), ""
        self.finish: int | None = None
        self.must_break, self.least, self.used = 0, 0, 0.0
        self.counted = False

    def run(self) -> Iterator[Found]:
        """Yield what is found, the last with what is proved."""
        own = [at for at, lag in enumerate(self.part.lags) if lag in self.best.broken]
        proved = not self.part.free
        if own:
            # First whether all windows can be kept, then which of them to miss.
            proved = yield from self._ask(())
            if proved and any(self.part.lags[at] in self.best.broken for at in own):
                self.must_break = 1
                soft = [at for at, lag in enumerate(self.part.problem.lags) if lag.most is not None]
                proved = yield from self._ask(soft)
        elif self.part.free:
            proved = yield from self._ask(())
        yield self._found(proved)

    def _found(self, proved: bool) -> Found:
        return Found(self.best, proved, self.finish, self.must_break, self.used)

    def _ask(self, soft: Sequence[int]) -> Generator[Found, None, bool]:
        """Yield better schedules; return whether none beats the last. soft: windows that may be missed."""
        timing = Timing(self.part.problem, soft, self.part.held)
        bounded = not any(lag in self.best.broken for lag in self.part.lags)
        try:
            if bounded and len(self.jobs) == 1:
                proved = yield from self._climb(timing)
            else:
                proved = yield from self._within(timing, soft, self._latest(timing, bounded=bounded), self._left())
        except Contradiction:
            return True
        except NoRoom:
            return False
        return proved

    def _left(self) -> float:
        return max(self.effort - self.used, 0.0)

    def _climb(self, timing: Timing) -> Generator[Found, None, bool]:
        """Try finishes from the soonest thinkable up: narrow windows are quick to fill, or to rule out."""
        (job,) = self.jobs
        self.finish = least = max(self._least(timing.earliest().finish)[job], self.least)
        tried, step = least, 0
        while not self.stop() and self._left():
            finish = job_finishes(self.problem, self.best)[job]
            if finish <= least:
                self.finish = least
                return self.aim is Aim.SOONEST or self.cost.first == 0
            last = tried >= finish
            latest: list[int | None] = [None] * len(self.problem.jobs)
            latest[job] = min(tried, finish)
            proved = yield from self._tries(timing, latest, [(0, self._left())] if last else self._short())
            if self.status == "INFEASIBLE":
                self.finish = least = min(tried, finish) + 1
            if proved or last:
                return proved
            step = 2 * step or max(1, (finish - tried) // (WIDE_RUNGS if self.counted else RUNGS))
            tried += step
        return False

    def _short(self) -> Sequence[tuple[int, float]]:
        return LONG_TRIES if self.counted else TRIES

    def _tries(
        self, timing: Timing, latest: Sequence[int | None], tries: Sequence[tuple[int, float]]
    ) -> Generator[Found, None, bool]:
        """Ask the same more than once, as luck has it, until an answer comes; return whether none beats the last."""
        proved = False
        for seed, effort in tries:
            try:
                proved = yield from self._within(timing, (), latest, min(effort, self._left()), seed)
            except Contradiction:
                self.status = "INFEASIBLE"
            if self.status == "INFEASIBLE":
                return False
            if proved or self.status == "FEASIBLE":
                break
        return proved

    def _within(
        self, timing: Timing, soft: Sequence[int], latest: Sequence[int | None], effort: float, seed: int = 0
    ) -> Generator[Found, None, bool]:
        """Yield better schedules finished in time; return whether none beats the last. Raises Contradiction."""
        from ortools.sat.python import cp_model

        if effort <= 0 or self.stop():
            self.status = "UNKNOWN"
            return False
        model = Model(cp_model, self.part, timing, timing.windows(latest), self.best, soft)
        add_limits(model)
        self.counted = model.counted is not None
        lowest = self._aim(model)
        solver = cp_model.CpSolver()
        settle(solver, effort, seed, counted=self.counted)
        ended: list[Any] = []
        for values in solutions(cp_model, solver, model, self.stop, ended):
            if self._better(model, values):
                yield self._found(False)
        if not ended:
            self.status = "UNKNOWN"
            return False
        self.used += float(solver.response_proto.deterministic_time)
        self.status = str(solver.status_name(ended[0]))
        if not model.exact:
            self.status = "UNKNOWN"
        if self.status == "INFEASIBLE":
            return True
        if len(self.jobs) == 1 and not soft and self.status in ("OPTIMAL", "FEASIBLE", "UNKNOWN"):
            bound = max(lowest, ceil(solver.best_objective_bound - 1e-6))
            self.finish = max(self.finish or 0, min(bound, (latest[self.jobs[0]] or bound) + 1))
        if self.status != "OPTIMAL":
            return False
        if self.aim is Aim.CALM:
            return len(self.jobs) == 1 and job_finishes(self.problem, self.best)[self.jobs[0]] == self.finish
        return True

    def _latest(self, timing: Timing, *, bounded: bool) -> list[int | None]:
        """Return by when each job must be finished in any schedule that is better than the best so far."""
        latest: list[int | None] = [None] * len(self.problem.jobs)
        if not bounded:
            return latest
        finishes = job_finishes(self.problem, self.best)
        if len(self.jobs) == 1:
            latest[self.jobs[0]] = finishes[self.jobs[0]]
            return latest
        least = self._least(timing.earliest().finish)
        late = sum(
            self.problem.jobs[job].weight * max(0, finishes[job] - due)
            for job in self.jobs
            if (due := self.problem.jobs[job].due) is not None
        )
        spare = sum(finishes[job] - least[job] for job in self.jobs)
        for job in self.jobs:
            due, weight = self.problem.jobs[job].due, self.problem.jobs[job].weight
            if due is not None and weight:
                latest[job] = max(due + late // weight, least[job])
            if not late:
                latest[job] = min(latest[job] or LATE, least[job] + spare)
        return latest

    def _least(self, earliest: Sequence[int]) -> list[int]:
        """Return the earliest finish of each job."""
        least = list(self.part.done)
        for activity, finish in zip(self.part.problem.activities, earliest, strict=True):
            if activity.counts:
                least[activity.job] = max(least[activity.job], finish)
        return least

    def _aim(self, model: Model) -> int:
        """Tell the solver what is better; return the least that the sum of the finishes can be."""
        problem, cp = self.part.problem, model.model
        lowest = self._least(model.windows.earliest_finish)
        highest = self._least(model.windows.latest_finish)
        now = job_finishes(self.problem, self.best)
        terms: list[Any] = []
        late: list[Any] = []
        for job in self.jobs:
            finish = model.number([(lowest[job], highest[job])], now[job])
            for number in self.part.free:
                if problem.activities[number].counts and problem.activities[number].job == job:
                    cp.add(finish >= model.end(number, True))
            terms.append(finish)
            due = problem.jobs[job].due
            if due is not None and highest[job] > due and len(self.jobs) > 1:
                beyond = model.number([(0, highest[job] - due)], max(0, now[job] - due))
                cp.add(beyond >= finish - due)
                late.append(problem.jobs[job].weight * beyond)
        reach = sum(highest[job] - lowest[job] for job in self.jobs) + 1
        per_window = reach * (1 + sum(
            problem.jobs[job].weight * max(0, highest[job] - (problem.jobs[job].due or 0)) for job in self.jobs
        )) if late else reach  # fmt: skip
        cp.minimize(per_window * sum(model.missed.values()) + reach * sum(late) + sum(terms))
        return sum(lowest[job] for job in self.jobs)

    def _better(self, model: Model, values: Sequence[Placed]) -> bool:
        """Take a schedule of the solver if it is better than the best so far."""
        found = spread(self.part, self.best, self.problem, with_teams(self.part, values) if model.alike else values)
        price = cost(self.problem, found, self.aim)
        if price >= self.cost:
            return False
        self.best, self.cost = found, price
        return True
