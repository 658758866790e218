"""Contradictions planted by hand, and small random ones against every schedule there is, tried slot by slot."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.schedule import prove
from domain.schedule.contradiction import Conflict, Hopeless, smallest
from domain.schedule.problem import (
    Activity,
    Air,
    Calendar,
    Fact,
    Hold,
    Job,
    Lag,
    Mode,
    NoRoom,
    Person,
    Problem,
    Resource,
    Side,
)
from domain.schedule.schedule import Schedule
from domain.schedule.wish import Kind, Wish, wishes_of, without
from schedule_cases import problems
from schedule_slots import schedules

HOUR = 4
DAY = 24 * HOUR
FRIDAY = 4 * DAY
WEEKS = Calendar(
    tuple(
        (day * DAY + 8 * HOUR, day * DAY + 17 * HOUR)
        for week in range(4)
        for day in range(week * 7, week * 7 + 5)
    )
)  # fmt: skip
"""Mo to Fr 8 to 17, in quarters of an hour from Monday midnight."""
COAT = Activity(HOUR, Mode.WHOLE, 1, (0,))


def shop(*activities: Activity, **more: object) -> Problem:
    """Return a problem of one person who works Mo to Fr 8 to 17, for four weeks."""
    made = Problem(activities, people=(Person(0),), calendars=(WEEKS,), horizon=28 * DAY)
    return replace(made, **more)  # type: ignore[arg-type]


def first_coat(at: int, *, least: int = 4, most: int = 30) -> Problem:
    """Return a second coat within hours of the first, which was finished at an hour of Friday."""
    done = Fact(FRIDAY + (at - 1) * HOUR, FRIDAY + at * HOUR, (0,))
    lag = Lag(0, 1, least * HOUR, most * HOUR)
    return shop(replace(COAT, fact=done), COAT, lags=(lag,), now=FRIDAY + at * HOUR)


def wishes(found: Conflict) -> set[tuple[Kind, int]]:
    assert found.is_proved
    return {(wish.kind, wish.number) for wish in found.wishes}


def test_a_coat_finished_on_friday_at_16_closes_before_anybody_works_again() -> None:
    assert wishes(smallest(first_coat(16))) == {(Kind.LEAST, 0), (Kind.MOST, 0), (Kind.HOURS, 0)}


def test_nothing_contradicts_a_coat_finished_on_friday_at_12_or_with_a_window_over_the_week_end() -> None:
    assert smallest(first_coat(12)) == Conflict((), is_proved=True)
    assert smallest(first_coat(16, most=72)) == Conflict((), is_proved=True)


@pytest.mark.parametrize("kind", [Kind.LEAST, Kind.MOST, Kind.HOURS])
def test_each_wish_given_up_lets_the_second_coat_be_put_on(kind: Kind) -> None:
    assert smallest(without(first_coat(16), Wish(kind, 0))) == Conflict((), is_proved=True)


def test_of_a_pin_and_a_wait_in_a_long_job_nothing_else_is_named() -> None:
    """Ten things in a row before, ten after; the one pinned to Monday comes two days after what takes till Tuesday."""
    row = tuple(replace(COAT, mode=Mode.SPLITTABLE) for _ in range(20))
    lags = [Lag(at, at + 1, 0, 80 * HOUR) for at in range(19)]
    lags[9] = Lag(9, 10, 2 * DAY, 80 * HOUR)
    activities = (*row[:10], replace(row[10], pinned=2 * DAY + 8 * HOUR), *row[11:])
    found = smallest(shop(*activities, lags=tuple(lags)))
    assert wishes(found) == {(Kind.LEAST, 9), (Kind.PIN, 10)}


def test_two_coats_at_one_hour_contradict_that_nobody_is_in_two_places() -> None:
    pinned = replace(COAT, pinned=9 * HOUR)
    found = smallest(shop(pinned, replace(pinned, pinned=pinned.pinned and pinned.pinned + 2)))
    assert wishes(found) == {(Kind.PIN, 0), (Kind.PIN, 1), (Kind.PEOPLE, 0)}


def test_clamps_that_run_short_contradict_what_is_promised() -> None:
    """Two frames of 16 clamps for ten hours each, of 24: not both by the evening of the first day."""
    glue = Activity(10 * HOUR)
    holds = (Hold(0, 16, 0, 0), Hold(0, 16, 1, 1))
    problem = shop(glue, glue, resources=(Resource(24),), holds=holds, jobs=(Job(19 * HOUR),))
    assert wishes(smallest(problem, due_is_hard=True)) == {(Kind.CAPACITY, 0), (Kind.DUE, 0)}
    assert smallest(problem) == Conflict((), is_proved=True)


def test_dust_on_a_wet_coat_is_named_with_the_pins_that_bring_it_about() -> None:
    sand, coat = replace(COAT, pinned=9 * HOUR), replace(COAT, pinned=8 * HOUR)
    airs = (Air(0, Side.DUST, 0, 0), Air(0, Side.WET, 1, 1, 2 * HOUR))
    assert wishes(smallest(shop(sand, coat, airs=airs))) == {(Kind.AIR, 0), (Kind.PIN, 0), (Kind.PIN, 1)}


def test_work_longer_than_any_day_that_may_not_be_broken_off_contradicts_closed_hours() -> None:
    assert wishes(smallest(shop(replace(COAT, work=10 * HOUR)))) == {(Kind.HOURS, 0)}


def test_things_that_wait_for_each_other_in_a_ring_are_named_though_their_order_is_no_wish() -> None:
    ring = shop(COAT, COAT, COAT, lags=(Lag(0, 1), Lag(1, 2), Lag(2, 0), Lag(0, 2)))
    assert wishes(smallest(ring)) == {(Kind.LEAST, 0), (Kind.LEAST, 1), (Kind.LEAST, 2)}


def test_what_cannot_be_done_whatever_is_given_up_is_said() -> None:
    with pytest.raises(Hopeless):
        smallest(first_coat(16), [Wish(Kind.PEOPLE, 0)])
    with pytest.raises(Hopeless):
        smallest(shop(replace(COAT, crew=2)))


def test_only_what_may_be_given_up_is_named_and_the_rest_holds() -> None:
    problem = replace(first_coat(16), jobs=(Job(FRIDAY + 22 * HOUR),))
    left = [Wish(Kind.HOURS, 0), Wish(Kind.MOST, 0)]
    assert wishes(smallest(problem, left)) == {(Kind.HOURS, 0), (Kind.MOST, 0)}
    assert wishes(smallest(problem, left, due_is_hard=True)) == {(Kind.HOURS, 0)}


def test_without_the_solver_timing_is_proved_and_the_rest_is_said_not_to_be(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(prove, "is_there", lambda: False)
    assert wishes(smallest(first_coat(16))) == {(Kind.LEAST, 0), (Kind.MOST, 0), (Kind.HOURS, 0)}
    pinned = replace(COAT, pinned=9 * HOUR)
    found = smallest(shop(pinned, pinned))
    assert not found.is_proved
    assert {wish.kind for wish in found.wishes} == {Kind.PIN, Kind.PEOPLE}


LAST = 24
"""So late do all schedules of the small problems end: every one of them can be tried."""


def small(problem: Problem) -> Problem:
    """Return a problem of which nobody knows the hours after LAST."""
    calendars = (
        Calendar(tuple((opens, min(closes, LAST)) for opens, closes in one.stretches if opens < LAST))
        for one in problem.calendars
    )
    return replace(problem, calendars=tuple(calendars), horizon=LAST)


def is_past(problem: Problem, lag: int) -> bool:
    return all(problem.activities[at].fact is not None for at in (problem.lags[lag].before, problem.lags[lag].after))


def is_late(problem: Problem, schedule: Schedule) -> bool:
    dues = [problem.jobs[activity.job].due if activity.counts else None for activity in problem.activities]
    return any(due is not None and finish > due for due, finish in zip(dues, schedule.finish, strict=True))


def is_possible(problem: Problem, *, due_is_hard: bool) -> bool:
    return any(
        all(is_past(problem, lag) for lag in schedule.broken) and not (due_is_hard and is_late(problem, schedule))
        for schedule in schedules(problem, LAST)
    )


@given(problems(activities=3, resources=2, horizon=32).map(small), st.booleans())
def test_a_contradiction_is_one_and_ends_with_any_of_its_wishes(problem: Problem, due_is_hard: bool) -> None:
    asked = wishes_of(problem, due_is_hard=due_is_hard)
    try:
        found = smallest(problem, due_is_hard=due_is_hard)
    except NoRoom:
        assert not is_possible(problem, due_is_hard=due_is_hard)
        return
    assert found.is_proved
    if any(wish not in asked for wish in found.wishes):
        asked = wishes_of(problem, due_is_hard=due_is_hard, order=True)
    if not found.wishes:
        assert is_possible(problem, due_is_hard=due_is_hard)
        return
    for given_up in (None, *found.wishes):
        left = set(found.wishes) - {given_up}
        rest = without(problem, *(wish for wish in asked if wish not in left))
        assert is_possible(rest, due_is_hard=due_is_hard) == (given_up is not None)
