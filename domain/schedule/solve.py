"""A schedule at once, then better ones while there is time, and what is known of how good they are."""

from collections import abc
from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import pairwise

from domain.schedule.bound import bounds, link_bounds, timing_of
from domain.schedule.check import violations
from domain.schedule.cost import cost
from domain.schedule.generate import Generator, first
from domain.schedule.improve import improve
from domain.schedule.problem import NoRoom, Problem
from domain.schedule.prove import Found, is_there, prove
from domain.schedule.schedule import Aim, Bound, Cost, Limit, Progress, Proof, Schedule, job_finishes

AT_ONCE, OTHER_ORDERS, SOLVER = "put in order", "tried other orders", "solver"
STEPS = 50
"""A long search says how far it is so often; what is better between two of these is told with the next."""


@dataclass(frozen=True, slots=True)
class Effort:
    """How much work a search is worth, the same on every machine. rounds: other orders that are tried;
    solver: the solver's own measure of work for all it is asked, 0: it is not asked.
    """

    rounds: int = 2000
    solver: float = 10.0


def solve(
    problem: Problem,
    *,
    aim: Aim = Aim.SOONEST,
    start: Schedule | None = None,
    effort: Effort = Effort(),
    stop: Callable[[], bool] = lambda: False,
) -> Iterator[Progress]:
    """Yield ever better schedules, each complete and checked, the first at once.

    start: a schedule to begin from. Raises Contradiction where limits that no schedule may break cannot hold,
    NoRoom where the horizon is too short.
    """
    search = _Search(problem, aim, effort, stop)
    yield search.begin(start)
    search.see_bounds()
    if search.is_best():
        yield search.progress(AT_ONCE, Fraction(1))
        return
    source = AT_ONCE
    for part in (search.other_orders(), search.ask_solver()):
        for progress in part:
            source = progress.source
            yield progress
    search.pull_left()
    yield search.progress(source, Fraction(1))


@dataclass(slots=True)
class _Search:
    """The best schedule so far, and what is known of it."""

    problem: Problem
    aim: Aim
    effort: Effort
    stop: Callable[[], bool]
    best: Schedule = field(init=False)
    cost: Cost = field(init=False)
    bounds: tuple[Bound, ...] = field(init=False)
    must_break: int = 0
    proved: dict[int, Schedule] = field(default_factory=dict)

    def begin(self, start: Schedule | None) -> Progress:
        """Return the first schedule; raises Contradiction and NoRoom."""
        timing = timing_of(self.problem)
        timing.windows()
        self.must_break = int(bool(timing.forgiven))
        self.bounds = link_bounds(self.problem)
        if start is None or violations(self.problem, start):
            self._take(first(self.problem, kept=start))
        else:
            self._take(start)
        return self.progress(AT_ONCE, Fraction(0))

    def _take(self, found: Schedule) -> None:
        wrong = violations(self.problem, found)
        if wrong:
            raise AssertionError(f"a schedule was made that is none: {wrong[0]}")
        self.best, self.cost = found, cost(self.problem, found, self.aim)

    def see_bounds(self) -> None:
        """Look closer at what no schedule can beat."""
        self.bounds = bounds(self.problem)

    def progress(self, source: str, done: Fraction) -> Progress:
        """Return where the search is."""
        return Progress(self.best, self.cost, self.bounds, self.proof(), done, source, self.must_break)

    def proof(self) -> Proof:
        """Return what is known of the best schedule."""
        if self.is_best():
            return Proof.BEST
        jobs = range(len(self.problem.jobs))
        in_place = len(jobs) > 1 and all(self.proved.get(job) == self.best for job in jobs)
        return Proof.BEST_PLACE if in_place else Proof.NONE

    def is_best(self) -> bool:
        """Whether no schedule of the only job can be better. How calm it is counts where that comes first."""
        if len(self.problem.jobs) > 1 or self.cost.broken > self.must_break:
            return False
        (finish,) = job_finishes(self.problem, self.best)
        calm = self.aim is Aim.SOONEST or not self.cost.first
        if self.cost.broken:
            return calm and self.proved.get(0) == self.best
        return calm and (finish <= self.bounds[0].slot or self.proved.get(0) == self.best)

    def other_orders(self) -> Iterator[Progress]:
        """Yield what is better in other orders."""
        if not self.effort.rounds or self.stop():
            return
        whole = Fraction(1, 2) if is_there() and self.effort.solver else Fraction(1)
        told = Fraction(0)
        found: Schedule | None = None
        for found, done in improve(
            self.problem, self.best, aim=self.aim, rounds=self.effort.rounds, stop=lambda: self.stop() or self.is_best()
        ):
            small = len(self.problem.jobs) == 1
            if small or done - told >= Fraction(1, STEPS):
                told = done
                if self._better(found):
                    yield self.progress(OTHER_ORDERS, done * whole)
        if found is not None and self._better(found):
            yield self.progress(OTHER_ORDERS, whole)

    def _better(self, found: Schedule) -> bool:
        if cost(self.problem, found, self.aim) >= self.cost:
            return False
        self._take(found)
        return True

    def pull_left(self) -> None:
        """Let everything start as soon as it can in the order found: the solver leaves what has float anywhere.

        Not where each job was proved to have the best place: what was proved is about the others as they stand.
        """
        proof = self.proof()
        if proof is Proof.BEST_PLACE:
            return
        with suppress(NoRoom):
            found = Generator(self.problem).schedule(self.best.start, kept=self.best)
            if cost(self.problem, found, self.aim) <= self.cost and not violations(self.problem, found):
                self._take(found)
                if proof is Proof.BEST:
                    self.proved[0] = found

    def ask_solver(self) -> Iterator[Progress]:
        """Yield what the solver finds: the only job as a whole, else job by job, then pairs, while work is left."""
        if not is_there() or not self.effort.solver:
            return
        jobs = len(self.problem.jobs)
        if jobs == 1:
            yield from self._ask([0], self.effort.solver, Fraction(1, 2))
            return
        left = self.effort.solver
        each = min(left / (2 * jobs), 1.0)
        turns = [[job] for job in self._late_first()]
        while turns and left > 0 and not self.stop():
            for free in turns:
                if len(free) == 1 and self.proved.get(free[0]) == self.best:
                    continue
                share = 1 - Fraction(left / self.effort.solver).limit_denominator(1000) / 2
                used = yield from self._ask(free, min(each * len(free), left), share)
                left -= used
                if left <= 0 or self.stop():
                    return
            before = len(turns[0])
            stale = [[job] for job in self._late_first() if self.proved.get(job) != self.best]
            turns = stale if before > 1 else list(self._neighbours())
            if before > 1 and not stale:
                return

    def _late_first(self) -> list[int]:
        """Return the jobs, those that are late or farthest from their bound first."""
        finishes = job_finishes(self.problem, self.best)

        def lost(job: int) -> tuple[int, int, int]:
            due = self.problem.jobs[job].due
            late = 0 if due is None else max(0, finishes[job] - due) * self.problem.jobs[job].weight
            return -late, self.bounds[job].slot - finishes[job], job

        return sorted(range(len(finishes)), key=lost)

    def _neighbours(self) -> Iterator[list[int]]:
        """Yield pairs of jobs that lie close to one another in time."""
        finishes = job_finishes(self.problem, self.best)
        order = sorted(range(len(finishes)), key=lambda job: (finishes[job], job))
        for one, other in pairwise(order):
            yield [one, other]

    def _ask(self, free: Sequence[int], effort: float, done: Fraction) -> abc.Generator[Progress, None, float]:
        """Yield what the solver finds with only some jobs free; return how much work it was."""
        used = effort
        asked = prove(
            self.problem,
            self.best,
            aim=self.aim,
            effort=effort,
            stop=self.stop,
            free_jobs=None if len(self.problem.jobs) == 1 else free,
            least=self.bounds[free[0]].slot if len(free) == 1 else 0,
        )
        while True:
            try:
                found = next(asked, None)
            except Exception:
                # Whatever goes wrong inside the solver, the last good schedule stays.
                return used
            if found is None:
                return used
            used = found.used
            better = self._better(found.best)
            self._learn(free, found)
            if better:
                yield self.progress(SOLVER, done)

    def _learn(self, free: Sequence[int], found: Found) -> None:
        """Keep what the solver has proved."""
        if found.proved:
            self.proved.update(dict.fromkeys(free, self.best))
        if len(self.problem.jobs) == 1:
            self.must_break = max(self.must_break, found.must_break)
            if found.finish is not None and found.finish > self.bounds[0].slot:
                self.bounds = (Bound(0, found.finish, Limit.SOLVER),)
