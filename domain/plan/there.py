"""Who could do a task and is there, for how long, and why nobody is."""

from collections.abc import Mapping
from datetime import datetime, timedelta

from domain.open_minutes import instant_of, minute_at
from domain.person import Person
from domain.plan.planned import Plan, PlannedTask
from domain.when import day
from domain.words import listing


def able(plan: Plan, each: PlannedTask) -> Mapping[int, Person]:
    """Return those that could do a task, by id."""
    task = each.task
    return {
        person.id: person
        for person in plan.resources.people
        if (person.id in task.who if task.who else person.can_lead(task.kind))
    }


def is_there(plan: Plan, each: PlannedTask, at: datetime) -> bool:
    """Whether enough of those that could do a task are at work at an instant, busy or not."""
    people = plan.resources.people
    if not people or not plan.calendar.is_open(at):
        return plan.calendar.is_open(at)
    there = [one for one in people if not _is_away(plan, one, at)]
    return len(there) >= each.task.crew and any(one.id in able(plan, each) for one in there)


def _is_away(plan: Plan, person: Person, at: datetime) -> bool:
    if any(one.starts_at <= at < one.ends_at for one in plan.resources.absences if one.person_id == person.id):
        return True
    local = plan.calendar.local(at)
    hours = plan.calendar.weekly if person.weekly is None else person.weekly
    stretches = hours[local.weekday()]
    return not any(opens <= local.time() and (local.time() < closes or closes <= opens) for opens, closes in stretches)


def time_left(plan: Plan, each: PlannedTask, since: datetime, until: datetime) -> timedelta:
    """Return for how long one of those that could do a task is there in shop hours, the one who is there longest."""
    people = able(plan, each)
    if not people:
        return plan.calendar.between(since, until)
    return max(_time_of(plan, person_id, since, until) for person_id in people)


def _time_of(plan: Plan, person_id: int, since: datetime, until: datetime) -> timedelta:
    absences = [one for one in plan.resources.absences if one.person_id == person_id]
    left = timedelta()
    for opens, closes in plan.calendar.minutes.open_between(minute_at(since), minute_at(until)):
        start, end = instant_of(opens), instant_of(closes)
        away = (min(end, one.ends_at) - max(start, one.starts_at) for one in absences)
        left += max(end - start - sum((time for time in away if time > timedelta()), timedelta()), timedelta())
    return left


def gone(plan: Plan, each: PlannedTask, since: datetime) -> tuple[str, ...]:
    """Return who of those that could do a task is away between its being ready and its start, and closed days."""
    people, today = able(plan, each), plan.calendar.local(plan.now).date()
    found = []
    for absence in plan.resources.absences:
        if absence.person_id in people and absence.starts_at < each.start and absence.ends_at > since:
            back = plan.calendar.local(absence.ends_at).date()
            why = f", {absence.why}" if absence.why else ""
            found.append(f"{people[absence.person_id].name} is away until {day(back, today)}{why}")
    return (*found, *closed(plan, since, each.start))


def closed(plan: Plan, since: datetime, until: datetime) -> tuple[str, ...]:
    """Return the closed days between two instants, with their names."""
    today = plan.calendar.local(plan.now).date()
    first, last = plan.calendar.local(since).date(), plan.calendar.local(until).date()
    found = [
        f"{day(on, today)}{f', {why}' if why else ''}"
        for on, why in sorted(plan.calendar.closed.items())
        if first <= on <= last and not plan.calendar.hours(on) and plan.calendar.weekly[on.weekday()]
    ]
    return (f"closed {listing(found)}",) if found else ()
