"""What is odd about the time a task is pinned to. It may be so all the same: who pins knows why."""

from datetime import datetime

from domain.shop_calendar import ShopCalendar
from domain.task import Clock, Task
from domain.when import when


def pin_warning(task: Task, calendar: ShopCalendar, now: datetime) -> str:
    """Return what to look at: the time is over, or the shop is closed then; empty when nothing is odd."""
    if task.pinned_at is None or task.started_at or task.finished_at:
        return ""
    at = when(task.pinned_at, now, calendar.tz)
    if task.pinned_at < now:
        return (
            f"It was pinned to {at}, which is over, and it has not begun: the plan takes it as not pinned. "
            "Pin it to another time, or empty “Pinned to”."
        )
    if task.clock is Clock.ATTENDED and not calendar.is_open(task.pinned_at):
        opens = when(calendar.next_open(task.pinned_at), now, calendar.tz)
        return (
            f"It is pinned to {at}, when the shop is closed; it next opens {opens}. "
            "Add extra hours for that day, or pin it to another time."
        )
    return ""
