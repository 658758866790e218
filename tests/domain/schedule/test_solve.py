"""The search as a whole: good at once, better later, checked always, and what it says of itself."""

import pickle
from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from domain.schedule import solve as search
from domain.schedule.check import violations
from domain.schedule.cost import cost
from domain.schedule.problem import Activity, Calendar, Job, Lag, Mode, NoRoom, Person, Problem
from domain.schedule.schedule import Aim, Limit, Progress, Proof, Schedule
from domain.schedule.solve import Effort, solve
from domain.schedule.timing import Contradiction
from schedule_cases import problems
from scheduling_sets import JobShop

DAYS = Calendar(tuple((day * 24 + 8, day * 24 + 16) for day in range(60)))
SMALL = Effort(rounds=30, solver=2.0)
THREE = JobShop("invented", 0, (((0, 3), (1, 2), (2, 2)), ((0, 2), (2, 1), (1, 4)), ((1, 4), (2, 3), (0, 2)))).problem


def jobs_of(many: int) -> Problem:
    """Return jobs of two steps each for one pair of hands."""
    activities = [
        Activity(slots, Mode.SPLITTABLE, 1, (0,), job=job) for job in range(many) for slots in (2 + job, 3)
    ]  # fmt: skip
    lags = tuple(Lag(2 * job, 2 * job + 1, 2) for job in range(many))
    return Problem(
        tuple(activities), lags, people=(Person(0),), calendars=(DAYS,), horizon=1440, jobs=(Job(40),) * many
    )  # fmt: skip


@settings(max_examples=15, suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much])
@given(problems(activities=5, jobs=2, pins=False), st.sampled_from(Aim))
def test_every_step_is_allowed_and_none_is_worse_than_the_one_before(problem: Problem, aim: Aim) -> None:
    try:
        steps = list(solve(problem, aim=aim, effort=Effort(10, 0.5)))
    except (NoRoom, Contradiction):
        return
    for step in steps:
        assert violations(problem, step.best) == ()
        assert step.cost == cost(problem, step.best, aim)
    costs = [step.cost for step in steps]
    assert costs == sorted(costs, reverse=True)
    shares = [step.done for step in steps]
    assert (shares, shares[-1]) == (sorted(shares), 1)


def test_one_job_is_proved_best_and_its_bound_meets_it() -> None:
    *_, last = solve(THREE, effort=SMALL)
    assert (last.proof, last.bounds[0].slot) == (Proof.BEST, last.cost.first)


def test_several_jobs_are_never_called_best_but_each_in_its_best_place() -> None:
    *_, last = solve(jobs_of(3), effort=Effort(30, 6.0))
    assert last.proof is Proof.BEST_PLACE


def test_the_same_question_has_the_same_steps() -> None:
    assert list(solve(jobs_of(3), effort=SMALL)) == list(solve(jobs_of(3), effort=SMALL))


def test_without_the_solver_everything_works_but_the_proof(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(search, "is_there", lambda: False)
    *_, last = solve(jobs_of(3), effort=SMALL)
    assert last.proof is Proof.NONE
    assert {step.source for step in solve(jobs_of(3), effort=SMALL)} <= {search.AT_ONCE, search.OTHER_ORDERS}


def test_a_solver_that_breaks_down_leaves_the_last_good_schedule(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*args: object, **more: object) -> None:
        raise RuntimeError("no memory left")
        yield

    without = list(solve(THREE, effort=Effort(5, 0)))[-1]
    monkeypatch.setattr(search, "prove", broken)
    assert list(solve(THREE, effort=Effort(5, 5.0)))[-1].best == without.best


def test_a_search_that_is_stopped_ends_with_the_best_so_far() -> None:
    steps = list(solve(jobs_of(3), stop=lambda: True))
    assert (steps[0].best, steps[-1].done) == (steps[-1].best, 1)


def test_a_start_that_is_given_is_where_it_begins() -> None:
    *_, best = solve(THREE, effort=SMALL)
    assert next(iter(solve(THREE, start=best.best))).best == best.best


def test_limits_that_nobody_may_break_are_told_to_contradict() -> None:
    pinned = replace(THREE.activities[1], pinned=1)
    problem = replace(THREE, activities=(THREE.activities[0], pinned, *THREE.activities[2:]))
    with pytest.raises(Contradiction) as found:
        next(iter(solve(problem)))
    assert found.value.lags == (0,)


def test_a_window_that_cannot_be_kept_is_missed_and_told() -> None:
    problem = Problem((Activity(2), Activity(2)), (Lag(0, 1, least=5), Lag(0, 1, least=None, most=3)), horizon=50)
    *_, last = solve(problem, effort=SMALL)
    assert (last.cost.broken, last.must_break, last.proof) == (1, 1, Proof.BEST)


def test_what_limits_a_date_is_named_until_the_solver_knows_better() -> None:
    *_, last = solve(jobs_of(1), effort=SMALL)
    assert last.bounds[0].limit is not Limit.SOLVER


def test_question_and_answers_travel_to_another_process_and_back() -> None:
    for step in solve(pickle.loads(pickle.dumps(THREE)), effort=SMALL):
        assert isinstance(pickle.loads(pickle.dumps(step)), Progress)
    again = pickle.loads(pickle.dumps(Contradiction((1,), (2, 3), 0)))
    assert (again.lags, again.activities, again.job) == ((1,), (2, 3), 0)


def test_what_stands_late_without_need_is_pulled_left() -> None:
    """A long row sets the finish; a short activity beside it may stand anywhere for the solver, but starts at once."""
    problem = Problem((Activity(10), Activity(10), Activity(3)), (Lag(0, 1),), horizon=1000)
    found = search._Search(problem, Aim.SOONEST, Effort(), lambda: False)
    found.begin(Schedule((0, 10, 9), (10, 20, 12), ((), (), ())))
    found.pull_left()
    assert found.best.start == (0, 10, 0)
    assert found.proof() is Proof.BEST
