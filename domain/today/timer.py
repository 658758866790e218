"""What passes by itself today and rings: clamps, cure, drying, windows that open and close."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from domain.part import TaskKind
from domain.plan import Plan, PlannedTask, TaskState, Window, closes_soonest
from domain.task import Clock
from domain.words import first_lower

ENDS = {
    TaskKind.CLAMP: "Clamps off",
    TaskKind.CURE: "Cures until",
    TaskKind.DRY: "Dries until",
    TaskKind.ACCLIMATE: "Rests until",
    TaskKind.DELIVERY: "Expected",
}
"""How the end of a wait is announced, by its kind."""

BEFORE_CLOSING = timedelta(hours=1)
"""How long before a window closes somebody is warned. Source: common practice, no source."""


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

    @property
    def rings(self) -> bool:
        """Whether anybody is called when it is over; goods come when they come."""
        return self.calls or self.planned.task.kind in (TaskKind.CURE, TaskKind.DRY)

    @property
    def soon_at(self) -> datetime | None:
        """Return when to warn that an open window closes, None where none is open."""
        return self.at - BEFORE_CLOSING if self.at == self.until else None


def timers(plan: Plan) -> tuple[Timer, ...]:
    """Return what is still to ring, the soonest first."""
    return tuple(sorted(_timers(plan), key=lambda timer: (timer.at, timer.planned.key)))


def interruption(plan: Plan, ringing: Sequence[Timer], starts_at: datetime) -> tuple[datetime, str]:
    """Return when the next thing calls from the bench, or the day ends, and its words."""
    on = plan.calendar.local(starts_at).date()
    closing = max(end for _, end in plan.calendar.open_stretches(on))
    calling = [timer for timer in ringing if timer.calls and starts_at < timer.at < closing]
    if calling:
        return calling[0].at, f"{calling[0].planned.task.name}: {first_lower(calling[0].words)}"
    return closing, f"closing time {plan.say(closing)}"


def _timers(plan: Plan) -> Iterator[Timer]:
    windowed = {window.after for window in plan.windows if window.is_running}
    for each in plan.tasks.values():
        waits_only = each.state is TaskState.WAITING and not each.waits_for and each.held_by is not None
        if each.state is TaskState.RUNNING and each.task.kind in ENDS and each.earliest_finish > plan.now:
            yield _wait(plan, each)
        elif waits_only and each.key not in windowed:
            words = f"{each.task.name} from {plan.say(each.ready_at)}"
            yield Timer(each, each.ready_at, None, calls=each.task.clock is Clock.ATTENDED, words=words)
    for key in windowed:
        window = closes_soonest(plan.windows, key)
        if window is not None and window.closes_at >= plan.now:
            yield _window(plan, window)


def _wait(plan: Plan, each: PlannedTask) -> Timer:
    words = f"{ENDS[each.task.kind]} {plan.say(each.task.expected_at or each.earliest_finish)}"
    return Timer(each, each.earliest_finish, None, calls=each.task.kind is TaskKind.CLAMP, words=words)


def _window(plan: Plan, window: Window) -> Timer:
    """Return the timer of a window: until it opens, then until it closes."""
    each, closes = plan.tasks[window.after], plan.say(window.closes_at)
    if window.opens_at > plan.now:
        words = f"{each.task.name} from {plan.say(window.opens_at)} until {closes}"
        return Timer(each, window.opens_at, window.closes_at, calls=True, words=words)
    return Timer(each, window.closes_at, window.closes_at, calls=True, words=f"{each.task.name} until {closes}")
