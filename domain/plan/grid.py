"""The grid of slots that plans stand on: whole minutes of UTC to slots and back."""

from dataclasses import dataclass
from datetime import datetime

from domain.open_minutes import instant_of

SLOT = 5
"""How long a slot is [min]."""
_WEEK = 7 * 1440


@dataclass(frozen=True, slots=True)
class Grid:
    """origin: the minute of domain.open_minutes that slot 0 starts at; slot: its length [min]."""

    origin: int
    slot: int = SLOT

    @classmethod
    def around(cls, now: int, slot: int = SLOT) -> "Grid":
        """Return the grid of a minute: slot 0 is some days before it, the same for a week."""
        return cls((now - 2 * 1440) // _WEEK * _WEEK, slot)

    def floor(self, minute: int) -> int:
        """Return the slot that a minute falls in."""
        return (minute - self.origin) // self.slot

    def ceil(self, minute: int) -> int:
        """Return the first slot that starts no sooner than a minute."""
        return -((self.origin - minute) // self.slot)

    def minute(self, slot: int) -> int:
        """Return the minute a slot starts at."""
        return self.origin + slot * self.slot

    def instant(self, slot: int) -> datetime:
        """Return the instant [UTC] a slot starts at."""
        return instant_of(self.minute(slot))

    def slots(self, minutes: int) -> int:
        """Return how many slots so many minutes take, parts of one rounded up."""
        return -(-minutes // self.slot)
