"""What would help, as small values that can be tried on a plan's facts and, if wanted, kept."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime, time

from domain.plan.asked import Asked
from domain.plan.moved import Moved
from domain.plan.planned import Plan
from domain.task import Task


@dataclass(frozen=True, slots=True)
class Hold:
    """Task `key` is held back until an instant."""

    key: str
    until: datetime


@dataclass(frozen=True, slots=True)
class Work:
    """Hours worked on one day beside those of the week, by everybody who is not away."""

    day: date
    starts: time
    ends: time


@dataclass(frozen=True, slots=True)
class Sand:
    """The coat `before` is sanded once it is dry, by task `scuff`, so that the coat `after` may come at any time."""

    before: str
    after: str
    scuff: Task


@dataclass(frozen=True, slots=True)
class Unpin:
    """Task `key` is pinned to no time any more."""

    key: str


@dataclass(frozen=True, slots=True)
class LetGo:
    """A window that the maker asked for closes no more: task `after` may come at any time after `before`."""

    before: str
    after: str


@dataclass(frozen=True, slots=True)
class Give:
    """Task `key` is given to these people, by id; to nobody: whoever can do it."""

    key: str
    who: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class MoreClamps:
    """So many clamps more than there are."""

    count: int


@dataclass(frozen=True, slots=True)
class MoreHands:
    """So many people more than there are, on every day."""

    count: int = 1


@dataclass(frozen=True, slots=True)
class Sooner:
    """The goods of delivery `key` are here at an instant."""

    key: str
    at: datetime


@dataclass(frozen=True, slots=True)
class Promise:
    """The job is promised for another day."""

    job_id: int
    on: date


Remedy = Hold | Work | Sand | Unpin | LetGo | Give | MoreClamps | MoreHands | Sooner | Promise


@dataclass(frozen=True, slots=True)
class Tried:
    """A remedy that was tried and helps. plan: made with it; gains: what it wins, moves: what else it moves."""

    remedy: Remedy
    plan: Plan
    words: str
    gains: str
    moves: Moved


def apply(remedy: Remedy, asked: Asked) -> Asked:
    """Return the facts with a remedy. Raises KeyError for a task that is not there."""
    raise NotImplementedError


def tried(asked: Asked, made: Plan, remedy: Remedy, gained: Callable[[Plan], str]) -> Tried | None:
    """Return a remedy with what it does, None where it does not help.

    made: the plan without it; gained: what the plan with it wins, in words, empty for nothing.
    """
    raise NotImplementedError
