"""Tasks of a plan: what they wait for, which clock they run on, what was recorded."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from enum import Enum
from fractions import Fraction
from math import ceil

from domain.figure import Figure, Unit
from domain.length import Length
from domain.part import TaskKind


class Clock(Enum):
    """How a duration passes."""

    ATTENDED = "shop hours"  # someone stands at the bench
    ELAPSED = "day and night"  # glue cures on Sunday too


ELAPSED_KINDS = frozenset({
    TaskKind.DELIVERY, TaskKind.ACCLIMATE, TaskKind.CLAMP, TaskKind.CURE, TaskKind.DRY, TaskKind.MILESTONE,
})  # fmt: skip


class End(Enum):
    """An end of a task that a link is tied to; the value is what the database holds."""

    START = "start"
    FINISH = "finish"


WHOLE_KINDS = frozenset({TaskKind.GLUE_UP, TaskKind.COAT})
"""Done in one go: glue sets and a wet edge dries, so nobody breaks them off at closing time."""

LONGEST = timedelta(days=3660)
"""The longest one task may take. Anything longer was mistyped."""

_MINUTES: Mapping[Unit, Fraction | int] = {Unit.SECOND: Fraction(1, 60), Unit.MINUTE: 1, Unit.HOUR: 60, Unit.DAY: 1440}
_MOST_MINUTES = LONGEST // timedelta(minutes=1)


def clock_of(kind: TaskKind) -> Clock:
    """Return the clock a kind of task runs on."""
    return Clock.ELAPSED if kind in ELAPSED_KINDS else Clock.ATTENDED


def duration_of(takes: Figure) -> timedelta:
    """Return how long a figure in seconds, minutes, hours or days is, parts of a minute rounded up.

    Raises ValueError for another unit, a negative length, or one beyond LONGEST.
    """
    per = _MINUTES.get(takes.unit)
    if per is None:
        raise ValueError(f"{takes.label} is in {takes.unit.value}, not in minutes, hours or days")
    minutes = ceil(takes.value * per)
    if not 0 <= minutes <= _MOST_MINUTES:
        raise ValueError(f"{takes.label} of {takes.value} {takes.unit.value} must be from 0 to ten years.")
    return timedelta(minutes=minutes)


@dataclass(frozen=True, slots=True)
class Link:
    """A task waits for task `before` to finish, then at_least so long, and at_most if a window closes.

    leaves, reaches: which end of `before`, and of the task itself, it is tied to; clock: on which both times pass;
    why: in a maker's words; if_missed: what it takes once the window has closed, such as `it needs sanding`;
    own: the maker added it.
    """

    before: str
    at_least: timedelta = timedelta()
    at_most: timedelta | None = None
    clock: Clock = Clock.ELAPSED
    why: str = ""
    if_missed: str = ""
    own: bool = False
    leaves: End = End.FINISH
    reaches: End = End.START


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """One thing to do or to wait for. key: `{job id}/{piece or job part}.{step}`, stable for ever.

    takes: how long, with its working; duration: the same in whole minutes, on the task's clock; clock: of its kind;
    crew: people at once; clamps, bench: held from its start until task `until` has finished, empty for itself;
    not_before: held back by the maker; expected_at: when a supplier says it comes;
    splittable: may be broken off at closing time; own: the maker added it; position: its place in the list;
    operations: keys of domain.operation that it is made of; trails: the job's finish does not wait for it;
    pinned_at: begins exactly then; who: ids of the people it is given to, empty for whoever can;
    best, worst: how long it takes when all goes well and when it does not, None where nobody has said;
    on_site: at the client's; wet_for: how long after it finish in the room takes no dust; clamp_length: each of its
    clamps must open so far.
    """

    key: str
    job_id: int
    job_name: str
    name: str
    kind: TaskKind
    takes: Figure
    crew: int = 1
    links: tuple[Link, ...] = ()
    clamps: int = 0
    bench: int = 0
    until: str = ""
    not_before: datetime | None = None
    expected_at: datetime | None = None
    started_at: datetime | None = None
    finished_at: datetime | None = None
    own: bool = False
    splittable: bool = True
    position: int = 0
    piece_id: int | None = None
    operations: tuple[str, ...] = ()
    trails: bool = False
    pinned_at: datetime | None = None
    who: tuple[int, ...] = ()
    best: timedelta | None = None
    worst: timedelta | None = None
    on_site: bool = False
    wet_for: timedelta = timedelta()
    clamp_length: Length | None = None
    duration: timedelta = field(init=False)
    clock: Clock = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "duration", duration_of(self.takes))
        object.__setattr__(self, "clock", clock_of(self.kind))

    @property
    def is_undated_delivery(self) -> bool:
        """Whether goods come of which nobody has said when: no day by the supplier, no lead time by the shop."""
        return self.kind is TaskKind.DELIVERY and not self.expected_at and not self.duration

    @property
    def has_card(self) -> bool:
        """Whether there is a card for the bench: boards or strips are glued to a panel, stage by stage."""
        return self.kind is TaskKind.GLUE_UP and self.piece_id is not None and "glue-up-" in self.part

    @property
    def part(self) -> str:
        """Return the key within its job, as records are kept by: `p3.glue_up`."""
        return self.key.partition("/")[2]


def key_of(job_id: int, part: str) -> str:
    """Return the key of a task from its job and its key within it."""
    return f"{job_id}/{part}"


@dataclass(frozen=True, slots=True)
class TaskRecord:
    """What was recorded or changed of a task. key: within its job, such as `p3.glue_up`; None: nothing said.

    own: the maker added the task, then name, kind and minutes say what it is; dropped: not done at all;
    minutes: on the task's own clock; position: where it stands in the list; pinned_at: it begins exactly then;
    who: ids of the people it is given to; best, worst: minutes when all goes well, and when it does not.
    """

    key: str
    own: bool = False
    dropped: bool = False
    name: str | None = None
    kind: TaskKind | None = None
    minutes: int | None = None
    crew: int | None = None
    position: int | None = None
    not_before: datetime | None = None
    started_at: datetime | None = None
    finished_at: datetime | None = None
    pinned_at: datetime | None = None
    who: tuple[int, ...] = ()
    best: int | None = None
    worst: int | None = None


@dataclass(frozen=True, slots=True)
class OwnLink:
    """The maker says that `after` waits for `before`, both keys within the job, as in Link."""

    before: str
    after: str
    at_least: timedelta = timedelta()
    at_most: timedelta | None = None
    clock: Clock = Clock.ELAPSED
    leaves: End = End.FINISH
    reaches: End = End.START


@dataclass(frozen=True, slots=True)
class Delivery:
    """Something bought that work waits for. key: stable, such as `delivery:4` or `supplier:Hill yard`.

    materials: keys of domain.material.Material it brings; lead_time passes day and night from ordering.
    lumber, lumber_at: keys of its lumber once all of that is here, and since when: it lies and gets used to the shop,
    whatever else of the delivery is still to come.
    ordered_at None: not ordered yet; expected_at: what the supplier says, if anything;
    arrived_at: all of it is here.
    """

    key: str
    name: str
    materials: frozenset[str]
    lead_time: timedelta
    ordered_at: datetime | None = None
    expected_at: datetime | None = None
    arrived_at: datetime | None = None
    lumber: frozenset[str] = frozenset()
    lumber_at: datetime | None = None
