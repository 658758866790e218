"""How far an activity can slip, against moving it slot by slot and asking the independent checker."""

from dataclasses import replace

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from domain.schedule.check import violations
from domain.schedule.generate import first
from domain.schedule.hours import team_hours
from domain.schedule.problem import Activity, Calendar, Hold, Lag, Mode, NoRoom, Person, Problem, Resource
from domain.schedule.schedule import Schedule, job_finishes
from domain.schedule.slip import last_start
from schedule_cases import problems


def _moved(problem: Problem, schedule: Schedule, number: int, start: int) -> Schedule | None:
    """Return the schedule with one activity put elsewhere, its team and everything else as it was."""
    activity, team = problem.activities[number], schedule.team[number]
    finish = start + activity.work
    if activity.mode is not Mode.PASSIVE and team:
        hours = team_hours(problem, team)
        try:
            fits = activity.work if activity.mode is Mode.WHOLE else min(activity.work, 1)
            if hours.start(start, fits, whole=True) != start:
                return None
            finish = hours.end(start, activity.work)
        except NoRoom:
            return None
    starts, finishes = list(schedule.start), list(schedule.finish)
    starts[number], finishes[number] = start, finish
    return replace(schedule, start=tuple(starts), finish=tuple(finishes))


def _hops(schedule: Schedule, number: int, start: int) -> bool:
    """Whether it would come after something that its people do after it, though nobody works in between."""
    return any(
        set(team) & set(schedule.team[number])
        and schedule.finish[number] <= schedule.start[other] < min(start, schedule.finish[other])
        for other, team in enumerate(schedule.team)
        if other != number
    )


@settings(max_examples=400)
@given(problems(jobs=2), st.data())
def test_an_activity_slips_as_far_as_the_checker_lets_it_and_no_further(problem: Problem, data: st.DataObject) -> None:
    try:
        schedule = first(problem)
    except NoRoom:
        assume(False)
    assume(not schedule.broken and not violations(problem, schedule))
    number = data.draw(st.integers(0, len(problem.activities) - 1))
    finishes = job_finishes(problem, schedule)
    fits = []
    for start in range(schedule.start[number], problem.horizon + 1):
        if (other := _moved(problem, schedule, number, start)) is None:
            continue  # closed then
        is_late = job_finishes(problem, other) != finishes or other.finish[number] > problem.horizon
        if is_late or violations(problem, other) or _hops(schedule, number, start):
            break
        fits.append(start)
    assert last_start(problem, schedule, number) == max([schedule.start[number], *fits])


def test_what_comes_after_and_what_it_holds_keep_it_where_it_is() -> None:
    day = Calendar(((0, 8), (24, 32), (48, 56)))
    one = Activity(2, Mode.SPLITTABLE, 1, (0,))
    alone = Problem((one, Activity(2, Mode.SPLITTABLE, 1, (1,))), people=(Person(0), Person(0)), calendars=(day,))
    schedule = Schedule((0, 26), (2, 28), ((0,), (1,)))
    assert last_start(alone, schedule, 0) == 26, "until the job is finished"
    then = replace(alone, lags=(Lag(0, 1, 20),))
    assert last_start(then, schedule, 0) == 4, "26 less 20 is 6, less its own 2"
    clamps = replace(alone, resources=(Resource(4),), holds=(Hold(0, 3, 0, 0), Hold(0, 2, 1, 1)))
    assert last_start(clamps, schedule, 0) == 24, "until the other needs the clamps at 26"
