"""Hands, clamps and bench: how many the plan asks for at once, and when that is more than there are."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import Enum
from itertools import pairwise

from domain.open_minutes import OpenMinutes, instant_of
from domain.person import Absence, Person
from domain.schedule.schedule import Aim
from domain.shop import ClampsOf
from domain.task import Clock, Task
from domain.task_times import Times
from domain.words import listing


class Resource(Enum):
    """What there is only so much of; the value is how one reads it."""

    HANDS = "pairs of hands"
    CLAMPS = "clamps"
    BENCH = "benches"


@dataclass(frozen=True, slots=True)
class Resources:
    """What the shop has to plan with. hands: how many people, as long as none are named in `people`;
    clamps_of: of the clamps, how many open so far, empty while nobody has said; dry_places: pieces that can lie to dry
    at once, 0: not counted; finishing_room: finish dries in a room of its own; aim: what comes after kept promises.
    """

    hands: int = 1
    clamps: int = 0
    benches: int = 1
    people: tuple[Person, ...] = ()
    absences: tuple[Absence, ...] = ()
    clamps_of: tuple[ClampsOf, ...] = ()
    dry_places: int = 0
    finishing_room: bool = False
    aim: Aim = Aim.SOONEST

    @property
    def pairs_of_hands(self) -> int:
        """Return how many people there are: those with names, else as many as were typed."""
        return len(self.people) or self.hands

    def of(self, resource: Resource) -> int:
        there = {Resource.HANDS: self.pairs_of_hands, Resource.CLAMPS: self.clamps, Resource.BENCH: self.benches}
        return there[resource]


def clamps_there(there: Resources, task: Task) -> int:
    """Return how many clamps there are that a task could use."""
    if task.clamp_length is None or not there.clamps_of:
        return there.clamps
    return sum(one.count for one in there.clamps_of if one.length >= task.clamp_length)


@dataclass(frozen=True, slots=True)
class Use:
    """A task keeps so many of something busy from start to end [minutes of domain.open_minutes]."""

    task: Task
    resource: Resource
    amount: int
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Overload:
    """More is asked for at once than there is. asked: the most at one instant; tasks: keys, earliest first."""

    resource: Resource
    start: datetime
    end: datetime
    asked: int
    there: int
    tasks: tuple[str, ...]
    words: str


def uses(tasks: Sequence[Task], times: Mapping[str, Times], hours: OpenMinutes, now: int) -> Iterator[Use]:
    """Yield what the tasks keep busy from now on: hands in shop hours, clamps and bench day and night."""
    for task in tasks:
        found = times[task.key]
        if task.clock is Clock.ATTENDED and not found.is_over:
            for start, end in hours.open_between(max(found.start, now), found.finish):
                yield Use(task, Resource.HANDS, task.crew, start, end)
        until = times.get(task.until, found)
        let_go = until.finish if until.is_over else max(until.finish, now + 1)
        for resource, amount in ((Resource.CLAMPS, task.clamps), (Resource.BENCH, task.bench)):
            if amount and let_go > now:
                yield Use(task, resource, amount, max(found.start, now), let_go)


def overloads(
    used: Iterable[Use], resources: Resources, hours: OpenMinutes, say: Callable[[int, int], str]
) -> tuple[Overload, ...]:
    """Return every stretch in which more is asked for than there is, earliest first.

    say: a stretch from minute to minute in words.
    """
    by_resource: dict[Resource, list[Use]] = {}
    for use in used:
        by_resource.setdefault(use.resource, []).append(use)
    found = [
        _overload(stretch, resource, resources.of(resource), say)
        for resource, these in by_resource.items()
        for stretch in _stretches(these, resources.of(resource), hours)
    ]
    return tuple(sorted(found, key=lambda each: (each.start, each.resource.value)))


@dataclass(slots=True)
class _Stretch:
    start: int
    end: int
    asked: int
    tasks: dict[str, Task]


def _stretches(used: Sequence[Use], there: int, hours: OpenMinutes) -> list[_Stretch]:
    """Return the stretches of one resource; work broken off overnight makes one stretch, not two."""
    edges = sorted({edge for use in used for edge in (use.start, use.end)})
    begins: dict[int, list[Use]] = {}
    for use in used:
        begins.setdefault(use.start, []).append(use)
    active: list[Use] = []
    found: list[_Stretch] = []
    for start, end in pairwise(edges):
        active = [use for use in active if use.end > start] + begins.get(start, [])
        asked = sum(use.amount for use in active)
        if asked <= there:
            continue
        tasks = {use.task.key: use.task for use in active}
        last = found[-1] if found else None
        if last and last.tasks.keys() & tasks.keys() and _joins(last.end, start, active[0].resource, hours):
            last.end, last.asked = end, max(last.asked, asked)
            last.tasks |= tasks
        else:
            found.append(_Stretch(start, end, asked, tasks))
    return found


def _joins(end: int, start: int, resource: Resource, hours: OpenMinutes) -> bool:
    return end == start or (resource is Resource.HANDS and not hours.between(end, start))


def _overload(stretch: _Stretch, resource: Resource, there: int, say: Callable[[int, int], str]) -> Overload:
    names = listing([f"“{task.name}”" for task in stretch.tasks.values()])
    words = (
        f"From {say(stretch.start, stretch.end)} the plan asks for {stretch.asked} {resource.value}; "
        f"there {'is' if there == 1 else 'are'} {there}: {names}."
    )
    return Overload(
        resource,
        instant_of(stretch.start),
        instant_of(stretch.end),
        stretch.asked,
        there,
        tuple(stretch.tasks),
        words,
    )
