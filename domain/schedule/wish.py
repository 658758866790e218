"""Wishes: what a problem asks that could be given up, and the problem without it."""

from collections.abc import Collection, Iterator
from dataclasses import dataclass, replace
from enum import Enum

from domain.schedule.problem import Activity, Calendar, Person, Problem


class Kind(Enum):
    """What is wished; the value is what a person reads."""

    AIR = "no dust on a wet finish"
    CAPACITY = "no more than there is"
    PEOPLE = "nobody in two places"
    HOURS = "closed hours"
    LEAST = "at least so long"
    MOST = "at most so long"
    EARLIEST = "no sooner"
    PIN = "exactly then"
    DUE = "finished by then"


@dataclass(frozen=True, slots=True)
class Wish:
    """Something that could be given up. number: of the lag for LEAST and MOST, the activity for EARLIEST and PIN, the
    job for DUE, the resource for CAPACITY, the person for PEOPLE, the people's calendar for HOURS, the room for AIR.
    """

    kind: Kind
    number: int


def wishes_of(problem: Problem, *, due_is_hard: bool = False, order: bool = False) -> tuple[Wish, ...]:
    """Return everything a problem asks that could be given up, what people give up first coming first.

    due_is_hard: also that jobs are finished when they are due; order: also that one thing comes after another, without
    a wait between. What has happened is no wish, nor is a limit between two things that have.
    """
    found = [
        *_of_lags(problem, order=order),
        *_of_activities(problem),
        *(Wish(Kind.CAPACITY, number) for number in {hold.resource for hold in problem.holds}),
        *(Wish(Kind.AIR, room) for room in {air.room for air in problem.airs}),
    ]
    if due_is_hard:
        found += [Wish(Kind.DUE, number) for number, job in enumerate(problem.jobs) if job.due is not None]
    kinds = list(Kind)
    return tuple(sorted(found, key=lambda wish: (kinds.index(wish.kind), wish.number)))


def _of_lags(problem: Problem, *, order: bool) -> Iterator[Wish]:
    for number, lag in enumerate(problem.lags):
        before, after = (problem.activities[at].fact is not None for at in (lag.before, lag.after))
        if lag.least is not None and not after and (order or lag.least > 0):
            yield Wish(Kind.LEAST, number)
        if lag.most is not None and not (before and after):
            yield Wish(Kind.MOST, number)


def _of_activities(problem: Problem) -> Iterator[Wish]:
    people: set[int] = set()
    for number, activity in enumerate(problem.activities):
        if activity.fact is None:
            people.update(_able(activity))
            if activity.pinned is not None:
                yield Wish(Kind.PIN, number)
            if activity.earliest > problem.now:
                yield Wish(Kind.EARLIEST, number)
    yield from (Wish(Kind.PEOPLE, person) for person in people)
    yield from (Wish(Kind.HOURS, number) for number in {problem.people[person].calendar for person in people})


def _able(activity: Activity) -> tuple[int, ...]:
    return (*activity.leads, *activity.helpers) if activity.crew else ()


def without(problem: Problem, *wishes: Wish) -> Problem:
    """Return a problem that no longer asks this.

    A person who may be in two places is as many people as there is work for, each in the same hours; somebody without
    closed hours works day and night, though what else counts by that calendar still does.
    """
    given_up: dict[Kind, set[int]] = {kind: set() for kind in Kind}
    for wish in wishes:
        given_up[wish.kind].add(wish.number)
    problem = _without_limits(problem, given_up)
    if given_up[Kind.HOURS]:
        problem = _day_and_night(problem, given_up[Kind.HOURS])
    return _copied(problem, given_up[Kind.PEOPLE]) if given_up[Kind.PEOPLE] else problem


def _without_limits(problem: Problem, given_up: dict[Kind, set[int]]) -> Problem:
    needed = sum(hold.amount for hold in problem.holds)
    lags, activities = list(problem.lags), list(problem.activities)
    for number in given_up[Kind.LEAST]:
        lags[number] = replace(lags[number], least=None)
    for number in given_up[Kind.MOST]:
        lags[number] = replace(lags[number], most=None)
    for number in given_up[Kind.EARLIEST]:
        activities[number] = replace(activities[number], earliest=0)
    for number in given_up[Kind.PIN]:
        activities[number] = replace(activities[number], pinned=None)
    return replace(
        problem,
        activities=tuple(activities),
        lags=tuple(lags),
        resources=tuple(
            replace(resource, capacity=max(needed, resource.capacity))
            if number in given_up[Kind.CAPACITY]
            else resource
            for number, resource in enumerate(problem.resources)
        ),
        airs=tuple(air for air in problem.airs if air.room not in given_up[Kind.AIR]),
        jobs=tuple(
            replace(job, due=None) if number in given_up[Kind.DUE] else job for number, job in enumerate(problem.jobs)
        ),
    )


def _day_and_night(problem: Problem, calendars: Collection[int]) -> Problem:
    always = len(problem.calendars)
    people = (replace(person, calendar=always) if person.calendar in calendars else person for person in problem.people)
    return replace(
        problem,
        people=tuple(people),
        calendars=(*problem.calendars, Calendar(((0, problem.horizon),))),
    )


def _copied(problem: Problem, people: Collection[int]) -> Problem:
    """Return a problem in which each activity has these people for itself."""
    everybody, activities = list[Person](problem.people), list(problem.activities)

    def own(named: tuple[int, ...]) -> tuple[int, ...]:
        found = []
        for person in named:
            if person in people:
                everybody.append(problem.people[person])
                person = len(everybody) - 1
            found.append(person)
        return tuple(found)

    for number, activity in enumerate(problem.activities):
        if activity.fact is None and activity.crew:
            activities[number] = replace(activity, leads=own(activity.leads), helpers=own(activity.helpers))
    return replace(problem, activities=tuple(activities), people=tuple(everybody))
