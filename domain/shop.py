"""The shop: who it is, how it reads sizes and time, and what it has."""

from dataclasses import dataclass
from datetime import date, datetime
from enum import Enum
from typing import Literal
from zoneinfo import ZoneInfo

from domain.length import Length
from domain.schedule.schedule import Aim


class Paper(Enum):
    LETTER = "letter"
    A4 = "A4"


@dataclass(frozen=True, slots=True)
class ClampsOf:
    """So many clamps that open to a length, and no further."""

    length: Length
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Shop:
    """zone: IANA name of the shop's time zone; unit: of sizes shown and of bare numbers typed;
    precision: tape marks to the inch; hands, clamps, benches: how many there are for the plan to count, hands only
    while no people are named; clamps_of: of the clamps, how many open so far, empty while nobody has said;
    dry_places: how many pieces can lie to dry at once, 0: not counted; finishing_room: finish dries in a room of its
    own; aim: what the plan is after once promises are kept; region: whose public holidays are suggested, `US-NY`.
    """

    name: str = ""
    address: str = ""
    phone: str = ""
    email: str = ""
    licence: str = ""
    zone: str = "UTC"
    unit: Literal["in", "mm"] = "in"
    precision: int = 16
    currency: str = "$"
    paper: Paper = Paper.LETTER
    hands: int = 1
    clamps: int = 0
    benches: int = 1
    clamps_of: tuple[ClampsOf, ...] = ()
    dry_places: int = 0
    finishing_room: bool = False
    aim: Aim = Aim.SOONEST
    region: str = ""
    is_set_up: bool = False

    def __post_init__(self) -> None:
        if self.precision not in (2, 4, 8, 16, 32, 64):
            raise ValueError(f"precision must be 2, 4, 8, 16, 32 or 64 marks to the inch, not {self.precision}")
        if min(self.hands, self.clamps, self.benches, self.dry_places) < 0:
            raise ValueError("hands, clamps, benches and places to dry are counted from 0")

    @property
    def tz(self) -> ZoneInfo:
        return ZoneInfo(self.zone)

    def day_of(self, instant: datetime) -> date:
        """Return the day of an instant by the shop's own calendar."""
        return instant.astimezone(self.tz).date()
