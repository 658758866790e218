"""Plans of real size: one shop job, ten, thirty over 84 weeks; a published job shop packed over and over.

The shop jobs are invented. What is asserted are the plans; the times are printed.
"""

import sys
from collections.abc import Iterator

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from benchmarks.shop_problem import shop_problem
from domain.schedule.check import violations
from domain.schedule.cost import cost
from domain.schedule.generate import Generator, first
from domain.schedule.improve import improve
from domain.schedule.plain import at_once, finish_of, packed_both_ways, plain_of
from domain.schedule.problem import Problem
from domain.schedule.schedule import Aim, Schedule, job_finishes
from scheduling_sets import job_shops


@pytest.fixture(autouse=True)
def _said(request: pytest.FixtureRequest) -> Iterator[None]:
    yield
    if said := getattr(request.node, "said", ""):
        sys.stderr.write(f"\n{request.node.name}: {said}\n")


@pytest.mark.parametrize("jobs", [1, 3, 10, 30])
def test_a_first_plan(benchmark: BenchmarkFixture, jobs: int, request: pytest.FixtureRequest) -> None:
    """Aimed at: 15 ms for one job, 60 ms for ten, 200 ms for thirty, with all that is prepared before."""
    problem = shop_problem(jobs)
    schedule = benchmark.pedantic(first, args=(problem,), rounds=3, iterations=1)
    assert violations(problem, schedule) == ()
    assert not schedule.broken
    finishes = [finish // 288 for finish in job_finishes(problem, schedule)]
    request.node.said = f"{len(problem.activities)} activities, {cost(problem, schedule)}, days {finishes}"


@pytest.mark.parametrize("jobs", [1, 10])
def test_a_plan_made_again_after_a_change(benchmark: BenchmarkFixture, jobs: int) -> None:
    problem = shop_problem(jobs)
    before = first(problem)
    schedule = benchmark.pedantic(first, args=(problem,), kwargs={"kept": before}, rounds=3, iterations=1)
    assert violations(problem, schedule) == ()


@pytest.mark.parametrize("jobs", [1, 10])
def test_one_more_schedule(benchmark: BenchmarkFixture, jobs: int) -> None:
    problem = shop_problem(jobs)
    generator = Generator(problem)
    schedule = benchmark.pedantic(generator.schedule, args=(first(problem).start,), rounds=5, iterations=1)
    assert violations(problem, schedule) == ()


def better(problem: Problem, start: Schedule, rounds: int, aim: Aim = Aim.SOONEST) -> Schedule:
    return [start, *(schedule for schedule, _ in improve(problem, start, aim=aim, rounds=rounds))][-1]


@pytest.mark.parametrize(("jobs", "rounds", "aim"), [(1, 500, Aim.SOONEST), (3, 200, Aim.SOONEST), (3, 200, Aim.CALM)])
def test_better_orders(
    benchmark: BenchmarkFixture, jobs: int, rounds: int, aim: Aim, request: pytest.FixtureRequest
) -> None:
    problem = shop_problem(jobs, every_days=4)
    start = first(problem)
    best = benchmark.pedantic(better, args=(problem, start, rounds, aim), rounds=1, iterations=1)
    assert violations(problem, best) == ()
    assert cost(problem, best, aim) <= cost(problem, start, aim)
    request.node.said = f"{cost(problem, start, aim)}, then {cost(problem, best, aim)}"


def test_a_project_of_a_hundred_operations_packed_both_ways(benchmark: BenchmarkFixture) -> None:
    """ft10, ten jobs on ten machines, optimum 930: Fisher and Thompson (1963)."""
    problem = next(shop.problem for shop in job_shops() if shop.name == "ft10")
    plain = plain_of(problem)
    assert plain is not None
    starts = at_once(plain)
    packed = benchmark(packed_both_ways, plain, starts)
    assert finish_of(plain, packed) >= 930
