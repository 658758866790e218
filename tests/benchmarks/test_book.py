"""A book of many jobs: how many are late, and how far their finishes are from what links alone allow, in half a minute.

A steady book is a job every 14 days, each due seven weeks after it comes in: about 126 hours of work against the 160
that two people have in that time, so 79 % of the hours are asked for. A rush is a job every 4 days. The jobs are
invented. The bound is the sum over all jobs of the finish that their links alone allow, as if hands, clamps, bench and
air had no limits. A ratio of slots from the origin of time says little, since most of the slots pass before a job comes
in: so both are said, from the origin and from the morning each job comes in.
"""

import os
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from time import perf_counter
from typing import Any

import pytest

from benchmarks.shop_problem import shop_problem
from domain.schedule.bound import link_bounds
from domain.schedule.check import violations
from domain.schedule.problem import Problem
from domain.schedule.prove import is_there
from domain.schedule.schedule import Progress, job_finishes
from domain.schedule.solve import Effort, solve

SECONDS = float(os.environ.get("BOOK_SECONDS", "30"))
TOLD_AFTER = (1, 3, 10, 30)
ENDLESS = 1 << 40
DAY, MORNING, WEEKLY_HOURS = 288, 96, 80
"""Slots of a day; the slot of a day at which jobs come in; hours of two people."""


@dataclass(frozen=True)
class Book:
    """Jobs that come in one after the other, so many days apart."""

    jobs: int
    every_days: int

    @property
    def problem(self) -> Problem:
        return shop_problem(self.jobs, every_days=self.every_days)

    def load(self, problem: Problem) -> float:
        """Return the hours asked for by a job as a share of those that people have until the next comes in."""
        hours = sum(activity.work * activity.crew for activity in problem.activities) / 12 / self.jobs
        return hours / (WEEKLY_HOURS * self.every_days / 7)


def standing(book: Book, problem: Problem, step: Progress) -> str:
    """Say how many jobs are late, and how far their finishes are from the bound."""
    finishes = job_finishes(problem, step.best)
    least = [bound.slot for bound in link_bounds(problem)]
    began = sum(number * book.every_days * DAY + MORNING for number in range(book.jobs))
    late = sum(job.due is not None and end > job.due for end, job in zip(finishes, problem.jobs, strict=True))
    return (
        f"{late} late, {sum(finishes) / DAY:.0f} days against {sum(least) / DAY:.0f}: "
        f"{sum(finishes) / sum(least) - 1:.1%} from the origin, "
        f"{(sum(finishes) - began) / (sum(least) - began) - 1:.1%} from when each comes in, {step.proof.value}"
    )


def steps_of(problem: Problem, *, with_solver: bool) -> Iterator[tuple[float, Progress]]:
    """Yield each step of a search that is stopped after so many seconds, and when it came."""
    begun = perf_counter()
    effort = Effort(rounds=ENDLESS, solver=float(ENDLESS) if with_solver else 0.0)
    for step in solve(problem, effort=effort, stop=lambda: perf_counter() - begun >= SECONDS):
        yield perf_counter() - begun, step


@pytest.mark.parametrize("with_solver", [True, False], ids=["solver", "alone"])
@pytest.mark.parametrize("book", [Book(30, 14), Book(10, 4)], ids=["steady-30", "rush-10"])
def test_a_book_after_half_a_minute(benchmark: Any, book: Book, with_solver: bool, say: Callable[[str], None]) -> None:
    """Aimed at for the steady book: none late, and within 10 % of the bound."""
    if with_solver and not is_there():
        pytest.fail("The solver is not installed: pip install '.[solver]'.")
    problem = book.problem
    found = benchmark.pedantic(lambda: list(steps_of(problem, with_solver=with_solver)), rounds=1)
    say(
        f"{book.jobs} jobs, {book.every_days} days apart, {len(problem.activities)} tasks, "
        f"load {book.load(problem):.0%}, {'with' if with_solver else 'without'} the solver, "
        f"first plan after {found[0][0]:.2f} s"
    )
    for after in sorted({0.0, *(float(at) for at in TOLD_AFTER if at < SECONDS), SECONDS + 1}):
        *_, (_, step) = [found[0], *((at, step) for at, step in found if at <= after)]
        say(f"  {min(after, SECONDS):4.0f} s: {standing(book, problem, step)}")
    best = found[-1][1].best
    assert violations(problem, best) == ()
    assert not best.broken
    if book.every_days == 14:
        least = sum(bound.slot for bound in link_bounds(problem))
        finishes = job_finishes(problem, best)
        assert all(end <= (job.due or end) for end, job in zip(finishes, problem.jobs, strict=True))
        assert sum(finishes) <= 1.1 * least
