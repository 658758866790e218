"""The smallest contradiction of an invented job of 83 activities: of timing in 20 ms, with people or clamps in 1 s.

What is found is asserted; the times are printed.
"""

from dataclasses import replace

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from benchmarks.shop_problem import shop_problem
from domain.schedule.check import violations
from domain.schedule.contradiction import smallest
from domain.schedule.generate import first
from domain.schedule.problem import Lag, Problem
from domain.schedule.timing import windows
from domain.schedule.wish import Kind

HOUR = 12
DAY = 24 * HOUR
FRIDAY, TUESDAY = 18 * DAY + 14 * HOUR + 6, 29 * DAY + 10 * HOUR


def waits(problem: Problem) -> list[int]:
    """Return the lags that have a window: at least and at most so long."""
    return [number for number, lag in enumerate(problem.lags) if lag.least and lag.most]


def closing() -> tuple[Problem, int, Lag]:
    """Return a job in which a coat is put on at 14:30 of a Friday, and must be followed in 4 to 30 hours."""
    problem = shop_problem()
    number = waits(problem)[0]
    lag = replace(problem.lags[number], least=4 * HOUR, most=30 * HOUR)
    lags = [lag if at == number else other for at, other in enumerate(problem.lags)]
    activities = list(problem.activities)
    activities[lag.before] = replace(activities[lag.before], pinned=FRIDAY)
    return replace(problem, activities=tuple(activities), lags=tuple(lags)), number, lag


def test_a_window_that_closes_over_a_week_end(benchmark: BenchmarkFixture) -> None:
    problem, number, lag = closing()
    found = benchmark(smallest, problem)
    assert found.is_proved
    expected = {(Kind.LEAST, number), (Kind.MOST, number), (Kind.PIN, lag.before), (Kind.HOURS, 0)}
    assert {(wish.kind, wish.number) for wish in found.wishes} == expected


def test_a_promise_before_the_soonest_finish(benchmark: BenchmarkFixture) -> None:
    problem = shop_problem()
    due = max(windows(problem).earliest_finish) - 1
    problem = replace(problem, jobs=(replace(problem.jobs[0], due=due),))
    found = benchmark(smallest, problem, due_is_hard=True)
    assert found.is_proved
    assert Kind.DUE in {wish.kind for wish in found.wishes}


def test_two_coats_in_two_places_by_one_finisher(benchmark: BenchmarkFixture) -> None:
    problem = shop_problem()
    before, after = (problem.lags[number].after for number in waits(problem)[1:5:2])
    activities = list(problem.activities)
    for number, start in ((before, TUESDAY), (after, TUESDAY - 3)):
        activities[number] = replace(activities[number], pinned=start)
    found = benchmark.pedantic(
        smallest, args=(replace(problem, activities=tuple(activities)),), rounds=3, warmup_rounds=1
    )
    assert found.is_proved
    assert {wish.kind for wish in found.wishes} == {Kind.PIN, Kind.PEOPLE}


@pytest.mark.parametrize("later", [0, 36])
def test_a_promise_that_people_clamps_and_air_are_in_the_way_of(benchmark: BenchmarkFixture, later: int) -> None:
    problem = shop_problem(labour=1.5, clamps=12)
    due = max(windows(problem).earliest_finish) + later
    problem = replace(problem, jobs=(replace(problem.jobs[0], due=due),))
    found = benchmark.pedantic(smallest, args=(problem,), kwargs={"due_is_hard": True}, rounds=1, warmup_rounds=0)
    assert Kind.DUE in {wish.kind for wish in found.wishes}


@pytest.mark.parametrize("jobs", [1, 30])
def test_every_plan_is_checked_before_it_is_shown(benchmark: BenchmarkFixture, jobs: int) -> None:
    problem = shop_problem(jobs)
    made = first(problem)
    assert benchmark(violations, problem, made) == ()
