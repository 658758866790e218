"""What finished work has taught: how long tasks really took, as a share of what they were planned to take."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction

from domain.open_minutes import minute_at
from domain.part import TaskKind
from domain.practice import ShopPractice
from domain.promise.spread import Spread
from domain.shop_calendar import ShopCalendar, in_minutes
from domain.task import Clock, Task

ENOUGH = 8
"""Finished tasks from which a spread is learnt; fewer say too little of the best and the worst."""
WILDEST = Fraction(10)
"""A task that took ten times as long, or a tenth, was marked late or not at all: it teaches nothing."""

ALL = ""


@dataclass(frozen=True, slots=True)
class Learnt:
    """Spreads in shares of the usual time. by_work: learnt, by operation or by kind of task; usual: for all others."""

    by_work: Mapping[str, Spread]
    usual: Spread

    def of(self, task: Task) -> Spread:
        """Return the spread of a task's kind of work, in shares."""
        for work in _works(task):
            if work in self.by_work:
                return self.by_work[work]
        return self.usual


def learnt(tasks: Iterable[Task], calendar: ShopCalendar, practice: ShopPractice) -> Learnt:
    """Return what finished tasks teach: by their first operation, else by their kind, else all together."""
    shares: dict[str, list[Fraction]] = {}
    for task in tasks:
        if (share := _share(task, calendar)) is not None:
            for work in (*_works(task), ALL):
                shares.setdefault(work, []).append(share)
    found = {work: _spread(work, these) for work, these in shares.items() if _teach(these)}
    return Learnt({work: one for work, one in found.items() if work != ALL}, found.get(ALL) or assumed(practice))


def assumed(practice: ShopPractice) -> Spread:
    """Return the spread of hands-on work of which nothing is known yet, in shares, from the shop's practice."""
    best, worst = practice.figure("work_at_best"), practice.figure("work_at_worst")
    return Spread(min(best.value, Fraction(1)), Fraction(1), max(worst.value, Fraction(1)), "shop practice")


def _works(task: Task) -> Iterator[str]:
    if task.operations:
        yield task.operations[0]
    yield task.kind.value


def _share(task: Task, calendar: ShopCalendar) -> Fraction | None:
    """Return how long a task took as a share of what was planned; None where that is not known."""
    planned = in_minutes(task.duration)
    is_work = task.clock is Clock.ATTENDED and task.kind is not TaskKind.MILESTONE
    if not is_work or not planned or task.started_at is None or task.finished_at is None:
        return None
    begun, over = minute_at(task.started_at), minute_at(task.finished_at)
    took = calendar.minutes.between(begun, over) or over - begun
    share = Fraction(took, planned)
    return share if 1 / WILDEST <= share <= WILDEST else None


def _teach(shares: list[Fraction]) -> bool:
    """Whether there are enough shares, and not all marked to take just what was planned."""
    return len(shares) >= ENOUGH and len(set(shares)) > 2


def _spread(work: str, shares: list[Fraction]) -> Spread:
    """Return a spread with the best, the worst and the mean that were seen."""
    best, worst, mean = min(shares), max(shares), sum(shares, Fraction()) / len(shares)
    usual = min(max((6 * mean - best - worst) / 4, best), worst)
    of = f"“{work}” " if work else ""
    return Spread(best, usual, worst, f"learnt from {len(shares)} finished tasks {of}of this shop".replace("  ", " "))
