"""The shop's weekly hours and closed days as they are typed: what makes up the shop calendar."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, time, timedelta

from domain.problem import Problem
from domain.shop_calendar import DAYS, Hours

LONGEST_CLOSING = 60
"""Days that one closing may last; a year of them is a slip of the pen."""


@dataclass(frozen=True, slots=True)
class OpenHours:
    """One stretch of shop hours, every week. weekday: 0 is Monday.

    Raises ValueError for a weekday outside the week and for a stretch that does not end after it starts.
    """

    id: int
    weekday: int
    starts: time
    ends: time
    version: int = 1

    def __post_init__(self) -> None:
        if not 0 <= self.weekday <= 6:
            raise ValueError(f"a week has days 0 to 6, not {self.weekday}")
        if self.ends <= self.starts:
            raise ValueError(f"hours end after they start, not {self.starts} to {self.ends}")

    @property
    def day(self) -> str:
        return DAYS[self.weekday]

    @property
    def words(self) -> str:
        return f"{self.starts:%H:%M} to {self.ends:%H:%M}"

    @property
    def length(self) -> timedelta:
        return _since_midnight(self.ends) - _since_midnight(self.starts)


@dataclass(frozen=True, slots=True)
class ClosedDay:
    """A day without work, and why."""

    id: int
    day: date
    why: str = ""
    version: int = 1


@dataclass(frozen=True, slots=True)
class ExtraHours:
    """Hours worked on one day beside those of the week, closed or not. Raises ValueError for an empty stretch."""

    id: int
    day: date
    starts: time
    ends: time
    why: str = ""
    version: int = 1

    def __post_init__(self) -> None:
        if self.ends <= self.starts:
            raise ValueError(f"hours end after they start, not {self.starts} to {self.ends}")

    @property
    def words(self) -> str:
        return f"{self.starts:%H:%M} to {self.ends:%H:%M}"


USUAL_STRETCHES = ((time(8), time(12)), (time(13), time(17)))
"""A day's hours to start from. Source: common practice, no source."""


def usual_week() -> tuple[OpenHours, ...]:
    """Return Monday to Friday, 8 to 12 and 13 to 17, for a shop that takes it as a start."""
    return tuple(OpenHours(0, weekday, starts, ends) for weekday in range(5) for starts, ends in USUAL_STRETCHES)


def overlap(hours: OpenHours, others: Iterable[OpenHours]) -> Problem | None:
    """Return the problem of hours that are open already, counting other stretches than itself."""
    for other in others:
        if other.weekday != hours.weekday or (other.id == hours.id and hours.id):
            continue
        if hours.starts < other.ends and other.starts < hours.ends:
            words = f"{hours.day} is open already from {other.words}. Change that stretch, or choose other hours."
            return Problem("starts", words)
    return None


def extra_overlap(
    extra: ExtraHours, others: Iterable[ExtraHours], weekly: Iterable[OpenHours], closed: Mapping[date, str]
) -> Problem | None:
    """Return the problem of extra hours at which the shop is open already, counting others than itself."""
    weekday = extra.day.weekday()
    there: list[OpenHours | ExtraHours] = [one for one in others if one.day == extra.day and one.id != extra.id]
    there += [one for one in weekly if one.weekday == weekday and extra.day not in closed]
    for one in there:
        if extra.starts < one.ends and one.starts < extra.ends:
            words = f"On {DAYS[weekday]} {extra.day.isoformat()} the shop is open already from {one.words}. "
            return Problem("extra_starts", f"{words}Choose hours beside those.")
    return None


def days_between(first: date, last: date) -> Iterator[date]:
    """Yield every day from the first to the last, both among them."""
    for days in range((last - first).days + 1):
        yield first + timedelta(days=days)


def extra_days(
    extra: Iterable[ExtraHours], weekly: Sequence[Hours], closed: Mapping[date, str]
) -> Mapping[date, Hours]:
    """Return the hours of each day with extra ones: those of its weekday unless it is closed, and the extra ones."""
    found: dict[date, Hours] = {}
    for one in extra:
        usual = () if one.day in closed else weekly[one.day.weekday()]
        found[one.day] = (*found.get(one.day, usual), (one.starts, one.ends))
    return found


def _since_midnight(clock: time) -> timedelta:
    return timedelta(hours=clock.hour, minutes=clock.minute)
