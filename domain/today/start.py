"""What speaks against starting a task now: tried with the plan, not guessed."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime, timedelta

from domain.plan import Plan, PlannedTask, TaskState, Window, plan
from domain.plan.grid import SLOT
from domain.plan.holding import room_of, side_of
from domain.schedule.problem import Side
from domain.task import Clock, Task
from domain.today.free import Free
from domain.when import span


def against(made: Plan, each: PlannedTask, at: datetime) -> str:
    """Return why a task that could start should not at an instant, in words; empty when nothing speaks against it.

    made: the plan as it stands; each: one of its tasks that nothing before it holds back any more.
    """
    return next((words for words in _reasons(made, each, at) if words), "")


def in_the_way(made: Plan, each: PlannedTask, at: datetime, interrupted_at: datetime) -> str:
    """Return what a task would be in the way of as the next interruption comes, in words; empty for nothing."""
    task = each.task
    if not task.splittable and task.duration > made.calendar.between(at, interrupted_at):
        return f"it takes {span(task.duration)} in one go, and there is an interruption {made.say(interrupted_at)}"
    is_done = task.splittable and task.duration <= made.calendar.between(at, interrupted_at)
    if not task.bench or (is_done and not task.until):
        return ""
    left = Free(made, interrupted_at).benches - task.bench
    for then in made.tasks.values():
        if at < then.earliest_start <= interrupted_at and not then.has_begun and then.task.bench > left:
            return f"it would hold the bench that “{then.task.name}” needs {made.say(then.earliest_start)}"
    return ""


def _reasons(made: Plan, each: PlannedTask, at: datetime) -> Iterator[str]:
    yield _not_by_closing(made, each.task, at)
    yield _air(made, each.task, at)
    yield Free(made, at).taken(each.task)
    if each.start >= at + timedelta(minutes=SLOT):  # else the plan itself starts it now
        window = missed_window(made, each, at)
        yield _missed(made, window) if window and _can_be_met(made, window) else ""


def _not_by_closing(made: Plan, task: Task, at: datetime) -> str:
    hours = made.calendar
    if task.splittable or task.duration <= hours.between(at, hours.closes(at)):
        return ""
    return f"it takes {span(task.duration)} in one go, and the shop closes {made.say(hours.closes(at))}"


def _air(made: Plan, task: Task, at: datetime) -> str:
    """Return what keeps dust and wet finish apart in one room."""
    side = side_of(task)
    for other in made.tasks.values() if side else ():
        theirs = side_of(other.task) if other.has_begun and other.key != task.key else None
        if theirs in (None, side) or room_of(other.task, made.resources) != room_of(task, made.resources):
            continue
        until = other.finish + other.task.wet_for if theirs is Side.WET else other.finish
        if other.state is not TaskState.RUNNING and (theirs is Side.DUST or until <= at):
            continue
        if theirs is Side.WET:
            return f"it makes dust, and “{other.task.name}” is wet until {made.say(until)}"
        return f"“{other.task.name}” makes dust until {made.say(until)}"
    return ""


def missed_window(made: Plan, each: PlannedTask, at: datetime) -> Window | None:
    """Return a window that nobody could meet if a task were started at an instant, None when all can be met."""
    job = [other.task for other in made.of_job(each.task.job_id)]
    if not any(link.before == each.key and link.at_most is not None for task in job for link in task.links):
        return None
    tried = [replace(task, started_at=at) if task.key == each.key else task for task in job]
    then = plan(tried, made.calendar, at, made.resources, {})
    return next((window for window in then.windows if window.before == each.key and not window.is_met), None)


def _can_be_met(made: Plan, missed: Window) -> bool:
    """Whether the plan as it stands keeps a window, or knows until when to hold what opens it."""
    same = [one for one in made.windows if (one.before, one.after) == (missed.before, missed.after)]
    return any(one.is_met or one.hold_until is not None for one in same)


def _missed(made: Plan, window: Window) -> str:
    """Return what starting now would lead to, with the hours of the window."""
    after = made.tasks[window.after].task
    opens, closes = max(window.opens_at, made.now), window.closes_at
    why = "there is no time for it in between"
    if after.clock is Clock.ATTENDED and not made.calendar.between(opens, closes):
        why = "nobody works then"
    first = f"from {made.say(opens)} " if opens > made.now else ""
    words = f"started now, “{after.name}” would have to begin {first}to {made.say(closes)}, and {why}"
    link = next(link for link in after.links if link.before == window.before and link.at_most is not None)
    return f"{words}; after that {link.if_missed}" if link.if_missed else words
