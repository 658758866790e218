"""Why a task stands where it does, and what sets the finish date, in words."""

from datetime import datetime, timedelta

from domain.open_minutes import minute_after
from domain.part import TaskKind
from domain.plan.planned import Plan, PlannedTask, TaskState
from domain.plan.why import held
from domain.task import Clock
from domain.words import first_lower, listing


def explain(plan: Plan, key: str) -> str:
    """Return what holds a task where it is, one sentence or two. Raises KeyError for a key not in the plan."""
    each = plan.tasks[key]
    if each.state is TaskState.DONE:
        return _done(plan, each)
    if each.state is TaskState.RUNNING:
        return _running(plan, each)
    if each.task.is_undated_delivery:
        return "Not ordered yet, and no lead time is said with its prices: counted as here the moment it is ordered."
    if each.task.kind is TaskKind.DELIVERY:
        return f"Not ordered yet. Ordered {plan.say(each.start)}, it comes {plan.say(each.finish)}."
    if each.task.kind is TaskKind.MILESTONE and each.state is TaskState.READY:
        return "No day is set yet."
    if each.holder is not None:
        return f"{held(plan, each)}." if held(plan, each) else "Can start now."
    if minute_after(each.ready_at) <= plan.minute and not each.waits_for:
        return f"Could start now{_hours(plan, each, plan.now)}." if _waits_for_hours(plan, each) else "Can start now."
    return f"{held(plan, each)}{_hours(plan, each, each.ready_at)}."


def blocked_by(plan: Plan, key: str) -> str:
    """Return what a task waits for, in words; nothing when nothing holds it."""
    each = plan.tasks[key]
    names = [f"“{plan.tasks[before].task.name}”" for before in each.waits_for]
    if names:
        return f"waits for {listing(names)}"
    if each.holder is not None:
        return held(plan, each)
    return first_lower(held(plan, each)) if minute_after(each.ready_at) > plan.minute else ""


def _done(plan: Plan, each: PlannedTask) -> str:
    verb = "Finished" if each.task.finished_at else "Over since"
    return f"{verb} {plan.say(each.finish)}."


def _running(plan: Plan, each: PlannedTask) -> str:
    start, finish = plan.say(each.start), plan.say(each.finish)
    overdue = minute_after(each.finish) <= plan.minute
    if each.task.kind is TaskKind.DELIVERY:
        if each.task.is_undated_delivery:
            return f"Ordered {start}; nobody has said when it comes."
        expected = f"expected {plan.say(each.task.expected_at)}" if each.task.expected_at else f"due {finish}"
        return f"Ordered {start}, {expected} and not here yet." if overdue else f"Ordered {start}, expected {finish}."
    if each.task.clock is Clock.ELAPSED:
        return f"Passes by itself until {finish}."
    return (
        f"Running since {start}, longer than planned."
        if overdue
        else f"Running since {start}, until {finish} as planned."
    )


def _waits_for_hours(plan: Plan, each: PlannedTask) -> bool:
    return minute_after(each.start) > max(minute_after(each.ready_at), plan.minute)


def _hours(plan: Plan, each: PlannedTask, since: datetime) -> str:
    """Return how shop hours hold a task beyond what it waits for; nothing when they do not."""
    if each.task.clock is Clock.ELAPSED or not _waits_for_hours(plan, each):
        return ""
    opens = plan.say(each.start)
    if plan.calendar.is_open(max(since, plan.now)) and not each.task.splittable and each.task.duration > timedelta(0):
        return f"; it is done in one go, and there is time for that from {opens}"
    return f"; the shop opens {opens}"
