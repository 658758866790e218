"""How long it takes to work out a whole job anew: take-off, estimate, what to order, tasks and plan.

Target: under 30 ms for a job of 100 parts and 80 tasks, from nothing and after a change. A second job has 100
parts of which no two are alike, three times as many as a pantry has. Processor time is measured, so that what else
the machine does counts little.
Run with: pytest tests/benchmarks/test_recompute.py --benchmark-only
"""

import gc
from collections.abc import Iterator
from itertools import count
from time import process_time

import pytest

from benchmarks.big_job import (
    MANY,
    Recomputed,
    a_job_of_100_kinds_of_part,
    a_job_of_100_parts,
    forget,
    recompute,
    with_one_changed,
)
from domain.pieces.piece import PlacedPiece

ROUNDS = 60
TARGET = 30
"""Milliseconds."""

pytestmark = pytest.mark.benchmark(group="a job of 80 tasks and more", timer=process_time)


@pytest.fixture(scope="module", params=[a_job_of_100_parts, a_job_of_100_kinds_of_part], ids=["parts", "kinds"])
def pieces(request: pytest.FixtureRequest) -> Iterator[tuple[PlacedPiece, ...]]:
    """The pieces of a job, while what starting made is collected no more, as in the server."""
    gc.collect()
    gc.freeze()
    yield request.param()
    gc.unfreeze()


def told(say, benchmark, what: str, found: Recomputed) -> None:
    """Check that the job is as big as promised and fully priced, and say its size beside the time."""
    lines, tasks = found.needs.cut_list, len(found.plan.tasks)
    parts = sum(int(line.pieces.value) for line in lines)
    assert MANY in (parts, len(lines))
    assert tasks >= 80
    assert not found.estimate.problems
    size = f"{parts} parts of {len(lines)} kinds, {tasks} tasks"
    benchmark.extra_info |= {"job": size, "target ms": TARGET}
    if benchmark.stats:
        best, usual = (1000 * benchmark.stats[name] for name in ("min", "median"))
        say(f"{what} ({size}): {best:.1f} ms at best, {usual:.1f} ms usually; target {TARGET} ms")


def test_everything_anew(benchmark, pieces, say):
    def start():
        forget()
        return (pieces,), {}

    found = benchmark.pedantic(recompute, setup=start, rounds=ROUNDS)
    told(say, benchmark, "everything anew", found)


def test_after_one_piece_changed(benchmark, pieces, say):
    turns = count(1)
    recompute(pieces)

    def start():
        return (with_one_changed(pieces, next(turns)),), {}

    found = benchmark.pedantic(recompute, setup=start, rounds=ROUNDS)
    told(say, benchmark, "after one piece changed", found)
