"""What is asked: activities on slots of time, what joins them, who does them and what there is only so much of.

Everything is a number: activities, people, resources, calendars and jobs by their place in the problem's tuples, time
in slots from 0 to the horizon. How long a slot is, the caller knows. Ends are exclusive: an activity that starts at 3
and takes 2 slots finishes at 5.
"""

from dataclasses import dataclass, field
from enum import Enum


class Mode(Enum):
    """How the time of an activity passes."""

    SPLITTABLE = "working time, broken off while those who do it are not there"
    WHOLE = "working time in one go"
    PASSIVE = "day and night"


class Side(Enum):
    """What an activity does to the air of a room; the two sides never share a room."""

    DUST = "dust"
    WET = "wet finish"


@dataclass(frozen=True, slots=True)
class Calendar:
    """When somebody works: stretches (opens, closes) in order, none touching, from slot 0 to the horizon.

    Its hash is counted once: what is found about a calendar is kept by it, and asked for at every turn.
    """

    stretches: tuple[tuple[int, int], ...]
    _hash: int = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "_hash", hash(self.stretches))

    def __hash__(self) -> int:
        return self._hash


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody who works by a calendar. calendar: its number."""

    calendar: int


@dataclass(frozen=True, slots=True)
class Resource:
    """Something there is only so much of, day and night: clamps of a length, benches, places to dry."""

    capacity: int


@dataclass(frozen=True, slots=True)
class Fact:
    """What really happened, or is happening: it never moves. team: people on it, empty when it needs none."""

    start: int
    finish: int
    team: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Activity:
    """One thing that takes time.

    work: slots of its own time: of its team's common calendar, or of the clock when PASSIVE;
    crew: people at once, all from start to finish, also over a night (0: nobody, then mode is PASSIVE);
    leads: people of whom one at least must be on it; helpers: people who may be the others, beside more leads;
    job: its number; counts: its job is finished only when it is; earliest: it starts no sooner;
    pinned: it starts exactly then, whatever the hours: if its team is away then, its time passes by the clock;
    fact: it has begun, perhaps finished, and nothing above but job and counts matters any more.
    """

    work: int
    mode: Mode = Mode.PASSIVE
    crew: int = 0
    leads: tuple[int, ...] = ()
    helpers: tuple[int, ...] = ()
    job: int = 0
    counts: bool = True
    earliest: int = 0
    pinned: int | None = None
    fact: Fact | None = None


@dataclass(frozen=True, slots=True)
class Lag:
    """From an end of `before` to an end of `after`: at least so many slots, at most so many; None: no limit.

    from_start: counted from the start of `before`, else from its finish; to_finish: to the finish of `after`, else to
    its start; calendar: whose open slots count, None for day and night. least may be negative (an overlap).
    """

    before: int
    after: int
    least: int | None = 0
    most: int | None = None
    from_start: bool = False
    to_finish: bool = False
    calendar: int | None = None


@dataclass(frozen=True, slots=True)
class Hold:
    """So much of a resource, held from the start of activity `first` until so many slots after `last` has finished."""

    resource: int
    amount: int
    first: int
    last: int
    spare: int = 0


@dataclass(frozen=True, slots=True)
class Air:
    """What the air of a room is like from the start of `first` until so many slots after `last` has finished."""

    room: int
    side: Side
    first: int
    last: int
    spare: int = 0


@dataclass(frozen=True, slots=True)
class Job:
    """Activities that are finished together. due: the slot by which they should be, None: nothing promised;
    weight: how much a slot of lateness hurts, beside other jobs.
    """

    due: int | None = None
    weight: int = 1


@dataclass(frozen=True, slots=True)
class Problem:
    """Everything a schedule must keep to. now: what has no fact starts no sooner; horizon: slots that calendars know.

    Lags, crews and needs are met by every schedule, except that a lag's `most` may be broken by a schedule that says
    so (Schedule.broken), and that what is due may be late. An amount above its capacity can never be met: whoever
    makes a problem leaves such needs out and tells the person instead.
    """

    activities: tuple[Activity, ...]
    lags: tuple[Lag, ...] = ()
    resources: tuple[Resource, ...] = ()
    holds: tuple[Hold, ...] = ()
    airs: tuple[Air, ...] = ()
    people: tuple[Person, ...] = ()
    calendars: tuple[Calendar, ...] = ()
    jobs: tuple[Job, ...] = (Job(),)
    now: int = 0
    horizon: int = 1 << 20


class NoRoom(ValueError):
    """The horizon is too short for a schedule: ask again with a longer one."""
