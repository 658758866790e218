"""How long a proof takes, a bound, and the best place for one more job. On demand; see DEVELOPERS.md."""

from typing import Any

import pytest

from benchmarks.shop_problem import shop_problem
from domain.schedule.bound import bounds
from domain.schedule.generate import first
from domain.schedule.prove import prove
from domain.schedule.schedule import Proof
from domain.schedule.solve import Effort, solve
from domain.schedule.timing import Timing, windows


def test_windows_of_one_job(benchmark: Any) -> None:
    problem = shop_problem()
    timing = Timing(problem)
    found = benchmark(timing.windows)
    assert found == windows(problem)


def test_bounds_of_one_job(benchmark: Any) -> None:
    (bound,) = benchmark(bounds, shop_problem())
    assert bound.slot


@pytest.mark.parametrize("labour", [1.0, 1.25, 1.5])
@pytest.mark.parametrize("seed", range(10))
def test_one_job_is_proved_best(benchmark: Any, seed: int, labour: float) -> None:
    # About 130, 160 and 190 labour hours.
    problem = shop_problem(seed=seed, labour=labour)
    steps = benchmark.pedantic(lambda: list(solve(problem, effort=Effort(60, 1.0))), rounds=1)
    assert steps[-1].proof is Proof.BEST


def test_one_more_job_finds_its_place_in_a_book_of_30(benchmark: Any) -> None:
    problem = shop_problem(jobs=30)
    start = first(problem)
    found = benchmark.pedantic(lambda: list(prove(problem, start, effort=0.3, free_jobs=[29])), rounds=1)
    assert found[-1].proved
