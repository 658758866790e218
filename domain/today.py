"""What to do today, in order, and why: timers that run, what fits before the next interruption, what is late."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cached_property

from domain.open_minutes import instant_of
from domain.part import TaskKind
from domain.plan import Plan, PlannedTask, TaskState, Window, blocked_by, closes_soonest, explain, latest_order_day
from domain.shop_calendar import ShopCalendar
from domain.task import Clock
from domain.when import day, span
from domain.words import counted, first_lower, sentence

ENDS = {
    TaskKind.CLAMP: "Clamps off",
    TaskKind.CURE: "Cures until",
    TaskKind.DRY: "Dries until",
    TaskKind.ACCLIMATE: "Rests until",
    TaskKind.DELIVERY: "Expected",
}
"""How the end of a wait is announced, by its kind."""


@dataclass(frozen=True, slots=True)
class Timer:
    """Something that passes by itself. at: when it rings next; until: when its window closes, if it has one.

    calls: hands are wanted when it rings, so it interrupts other work.
    """

    planned: PlannedTask
    at: datetime
    until: datetime | None
    calls: bool
    words: str


@dataclass(frozen=True, slots=True)
class Doable:
    """A task that can start. takes: hands-on time; why: its place in the list; warning: what is short."""

    planned: PlannedTask
    takes: timedelta
    why: str
    warning: str = ""


@dataclass(frozen=True, slots=True)
class Noted:
    """A task and what there is to say about it: why it is blocked, how late it is, how it runs."""

    planned: PlannedTask
    words: str


@dataclass(frozen=True, slots=True)
class Today:
    """The list of the day, over all jobs planned.

    starts_at: now, or when the shop opens; interrupted_at: the next timer that calls or closing time;
    fits: what can start and be done by then; too_long: what can start but not be done by then;
    to_arrange: deliveries to order and days to agree; blocked: what is next in line, and what holds it.
    """

    now: datetime
    starts_at: datetime
    interrupted_at: datetime
    interruption: str
    running: tuple[Noted, ...]
    timers: tuple[Timer, ...]
    late: tuple[Noted, ...]
    fits: tuple[Doable, ...]
    too_long: tuple[Doable, ...]
    to_arrange: tuple[Noted, ...]
    blocked: tuple[Noted, ...]


def todays_list(plan: Plan, now: datetime, calendar: ShopCalendar) -> Today:
    """Return what to do now, in order, with a reason each. The plan must have been made for this now."""
    return _Day(plan, now, calendar).today()


class _Day:
    """A plan looked at now."""

    def __init__(self, plan: Plan, now: datetime, calendar: ShopCalendar) -> None:
        self.plan, self.now, self.calendar = plan, now, calendar
        self.minute = instant_of(plan.minute)
        self.starts_at = calendar.next_open(self.minute)
        self.followers: dict[str, list[PlannedTask]] = {}
        for each in plan.tasks.values():
            for link in each.task.links:
                self.followers.setdefault(link.before, []).append(each)

    def today(self) -> Today:
        timers = tuple(sorted(self._timers(), key=lambda timer: (timer.at, timer.planned.key)))
        interrupted_at, interruption = self._interruption(timers)
        time_left = self.calendar.between(self.starts_at, interrupted_at)
        doable = sorted(self._open(TaskState.READY), key=self._order)
        fitting = {each.key: each for each in doable if self._fits(each, time_left)}
        return Today(
            now=self.now,
            starts_at=self.starts_at,
            interrupted_at=interrupted_at,
            interruption=interruption,
            running=tuple(Noted(each, explain(self.plan, each.key)) for each in self._open(TaskState.RUNNING)),
            timers=timers,
            late=tuple(self._late()),
            fits=tuple(self._doable(each) for each in fitting.values()),
            too_long=tuple(self._doable(each) for each in doable if each.key not in fitting),
            to_arrange=tuple(self._to_arrange()),
            blocked=tuple(self._blocked()),
        )

    def _open(self, state: TaskState) -> list[PlannedTask]:
        """Return hands-on tasks in a state."""
        return [each for each in self.plan.tasks.values() if each.state is state and each.task.clock is Clock.ATTENDED]

    def _timers(self) -> Iterator[Timer]:
        windowed = {window.after for window in self.plan.windows if window.is_running}
        for each in self.plan.tasks.values():
            waits_only = each.state is TaskState.WAITING and not each.waits_for and each.held_by is not None
            if each.state is TaskState.RUNNING and each.task.kind in ENDS and each.earliest_finish > self.minute:
                yield self._wait(each)
            elif waits_only and each.key not in windowed:
                words = f"{each.task.name} from {self.plan.say(each.ready_at)}"
                yield Timer(each, each.ready_at, None, calls=each.task.clock is Clock.ATTENDED, words=words)
        for key in windowed:
            window = closes_soonest(self.plan.windows, key)
            if window is not None and window.closes_at >= self.now:
                yield self._window(window)

    def _wait(self, each: PlannedTask) -> Timer:
        words = f"{ENDS[each.task.kind]} {self.plan.say(each.task.expected_at or each.earliest_finish)}"
        return Timer(each, each.earliest_finish, None, calls=each.task.kind is TaskKind.CLAMP, words=words)

    def _window(self, window: Window) -> Timer:
        """Return the timer of a window: until it opens, then until it closes."""
        each, closes = self.plan.tasks[window.after], self.plan.say(window.closes_at)
        if window.opens_at > self.now:
            words = f"{each.task.name} from {self.plan.say(window.opens_at)} until {closes}"
            return Timer(each, window.opens_at, window.closes_at, calls=True, words=words)
        return Timer(each, window.closes_at, window.closes_at, calls=True, words=f"{each.task.name} until {closes}")

    def _interruption(self, timers: Sequence[Timer]) -> tuple[datetime, str]:
        """Return when the next thing calls from the bench, or the day ends, and its words."""
        on = self.calendar.local(self.starts_at).date()
        closing = max(end for _, end in self.calendar.open_stretches(on))
        calling = [timer for timer in timers if timer.calls and self.starts_at < timer.at < closing]
        if calling:
            return calling[0].at, f"{calling[0].planned.task.name}: {first_lower(calling[0].words)}"
        return closing, f"closing time {self.plan.say(closing)}"

    def _fits(self, each: PlannedTask, time_left: timedelta) -> bool:
        return each.task.duration <= time_left and each.earliest_start <= self.starts_at

    def _order(self, each: PlannedTask) -> tuple[bool, datetime, timedelta, datetime, int]:
        """Return what sorts a task: windows that close, then the least float, then the latest start."""
        window = closes_soonest(self.plan.windows, each.key)
        closes = window.closes_at if window else each.latest_start
        return (window is None, closes if window else self.now, each.total_float, each.latest_start, each.task.position)

    def _doable(self, each: PlannedTask) -> Doable:
        return Doable(each, each.task.duration, self._why(each), self._short(each))

    def _why(self, each: PlannedTask) -> str:
        """Return why a task stands where it does in the list."""
        window = closes_soonest(self.plan.windows, each.key)
        if window is not None and window.closes_at >= self.now:
            return f"its window closes {self.plan.say(window.closes_at)}"
        if each.latest_start < self.now:
            return f"it should have begun by {self.plan.say(each.latest_start)}"
        passes = [next_one for next_one in self.followers.get(each.key, []) if next_one.task.kind in ENDS]
        then = f"; then {span(passes[0].task.duration)} pass by themselves" if passes else ""
        if each.critical:
            return f"it sets the finish date{then}"
        return f"it can wait until {self.plan.say(each.latest_start)}{then}"

    def _short(self, each: PlannedTask) -> str:
        """Return what a task asks for beyond what is free now; nothing when all is there."""
        hands, clamps, benches = self._free
        asked = (
            (each.task.crew, hands, "person", "people"),
            (each.task.clamps, clamps, "clamp", "clamps"),
            (each.task.bench, benches, "bench", "benches"),
        )
        return "; ".join(
            f"needs {counted(want, one, many)}, {max(free, 0)} free" for want, free, one, many in asked if want > free
        )

    @cached_property
    def _free(self) -> tuple[int, int, int]:
        """Return how many hands, clamps and benches are free now: not at work, not held by what has begun."""
        tasks, there = self.plan.tasks, self.plan.resources
        held = [each.task for each in tasks.values() if each.has_begun and not tasks.get(each.task.until, each).is_over]
        return (
            there.hands - sum(each.task.crew for each in self._open(TaskState.RUNNING)),
            there.clamps - sum(task.clamps for task in held),
            there.benches - sum(task.bench for task in held),
        )

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
