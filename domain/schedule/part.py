"""The part of a schedule that may still move, and what the rest of it leaves free."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from domain.schedule.hours import hours_of
from domain.schedule.problem import Problem, Side
from domain.schedule.schedule import Schedule

Span = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Part:
    """A problem of the activities that are free, and of those that stay but are joined to a free one.

    numbers, lags: what its activities and lags are called in the whole; held: those that stay, with start and finish;
    busy: when each person is elsewhere; taken: slots of each resource with how much of it is gone; air: room, side,
    span and whether a fact brought it about; done: by job, when what stays and counts is finished.
    """

    problem: Problem
    numbers: tuple[int, ...]
    lags: tuple[int, ...]
    held: dict[int, Span]
    busy: tuple[tuple[Span, ...], ...]
    taken: tuple[tuple[tuple[int, int, int], ...], ...]
    air: tuple[tuple[int, Side, Span, bool], ...]
    done: tuple[int, ...]

    @property
    def free(self) -> list[int]:
        """Return the activities that may move, by their numbers in the part."""
        return [number for number in range(len(self.numbers)) if number not in self.held]


def part_of(problem: Problem, schedule: Schedule, free_jobs: Sequence[int] | None) -> Part:
    """Return the part of a problem that moves when only some jobs do. free_jobs: None for all of them."""
    jobs = set(range(len(problem.jobs)) if free_jobs is None else free_jobs)
    free = [activity.fact is None and activity.job in jobs for activity in problem.activities]
    lags = [at for at, lag in enumerate(problem.lags) if free[lag.before] or free[lag.after]]
    holds = [hold for hold in problem.holds if free[hold.first] or free[hold.last]]
    airs = [air for air in problem.airs if free[air.first] or free[air.last]]
    joined = {end for at in lags for end in (problem.lags[at].before, problem.lags[at].after)}
    joined.update(end for hold in holds for end in (hold.first, hold.last))
    joined.update(end for air in airs for end in (air.first, air.last))
    numbers = [number for number in range(len(free)) if free[number] or number in joined]
    own = {number: at for at, number in enumerate(numbers)}
    small = replace(
        problem,
        activities=tuple(problem.activities[number] for number in numbers),
        lags=tuple(
            replace(problem.lags[at], before=own[problem.lags[at].before], after=own[problem.lags[at].after])
            for at in lags
        ),
        holds=tuple(replace(hold, first=own[hold.first], last=own[hold.last]) for hold in holds),
        airs=tuple(replace(air, first=own[air.first], last=own[air.last]) for air in airs),
    )
    span = list(zip(schedule.start, schedule.finish, strict=True))
    done = [0] * len(problem.jobs)
    busy: list[list[Span]] = [[] for _ in problem.people]
    for number, activity in enumerate(problem.activities):
        if not free[number]:
            for person in schedule.team[number]:
                busy[person].append(span[number])
            if activity.counts:
                done[activity.job] = max(done[activity.job], span[number][1])
    return Part(
        problem=small,
        numbers=tuple(numbers),
        lags=tuple(lags),
        held={own[number]: span[number] for number in numbers if not free[number]},
        busy=tuple(tuple(merged(spans)) for spans in busy),
        taken=_taken(problem, span, free),
        air=tuple(
            (air.room, air.side, (span[air.first][0], span[air.last][1] + air.spare), _is_fact(problem, air.first))
            for air in problem.airs
            if not free[air.first] and not free[air.last]
        ),
        done=tuple(done),
    )


def _is_fact(problem: Problem, number: int) -> bool:
    return problem.activities[number].fact is not None


def merged(spans: Iterable[Span]) -> list[Span]:
    """Return spans in order, those that touch made one, empty ones left out."""
    found: list[Span] = []
    for start, finish in sorted(spans):
        if start >= finish:
            continue
        if found and start <= found[-1][1]:
            found[-1] = found[-1][0], max(found[-1][1], finish)
        else:
            found.append((start, finish))
    return found


def _taken(
    problem: Problem, span: Sequence[Span], free: Sequence[bool]
) -> tuple[tuple[tuple[int, int, int], ...], ...]:
    """Return how much of each resource is gone while; facts may take more than there is, which is then all of it."""
    steps: list[dict[int, int]] = [{} for _ in problem.resources]
    for hold in problem.holds:
        begins, ends = span[hold.first][0], span[hold.last][1] + hold.spare
        if not free[hold.first] and not free[hold.last] and begins < ends:
            step = steps[hold.resource]
            step[begins] = step.get(begins, 0) + hold.amount
            step[ends] = step.get(ends, 0) - hold.amount
    return tuple(
        tuple(_levels(step, resource.capacity)) for step, resource in zip(steps, problem.resources, strict=True)
    )


def _levels(step: dict[int, int], capacity: int) -> Iterable[tuple[int, int, int]]:
    level, since = 0, 0
    for at in sorted(step):
        if level > 0 and at > since:
            yield since, at, min(level, capacity)
        level, since = level + step[at], at


def spread(
    part: Part, whole: Schedule, problem: Problem, placed: Sequence[tuple[int, int, tuple[int, ...]]]
) -> Schedule:
    """Return the whole schedule with the activities of a part where they are placed: start, finish and team."""
    start, finish, team = list(whole.start), list(whole.finish), list(whole.team)
    for at, number in enumerate(part.numbers):
        start[number], finish[number], team[number] = placed[at]
    return Schedule(tuple(start), tuple(finish), tuple(team), missed(problem, start, finish))


def missed(problem: Problem, start: Sequence[int], finish: Sequence[int]) -> tuple[int, ...]:
    """Return the numbers of the lags that last longer than they may."""
    found = []
    for number, lag in enumerate(problem.lags):
        if lag.most is None:
            continue
        begins = start[lag.before] if lag.from_start else finish[lag.before]
        ends = finish[lag.after] if lag.to_finish else start[lag.after]
        if lag.calendar is None:
            lasted = ends - begins
        else:
            lasted = hours_of(problem.calendars[lag.calendar]).between(begins, ends)
        if lasted > lag.most:
            found.append(number)
    return tuple(found)


def with_teams(
    part: Part, placed: Sequence[tuple[int, int, tuple[int, ...]]]
) -> list[tuple[int, int, tuple[int, ...]]]:
    """Return the same with teams found for what may move, where everybody can do everything and is free from then on.

    Who did something of the same job before goes on, if they are there.
    """
    found = list(placed)
    until = {person: max((end for _, end in spans), default=0) for person, spans in enumerate(part.busy)}
    last: dict[int, int] = {}
    for number in sorted(part.free, key=lambda number: placed[number][:2]):
        activity = part.problem.activities[number]
        start, finish, _ = placed[number]
        if not activity.crew:
            continue
        there = [person for person in activity.leads if until[person] <= start or not activity.work]
        there.sort(key=lambda person: (last.get(person) != activity.job, -until[person], person))
        team = tuple(sorted(there[: activity.crew]))
        found[number] = start, finish, team
        for person in team:
            until[person], last[person] = max(finish, until[person]), activity.job
    return found
