"""What stands on today's list: things to do, to leave, to get ready, and whose turn is next."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from domain.plan import PlannedTask
from domain.today.timer import Timer


@dataclass(frozen=True, slots=True)
class Doable:
    """A task that can start. takes: hands-on time; why: its place in the list; needs: what to have at hand, empty for
    nothing; short: of what there is too little now, empty for nothing; part: how much of it fits before the next
    interruption, None: all of it; can_do: ids of the people who are free and can lead it, None where nobody is named.
    """

    planned: PlannedTask
    takes: timedelta
    why: str
    needs: str = ""
    short: str = ""
    part: timedelta | None = None
    can_do: frozenset[int] | None = None


@dataclass(frozen=True, slots=True)
class Noted:
    """A task and what there is to say about it: why it is blocked, how late it is, how it runs."""

    planned: PlannedTask
    words: str


@dataclass(frozen=True, slots=True)
class Turn:
    """What somebody does next, by the plan. person: the id, or where nobody is named a number from 1; name: theirs, if
    any; at_work: what they are at now; next: what follows, None when nothing is left; starts_at: when; can_start: at
    once; others: names of who else is on it; wait: what keeps it from starting now; away: why nobody is there, empty:
    they are.
    """

    person: int
    name: str
    at_work: tuple[PlannedTask, ...] = ()
    next: Doable | None = None
    starts_at: datetime | None = None
    can_start: bool = False
    others: tuple[str, ...] = ()
    wait: str = ""
    away: str = ""


@dataclass(frozen=True, slots=True)
class Today:
    """The list of the day, over all jobs planned.

    starts_at: now, or when the shop opens; interrupted_at: the next timer that calls or closing time; turns: who does
    what next; fits: what else can start and be done by then; part_of: what can be begun and broken off by then;
    leave: what could start but should not, and why; get_ready: what comes next that asks for more than hands;
    to_arrange: deliveries to order and days to agree; blocked: what is next in line, and what holds it.
    """

    now: datetime
    starts_at: datetime
    interrupted_at: datetime
    interruption: str
    turns: tuple[Turn, ...]
    running: tuple[Noted, ...]
    timers: tuple[Timer, ...]
    late: tuple[Noted, ...]
    fits: tuple[Doable, ...]
    part_of: tuple[Doable, ...]
    leave: tuple[Noted, ...]
    get_ready: tuple[Noted, ...]
    to_arrange: tuple[Noted, ...]
    blocked: tuple[Noted, ...]
