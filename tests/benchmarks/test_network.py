"""How long a critical path of 10,000 tasks takes, beside a general-purpose graph library on the same graph.

The library is given a graph that is already built and finds the longest path only; the project's function starts
from plain lists and finds earliest and latest times, total and free float too. Target: no slower than the library.
Run with: pytest tests/benchmarks/test_network.py --benchmark-only
"""

from itertools import pairwise
from random import Random

import networkx
import pytest

from domain.network import critical_path

TASKS = 10_000
ROUNDS = 9

pytestmark = pytest.mark.benchmark(group="critical path of 10,000 tasks")


def a_network(seed: int = 7) -> tuple[list[int], list[tuple[int, int, int]]]:
    """Return durations [min] and about three lags per task, each from a lower to a higher number."""
    random = Random(seed)
    durations = [random.randrange(5, 480) for _ in range(TASKS)]
    arcs = {(random.randrange(max(0, number - 200), number), number) for number in range(1, TASKS) for _ in range(3)}
    return durations, [(before, after, random.randrange(0, 1440)) for before, after in sorted(arcs)]


def a_graph(durations: list[int], lags: list[tuple[int, int, int]]) -> networkx.DiGraph:
    """Return the same network: each arc as long as the task before it and the wait after it."""
    graph = networkx.DiGraph()
    graph.add_nodes_from(range(len(durations)))
    graph.add_weighted_edges_from((before, after, durations[before] + lag) for before, after, lag in lags)
    graph.add_weighted_edges_from((number, "end", duration) for number, duration in enumerate(durations))
    return graph


@pytest.fixture(scope="module")
def network():
    return a_network()


@pytest.fixture(scope="module")
def ours():
    """The shortest time of the project's own function [s], once it was measured."""
    return {}


def test_critical_path_with_floats(benchmark, network, ours):
    times = benchmark.pedantic(critical_path, network, rounds=ROUNDS, warmup_rounds=1)
    assert len(times.free_float) == TASKS
    if benchmark.stats:
        ours["s"] = benchmark.stats["min"]


def test_networkx_longest_path_alone_on_a_graph_already_built(benchmark, network, ours, say):
    graph = a_graph(*network)
    path = benchmark.pedantic(networkx.dag_longest_path, (graph,), rounds=ROUNDS, warmup_rounds=1)
    length = sum(graph.edges[edge]["weight"] for edge in pairwise(path))
    assert length == max(critical_path(*network).early_finish)
    if ours:
        theirs = benchmark.stats["min"]
        benchmark.extra_info["times as long as ours"] = round(theirs / ours["s"], 2)
        say(
            f"critical path of {TASKS:,} tasks with floats: {1000 * ours['s']:.1f} ms; networkx's longest path alone: "
            f"{1000 * theirs:.1f} ms, {theirs / ours['s']:.1f} times as long"
        )
