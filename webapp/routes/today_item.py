"""Tasks, turns and timers as today's page shows them."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta

from domain.caution import Caution
from domain.figure import Figure
from domain.part import TaskKind
from domain.plan import Plan, PlannedTask
from domain.task import Clock, Task
from domain.task_caution import task_cautions
from domain.today import Doable, Noted, Timer, Turn
from domain.when import from_to, span
from domain.words import listing, sentence
from webapp.store.plan import PlanFacts

SOON = timedelta(hours=24)
"""Timers so far ahead are shown large."""


@dataclass(frozen=True)
class Item:
    """A task in one of today's lists. words: what there is to say of it; version: of what was recorded; takes: shown
    where somebody may begin it; at: where the whole page holds it; needs: what to have at hand; short: what is missing
    now; part: how much of it fits, empty for all; can_do: ids of who is free and can lead it, None where nobody is
    named; who: ids of who begins it, if known; has_taps: here, and not in another's turn, it is started and finished.
    """

    task: Task
    words: str
    version: int
    takes: Figure
    at: str = ""
    needs: str = ""
    short: str = ""
    part: str = ""
    cautions: tuple[Caution, ...] = ()
    can_do: frozenset[int] | None = None
    who: str = ""
    has_taps: bool = True

    @property
    def is_delivery(self) -> bool:
        return self.task.kind is TaskKind.DELIVERY


@dataclass(frozen=True)
class Shown:
    """Somebody's turn. person: as in the address of their own page; when: the planned stretch of what is next;
    others: who else is on it; wait: what keeps it from starting; away: why they are not there.
    """

    person: int
    name: str
    at_work: tuple[Item, ...]
    next: Item | None
    when: str
    can_start: bool
    others: str
    wait: str
    away: str


@dataclass(frozen=True)
class Ticking:
    """A timer. words: what rings when; left: how long until then; title: the task, unless the words name it;
    rings_at, soon_at: when a page left open rings, and warns before, as ISO instants, empty for never;
    can_end: it is a wait that may be over before its time; is_soon: within a day.
    """

    task: Task
    words: str
    left: str
    title: str
    version: int
    rings_at: str
    soon_at: str
    can_end: bool
    is_soon: bool


class Items:
    """Tasks of a plan as items of today's lists."""

    def __init__(self, known: PlanFacts, plan: Plan, versions: Mapping[tuple[int, str], int]) -> None:
        self.known, self.plan, self.versions = known, plan, versions

    def turns(self, found: Iterable[Turn]) -> tuple[Shown, ...]:
        """Return everybody's turn; what two share is tapped in the first one's."""
        seen: set[str] = set()
        return tuple(self._turn(turn, place, seen) for place, turn in enumerate(found))

    def _turn(self, turn: Turn, place: int, seen: set[str]) -> Shown:
        at_work = tuple(self._tapped(self._running(each), seen) for each in turn.at_work)
        following = self._doable(turn.next, f"turns.{place}.next") if turn.next else None
        if following and turn.next:
            following = replace(following, who=" ".join(str(one) for one in turn.next.planned.who))
        return Shown(
            person=turn.person,
            name=turn.name,
            at_work=at_work,
            next=self._tapped(following, seen) if following else None,
            when=self._when(turn),
            can_start=turn.can_start,
            others=listing(turn.others),
            wait=turn.wait,
            away=f"{turn.away}." if turn.away else "",
        )

    def _tapped(self, item: Item, seen: set[str]) -> Item:
        is_first = item.task.key not in seen
        seen.add(item.task.key)
        return item if is_first else replace(item, has_taps=False)

    def _running(self, each: PlannedTask) -> Item:
        until = self.plan.say(each.finish)
        since = self.plan.say(each.task.started_at or each.start)
        over = each.finish <= self.plan.now
        return self._noted(
            each.task, f"Since {since}, {'longer than planned' if over else f'until {until} as planned'}."
        )

    def _when(self, turn: Turn) -> str:
        if turn.next is None or turn.starts_at is None:
            return ""
        if turn.can_start:
            return f"until {self.plan.say(turn.next.planned.finish)}"
        zone = self.plan.calendar.tz
        return from_to(turn.starts_at, max(turn.next.planned.finish, turn.starts_at), self.plan.now, zone)

    def doable(self, found: Iterable[Doable], name: str) -> tuple[Item, ...]:
        """Return what somebody may begin, with its cautions. name: of the page's list that holds it."""
        return tuple(self._doable(one, f"{name}.{place}") for place, one in enumerate(found))

    def _doable(self, one: Doable, at: str) -> Item:
        task = one.planned.task
        cautions = task_cautions(task, self.known.jobs[task.job_id].needs)
        part = f"{span(one.part)} of it" if one.part is not None else ""
        words = sentence(one.why)
        return Item(task, words, self._version(task), task.takes, at, one.needs, one.short, part, cautions, one.can_do)

    def noted(self, found: Iterable[Noted]) -> tuple[Item, ...]:
        return tuple(self._noted(one.planned.task, one.words) for one in found)

    def _noted(self, task: Task, words: str) -> Item:
        return Item(task, words, self._version(task), task.takes)

    def ticking(self, timer: Timer) -> Ticking:
        task = timer.planned.task
        soon = timer.soon_at
        return Ticking(
            task=task,
            words=timer.words,
            left=f"in {span(timer.at - self.plan.now)}" if timer.at > self.plan.now else "now",
            title="" if task.name in timer.words else task.name,
            version=self._version(task),
            rings_at=timer.at.isoformat() if timer.rings else "",
            soon_at=soon.isoformat() if soon is not None and soon > self.plan.now else "",
            is_soon=timer.at - self.plan.now <= SOON,
            can_end=task.clock is Clock.ELAPSED and timer.planned.has_begun and task.kind is not TaskKind.DELIVERY,
        )

    def done(self, on: date) -> tuple[Item, ...]:
        """Return what was finished today, the last first."""
        over = [
            (each.task.finished_at, each)
            for each in self.plan.tasks.values()
            if each.task.finished_at and self.known.shop.day_of(each.task.finished_at) == on
        ]
        over.sort(key=lambda pair: pair[0], reverse=True)
        return tuple(self._noted(each.task, f"Finished {self.plan.say(at)}.") for at, each in over)

    def next_one(self) -> str:
        """Return what hands can begin next, in words; nothing when nothing is left to do."""
        ahead = [
            each
            for each in self.plan.tasks.values()
            if each.task.clock is Clock.ATTENDED and not each.has_begun and each.start > self.plan.now
        ]
        if not ahead:
            return ""
        first = min(ahead, key=lambda each: each.start)
        return f"{first.task.name} ({first.task.job_name}) from {self.plan.say(first.start)}"

    def _version(self, task: Task) -> int:
        return self.versions.get((task.job_id, task.part), 0)
