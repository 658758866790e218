"""Earliest and latest times against published tables, a graph library and the two clocks of the tasks."""

from collections.abc import Sequence
from datetime import timedelta

import networkx as nx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.open_minutes import minute_at
from domain.part import TaskKind
from domain.schedule.problem import Activity, Calendar, Fact, Job, Lag, Mode, NoRoom, Person, Problem
from domain.schedule.timing import Contradiction, Timing, windows
from domain.task import Clock, Task
from domain.task_times import task_times
from plan_builders import CALENDAR, MONDAY, a_task, wait

HOUSE = "A2; B4(A); C10(B); D6(C); E4(C); F5(E); G7(D); H9(E,G); I7(C); J8(F,I); K4(J); L5(J); M2(H); N6(K,L)"
"""A textbook project of 14 activities: duration 44. Source: a standard textbook of operations research, from memory."""

FOUNDRY = "A2; B3; C2(A); D4(B); E4(C); F3(C); G5(D,E); H2(F,G)"
"""A textbook project of 8 activities: duration 15. Source: a standard textbook of operations research, from memory."""


def project(text: str) -> Problem:
    """Return a project written as activities with their durations and what they wait for."""
    parts = [part.strip().rstrip(")").partition("(") for part in text.split(";")]
    number = {head[0]: at for at, (head, _, _) in enumerate(parts)}
    lags = [Lag(number[before], number[head[0]]) for head, _, waits in parts for before in waits.split(",") if before]
    return Problem(tuple(Activity(int(head[1:])) for head, _, _ in parts), tuple(lags), horizon=1000)


def floats(problem: Problem, finish: int) -> tuple[list[int], list[int]]:
    """Return total and free float of each activity."""
    found = windows(problem, (finish,))
    total = [latest - earliest for earliest, latest in zip(found.earliest_start, found.latest_start, strict=True)]
    free = [
        min([found.earliest_start[lag.after] for lag in problem.lags if lag.before == number] or [finish]) - end
        for number, end in enumerate(found.earliest_finish)
    ]
    return total, free


def test_the_house_of_14_activities_has_the_published_times_and_floats() -> None:
    # Source: the table that goes with the project in the textbook, from memory.
    house = project(HOUSE)
    found = windows(house, (44,))
    assert found.earliest_start == (0, 2, 6, 16, 16, 20, 22, 29, 16, 25, 33, 33, 38, 38)
    assert found.earliest_finish == (2, 6, 16, 22, 20, 25, 29, 38, 23, 33, 37, 38, 40, 44)
    assert found.latest_start == (0, 2, 6, 20, 16, 20, 26, 33, 18, 25, 34, 33, 42, 38)
    assert found.latest_finish == (2, 6, 16, 26, 20, 25, 33, 42, 25, 33, 38, 38, 44, 44)
    assert floats(house, 44) == ([0, 0, 0, 4, 0, 0, 4, 4, 2, 0, 1, 0, 4, 0], [0, 0, 0, 0, 0, 0, 0, 0, 2, 0, 1, 0, 4, 0])
    with pytest.raises(Contradiction) as late:
        windows(house, (43,))
    assert (late.value.job, "".join(chr(65 + at) for at in late.value.activities)) == (0, "ABCEFJLN")


def test_the_foundry_of_8_activities_has_the_published_floats() -> None:
    # Source: the table that goes with the project in the textbook, from memory.
    foundry = project(FOUNDRY)
    assert max(windows(foundry).earliest_finish) == 15
    assert floats(foundry, 15) == ([0, 1, 0, 1, 0, 6, 0, 0], [0, 0, 0, 1, 0, 6, 0, 0])


@st.composite
def networks(draw: st.DrawFn) -> Problem:
    """Return a project day and night: lags between all ends, some of them at most."""
    many = draw(st.integers(2, 7))
    activities = [Activity(draw(st.integers(0, 6)), earliest=draw(st.integers(0, 9))) for _ in range(many)]
    lags = []
    for _ in range(draw(st.integers(1, 10))):
        before, after = draw(
            st.tuples(st.integers(0, many - 1), st.integers(0, many - 1)).filter(lambda two: two[0] != two[1])
        )
        least = draw(st.none() | st.integers(-6, 8))
        most = draw(st.none() | st.integers(-4, 12))
        lags.append(Lag(before, after, least, most, draw(st.booleans()), draw(st.booleans())))
    return Problem(tuple(activities), tuple(lags), horizon=400)


@given(networks())
def test_without_calendars_the_earliest_starts_are_the_longest_paths_of_a_graph_library(problem: Problem) -> None:
    # Source: networkx, shortest paths by Bellman and Ford with negative lengths.
    graph = nx.DiGraph()

    def push(before: object, after: object, length: int) -> None:
        if not graph.has_edge(before, after) or graph[before][after]["weight"] > -length:
            graph.add_edge(before, after, weight=-length)

    for number, activity in enumerate(problem.activities):
        push("now", number, activity.earliest)
    for lag in problem.lags:
        shift = (0 if lag.from_start else problem.activities[lag.before].work) - (
            problem.activities[lag.after].work if lag.to_finish else 0
        )
        if lag.least is not None:
            push(lag.before, lag.after, lag.least + shift)
        if lag.most is not None:
            push(lag.after, lag.before, -lag.most - shift)
    try:
        longest = nx.single_source_bellman_ford_path_length(graph, "now")
    except nx.NetworkXUnbounded:
        with pytest.raises(Contradiction) as found:
            windows(problem)
        kept = tuple(lag for number, lag in enumerate(problem.lags) if number in found.value.lags)
        with pytest.raises(Contradiction):
            windows(Problem(problem.activities, kept, horizon=400))
        return
    assert windows(problem).earliest_start == tuple(-longest[number] for number in range(len(problem.activities)))


WEEK = tuple(
    (day * 24 + opens, day * 24 + closes) for day in range(60) if day % 7 < 5 for opens, closes in ((8, 12), (13, 17))
)


@st.composite
def with_hours(draw: st.DrawFn) -> Problem:
    """Return a project of work in shop hours and waits by day and night, some of them limited; a slot is an hour."""
    many = draw(st.integers(2, 6))
    activities = []
    for _ in range(many):
        mode = draw(st.sampled_from(list(Mode)))
        work = draw(st.integers(1, 4 if mode is Mode.WHOLE else 12))
        crew = int(mode is not Mode.PASSIVE)
        leads = (0, 1)[: draw(st.integers(1, 2))] if crew else ()
        activities.append(Activity(work, mode, crew, leads, earliest=draw(st.integers(0, 200))))
    lags = []
    for _ in range(draw(st.integers(1, 8))):
        before, after = sorted(draw(st.sets(st.integers(0, many - 1), min_size=2, max_size=2)))
        least = draw(st.integers(-4, 30))
        most = draw(st.none() | st.integers(least, least + 60))
        calendar = draw(st.none() | st.just(0))
        lags.append(Lag(before, after, least, most, draw(st.booleans()), draw(st.booleans()), calendar))
    return Problem(
        tuple(activities), tuple(lags), people=(Person(0), Person(1)),
        calendars=(Calendar(WEEK), Calendar(WEEK[1::2])), horizon=1440,
    )  # fmt: skip


def lasts(problem: Problem, lag: Lag, starts: Sequence[int], finishes: Sequence[int]) -> int:
    """Return how long a lag lasts, counted slot by slot."""
    begins = starts[lag.before] if lag.from_start else finishes[lag.before]
    ends = finishes[lag.after] if lag.to_finish else starts[lag.after]
    if lag.calendar is None:
        return ends - begins
    opened = {slot for opens, closes in problem.calendars[lag.calendar].stretches for slot in range(opens, closes)}
    return sum(slot in opened for slot in range(begins, ends)) - sum(slot in opened for slot in range(ends, begins))


@given(with_hours())
def test_the_earliest_times_keep_every_limit_and_nothing_can_be_sooner_by_itself(problem: Problem) -> None:
    try:
        found = windows(problem)
    except (Contradiction, NoRoom):
        return
    alone = all(len(activity.leads) < 2 for activity in problem.activities)
    if alone:  # with two teams the earliest start and finish may be those of different people
        for lag in problem.lags:
            for starts, finishes in (
                (found.earliest_start, found.earliest_finish),
                (found.latest_start, found.latest_finish),
            ):
                lasted = lasts(problem, lag, starts, finishes)
                assert lag.least is None or lasted >= lag.least
                assert lag.most is None or lasted <= lag.most
    for number, activity in enumerate(problem.activities):
        assert found.earliest_start[number] >= activity.earliest
        assert found.earliest_start[number] <= found.latest_start[number]
        assert found.earliest_finish[number] <= found.latest_finish[number]


def test_a_coat_whose_window_closes_on_a_closed_weekend_waits_for_monday_and_pulls_the_first_after_it() -> None:
    coats = Problem(
        (Activity(2, Mode.WHOLE, 1, (0,), earliest=4 * 24 + 15), Activity(2, Mode.WHOLE, 1, (0,))),
        (Lag(0, 1, least=4, most=30),), people=(Person(0),), calendars=(Calendar(WEEK),), horizon=1440,
    )  # fmt: skip
    assert windows(coats).earliest_start == (7 * 24 + 8, 7 * 24 + 14)


def test_a_coat_that_really_ended_on_friday_contradicts_its_window_and_both_are_named() -> None:
    happened = Activity(2, Mode.WHOLE, 1, (0,), fact=Fact(4 * 24 + 15, 4 * 24 + 17, (0,)))
    coats = Problem(
        (happened, Activity(2, Mode.WHOLE, 1, (0,)), Activity(1)), (Lag(0, 1, least=4, most=30), Lag(0, 2)),
        people=(Person(0),), calendars=(Calendar(WEEK),), now=4 * 24 + 17, horizon=1440,
    )  # fmt: skip
    with pytest.raises(Contradiction) as found:
        windows(coats)
    assert found.value.lags == (0,)
    assert set(found.value.activities) == {0, 1}
    assert Timing(coats, forgiven=(0,)).windows().earliest_start[1] == 7 * 24 + 8


def test_a_horizon_that_is_too_short_is_no_contradiction() -> None:
    with pytest.raises(NoRoom):
        windows(Problem((Activity(5), Activity(6)), (Lag(0, 1),), horizon=10))


def test_what_is_due_later_leaves_more_float() -> None:
    two = Problem((Activity(5), Activity(6, job=1)), jobs=(Job(), Job()), horizon=50)
    assert windows(two, (9, None)).latest_start == (4, 44)


@st.composite
def shop_tasks(draw: st.DrawFn) -> list[Task]:
    """Return tasks on two clocks that nothing limits; each but the first waits for others."""
    tasks: list[Task] = []
    for number in range(draw(st.integers(2, 6))):
        kind = draw(st.sampled_from([TaskKind.OTHER, TaskKind.GLUE_UP, TaskKind.CURE])) if number else TaskKind.OTHER
        before = draw(st.sets(st.integers(0, number - 1), min_size=1, max_size=2)) if number else ()
        links = (
            wait(f"t{one}", timedelta(minutes=draw(st.integers(1, 900))), clock=draw(st.sampled_from(list(Clock))))
            for one in sorted(before)
        )
        work = draw(st.integers(1, 200 if kind is TaskKind.GLUE_UP else 1500))
        tasks.append(a_task(f"t{number}", work, *links, kind=kind, splittable=kind is TaskKind.OTHER))
    return tasks


@given(shop_tasks())
def test_with_a_minute_as_slot_the_times_are_those_of_the_tasks_on_two_clocks(tasks: list[Task]) -> None:
    now = minute_at(MONDAY)
    until = MONDAY + timedelta(days=90)
    stretches = tuple(
        (opens - now, closes - now) for opens, closes in CALENDAR.minutes.open_between(now, minute_at(until))
    )
    number_of = {task.key: number for number, task in enumerate(tasks)}
    activities = tuple(
        Activity(minutes(task.duration))
        if task.clock is Clock.ELAPSED
        else Activity(minutes(task.duration), Mode.SPLITTABLE if task.splittable else Mode.WHOLE, 1, (0,))
        for task in tasks
    )
    lags = tuple(
        Lag(
            number_of[link.before], number, minutes(link.at_least),
            calendar=0 if link.clock is Clock.ATTENDED else None,
        )
        for number, task in enumerate(tasks) for link in task.links
    )  # fmt: skip
    problem = Problem(activities, lags, people=(Person(0),), calendars=(Calendar(stretches),), horizon=90 * 1440)
    expected = task_times(tasks, CALENDAR, MONDAY, {})
    found = windows(problem, (max(windows(problem).earliest_finish),))
    for number, task in enumerate(tasks):
        times = expected[task.key]
        assert found.earliest_start[number] + now == times.start
        assert found.earliest_finish[number] + now == times.finish
        assert found.latest_start[number] + now == times.late_start
        assert found.latest_finish[number] + now == times.late_finish


def minutes(duration: timedelta) -> int:
    return duration // timedelta(minutes=1)
