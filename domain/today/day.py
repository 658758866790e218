"""The list of the day, put together from a plan that keeps to the limits."""

from collections.abc import Iterator
from datetime import datetime, timedelta
from functools import cached_property

from domain.open_minutes import instant_of
from domain.part import TaskKind
from domain.plan import Plan, PlannedTask, TaskState, blocked_by, closes_soonest, explain, latest_order_day
from domain.shop_calendar import ShopCalendar
from domain.task import Clock
from domain.today.free import Free, at_work
from domain.today.items import Doable, Noted, Today
from domain.today.ready import get_ready, needs
from domain.today.start import against, in_the_way
from domain.today.timer import ENDS, interruption, timers
from domain.today.turn import AT_ONCE, turns
from domain.when import day, span
from domain.words import sentence


def todays_list(plan: Plan, now: datetime, calendar: ShopCalendar) -> Today:
    """Return what to do now, in order, with a reason each. The plan must have been made for this now."""
    return _Day(plan, now, calendar).today()


class _Day:
    """A plan looked at now."""

    def __init__(self, plan: Plan, now: datetime, calendar: ShopCalendar) -> None:
        self.plan, self.now, self.calendar = plan, now, calendar
        self.minute = instant_of(plan.minute)
        self.starts_at = calendar.next_open(self.minute)
        self.free = Free(plan, self.starts_at)
        self.followers: dict[str, list[PlannedTask]] = {}
        for each in plan.tasks.values():
            for link in each.task.links:
                self.followers.setdefault(link.before, []).append(each)

    def today(self) -> Today:
        ringing = timers(self.plan)
        interrupted_at, interrupts = interruption(self.plan, ringing, self.starts_at)
        left = self.calendar.between(self.starts_at, interrupted_at)
        can_start = {key: each for key, each in self._ready.items() if key not in self._against}
        taken = turns(self.plan, can_start, self._against, self.starts_at, self._doable)
        shown = {turn.next.planned.key for turn in taken if turn.next and turn.can_start}
        others = {key: each for key, each in can_start.items() if key not in shown}
        unfit = {key: in_the_way(self.plan, each, self.starts_at, interrupted_at) for key, each in others.items()}
        fitting = [each for key, each in others.items() if not unfit[key]]
        return Today(
            now=self.now,
            starts_at=self.starts_at,
            interrupted_at=interrupted_at,
            interruption=interrupts,
            turns=taken,
            running=tuple(Noted(each, explain(self.plan, each.key)) for each in at_work(self.plan)),
            timers=ringing,
            late=tuple(self._late()),
            fits=tuple(self._doable(each) for each in fitting if each.task.duration <= left),
            part_of=tuple(self._doable(each, left) for each in fitting if each.task.duration > left),
            leave=tuple(self._leave(unfit)),
            get_ready=tuple(Noted(each, words) for each, words in get_ready(self.plan, self.starts_at)),
            to_arrange=tuple(self._to_arrange()),
            blocked=tuple(self._blocked()),
        )

    @cached_property
    def _ready(self) -> dict[str, PlannedTask]:
        """Return the hands-on tasks that nothing before them holds back, in the plan's order."""
        found = sorted(self._open(TaskState.READY), key=self._order)
        return {each.key: each for each in found}

    @cached_property
    def _against(self) -> dict[str, str]:
        """Return why some of them should not start now."""
        found = {key: against(self.plan, each, self.starts_at) for key, each in self._ready.items()}
        return {key: words for key, words in found.items() if words}

    def _open(self, state: TaskState) -> list[PlannedTask]:
        """Return hands-on tasks in a state."""
        return [each for each in self.plan.tasks.values() if each.state is state and each.task.clock is Clock.ATTENDED]

    def _order(self, each: PlannedTask) -> tuple[datetime, bool, datetime, timedelta, datetime, int]:
        """Return what sorts a task: its planned start, windows that close, the least float, the latest start."""
        window = closes_soonest(self.plan.windows, each.key)
        closes = window.closes_at if window else self.now
        rest = (each.total_float, each.latest_start, each.task.position)
        return (max(each.start, self.starts_at + AT_ONCE), window is None, closes, *rest)

    def _doable(self, each: PlannedTask, part: timedelta | None = None) -> Doable:
        can_do = self.free.leads(each.task) if self.plan.resources.people else None
        asked, short = needs(each.task), self.free.short(each.task)
        return Doable(each, each.task.duration, self._why(each), asked, short, part, can_do)

    def _why(self, each: PlannedTask) -> str:
        """Return why a task stands where it does in the list."""
        window = closes_soonest(self.plan.windows, each.key)
        if window is not None and window.closes_at >= self.now:
            return f"its window closes {self.plan.say(window.closes_at)}"
        if each.latest_start < self.now:
            return f"it should have begun by {self.plan.say(each.latest_start)}"
        passes = [next_one for next_one in self.followers.get(each.key, []) if next_one.task.kind in ENDS]
        then = f"; then {span(passes[0].task.duration)} pass by themselves" if passes else self._waits_for_it(each)
        if each.critical:
            return f"it sets the finish date{then}"
        return f"it can wait until {self.plan.say(each.latest_start)}{then}"

    def _waits_for_it(self, each: PlannedTask) -> str:
        """Return what waits for a task alone, joined to a sentence."""
        only = [one for one in self.followers.get(each.key, []) if one.waits_for == (each.key,)]
        return f"; “{only[0].task.name}” waits for it" if only else ""

    def _leave(self, others: dict[str, str]) -> Iterator[Noted]:
        """Yield what could start and should not: what speaks against it, then what keeps it from fitting."""
        for key, each in self._ready.items():
            if words := self._against.get(key) or others.get(key):
                yield Noted(each, sentence(words))

    def _late(self) -> Iterator[Noted]:
        """Yield what is past its time: windows that closed, work begun too late or running on, goods not here."""
        closed = {
            window.after: window for window in self.plan.windows if window.is_running and window.closes_at < self.now
        }
        for each in self.plan.tasks.values():
            if each.key in closed:
                yield Noted(each, closed[each.key].words)
            elif each.task.is_undated_delivery and each.has_begun:
                continue  # a call to make, not goods that are late
            elif each.state is TaskState.RUNNING and each.earliest_finish <= self.minute and not self._passes(each):
                yield Noted(each, explain(self.plan, each.key))
            elif each.latest_start < self.now and self._is_next(each) and not self._passes(each):
                yield Noted(each, f"Should have begun by {self.plan.say(each.latest_start)}.")

    def _passes(self, each: PlannedTask) -> bool:
        """Whether nobody can do anything about it: a wait that is no delivery."""
        return each.task.clock is Clock.ELAPSED and each.task.kind is not TaskKind.DELIVERY

    def _is_next(self, each: PlannedTask) -> bool:
        """Whether a task has not begun, and what it waits for waits for nothing else."""
        if each.has_begun:
            return False
        waits = (self.plan.tasks[key] for key in each.waits_for)
        return all(one.has_begun or not one.waits_for for one in waits)

    def _to_arrange(self) -> Iterator[Noted]:
        """Yield what takes a call, not hands: goods to order, a day to agree."""
        on = self.calendar.local(self.now).date()
        for each in self.plan.tasks.values():
            if each.task.kind is TaskKind.DELIVERY and (by := latest_order_day(self.plan, each.key)):
                yield Noted(each, f"Order by {day(by, on)}.")
            elif each.task.is_undated_delivery and each.state is TaskState.RUNNING:
                yield Noted(each, f"{explain(self.plan, each.key)} Ask, and put the day on the order.")
            elif each.task.kind is TaskKind.MILESTONE and each.state is TaskState.READY:
                yield Noted(each, f"Settle by {day(self.calendar.local(each.latest_start).date(), on)}.")

    def _blocked(self) -> Iterator[Noted]:
        for each in self._open(TaskState.WAITING):
            if self._is_next(each):
                yield Noted(each, sentence(blocked_by(self.plan, each.key)))
