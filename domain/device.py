"""A phone or tablet that was let in over the shop's own network."""

from dataclasses import dataclass
from datetime import datetime, timedelta, tzinfo

from domain.when import when

SEEN_EVERY = timedelta(hours=1)
"""How far the moment a phone was last seen may lag behind, so that reading a page seldom writes."""


@dataclass(frozen=True, slots=True)
class Device:
    """name: as the maker calls it; seen_at: at most an hour behind; feed_key: opens its calendar addresses, no page."""

    id: int
    name: str
    paired_at: datetime
    seen_at: datetime
    feed_key: str

    def seen_is_due(self, now: datetime) -> bool:
        """Whether it is time to note that the phone is in use."""
        return not timedelta(0) <= now - self.seen_at < SEEN_EVERY


def last_seen(device: Device, now: datetime, zone: tzinfo) -> str:
    """Return when a phone was last seen, as near as that is known: `within the last hour`, `yesterday 09:40`."""
    return "within the last hour" if not device.seen_is_due(now) else when(device.seen_at, now, zone)
