"""One job after the other: what stands stays, what is far is left out, and all of it together is a schedule."""

from hypothesis import HealthCheck, given, settings

from domain.schedule.among import Neighbours
from domain.schedule.bound import link_bounds
from domain.schedule.check import violations
from domain.schedule.generate import first
from domain.schedule.insert import Insertion
from domain.schedule.problem import Activity, Calendar, Fact, Hold, Job, Lag, Mode, NoRoom, Person, Problem, Resource
from domain.schedule.schedule import Aim, Schedule, job_finishes
from domain.schedule.timing import Contradiction
from schedule_cases import problems

DAYS = Calendar(tuple((day * 24 + 8, day * 24 + 16) for day in range(60)))


def a_book(many: int, every: int) -> Problem:
    """Return jobs of a day's work each for one pair of hands, then a day of drying on the only rack."""
    activities = [
        activity
        for job in range(many)
        for activity in (
            Activity(8, Mode.SPLITTABLE, 1, (0,), job=job, earliest=job * every),
            Activity(24, job=job),
        )
    ]
    return Problem(
        tuple(activities),
        tuple(Lag(2 * job, 2 * job + 1) for job in range(many)),
        (Resource(1),),
        tuple(Hold(0, 1, 2 * job, 2 * job + 1) for job in range(many)),
        people=(Person(0),),
        calendars=(DAYS,),
        jobs=tuple(Job(due=job * every + 90) for job in range(many)),
        horizon=1440,
    )


def placed_in_turn(problem: Problem) -> Schedule:
    insertion = Insertion(problem, Aim.SOONEST)
    standing = insertion.nothing(first(problem))
    for jobs in insertion.order(link_bounds(problem)):
        standing.take(*insertion.found(standing, jobs))
    assert all(standing.there)
    return standing.schedule(problem)


def test_jobs_placed_in_turn_wait_for_the_rack_as_by_hand() -> None:
    """Worked by hand: a day of work, 8 to 16, then the rack until 16 of the next day; the next job begins the day after
    that: jobs that come in every other day are finished at 40, 88, 136 and so on.
    """
    problem = a_book(4, 48)
    assert job_finishes(problem, placed_in_turn(problem)) == (40, 88, 136, 184)


def test_the_first_due_is_placed_first_and_what_has_no_date_by_when_it_can_be_done() -> None:
    book = a_book(3, 48)
    jobs = (Job(due=300), Job(due=200), Job())
    problem = Problem(book.activities, book.lags, jobs=jobs, people=book.people, calendars=book.calendars, horizon=1440)
    assert link_bounds(problem)[2].slot == 136
    assert Insertion(problem, Aim.SOONEST).order(link_bounds(problem)) == [[2], [1], [0]]


def test_what_is_over_before_a_job_comes_in_is_left_out_of_what_is_looked_at() -> None:
    problem = a_book(10, 120)
    insertion = Insertion(problem, Aim.SOONEST)
    standing = insertion.nothing(first(problem))
    standing.there = [True] * len(standing.there)
    part = Neighbours(problem).part(standing, [9])
    assert [problem.activities[number].job for number in part.activities] == [9, 9]


def test_what_is_held_from_before_now_on_is_placed_first_though_it_is_due_last() -> None:
    book = a_book(2, 0)
    begun = Activity(8, Mode.SPLITTABLE, 1, (0,), fact=Fact(8, 16, (0,)))
    problem = Problem(
        (begun, *book.activities[1:]), book.lags, book.resources, book.holds, people=book.people,
        calendars=book.calendars, jobs=(Job(due=200), Job(due=50)), now=16, horizon=1440,
    )  # fmt: skip
    insertion = Insertion(problem, Aim.SOONEST)
    assert insertion.nothing(first(problem)).there == [True, False, False, False]
    assert insertion.order(link_bounds(problem)) == [[0], [1]]
    whole = placed_in_turn(problem)
    assert violations(problem, whole) == ()
    assert (whole.start[0], whole.finish[0]) == (8, 16)
    # The rack is free at 40, day 1 ends at 40, so the other job begins on the morning of day 2.
    assert whole.start[2] == 56


@given(problems(activities=6, jobs=3, pins=True))
@settings(max_examples=30, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much])
def test_what_is_left_over_is_placed_in_the_order_it_had(problem: Problem) -> None:
    try:
        start = first(problem)
        insertion = Insertion(problem, Aim.SOONEST)
        standing = insertion.nothing(start)
        one, *others = insertion.order(link_bounds(problem)) or [[]]
        standing.take(*insertion.found(standing, one))
        whole = insertion.rest(standing, [job for jobs in others for job in jobs])
    except (NoRoom, Contradiction):
        return
    # Pins may ask for somebody twice at once: then nothing is a schedule.
    assert violations(problem, whole) == () or violations(problem, start) != ()
