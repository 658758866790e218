"""What might help, as small values that can be tried on a plan's facts and, if wanted, kept."""

from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta

from domain.job import Matters
from domain.length import Length
from domain.person import Absence, Person
from domain.plan.asked import Asked
from domain.plan.load import Resources
from domain.shop import ClampsOf
from domain.shop_calendar import ShopCalendar
from domain.task import Link, Task

FAR = timedelta(days=400)
"""How long before and after now a helper is not there otherwise."""


@dataclass(frozen=True, slots=True)
class Hold:
    """Task `key` is held back until an instant."""

    key: str
    until: datetime


@dataclass(frozen=True, slots=True)
class Work:
    """Hours worked on one day beside those of the week, by everybody who is not away."""

    day: date
    starts: time
    ends: time


@dataclass(frozen=True, slots=True)
class Sand:
    """The coat `before` is sanded once it is dry, by task `scuff`, so that the coat `after` may come at any time."""

    before: str
    after: str
    scuff: Task


@dataclass(frozen=True, slots=True)
class Unpin:
    """Task `key` is pinned to no time any more."""

    key: str


@dataclass(frozen=True, slots=True)
class LetGo:
    """A window that the maker asked for closes no more: task `after` may come at any time after `before`."""

    before: str
    after: str


@dataclass(frozen=True, slots=True)
class Give:
    """Task `key` is given to these people, by id; to nobody: whoever can do it."""

    key: str
    who: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class MoreClamps:
    """So many clamps more than there are, that open to a length if lengths are counted."""

    count: int
    length: Length | None = None


@dataclass(frozen=True, slots=True)
class Helper:
    """So many people more, who can do anything, from one instant to another."""

    start: datetime
    end: datetime
    count: int = 1


@dataclass(frozen=True, slots=True)
class Sooner:
    """The goods of delivery `key` are here at an instant."""

    key: str
    at: datetime


@dataclass(frozen=True, slots=True)
class GoFirst:
    """The lateness of a job hurts most, so that others give way to it."""

    job_id: int


@dataclass(frozen=True, slots=True)
class Promise:
    """The job is promised for another day."""

    job_id: int
    on: date


Remedy = Hold | Work | Sand | Unpin | LetGo | Give | MoreClamps | Helper | Sooner | GoFirst | Promise


def apply(remedy: Remedy, asked: Asked) -> Asked:
    """Return the facts with a remedy. Raises KeyError for a task that is not there."""
    match remedy:
        case Hold(key, until):
            return asked.with_task(replace(asked.task(key), not_before=until))
        case Work():
            return replace(asked, calendar=_with_hours(asked.calendar, remedy))
        case Sand():
            return _sanded(asked, remedy)
        case Unpin(key):
            return asked.with_task(replace(asked.task(key), pinned_at=None))
        case LetGo(before, after):
            task = asked.task(after)
            links = (replace(link, at_most=None) if link.before == before else link for link in task.links)
            return asked.with_task(replace(task, links=tuple(links)))
        case Give(key, who):
            return asked.with_task(replace(asked.task(key), who=who))
        case MoreClamps():
            return replace(asked, resources=_with_clamps(asked.resources, remedy))
        case Helper():
            return replace(asked, resources=_with_helper(asked, remedy))
        case Sooner(key, at):
            task = asked.task(key)
            return asked.with_task(replace(task, started_at=task.started_at or asked.now, expected_at=at))
        case GoFirst(job_id):
            weights = {**asked.more.get("weights", {}), job_id: Matters.MOST.weight}
            return replace(asked, more={**asked.more, "weights": weights})
        case Promise(job_id, on):
            return replace(asked, promised={**asked.promised, job_id: on})


def _with_hours(calendar: ShopCalendar, work: Work) -> ShopCalendar:
    hours = (*calendar.hours(work.day), (work.starts, work.ends))
    return replace(calendar, extra={**calendar.extra, work.day: hours})


def _sanded(asked: Asked, remedy: Sand) -> Asked:
    """Return the facts with the sanding between two coats: the later one waits for it, and its window is gone."""
    after = asked.task(remedy.after)
    links = tuple(link for link in after.links if link.before != remedy.before)
    changed = asked.with_task(replace(after, links=(*links, Link(remedy.scuff.key))))
    if any(task.key == remedy.scuff.key for task in asked.tasks):
        return changed
    return changed.with_more_tasks((remedy.scuff,))


def _with_clamps(there: Resources, more: MoreClamps) -> Resources:
    length = more.length or max((one.length for one in there.clamps_of), default=None)
    lengths = (*there.clamps_of, ClampsOf(length, more.count)) if there.clamps_of and length else there.clamps_of
    return replace(there, clamps=there.clamps + more.count, clamps_of=lengths)


def _with_helper(asked: Asked, helper: Helper) -> Resources:
    """Return what there is with more people for a while; where nobody is named, everybody gets a name of none."""
    there = asked.resources
    people = there.people or tuple(Person(-number, "") for number in range(1, there.hands + 1))
    first = min((person.id for person in people), default=0) - 1
    new = tuple(Person(first - number, "one more person") for number in range(helper.count))
    long_ago, far_off = asked.now - FAR, asked.now + FAR
    away = tuple(
        Absence(0, person.id, *times) for person in new for times in ((long_ago, helper.start), (helper.end, far_off))
    )
    return replace(there, hands=len(people) + helper.count, people=(*people, *new), absences=(*there.absences, *away))
