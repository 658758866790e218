"""The solver's answers against published optima, an integer program and every schedule tried."""

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from domain.schedule.check import violations
from domain.schedule.cost import cost
from domain.schedule.generate import first
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
from domain.schedule.prove import Found, prove
from domain.schedule.schedule import Aim, job_finishes
from schedule_cases import problems
from schedule_integer import soonest
from schedule_slots import schedules
from scheduling_sets import JobShop

QUICK = settings(max_examples=20, suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much])

FT06 = JobShop(
    "ft06", 55,
    (
        ((2, 1), (0, 3), (1, 6), (3, 7), (5, 3), (4, 6)),
        ((1, 8), (2, 5), (4, 10), (5, 10), (0, 10), (3, 4)),
        ((2, 5), (3, 4), (5, 8), (0, 9), (1, 1), (4, 7)),
        ((1, 5), (0, 5), (2, 5), (3, 3), (4, 8), (5, 9)),
        ((2, 9), (1, 3), (4, 5), (5, 4), (0, 3), (3, 1)),
        ((1, 3), (3, 3), (5, 9), (0, 10), (4, 4), (2, 1)),
    ),
)  # fmt: skip
"""Source: H. Fisher, G. Thompson, Probabilistic learning combinations of local job-shop scheduling rules, 1963."""


def proved(problem: Problem, **more: object) -> Found:
    """Return the last thing the solver says of a problem."""
    *_, last = prove(problem, first(problem), effort=20.0, **more)  # type: ignore[arg-type]
    assert violations(problem, last.best) == ()
    return last


def test_the_job_shop_of_fisher_and_thompson_is_proved_to_take_55() -> None:
    found = proved(FT06.problem)
    assert (job_finishes(FT06.problem, found.best), found.proved, found.finish) == ((55,), True, 55)


def as_one(problem: Problem) -> Problem:
    """Return a problem whose only job is finished when everything is."""
    return replace(problem, activities=tuple(replace(activity, counts=True) for activity in problem.activities))


@QUICK
@given(problems(activities=4, facts=False, pins=False, horizon=40))
def test_what_is_proved_is_what_an_integer_program_finds(problem: Problem) -> None:
    problem = as_one(problem)
    try:
        found = proved(problem)
    except NoRoom:
        return
    assert found.proved
    (finish,) = job_finishes(problem, found.best)
    best = soonest(problem, 40 if found.must_break else finish)
    if found.must_break:
        assert best is None
    else:
        assert (best, found.best.broken) == (finish, ())


@QUICK
@given(problems(activities=3, pins=False, horizon=32))
def test_what_is_proved_is_the_best_of_all_schedules(problem: Problem) -> None:
    problem = as_one(problem)
    try:
        found = proved(problem)
    except NoRoom:
        return
    (finish,) = job_finishes(problem, found.best)
    best = cost(problem, found.best)
    others = [cost(problem, other) for other in schedules(problem, finish)]
    assert min((other.broken, other.late, other.first) for other in others) == (best.broken, best.late, best.first)


@QUICK
@given(problems(activities=4, jobs=2, horizon=48, most=False, pins=False), st.data())
def test_what_is_not_free_stays_and_what_is_free_finds_its_best_place(problem: Problem, data: st.DataObject) -> None:
    try:
        start = first(problem)
    except NoRoom:
        return
    job = data.draw(st.integers(0, len(problem.jobs) - 1))
    *_, found = prove(problem, start, free_jobs=[job], effort=5.0)
    assert violations(problem, found.best) == ()
    assert cost(problem, found.best) <= cost(problem, start)
    for number, activity in enumerate(problem.activities):
        if activity.job != job:
            assert found.best.start[number] == start.start[number]
            assert found.best.team[number] == start.team[number]


def test_the_same_question_has_the_same_answer() -> None:
    assert proved(FT06.problem) == proved(FT06.problem)


def test_a_search_that_is_stopped_keeps_what_it_has() -> None:
    start = first(FT06.problem)
    *_, found = prove(FT06.problem, start, effort=20.0, stop=lambda: True)
    assert (found.best, found.proved) == (start, False)


def test_windows_that_cannot_be_kept_are_missed_as_few_as_possible() -> None:
    # One pair of hands, two coats that each must follow their sanding within the hour, both sanded by noon.
    sanded = [Activity(0, fact=Fact(4, 4)) for _ in range(2)]
    coats = [Activity(3, Mode.WHOLE, 1, (0,)) for _ in range(2)]
    problem = Problem(
        (*sanded, *coats), (Lag(0, 2, most=1), Lag(1, 3, most=1)), people=(Person(0),),
        calendars=(Calendar(((0, 40),)),), now=4, horizon=40,
    )  # fmt: skip
    found = proved(problem)
    assert (len(found.best.broken), found.must_break, found.proved) == (1, 1, True)


def test_dust_and_wet_finish_take_turns_and_clamps_are_let_go_when_unclamped() -> None:
    problem = Problem(
        (Activity(2), Activity(3), Activity(1), Activity(4)), (Lag(0, 1),), (Resource(1),),
        (Hold(0, 1, 0, 1), Hold(0, 1, 3, 3)), (Air(0, Side.DUST, 2, 2, 1), Air(0, Side.WET, 3, 3, 2)), horizon=60,
    )  # fmt: skip
    # The clamps are held for 2 + 3 slots and for 4, one after the other; dust finds room beside them.
    assert job_finishes(problem, proved(problem).best) == (9,)


def test_what_would_be_let_go_before_it_is_taken_is_not_put_in_order() -> None:
    # Whole work of 3 fits behind work of 2 into a morning of 5, if what holds the bench from 0 to 1 begins tomorrow.
    work = [Activity(slots, Mode.SPLITTABLE, 1, (0,)) for slots in (1, 2)]
    problem = Problem(
        (*work, Activity(3, Mode.WHOLE, 1, (0,))), (Lag(1, 2),), (Resource(1),), (Hold(0, 1, 0, 1), Hold(0, 1, 2, 2)),
        people=(Person(0),), calendars=(Calendar(((0, 5), (8, 13))),), horizon=16,
    )  # fmt: skip
    assert job_finishes(problem, proved(problem).best) == (9,)


def test_calm_counts_before_soon_only_when_it_is_asked_for() -> None:
    found = proved(FT06.problem, aim=Aim.CALM)
    assert cost(FT06.problem, found.best, Aim.CALM) <= cost(FT06.problem, first(FT06.problem), Aim.CALM)


@pytest.mark.parametrize("due", [None, 20, 60])
def test_a_due_date_changes_nothing_for_one_job_alone(due: int | None) -> None:
    problem = replace(FT06.problem, jobs=(Job(due),))
    assert job_finishes(problem, proved(problem).best) == (55,)
