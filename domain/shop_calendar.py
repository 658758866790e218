"""When the shop works: its weekly hours, closed days, and attended time added to an instant."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from functools import lru_cache
from zoneinfo import ZoneInfo

from domain.open_minutes import OpenMinutes, Stretch, instant_of, minute_after, minute_at

Hours = tuple[tuple[time, time], ...]
"""The stretches of one day as (opens, closes). One that closes no later than it opens runs past midnight."""

NO_HOURS = (
    "The shop has no working hours, so no hands-on work can be planned. "
    "Give at least one weekday its hours, for instance Monday 08:00 to 17:00."
)
_DAY = timedelta(days=1)
_EPOCH = date(1970, 1, 1).toordinal()


@dataclass(frozen=True, slots=True)
class ShopCalendar:
    """The shop's hours. Instants given are aware; those that come back are in UTC, where they subtract rightly.

    zone: IANA name; weekly: the hours of Monday to Sunday; closed: days without work, and why;
    extra: days with hours of their own, instead of the weekly ones and even if closed.
    Raises ValueError, worded for a person, when no weekday has any hours.
    """

    zone: str
    weekly: tuple[Hours, ...]
    closed: Mapping[date, str] = field(default_factory=dict)
    extra: Mapping[date, Hours] = field(default_factory=dict)
    minutes: OpenMinutes = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        if len(self.weekly) != 7:
            raise ValueError(f"a week has 7 days of hours, not {len(self.weekly)}")
        longest = max((_length(hours) for day in self.weekly for hours in day), default=0)
        if not longest:
            raise ValueError(NO_HOURS)
        object.__setattr__(self, "minutes", OpenMinutes(self._laid, longest))

    @property
    def tz(self) -> ZoneInfo:
        return ZoneInfo(self.zone)

    def local(self, instant: datetime) -> datetime:
        """Return the instant in the shop's zone."""
        return instant.astimezone(self.tz)

    def hours(self, day: date) -> Hours:
        """Return the hours kept on a day; of a closed day, none."""
        if (own := self.extra.get(day)) is not None:
            return own
        return () if day in self.closed else self.weekly[day.weekday()]

    def is_open(self, instant: datetime) -> bool:
        return self.minutes.is_open(minute_at(instant))

    def next_open(self, instant: datetime) -> datetime:
        """Return the first instant at or after one at which the shop is open."""
        now_open = self.is_open(instant)
        return instant.astimezone(UTC) if now_open else instant_of(self.minutes.next_open(minute_after(instant)))

    def closes(self, instant: datetime) -> datetime:
        """Return when the stretch ends that holds an instant, or that comes next."""
        return instant_of(self.minutes.closes(minute_at(instant)))

    def add(self, instant: datetime, attended: timedelta) -> datetime:
        """Return the first instant by which so much shop time has passed; whole minutes count."""
        return instant_of(self.minutes.add(minute_after(instant), in_minutes(attended)))

    def subtract(self, instant: datetime, attended: timedelta) -> datetime:
        """Return the last instant from which so much shop time passes until then; whole minutes count."""
        return instant_of(self.minutes.subtract(minute_at(instant), in_minutes(attended)))

    def between(self, start: datetime, end: datetime) -> timedelta:
        """Return the shop time from start to end, negative when the end comes first."""
        return timedelta(minutes=self.minutes.between(minute_at(start), minute_at(end)))

    def open_stretches(self, day: date) -> tuple[tuple[datetime, datetime], ...]:
        """Return the open stretches of a day from midnight to midnight."""
        start, end = self.midnight(day), self.midnight(day + _DAY)
        return self._instants(self.minutes.open_between(minute_at(start), minute_at(end)))

    def closed_stretches(self, start: datetime, end: datetime) -> tuple[tuple[datetime, datetime], ...]:
        """Return when the shop is closed between two instants, for shading a chart."""
        first, last = minute_at(start), minute_at(end)
        stretches = self.minutes.open_between(first, last)
        edges = [first, *(edge for stretch in stretches for edge in stretch), last]
        gaps = zip(edges[::2], edges[1::2], strict=True)
        return self._instants((opens, closes) for opens, closes in gaps if opens < closes)

    def midnight(self, day: date) -> datetime:
        """Return the instant a day begins."""
        return datetime.combine(day, time(0), self.tz).astimezone(UTC)

    def _instants(self, stretches: Iterable[Stretch]) -> tuple[tuple[datetime, datetime], ...]:
        return tuple((instant_of(start), instant_of(end)) for start, end in stretches)

    def _laid(self, first: date, last: date) -> Sequence[Stretch]:
        """Return the open stretches that begin on the days from first to last, joined where they touch."""
        laid: list[Stretch] = []
        for ordinal in range(first.toordinal(), last.toordinal() + 1):
            for opens, closes in sorted(self.hours(date.fromordinal(ordinal))):
                start = _minute(self.tz, ordinal, opens)
                end = _minute(self.tz, ordinal + (closes <= opens), closes)
                if laid and start <= laid[-1][1]:
                    laid[-1] = (laid[-1][0], max(end, laid[-1][1]))
                elif start < end:
                    laid.append((start, end))
        return laid


DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")


def in_minutes(duration: timedelta) -> int:
    """Return a duration in whole minutes, parts of one rounded up."""
    return duration.days * 1440 - (-(duration.seconds + bool(duration.microseconds)) // 60)


def _length(hours: tuple[time, time]) -> int:
    opens, closes = (value.hour * 60 + value.minute for value in hours)
    return closes - opens if closes > opens else closes - opens + 1440


def _minute(zone: ZoneInfo, ordinal: int, clock: time) -> int:
    """Return the minute of a wall-clock time: of one that comes twice, the first."""
    minute = (ordinal - _EPOCH) * 1440 + clock.hour * 60 + clock.minute
    ahead = _ahead_all_day(zone, ordinal)
    if ahead is not None:
        return minute - ahead
    local = datetime.combine(date.fromordinal(ordinal), clock, zone)
    return minute_at(local.astimezone(UTC))


@lru_cache(maxsize=20_000)
def _ahead_all_day(zone: ZoneInfo, ordinal: int) -> int | None:
    """Return the minutes local time is ahead of UTC on a day, None on one on which the clocks change."""
    begins, ends = _ahead(zone, ordinal), _ahead(zone, ordinal + 1)
    return begins if begins == ends else None


def _ahead(zone: ZoneInfo, ordinal: int) -> int:
    """Return the minutes local time is ahead of UTC as a day begins."""
    local = datetime.combine(date.fromordinal(ordinal), time(0), zone)
    offset = local.utcoffset() or timedelta()
    return offset // timedelta(minutes=1)
