"""A plan as an RFC 5545 calendar: a task is an event, the end of a wait and the edges of a window have alarms."""

import hashlib
from collections.abc import Iterable, Iterator
from datetime import timedelta
from urllib.parse import quote

from icalendar import Alarm, Calendar, Event, vDuration, vText

from domain.part import TaskKind
from domain.plan import Plan, PlannedTask, TaskState, Window, blocked_by, explain
from domain.task import Clock
from domain.today import Timer
from domain.words import counted, first_lower, sentence

PRODUCT = "-//Benchday//plan//EN"
REFRESH = timedelta(minutes=30)
"""How often a subscribed calendar should ask again."""

BEFORE_CLOSING = timedelta(hours=1)
"""How long before a window closes its alarm rings. Source: common practice, no source."""

RINGS = {
    TaskKind.CLAMP: "Clamps off",
    TaskKind.CURE: "Cured",
    TaskKind.DRY: "Dry",
    TaskKind.ACCLIMATE: "The lumber is used to the shop",
}
"""What an alarm says as a wait ends."""


def calendar_file(plan: Plan, tasks: Iterable[PlannedTask], *, name: str, shop: str) -> Calendar:
    """Return the calendar of some tasks of a plan, with their windows. shop: tells shops and demos apart in UIDs."""
    calendar = _calendar(name)
    shown = tuple(tasks)
    keys = {each.key for each in shown}
    for each in shown:
        calendar.add_component(_task_event(plan, each, shop))
    for window in plan.windows:
        if window.after in keys and window.closes_at > plan.now and not plan.tasks[window.after].has_begun:
            calendar.add_component(_window_event(plan, window, shop))
    return calendar


def alarm_file(plan: Plan, timer: Timer, *, shop: str) -> Calendar:
    """Return a calendar of one event that rings when a timer does, even with this app switched off."""
    calendar = _calendar(timer.words)
    task = timer.planned.task
    event = _event(plan, f"alarm:{task.key}", shop)
    event.add("summary", timer.words if task.name in timer.words else f"{timer.words}: {task.name}")
    event.add("description", f"{task.job_name}. {explain(plan, task.key)}")
    event.add("dtstart", timer.at)
    if timer.until is not None and timer.until > timer.at:
        event.add("dtend", timer.until)
        event.add_component(_alarm(f"{timer.words}: it closes soon", -BEFORE_CLOSING, at_end=True))
    elif timer.until is not None and timer.at - BEFORE_CLOSING > plan.now:
        event.add_component(_alarm(f"{timer.words}: it closes soon", -BEFORE_CLOSING))
    event.add_component(_alarm(timer.words, timedelta()))
    calendar.add_component(event)
    return calendar


def stamp(text: bytes) -> str:
    """Return a fingerprint of what the text of a calendar says, whenever it was made."""
    said = b"\n".join(line for line in text.split(b"\r\n") if not line.startswith(b"DTSTAMP"))
    return hashlib.sha256(said).hexdigest()[:32]


def _calendar(name: str) -> Calendar:
    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("name", vText(name))
    calendar.add("x-wr-calname", vText(name))
    calendar.add("refresh-interval", REFRESH, parameters={"VALUE": "DURATION"})
    calendar.add("x-published-ttl", vDuration(REFRESH))
    return calendar


def _event(plan: Plan, key: str, shop: str) -> Event:
    event = Event()
    event.add("uid", f"{quote(key)}@{shop}")
    event.add("dtstamp", plan.now)
    return event


def _task_event(plan: Plan, each: PlannedTask, shop: str) -> Event:
    task = each.task
    event = _event(plan, task.key, shop)
    event.add("summary", f"{task.name} ({task.job_name})")
    event.add("description", "\n".join(_description(plan, each)))
    event.add("dtstart", each.start)
    if each.finish > each.start:
        event.add("dtend", each.finish)
    event.add("categories", list(_categories(each)))
    is_wait = task.clock is Clock.ELAPSED
    event.add("transp", "TRANSPARENT" if is_wait or each.is_over else "OPAQUE")
    event.add("status", "CONFIRMED" if each.has_begun else "TENTATIVE")
    if task.kind in RINGS and each.finish > plan.now:
        event.add_component(_alarm(f"{RINGS[task.kind]}: {task.name}", timedelta(), at_end=True))
    return event


def _description(plan: Plan, each: PlannedTask) -> Iterator[str]:
    """Yield the lines of a description: why it stands there, what it waits for, who and what it needs."""
    yield explain(plan, each.key)
    blocked = "" if each.has_begun else blocked_by(plan, each.key)
    if blocked:
        yield sentence(blocked)
    if each.task.clock is Clock.ATTENDED:
        yield f"{counted(each.task.crew, 'person', 'people')}, in shop hours."
    else:
        yield "Passes by itself, day and night."
    if each.sets_date and not each.is_over:
        yield "It sets the finish date."


def _categories(each: PlannedTask) -> Iterator[str]:
    yield each.task.kind.value
    yield "hands-on" if each.task.clock is Clock.ATTENDED else "passes by itself"
    yield each.state.value
    if each.critical and each.state is not TaskState.DONE:
        yield "critical"


def _window_event(plan: Plan, window: Window, shop: str) -> Event:
    """Return the event of a window that closes: it rings as it opens, and before it closes."""
    name = plan.tasks[window.after].task.name
    event = _event(plan, f"window:{window.before}:{window.after}", shop)
    event.add("summary", f"Window for {first_lower(name)}")
    event.add("description", window.words)
    event.add("dtstart", window.opens_at)
    if window.closes_at > window.opens_at:
        event.add("dtend", window.closes_at)
    event.add("categories", ["window", "passes by itself"])
    event.add("transp", "TRANSPARENT")
    if window.opens_at > plan.now:
        event.add_component(_alarm(f"{name}: the window opens", timedelta()))
    event.add_component(_alarm(f"{name}: the window closes soon", -BEFORE_CLOSING, at_end=True))
    return event


def _alarm(words: str, trigger: timedelta, *, at_end: bool = False) -> Alarm:
    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", words)
    alarm.add("trigger", trigger, parameters={"RELATED": "END"} if at_end else {})
    return alarm
