"""Clamp time, cure and recoat windows: elapsed time, which passes day and night."""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from math import ceil

from domain.figure import Figure, Unit
from domain.finish import recoat_closes, recoat_opens
from domain.practice import ShopPractice

_MINUTES = {Unit.MINUTE: 1, Unit.HOUR: 60, Unit.DAY: 1440}


def duration(figure: Figure) -> timedelta:
    """Return a time figure as a duration, in whole minutes, a begun minute counting.

    Raises ValueError when the figure is not in minutes, hours or days.
    """
    if figure.unit not in _MINUTES:
        raise ValueError(f"{figure.label} is in {figure.unit.value}, not a time")
    return timedelta(minutes=ceil(figure.value * _MINUTES[figure.unit]))


def later(instant: datetime, elapsed: timedelta) -> datetime:
    """Return the instant so much elapsed time later, in the zone it was given in.

    Reckoned in UTC: adding to local time is an hour wrong when the clocks change.
    Raises ValueError for an instant without a zone.
    """
    if instant.tzinfo is None:
        raise ValueError(f"{instant} says no time zone")
    return (instant.astimezone(UTC) + elapsed).astimezone(instant.tzinfo)


def clamps_off_at(clamped_at: datetime, clamp_time: timedelta) -> datetime:
    """Return when clamps may come off."""
    return later(clamped_at, clamp_time)


def cured_at(glued_at: datetime, cure: timedelta) -> datetime:
    """Return when a machine may touch what was glued, or a finish is fully cured."""
    return later(glued_at, cure)


@dataclass(frozen=True, slots=True)
class RecoatWindow:
    """Earliest and latest instant for the next coat; closes None: it never closes.

    Raises ValueError when it closes before it opens, or for an instant without a zone.
    """

    opens: datetime
    closes: datetime | None = None

    def __post_init__(self) -> None:
        for instant in (self.opens, self.closes):
            if instant is not None and instant.tzinfo is None:
                raise ValueError(f"{instant} says no time zone")
        if self.closes is not None and self.closes < self.opens:
            raise ValueError(f"a window that opens {self.opens} cannot close {self.closes}")

    def is_open(self, at: datetime) -> bool:
        """Whether the next coat may go on at an instant, without scuffing first."""
        return self.opens <= at and not self.is_missed(at)

    def is_missed(self, at: datetime) -> bool:
        """Whether the surface must be scuffed before the next coat."""
        return self.closes is not None and at > self.closes


def recoat_window(coated_at: datetime, opens_after: timedelta, closes_after: timedelta | None = None) -> RecoatWindow:
    """Return the window for the next coat, from the instant the last one was finished."""
    closes = None if closes_after is None else later(coated_at, closes_after)
    return RecoatWindow(later(coated_at, opens_after), closes)


def recoat_window_of(family: str, coated_at: datetime, practice: ShopPractice, *, under: str = "") -> RecoatWindow:
    """Return the window for the next coat on a finish family; under: the family that goes over it.

    A window that would close before it opens closes as it opens. Raises KeyError for an unknown family.
    """
    opens, closes = duration(recoat_opens(family, practice, under=under)), recoat_closes(family, practice)
    return recoat_window(coated_at, opens, None if closes is None else max(duration(closes), opens))
