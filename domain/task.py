"""Tasks of a plan: what they wait for, which clock they run on, what was recorded."""

from dataclasses import dataclass
from datetime import datetime, timedelta


@dataclass(frozen=True, slots=True)
class Delivery:
    """Something bought that work waits for. key: stable, such as `delivery:4` or `supplier:Hill yard`.

    materials: keys of domain.material.Material it brings; lead_time passes day and night from ordering.
    ordered_at None: not ordered yet; expected_at: what the supplier says, if anything; arrived_at: all of it is here.
    """

    key: str
    name: str
    materials: frozenset[str]
    lead_time: timedelta
    ordered_at: datetime | None = None
    expected_at: datetime | None = None
    arrived_at: datetime | None = None
