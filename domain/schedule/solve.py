"""A schedule at once, then better ones while there is time, and what is known of how good they are."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from fractions import Fraction

from domain.schedule.bound import bounds, link_bounds, timing_of
from domain.schedule.check import violations
from domain.schedule.cost import cost
from domain.schedule.generate import Generator, first
from domain.schedule.improve import improve
from domain.schedule.insert import Insertion, late_first, side_by_side
from domain.schedule.problem import NoRoom, Problem
from domain.schedule.prove import Found, is_there, prove
from domain.schedule.schedule import Aim, Bound, Cost, Limit, Progress, Proof, Schedule, job_finishes

AT_ONCE, OTHER_ORDERS, SOLVER = "put in order", "tried other orders", "solver"
STEPS = 50
"""A long search says how far it is so often; what is better between two of these is told with the next."""
TOLD_AFTER = 25
"""Or after so many rounds, which take a second or two where jobs are many."""
FIRST_ROUNDS = 8
"""Other orders of many jobs that are tried before the solver is asked; then half as many more each time."""
EACH = 0.2
"""How much the solver may work for a job at first, where there are many; then twice as much each time."""
WHOLES = 6
"""How often all jobs are placed while the solver goes through them one by one."""


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
    for progress in search.many_jobs() if len(problem.jobs) > 1 else search.one_job():
        source = progress.source
        yield progress
    search.pull_left()
    yield search.progress(source, Fraction(1))


@dataclass(slots=True)
class _Search:
    """The best schedule so far, and what is known of it. made, used: the effort spent, in rounds and of the solver;
    settled: each job was given the best place there is among those due before it.
    """

    problem: Problem
    aim: Aim
    effort: Effort
    stop: Callable[[], bool]
    best: Schedule = field(init=False)
    cost: Cost = field(init=False)
    bounds: tuple[Bound, ...] = field(init=False)
    must_break: int = 0
    proved: dict[int, Schedule] = field(default_factory=dict)
    made: int = 0
    used: float = 0.0
    settled: bool = False

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

    def progress(self, source: str, done: Fraction | None = None) -> Progress:
        """Return where the search is."""
        done = self._done() if done is None else done
        return Progress(self.best, self.cost, self.bounds, self.proof(), done, source, self.must_break)

    def _done(self) -> Fraction:
        """Return how much of the effort is spent."""
        shares = [Fraction(self.made, self.effort.rounds)] if self.effort.rounds else []
        if is_there() and self.effort.solver:
            shares.append(min(Fraction(self.used / self.effort.solver).limit_denominator(1000), Fraction(1)))
        return sum(shares, Fraction(0)) / max(1, len(shares))

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

    def one_job(self) -> Iterator[Progress]:
        """Yield what is better in other orders, then what the solver finds."""
        yield from self._other_orders(self.effort.rounds)
        if self._asks():
            yield from self._ask([0], self.effort.solver)

    def many_jobs(self) -> Iterator[Progress]:
        """Yield what is better by other orders and by the solver in turn, while there is effort left of either."""
        yield from self._other_orders(FIRST_ROUNDS)
        each, leg, before = EACH, FIRST_ROUNDS, None
        while self._asks() and self.best != before and not self.settled:
            before = self.best
            yield from self._one_by_one(each)
            each *= 3
        each = EACH
        while self._asks():
            before = self.best
            yield from self._each([[job] for job in self._stale()], each)
            if self.best == before:
                yield from self._each(side_by_side(self.problem, self.best), each)
            if self.best == before and not self._stale():
                break
            each, leg = 2 * each, leg + leg // 2
            yield from self._other_orders(leg)
        yield from self._other_orders(self.effort.rounds)

    def _asks(self) -> bool:
        """Whether the solver is there and may be asked for more."""
        return is_there() and self.used < self.effort.solver and not self.stop()

    def _other_orders(self, rounds: int) -> Iterator[Progress]:
        """Yield what is better in so many other orders."""
        before, told = self.made, 0
        rounds = min(rounds, self.effort.rounds - before)
        if rounds <= 0 or self.stop():
            return
        small = len(self.problem.jobs) == 1
        found: Schedule | None = None
        for found, done in improve(
            self.problem,
            self.best,
            aim=self.aim,
            seed=before,
            rounds=rounds,
            by_rule=not before,
            stop=lambda: self.stop() or self.is_best(),
        ):
            self.made = before + int(done * rounds)
            if small or self.made - told >= min(rounds // STEPS, TOLD_AFTER):
                told = self.made
                if self._better(found):
                    yield self.progress(OTHER_ORDERS)
        self.made = before + rounds
        if found is not None and self._better(found):
            yield self.progress(OTHER_ORDERS)

    def _one_by_one(self, effort: float) -> Iterator[Progress]:
        """Yield what comes of a best place for each job among those due before it, the others as if not asked for."""
        insertion = Insertion(self.problem, self.aim)
        standing, order = insertion.nothing(self.best), insertion.order(self.bounds)
        effort = min(effort, self.effort.solver / (4 * max(1, len(order))))
        settled = True
        for at, jobs in enumerate(order, 1):
            try:
                part, place = insertion.found(standing, jobs)
                found = None
                for found in self._answers(part.problem, place, jobs, effort * len(jobs)):
                    place = found.best
                settled = settled and found is not None and found.proved
                standing.take(part, place)
                stops = not self._asks()
                if stops or at == len(order) or at % (1 + len(order) // WHOLES) == 0:
                    yield from self._take_whole(insertion.rest(standing, [job for more in order[at:] for job in more]))
            except NoRoom:
                return
            if stops:
                return
        self.settled = settled

    def _take_whole(self, whole: Schedule) -> Iterator[Progress]:
        """Yield a schedule if it is one, and better."""
        if cost(self.problem, whole, self.aim) < self.cost and not violations(self.problem, whole):
            self._take(whole)
            yield self.progress(SOLVER)

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

    def _each(self, turns: Iterable[Sequence[int]], effort: float) -> Iterator[Progress]:
        """Yield what the solver finds with only the jobs of each turn free."""
        effort = min(effort, self.effort.solver / (2 * len(self.problem.jobs)))
        for free in turns:
            if not self._asks():
                return
            if len(free) > 1 or self.proved.get(free[0]) != self.best:
                yield from self._ask(free, min(effort * len(free), self.effort.solver - self.used))

    def _stale(self) -> list[int]:
        """Return the jobs of which nothing is proved while the others stand as they do, the worst first."""
        return [job for job in late_first(self.problem, self.best, self.bounds) if self.proved.get(job) != self.best]

    def _ask(self, free: Sequence[int], effort: float) -> Iterator[Progress]:
        """Yield what the solver finds with only some jobs free."""
        for found in self._answers(self.problem, self.best, None if len(self.problem.jobs) == 1 else free, effort):
            better = self._better(found.best)
            self._learn(free, found)
            if better:
                yield self.progress(SOLVER)

    def _answers(self, problem: Problem, start: Schedule, free: Sequence[int] | None, effort: float) -> Iterator[Found]:
        """Yield what the solver finds, and count how much work it was."""
        before, used = self.used, effort
        least = self.bounds[free[0] if free else 0].slot if free is None or len(free) == 1 else 0
        # Whatever goes wrong inside the solver, the last good schedule stays.
        with suppress(Exception):
            for found in prove(
                problem, start, aim=self.aim, effort=effort, stop=self.stop, free_jobs=free, least=least
            ):
                used = max(found.used, effort / 4)
                self.used = before + used
                yield found
        self.used = before + used

    def _learn(self, free: Sequence[int], found: Found) -> None:
        """Keep what the solver has proved."""
        if found.proved:
            self.proved.update(dict.fromkeys(free, self.best))
        if len(self.problem.jobs) == 1:
            self.must_break = max(self.must_break, found.must_break)
            if found.finish is not None and found.finish > self.bounds[0].slot:
                self.bounds = (Bound(0, found.finish, Limit.SOLVER),)
