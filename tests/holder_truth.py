"""Whether what is said to hold a task really does: that is taken away, all else stays, and the checker is asked."""

from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations

from domain.plan import Plan
from domain.plan.held import HeldBy, Holder
from domain.schedule.check import violations
from domain.schedule.hours import team_hours
from domain.schedule.problem import Calendar, Mode, NoRoom, Problem
from domain.schedule.schedule import Schedule

PLENTY = 1000


def could_start_sooner(plan: Plan, key: str, holders: tuple[Holder, ...]) -> bool:
    """Return whether a task could start sooner than planned without what holds it, everything else as planned."""
    assert plan.model
    assert plan.schedule
    number, kinds = plan.model.number[key], {holder.kind for holder in holders}
    by_itself = [link.at_most is None or at in plan.schedule.broken for at, (_, link) in enumerate(plan.model.links)]
    problem = plan.model.problem
    lags = (
        replace(lag, most=None) if alone and lag.before == number else lag
        for lag, alone in zip(problem.lags, by_itself, strict=True)
    )
    problem = replace(problem, lags=tuple(lags))
    broken = tuple(at for at in plan.schedule.broken if problem.lags[at].most is not None)
    planned = replace(plan.schedule, broken=broken)
    for holder in holders:
        problem = _without(plan, problem, number, holder)
    teams = tuple(_teams(problem, number))
    copies = len(problem.people)
    problem = _with_copies(problem, number, day_and_night=HeldBy.HOURS in kinds)
    starts = range(problem.now, plan.schedule.start[number])
    for team in teams:
        for start in starts:
            moved = _moved(problem, planned, number, start, tuple(copies + person for person in team))
            if moved is None or violations(problem, moved):
                continue
            if HeldBy.PERSON in kinds or not _is_elsewhere(plan.schedule, moved, number, team):
                return True
    return False


def _teams(problem: Problem, number: int) -> Iterator[tuple[int, ...]]:
    activity = problem.activities[number]
    everybody = sorted({*activity.leads, *activity.helpers})
    for team in combinations(everybody, activity.crew):
        if not activity.crew or set(team) & set(activity.leads):
            yield team


def _with_copies(problem: Problem, number: int, *, day_and_night: bool) -> Problem:
    """Return the problem with somebody like each person, who has nothing to do but this activity."""
    copies = len(problem.people)
    activity = problem.activities[number]
    changed = replace(
        activity,
        leads=tuple(copies + person for person in activity.leads),
        helpers=tuple(copies + person for person in activity.helpers),
    )
    always = len(problem.calendars)
    calendars = (*problem.calendars, Calendar(((0, problem.horizon),)))
    like = tuple(replace(person, calendar=always) if day_and_night else person for person in problem.people)
    activities = (*problem.activities[:number], changed, *problem.activities[number + 1 :])
    return replace(problem, people=(*problem.people, *like), calendars=calendars, activities=activities)


def _is_elsewhere(schedule: Schedule, moved: Schedule, number: int, team: tuple[int, ...]) -> bool:
    """Whether somebody of a team is busy with something else meanwhile."""
    start, finish = moved.start[number], moved.finish[number]
    return any(
        set(team) & set(other) and schedule.start[at] < finish and schedule.finish[at] > start
        for at, other in enumerate(schedule.team)
        if at != number and schedule.start[at] < schedule.finish[at] and start < finish
    )


def _without(plan: Plan, problem: Problem, number: int, holder: Holder) -> Problem:
    """Return the problem in which something does not hold a task; people and hours are for the copies of people."""
    assert plan.model
    match holder.kind:
        case HeldBy.LINK:
            lags = (replace(lag, least=None) if lag.after == number else lag for lag in problem.lags)
            return replace(problem, lags=tuple(lags))
        case HeldBy.WINDOW:
            lags = (replace(lag, most=None) if lag.before == number else lag for lag in problem.lags)
            return replace(problem, lags=tuple(lags))
        case HeldBy.CLAMPS | HeldBy.BENCH | HeldBy.DRYING:
            more = (
                replace(one, capacity=PLENTY) if kind.held_by is holder.kind else one
                for one, kind in zip(problem.resources, plan.model.kinds, strict=True)
            )
            return replace(problem, resources=tuple(more))
        case HeldBy.AIR:
            return replace(problem, airs=tuple(air for air in problem.airs if air.first != number))
        case HeldBy.HELD_BACK:
            changed = replace(problem.activities[number], earliest=0)
            return replace(
                problem, activities=(*problem.activities[:number], changed, *problem.activities[number + 1 :])
            )
        case _:
            return problem


def _moved(problem: Problem, schedule: Schedule, number: int, start: int, team: tuple[int, ...]) -> Schedule | None:
    activity = problem.activities[number]
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
    starts, finishes, by = list(schedule.start), list(schedule.finish), list(schedule.team)
    starts[number], finishes[number], by[number] = start, finish, team
    return replace(schedule, start=tuple(starts), finish=tuple(finishes), team=tuple(by))
