"""What keeps a task from starting sooner than planned."""

from dataclasses import dataclass
from datetime import datetime
from enum import Enum


class HeldBy(Enum):
    """What keeps a task from starting sooner than planned; the value is how one reads it."""

    FACT = "it has begun"
    LINK = "what it waits for"
    PINNED = "the time it is pinned to"
    HELD_BACK = "the maker holds it back"
    PERSON = "the people who can do it are busy"
    CLAMPS = "clamps are short"
    BENCH = "the bench is taken"
    DRYING = "no place to dry is free"
    AIR = "dust and wet finish keep apart"
    HOURS = "nobody is there"
    WINDOW = "what comes after would miss its window"
    STEADY = "the plan as it was"
    NOTHING = "nothing"


@dataclass(frozen=True, slots=True)
class Holder:
    """What keeps a task from starting sooner. until: when that lets go; by: keys of the tasks it comes from."""

    kind: HeldBy
    until: datetime
    by: tuple[str, ...] = ()
