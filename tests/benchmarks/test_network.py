"""How long a critical path of 10,000 tasks takes, beside a general-purpose graph library on the same graph.

Run with: pytest tests/benchmarks/test_network.py --benchmark-only
"""

from itertools import pairwise
from random import Random

import networkx
import pytest

from domain.network import critical_path

TASKS = 10_000


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


@pytest.mark.benchmark(group="critical path of 10,000 tasks")
def test_critical_path_with_floats(benchmark, network):
    times = benchmark(critical_path, *network)
    assert len(times.free_float) == TASKS


@pytest.mark.benchmark(group="critical path of 10,000 tasks")
def test_networkx_longest_path_alone_on_a_graph_already_built(benchmark, network):
    graph = a_graph(*network)
    path = benchmark(networkx.dag_longest_path, graph)
    length = sum(graph.edges[edge]["weight"] for edge in pairwise(path))
    assert length == max(critical_path(*network).early_finish)
