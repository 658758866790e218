"""How far one activity of a schedule can slip while every other one stays where it is."""

from collections.abc import Iterator

from domain.schedule.hours import hours_of, team_hours
from domain.schedule.moves import NEVER, last_with
from domain.schedule.problem import Air, Hold, Lag, Mode, NoRoom, Problem
from domain.schedule.schedule import Schedule, job_finishes


def last_start(problem: Problem, schedule: Schedule, number: int) -> int:
    """Return the last slot an activity can start at, with the same team, and move nothing else and no job's finish.

    That is its start, where it has begun or is pinned, or a window of it is missed already.
    """
    activity, start = problem.activities[number], schedule.start[number]
    if activity.fact is not None or activity.pinned is not None:
        return start
    by_start = by_finish = problem.horizon
    if activity.counts:
        by_finish = job_finishes(problem, schedule)[activity.job]
    for is_finish, slot in _limits(problem, schedule, number):
        if is_finish:
            by_finish = min(by_finish, slot)
        else:
            by_start = min(by_start, slot)
    return max(start, _latest(problem, schedule, number, by_start, by_finish))


def _limits(problem: Problem, schedule: Schedule, number: int) -> Iterator[tuple[bool, int]]:
    """Yield by when it must start, or (True) be finished."""
    for lag in problem.lags:
        if lag.before == number and lag.least is not None and problem.activities[lag.after].fact is None:
            end = schedule.finish[lag.after] if lag.to_finish else schedule.start[lag.after]
            yield not lag.from_start, _back(problem, lag, end, lag.least)
        elif lag.after == number and lag.most is not None:
            end = schedule.start[lag.before] if lag.from_start else schedule.finish[lag.before]
            yield lag.to_finish, _forth(problem, lag, end, lag.most)
    for other, team in enumerate(schedule.team):
        is_later = other != number and schedule.start[other] >= schedule.finish[number]
        if is_later and schedule.finish[other] > schedule.start[other] and set(team) & set(schedule.team[number]):
            yield True, schedule.start[other]
    yield from ((True, slot) for slot in _stock(problem, schedule, number))
    yield from ((True, slot) for slot in _air(problem, schedule, number))


def _back(problem: Problem, lag: Lag, slot: int, least: int) -> int:
    if lag.calendar is None:
        return slot - least
    hours = hours_of(problem.calendars[lag.calendar])
    return last_with(hours, hours.passed(slot) - least)


def _forth(problem: Problem, lag: Lag, slot: int, most: int) -> int:
    if lag.calendar is None:
        return slot + most
    hours = hours_of(problem.calendars[lag.calendar])
    return last_with(hours, hours.passed(slot) + most)


def _stock(problem: Problem, schedule: Schedule, number: int) -> Iterator[int]:
    """Yield by when it must be finished so that nothing runs short."""
    start, finish = schedule.start, schedule.finish
    for resource, there in enumerate(problem.resources):
        holds = [hold for hold in problem.holds if hold.resource == resource]
        own = [hold for hold in holds if hold.last == number and (hold.first != number or _lasts(schedule, hold))]
        own.sort(key=lambda hold: -hold.spare)
        others = [(start[hold.first], finish[hold.last] + hold.spare, hold.amount) for hold in holds if hold not in own]
        begins = {start[hold.first] for hold in holds if hold.first != number}
        for at in sorted(begins):
            used = sum(amount for since, until, amount in others if since <= at < until)
            # The later it is finished, the more of what it holds reaches so far: what it keeps longest comes first.
            for hold in own:
                if hold.first == number or start[hold.first] <= at:
                    used += hold.amount
                    if used > there.capacity and at >= finish[number] + hold.spare:
                        yield at - hold.spare
                        break


def _lasts(schedule: Schedule, hold: Hold | Air) -> bool:
    return schedule.finish[hold.last] + hold.spare > schedule.start[hold.first]


def _air(problem: Problem, schedule: Schedule, number: int) -> Iterator[int]:
    """Yield by when it must be finished so that dust and wet finish keep apart."""
    for own in problem.airs:
        if own.last != number or (own.first == number and not _lasts(schedule, own)):
            continue
        ends = schedule.finish[number] + own.spare
        for air in problem.airs:
            # What it ends later than it began, dust or wet finish, is there from its beginning on.
            begins = max(schedule.start[air.first], schedule.start[own.first])
            lasts = schedule.finish[air.last] + air.spare > begins
            if air.room == own.room and air.side is not own.side and begins >= ends and lasts:
                yield begins - own.spare


def _latest(problem: Problem, schedule: Schedule, number: int, by_start: int, by_finish: int) -> int:
    activity, team = problem.activities[number], schedule.team[number]
    if activity.mode is Mode.PASSIVE or not team:
        return min(by_start, by_finish - activity.work)
    hours, whole = team_hours(problem, team), activity.mode is Mode.WHOLE or not activity.work
    try:
        start = hours.last_start(by_finish, activity.work, whole)
        if start <= by_start:
            return start
        # However late it is then finished: by_finish allows a later start still.
        return hours.last_start(by_start + (activity.work if whole else 1), activity.work if whole else 1, whole=True)
    except NoRoom:
        return NEVER
