"""Schedules played again with other durations."""

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchmarks.shop_problem import shop_problem
from domain.schedule.check import violations
from domain.schedule.generate import first
from domain.schedule.problem import (
    Activity,
    Air,
    Calendar,
    Hold,
    Lag,
    Mode,
    Person,
    Problem,
    Resource,
    Side,
)
from domain.schedule.replay import Replay
from domain.schedule.schedule import Schedule

DAYS = Calendar(tuple((10 * day, 10 * day + 4) for day in range(100)))


def works(*takes: int, mode: Mode = Mode.SPLITTABLE) -> tuple[Activity, ...]:
    return tuple(Activity(each, mode, 1, (0,)) for each in takes)


@pytest.mark.parametrize("jobs", [1, 3])
def test_with_the_same_durations_a_schedule_comes_out_as_it_was(jobs: int) -> None:
    problem = shop_problem(jobs)
    schedule = first(problem)
    start, finish = Replay(problem, schedule).run([activity.work for activity in problem.activities])
    assert (tuple(start), tuple(finish)) == (schedule.start, schedule.finish)


@given(st.integers(0, 10_000))
def test_with_any_durations_a_replay_keeps_to_everything(seed: int) -> None:
    """Every window stays met too, wherever holding something back can meet it: the checker says which are not."""
    problem = shop_problem(1)
    schedule = first(problem)
    draw = random.Random(seed)
    work = [round(activity.work * draw.uniform(0.7, 1.6)) for activity in problem.activities]
    work = [
        each if one.mode is not Mode.WHOLE else min(each, 47)
        for each, one in zip(work, problem.activities, strict=True)
    ]
    start, finish = Replay(problem, schedule).run(work)
    other = Problem(
        tuple(
            Activity(each, one.mode, one.crew, one.leads, one.helpers, one.job, one.counts, one.earliest, one.pinned)
            for each, one in zip(work, problem.activities, strict=True)
        ),
        problem.lags, problem.resources, problem.holds, problem.airs, problem.people, problem.calendars, problem.jobs,
        problem.now, problem.horizon,
    )  # fmt: skip
    broken = tuple(
        number
        for number, lag in enumerate(problem.lags)
        if lag.most is not None
        and (finish[lag.after] if lag.to_finish else start[lag.after])
        - (start[lag.before] if lag.from_start else finish[lag.before])
        > lag.most
    )
    assert violations(other, Schedule(tuple(start), tuple(finish), schedule.team, broken)) == ()


def test_who_follows_whom_stays_when_the_first_takes_longer() -> None:
    problem = Problem(works(2, 2), people=(Person(0),), calendars=(DAYS,), horizon=1000)
    schedule = Schedule((0, 2), (2, 4), ((0,), (0,)))
    assert Replay(problem, schedule).run([3, 2]) == ([0, 3], [3, 11])


def test_what_is_held_is_taken_over_when_it_is_let_go() -> None:
    hold = (Hold(0, 20, 0, 0, 1), Hold(0, 10, 1, 1))
    problem = Problem((Activity(5), Activity(5)), resources=(Resource(24),), holds=hold, horizon=1000)
    assert Replay(problem, Schedule((0, 6), (5, 11), ((), ()))).run([9, 5]) == ([0, 10], [9, 15])


def test_dust_waits_for_the_coat_that_came_before_it() -> None:
    airs = (Air(0, Side.WET, 0, 0, 3), Air(0, Side.DUST, 1, 1))
    problem = Problem((Activity(2), Activity(4)), airs=airs, horizon=1000)
    assert Replay(problem, Schedule((0, 5), (2, 9), ((), ()))).run([4, 4]) == ([0, 7], [4, 11])


def test_what_would_miss_its_window_is_held_back() -> None:
    """A coat, a long work by the same hands, then the next coat at most 8 slots after the first."""
    lag = Lag(0, 2, 1, 8)
    problem = Problem(
        (*works(1), *works(3), *works(1)), (lag, Lag(1, 2, 0)), people=(Person(0), Person(0)), calendars=(DAYS,),
        horizon=1000,
    )  # fmt: skip
    schedule = Schedule((0, 0, 3), (1, 3, 4), ((0,), (1,), (0,)))
    start, finish = Replay(problem, schedule).run([1, 7, 1])
    assert start[2] - finish[0] <= 8
    assert (start[1], finish[1]) == (0, 13)


def test_something_that_waits_for_itself_cannot_be_played() -> None:
    problem = Problem((Activity(2), Activity(2)), (Lag(0, 1, 0), Lag(1, 0, 0)), horizon=1000)
    with pytest.raises(ValueError, match="waits for itself"):
        Replay(problem, Schedule((0, 2), (2, 4), ((), ())))
