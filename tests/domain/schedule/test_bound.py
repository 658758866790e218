"""Finishes that no schedule can beat: never beaten by an optimum, and named for what they follow from."""

from dataclasses import replace

from hypothesis import HealthCheck, given, settings

from domain.schedule.bound import bounds, link_bounds
from domain.schedule.generate import first
from domain.schedule.problem import (
    Activity,
    Air,
    Calendar,
    Hold,
    Lag,
    Mode,
    NoRoom,
    Person,
    Problem,
    Resource,
    Side,
)
from domain.schedule.schedule import Limit, job_finishes
from schedule_cases import problems
from schedule_integer import soonest

DAYS = Calendar(tuple((day * 24 + 8, day * 24 + 16) for day in range(30)))


@settings(max_examples=25, suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much])
@given(problems(activities=4, facts=False, pins=False, horizon=40))
def test_no_bound_is_above_the_optimum_of_an_integer_program(problem: Problem) -> None:
    problem = replace(problem, activities=tuple(replace(activity, counts=True) for activity in problem.activities))
    try:
        (bound,) = bounds(problem)
        finish = max(first(problem).finish)
    except NoRoom:
        return
    best = soonest(problem, finish)
    assert best is None or bound.slot <= best
    (links,) = link_bounds(problem)
    assert links.slot <= bound.slot


@settings(max_examples=25, suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much])
@given(problems(activities=5, jobs=3, facts=False, pins=False, most=False))
def test_no_schedule_of_several_jobs_is_below_their_bounds(problem: Problem) -> None:
    try:
        finishes = job_finishes(problem, first(problem))
    except NoRoom:
        return
    assert all(bound.slot <= finish for bound, finish in zip(bounds(problem), finishes, strict=True))


def work(many: int, slots: int, **more: object) -> tuple[Activity, ...]:
    return tuple(Activity(slots, Mode.SPLITTABLE, 1, (0,), **more) for _ in range(many))  # type: ignore[arg-type]


def test_a_chain_of_steps_and_waits_limits_a_date_and_is_told_in_order() -> None:
    problem = Problem((Activity(5), Activity(7), Activity(2)), (Lag(0, 1, least=3), Lag(0, 2)), horizon=99)
    (bound,) = bounds(problem)
    assert (bound.slot, bound.limit, bound.chain) == (5 + 3 + 7, Limit.LINKS, (0, 1))


def test_one_pair_of_hands_limits_a_date() -> None:
    problem = Problem(work(4, 6), people=(Person(0),), calendars=(DAYS,), horizon=720)
    # 24 hours of work in days of 8 hours: the third day at 16.
    (bound,) = bounds(problem)
    assert (bound.slot, bound.limit, bound.which) == (2 * 24 + 16, Limit.PEOPLE, 0)


def test_too_few_places_to_dry_limit_a_date() -> None:
    problem = Problem(
        tuple(Activity(10) for _ in range(4)),
        (),
        (Resource(2),),
        tuple(Hold(0, 1, at, at, 2) for at in range(4)),
        horizon=99,
    )
    # Two places, 12 slots each time: the last two are done at 12 + 10, or later, as 4 x 12 fit into 2 x 24.
    (bound,) = bounds(problem)
    assert (bound.slot, bound.limit, bound.which) == (22, Limit.RESOURCE, 0)


def test_dust_and_wet_finish_in_one_room_limit_a_date() -> None:
    problem = Problem(
        (Activity(6), Activity(5)), airs=(Air(0, Side.DUST, 0, 0), Air(0, Side.WET, 1, 1)), horizon=99
    )  # fmt: skip
    (bound,) = bounds(problem)
    assert (bound.slot, bound.limit) == (11, Limit.AIR)
