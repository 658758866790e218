"""The people of the shop: what they can do, when they work, when they are away."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from enum import Enum

from domain.part import TaskKind
from domain.shop_calendar import Hours


class Skill(Enum):
    """What a kind of work asks of whoever leads it; the value is what the database holds and a person reads."""

    MACHINES = "machines"
    BENCH = "bench work"
    FINISHING = "finishing"
    INSTALLING = "installing"


SKILL_OF: Mapping[TaskKind, Skill] = {
    TaskKind.MILL: Skill.MACHINES,
    TaskKind.CUT: Skill.MACHINES,
    TaskKind.GLUE_UP: Skill.BENCH,
    TaskKind.UNCLAMP: Skill.BENCH,
    TaskKind.ASSEMBLE: Skill.BENCH,
    TaskKind.SAND: Skill.FINISHING,
    TaskKind.COAT: Skill.FINISHING,
    TaskKind.INSTALL: Skill.INSTALLING,
}
"""The skill a kind of work asks for; a kind that is not here, anybody can do."""


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody who works in the shop. skills: empty means all of them; helps_only: lends a hand, never works alone;
    weekly: own hours of Monday to Sunday, None: those of the shop. Nobody works on a day the shop is closed.
    """

    id: int
    name: str
    skills: frozenset[Skill] = frozenset()
    helps_only: bool = False
    weekly: tuple[Hours, ...] | None = None
    version: int = 1

    def __post_init__(self) -> None:
        if self.weekly is not None and len(self.weekly) != 7:
            raise ValueError(f"a week has 7 days of hours, not {len(self.weekly)}")

    def can_lead(self, kind: TaskKind) -> bool:
        """Whether this person can do a kind of work, alone or with others."""
        skill = SKILL_OF.get(kind)
        return not self.helps_only and (not self.skills or skill is None or skill in self.skills)


@dataclass(frozen=True, slots=True)
class Absence:
    """A person is away from one instant to another. Raises ValueError when it does not end after it starts."""

    id: int
    person_id: int
    starts_at: datetime
    ends_at: datetime
    why: str = ""
    version: int = 1

    def __post_init__(self) -> None:
        if self.ends_at <= self.starts_at:
            raise ValueError(f"an absence ends after it starts, not {self.starts_at} to {self.ends_at}")
