"""The plain critical path: against a graph library on random networks, and two textbook networks."""

from itertools import accumulate

import networkx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from domain.network import Cycle, critical_path, in_order

# Source: the 14-activity house-building project of a standard operations-research textbook, network and
# answers from memory; recomputed and consistent with itself.
HOUSE = {
    "A": (2, ""), "B": (4, "A"), "C": (10, "B"), "D": (6, "C"), "E": (4, "C"), "F": (5, "E"), "G": (7, "D"),
    "H": (9, "EG"), "I": (7, "C"), "J": (8, "FI"), "K": (4, "J"), "L": (5, "J"), "M": (2, "H"), "N": (6, "KL"),
}  # fmt: skip
HOUSE_ANSWERS = {
    "early_start":  [0, 2, 6, 16, 16, 20, 22, 29, 16, 25, 33, 33, 38, 38],
    "early_finish": [2, 6, 16, 22, 20, 25, 29, 38, 23, 33, 37, 38, 40, 44],
    "late_start":   [0, 2, 6, 20, 16, 20, 26, 33, 18, 25, 34, 33, 42, 38],
    "late_finish":  [2, 6, 16, 26, 20, 25, 33, 42, 25, 33, 38, 38, 44, 44],
    "total_float":  [0, 0, 0, 4, 0, 0, 4, 4, 2, 0, 1, 0, 4, 0],
    "free_float":   [0, 0, 0, 0, 0, 0, 0, 0, 2, 0, 1, 0, 4, 0],
}  # fmt: skip

# Source: the 8-activity foundry project of a standard operations-research textbook, from memory.
FOUNDRY = {
    "A": (2, ""), "B": (3, ""), "C": (2, "A"), "D": (4, "B"), "E": (4, "C"), "F": (3, "C"), "G": (5, "DE"),
    "H": (2, "FG"),
}  # fmt: skip


def path_of(project):
    names = list(project)
    durations = [duration for duration, _ in project.values()]
    lags = [(names.index(before), names.index(name), 0) for name, (_, waits) in project.items() for before in waits]
    return critical_path(durations, lags)


def test_the_house_building_project_has_its_published_times():
    times = path_of(HOUSE)
    assert times._asdict() == HOUSE_ANSWERS
    assert "".join(name for name, slack in zip(HOUSE, times.total_float, strict=True) if not slack) == "ABCEFJLN"


def test_the_foundry_project_has_its_published_times():
    times = path_of(FOUNDRY)
    assert max(times.early_finish) == 15
    assert times.total_float == [0, 1, 0, 1, 0, 6, 0, 0]
    assert times.free_float == [0, 0, 0, 1, 0, 6, 0, 0]


@st.composite
def networks(draw):
    count = draw(st.integers(1, 25))
    durations = draw(st.lists(st.integers(0, 500), min_size=count, max_size=count))
    pairs = [(before, after) for after in range(count) for before in range(after)]
    chosen = draw(st.lists(st.sampled_from(pairs), unique=True, max_size=60)) if pairs else []
    renamed = draw(st.permutations(range(count)))
    lags = [(renamed[before], renamed[after], draw(st.integers(0, 300))) for before, after in chosen]
    return durations, lags


def longest_paths(durations, lags):
    """Return for each task the length of the longest path up to its start, by networkx."""
    graph = networkx.DiGraph()
    graph.add_nodes_from(range(len(durations)))
    graph.add_weighted_edges_from((before, after, durations[before] + lag) for before, after, lag in lags)
    starts = []
    for number in range(len(durations)):
        upto = graph.subgraph(networkx.ancestors(graph, number) | {number})
        starts.append(networkx.dag_longest_path_length(upto))
    return starts


@settings(max_examples=150)
@given(networks())
def test_earliest_starts_are_the_longest_paths_of_a_graph_library(network):
    durations, lags = network
    times = critical_path(durations, lags)
    assert times.early_start == longest_paths(durations, lags)


@settings(max_examples=150)
@given(networks())
def test_latest_times_are_the_longest_paths_of_the_network_read_backwards(network):
    durations, lags = network
    times = critical_path(durations, lags)
    backwards = longest_paths(durations, [(after, before, lag) for before, after, lag in lags])
    end = max(times.early_finish)
    assert times.late_finish == [end - tail for tail in backwards]


@settings(max_examples=100)
@given(networks())
def test_a_task_that_slips_by_its_free_float_moves_no_other_and_by_one_more_does(network):
    durations, lags = network
    times = critical_path(durations, lags)
    for number, free in enumerate(times.free_float):
        assert 0 <= free <= times.total_float[number]
        longer = list(durations)
        longer[number] += free
        slipped = critical_path(longer, lags)
        assert slipped.early_start == times.early_start
        assert max(slipped.early_finish) == max(times.early_finish)
        longer[number] += 1
        later = critical_path(longer, lags)
        assert later.early_start != times.early_start or max(later.early_finish) > max(times.early_finish)


@settings(max_examples=60)
@given(networks())
def test_the_order_puts_each_task_after_what_it_waits_for(network):
    durations, lags = network
    place = {number: at for at, number in enumerate(in_order(len(durations), lags))}
    assert sorted(place) == list(range(len(durations)))
    assert all(place[before] < place[after] for before, after, _ in lags)


def test_no_tasks_take_no_time():
    assert critical_path([], []).early_finish == []


def test_a_chain_adds_up_with_its_waits():
    times = critical_path([5, 7, 11], [(0, 1, 2), (1, 2, 3)])
    assert times.early_finish == list(accumulate([5, 2 + 7, 3 + 11]))


def test_a_ring_is_found_and_given_in_order_past_tasks_that_only_follow_it():
    lags = [(0, 1, 0), (3, 1, 0), (1, 2, 0), (2, 3, 0), (3, 4, 0), (4, 5, 0)]
    with pytest.raises(Cycle) as caught:
        critical_path([1] * 6, lags)
    assert caught.value.around == (1, 2, 3)
    with pytest.raises(Cycle, match="would wait for itself"):
        in_order(1, [(0, 0, 0)])
