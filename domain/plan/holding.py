"""What tasks hold while they last and after: clamps by length, bench, places to dry, the air of a room."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from domain.length import Length
from domain.part import TaskKind
from domain.plan.held import HeldBy
from domain.plan.load import Resources
from domain.schedule.problem import Side
from domain.shop_calendar import in_minutes
from domain.task import Clock, Task

DUSTY = frozenset({TaskKind.MILL, TaskKind.CUT, TaskKind.SAND})
"""Work that fills the air with dust."""


@dataclass(frozen=True, slots=True)
class Kind:
    """Something there is only so much of. length: clamps that open at least so far, None: all of them."""

    held_by: HeldBy
    there: int
    length: Length | None = None


@dataclass(frozen=True, slots=True)
class Holding:
    """A task holds so many of a kind, by its number, from its start until so many minutes after `last` has finished."""

    kind: int
    amount: int
    first: str
    last: str
    minutes: int = 0


def kinds(tasks: Sequence[Task], resources: Resources) -> tuple[Kind, ...]:
    """Return what there is only so much of, as far as the tasks ask for it."""
    asked = {task.clamp_length for task in tasks if task.clamps and task.clamp_length is not None}
    lengths = sorted(asked, key=lambda length: length.inches)
    found = [Kind(HeldBy.CLAMPS, resources.clamps)]
    if resources.clamps_of:
        for length in lengths:
            long = sum(these.count for these in resources.clamps_of if these.length.inches >= length.inches)
            if long < resources.clamps:
                found.append(Kind(HeldBy.CLAMPS, long, length))
    found.append(Kind(HeldBy.BENCH, resources.benches))
    if resources.dry_places:
        found.append(Kind(HeldBy.DRYING, resources.dry_places))
    return tuple(found)


def holdings(tasks: Sequence[Task], these: Sequence[Kind]) -> Iterator[Holding]:
    """Yield what the tasks hold, as they ask for it, be there so much or not."""
    by_key = {task.key: task for task in tasks}
    for number, kind in enumerate(these):
        if kind.held_by is HeldBy.DRYING:
            yield from (Holding(number, 1, first, last, minutes) for first, last, minutes in _drying(tasks))
            continue
        for task in tasks:
            amount = task.bench if kind.held_by is HeldBy.BENCH else task.clamps
            if amount and (kind.length is None or _is_as_long(task, kind.length)):
                yield Holding(number, amount, task.key, task.until if task.until in by_key else task.key)


def _is_as_long(task: Task, length: Length) -> bool:
    return task.clamp_length is not None and task.clamp_length.inches >= length.inches


def _drying(tasks: Sequence[Task]) -> Iterator[tuple[str, str, int]]:
    """Yield the first and last coat of each row of coats in the shop, and how long after it the piece can be moved."""
    coats = {task.key: task for task in tasks if task.kind is TaskKind.COAT and not task.on_site}
    follows: dict[str, str] = {}
    carried: dict[str, int] = {}
    later: set[str] = set()
    for task in tasks:
        for link in task.links:
            if link.before not in coats:
                continue
            if task.key in coats:
                if task.key not in later:  # where rows meet, only one goes on: two could never share a place
                    follows.setdefault(link.before, task.key)
                later = set(follows.values())
            elif not task.trails and link.clock is Clock.ELAPSED:
                carried[link.before] = max(carried.get(link.before, 0), in_minutes(link.at_least))
    for first in (key for key in coats if key not in later):
        last, seen = first, {first}
        while (then := follows.get(last)) is not None and then not in seen:
            last = then
            seen.add(then)
        yield first, last, max(carried.get(last, 0), in_minutes(coats[last].wet_for))


SHOP, FINISHING = "the shop", "the finishing room"


def room_of(task: Task, resources: Resources) -> str:
    """Return the room whose air a task needs clean, or fills with dust."""
    if task.on_site:
        return f"site {task.job_id}"
    if task.kind is TaskKind.COAT and resources.finishing_room:
        return FINISHING
    return SHOP


def side_of(task: Task) -> Side | None:
    """Return what a task does to the air of its room, None when nothing."""
    if task.kind in DUSTY:
        return Side.DUST
    return Side.WET if task.kind is TaskKind.COAT else None


def rooms(tasks: Sequence[Task], resources: Resources) -> Mapping[str, int]:
    """Return the numbers of the rooms in which dust and wet finish could meet."""
    sides: dict[str, set[Side]] = {}
    for task in tasks:
        if (side := side_of(task)) is not None:
            sides.setdefault(room_of(task, resources), set()).add(side)
    both = [room for room, found in sides.items() if len(found) == 2]
    return {room: number for number, room in enumerate(both)}
