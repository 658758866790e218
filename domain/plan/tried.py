"""A remedy tried before it is offered: the plan is made again with it, and what it wins and moves is said."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date

from domain.plan.asked import Asked
from domain.plan.moved import Moved, moved, spans
from domain.plan.planned import Plan
from domain.plan.remedy import (
    Give,
    GoFirst,
    Helper,
    Hold,
    LetGo,
    MoreClamps,
    Promise,
    Remedy,
    Sand,
    Sooner,
    Unpin,
    Work,
    apply,
)
from domain.when import day, from_to, span
from domain.words import counted, listing


@dataclass(frozen=True, slots=True)
class Tried:
    """A remedy that was tried and helps. plan: made with it; gains: what it wins, moves: what else it moves."""

    remedy: Remedy
    plan: Plan
    words: str
    gains: str
    moves: Moved


def tried(asked: Asked, made: Plan, remedy: Remedy, gained: Callable[[Plan], str]) -> Tried | None:
    """Return a remedy with what it does, None where it does not help or makes something else worse.

    made: the plan without it; gained: what the plan with it wins, in words, empty for nothing.
    """
    try:
        found = apply(remedy, asked).plan()
    except ValueError:
        return None
    gains = gained(found)
    if not gains or _harms(made, found):
        return None
    return Tried(remedy, found, say(remedy, made), gains, moved(spans(made), found))


def say(remedy: Remedy, made: Plan) -> str:
    """Return a remedy as a person would say it: `Hold “First coat” until Thu 08:00`."""
    match remedy:
        case Hold(key, until):
            if until <= made.now:
                return f"Hold {_named(made, key)} back no longer"
            return f"Hold {_named(made, key)} until {made.say(until)}"
        case Work(worked, starts, ends):
            return f"Work {_on(worked, made)} from {starts:%H:%M} to {ends:%H:%M}"
        case Sand(_, after, scuff):
            return f"Sand before {_named(made, after)}: {span(scuff.duration)}"
        case Unpin(key):
            return f"Unpin {_named(made, key)}, so that it can move"
        case LetGo(before, after):
            return f"Let {_named(made, after)} come later after {_named(made, before)} than you said"
        case Give(key, ids):
            names = [person.name for person in made.resources.people if person.id in ids]
            return f"Give {_named(made, key)} to {listing(names) if names else 'whoever can do it'}"
        case MoreClamps(count, length):
            return f"Borrow or rent {counted(count, 'clamp')}{f' that open {length.tape()}' if length else ''}"
        case Helper(start, end, count):
            who = "one more person" if count == 1 else f"{count} more people"
            return f"Have {who} there {from_to(start, end, made.now, made.calendar.tz)}"
        case Sooner(key, at):
            verb = "Have" if made.tasks[key].task.started_at else "Order now, and have"
            return f"{verb} {_named(made, key)} here by {made.say(at)}"
        case GoFirst(job_id):
            return f"Let {made.jobs[job_id].name} go before the other jobs"
        case Promise(_, promised):
            return f"Promise {day(promised, made.calendar.local(made.now).date())} instead"


def _on(worked: date, made: Plan) -> str:
    today = made.calendar.local(made.now).date()
    near = {0: "today", 1: "tomorrow"}
    return near.get((worked - today).days) or day(worked, today)


def _named(made: Plan, key: str) -> str:
    return f"“{made.tasks[key].task.name}”"


def _missed(plan: Plan) -> set[tuple[str, str]]:
    return {(window.before, window.after) for window in plan.windows if not window.is_met}


def _harms(made: Plan, found: Plan) -> bool:
    """Whether a plan misses a window instead of others, or is later for some job than its promise allowed."""
    missed, misses = _missed(made), _missed(found)
    if len(misses) >= len(missed) and not misses <= missed:
        return True
    before = {job.job_id: max(job.days_late or 0, 0) for job in made.jobs.values()}
    return any((job.days_late or 0) > before.get(job.job_id, 0) for job in found.jobs.values())


def offered(
    asked: Asked, made: Plan, remedies: Iterable[Remedy], gained: Callable[[Plan], str], *, most: int = 3
) -> tuple[Tried, ...]:
    """Return the first remedies that help, so many at most, those first that move the least."""
    found: list[Tried] = []
    for remedy in dict.fromkeys(remedies):
        if len(found) == most:
            break
        if (one := tried(asked, made, remedy, gained)) is not None:
            found.append(one)
    return tuple(sorted(found, key=lambda one: (sum(max(job.days, 0) for job in one.moves.jobs), len(one.moves.tasks))))
