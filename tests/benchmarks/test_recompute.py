"""How long it takes to work out a whole job anew: take-off, estimate, deliveries, tasks and plan.

The job has 100 lines of cut list and more than 80 tasks. Target: under 30 ms, from nothing and after a change.
Run with: pytest tests/benchmarks/test_recompute.py --benchmark-only
"""

from itertools import count

import pytest
from benchmarks.big_job import CUT_LINES, Recomputed, a_big_job, forget, recompute, with_one_changed

ROUNDS = 40


@pytest.fixture(scope="module")
def pieces():
    return a_big_job()


def told(benchmark, found: Recomputed) -> None:
    """Check that the job is as big as promised and fully priced, and print its size beside the time."""
    assert len(found.needs.cut_list) == CUT_LINES
    assert len(found.plan.tasks) >= 80
    assert not found.estimate.problems
    parts = sum(line.pieces.value for line in found.needs.cut_list)
    benchmark.extra_info |= {"cut list lines": CUT_LINES, "parts": int(parts), "tasks": len(found.plan.tasks)}


@pytest.mark.benchmark(group="a job of 100 kinds of part")
def test_everything_anew(benchmark, pieces):
    found = benchmark.pedantic(recompute, setup=lambda: (forget(), ((pieces,), {}))[1], rounds=ROUNDS)
    told(benchmark, found)


@pytest.mark.benchmark(group="a job of 100 kinds of part")
def test_after_one_piece_changed(benchmark, pieces):
    turns = count(1)
    recompute(pieces)
    found = benchmark.pedantic(recompute, setup=lambda: ((with_one_changed(pieces, next(turns)),), {}), rounds=ROUNDS)
    told(benchmark, found)
