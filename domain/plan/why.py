"""What holds a task where it stands in the plan, in words: a wait, people, clamps, a bench, air, hours."""

from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta

from domain.part import TaskKind
from domain.plan.binding import binding
from domain.plan.load import clamps_there
from domain.plan.planned import HeldBy, Holder, Plan, PlannedTask
from domain.plan.there import closed, gone, is_there, time_left
from domain.task import Clock, End, Link, Task
from domain.when import span
from domain.words import counted, first_lower, listing

NOON = timedelta(hours=2)
"""A break shorter than this is not told. Source: common practice, no source."""


def held(plan: Plan, each: PlannedTask) -> str:
    """Return what keeps a task from starting sooner, a sentence without its full stop; nothing when nothing does."""
    found = binding(plan, each.key) or (_by_links(each),)
    said = [one for one in found if not _goes_without_saying(one, found)]
    told = [(one, words) for one in said if (words := _held(plan, each, one))] or [(found[0], "")]
    words = "; and ".join([told[0][1], *(_within(one, words) for one, words in told[1:])])
    return words + _then_closed(plan, each, [one for one, _ in told])


def _then_closed(plan: Plan, each: PlannedTask, told: Sequence[Holder]) -> str:
    """Return that too little of the day is left when the last to hold a task lets go; nothing when enough is."""
    last = next((one for one in told if one.kind is not HeldBy.WINDOW), told[0])
    is_told = any(one.kind in (HeldBy.HOURS, HeldBy.STEADY) for one in told) or last.kind is HeldBy.WINDOW
    if is_told or each.task.clock is Clock.ELAPSED or last.until >= each.start:
        return ""
    left, opens = time_left(plan, each, last.until, each.start), plan.say(each.start)
    if not left:
        who = "nobody who can do it" if plan.calendar.between(last.until, each.start) else "nobody"
        why = gone(plan, each, last.until)
        is_long = each.start - last.until >= NOON
        return f"; {who} is there until {opens}{f': {listing(why)}' if why else ''}" if is_long else ""
    if told[0] is last and left < each.task.duration and not each.task.splittable:
        return f"; it is done in one go, and there is time for that from {opens}"
    return ""


def _within(one: Holder, words: str) -> str:
    """Return what holds a task as it reads after another reason; names of people keep their capital."""
    return words if one.kind is HeldBy.PERSON and not words.startswith(("Everybody", "The ")) else first_lower(words)


def _goes_without_saying(one: Holder, found: Sequence[Holder]) -> bool:
    """Whether people are busy with just what is waited for, or with what makes the dust."""
    waits = {key for other in found if other.kind in (HeldBy.LINK, HeldBy.AIR) for key in other.by}
    return one.kind is HeldBy.PERSON and bool(waits) and waits.issuperset(one.by)


def _held(plan: Plan, each: PlannedTask, holder: Holder) -> str:
    match holder.kind:
        case HeldBy.LINK:
            return _link(plan, each, holder)
        case HeldBy.PINNED:
            return f"Pinned to {plan.say(holder.until)}"
        case HeldBy.HELD_BACK:
            return f"Held back until {plan.say(holder.until)}"
        case HeldBy.PERSON:
            return _people(plan, each, holder)
        case HeldBy.CLAMPS:
            return _clamps(plan, each, holder)
        case HeldBy.BENCH:
            return _bench(plan, each, holder)
        case HeldBy.DRYING:
            return f"No place to dry is free until {plan.say(holder.until)}{_taken_by(plan, each, holder.by)}"
        case HeldBy.AIR:
            return _air(plan, each, holder)
        case HeldBy.HOURS:
            return _hours(plan, each)
        case HeldBy.WINDOW:
            then = listing([named(plan, key, each) for key in holder.by if key in plan.tasks])
            return f"Starts no sooner, so that {then or 'what comes after'} is done before its window closes"
        case HeldBy.STEADY:
            return _steady(plan, each, holder)
        case _:
            return ""


def named(plan: Plan, key: str, beside: PlannedTask) -> str:
    """Return the name of a task, with its job's if that is another one than that of the task beside it."""
    task = plan.tasks[key].task
    return f"“{task.name}”" + (f" of {task.job_name}" if task.job_id != beside.task.job_id else "")


def names_of(plan: Plan, ids: Iterable[int]) -> tuple[str, ...]:
    """Return the names of people by id; of those without a name, none."""
    known = {person.id: person.name for person in plan.resources.people}
    return tuple(known[number] for number in ids if known.get(number))


def _by_links(each: PlannedTask) -> Holder:
    """Return what holds a task that was planned by its links alone."""
    if each.held_by is not None:
        return Holder(HeldBy.LINK, each.ready_at, (each.held_by.before,))
    return Holder(HeldBy.HELD_BACK, each.ready_at)


def _link(plan: Plan, each: PlannedTask, holder: Holder) -> str:
    link = next((link for link in each.task.links if link.before in holder.by), each.held_by)
    if link is None or link.before not in plan.tasks:
        return f"Waits until {plan.say(holder.until)}"
    return f"{_waits(plan, link, holder.until)}{f': {link.why}' if link.why else ''}"


def _waits(plan: Plan, link: Link, until: datetime) -> str:
    before = plan.tasks[link.before]
    at = before.start if link.leaves is End.START else before.finish
    if link.leaves is End.START:
        verb = "was begun" if before.has_begun else "is begun"
    else:
        verb = "was finished" if before.is_over else "is finished"
    words = f"Waits until “{before.task.name}” {verb} {plan.say(at)}"
    if link.at_least > timedelta():
        time = span(link.at_least) + (" of shop hours" if link.clock is Clock.ATTENDED else "")
        words += f", then {time} until {plan.say(until)}"
    return words


def _people(plan: Plan, each: PlannedTask, holder: Holder) -> str:
    until = plan.say(holder.until)
    busy = [(names_of(plan, plan.tasks[key].who), key) for key in holder.by if key in plan.tasks]
    if busy and all(people for people, _ in busy):
        at_work = [
            f"{listing(people)} {'is' if len(people) == 1 else 'are'} on {named(plan, key, each)}"
            for people, key in busy
        ]
        return f"{listing(at_work)} until {until}"
    what = listing([named(plan, key, each) for _, key in busy])
    if plan.resources.hands == 1 and not plan.resources.people:
        return f"The only pair of hands is on {what or 'something else'} until {until}"
    who = "Everybody who can do it is" if each.task.crew == 1 else f"{each.task.crew} people for it are not free:"
    if each.task.crew > 1:
        return f"{who} {what or 'some are busy'} until {until}"
    return f"{who} on {what or 'something else'} until {until}"


def _clamps(plan: Plan, each: PlannedTask, holder: Holder) -> str:
    task = each.task
    long = f" that open {task.clamp_length.tape()}" if task.clamp_length else ""
    there = clamps_there(plan.resources, task)
    words = f"Needs {counted(task.clamps, 'clamp')}{long} of {there}"
    holding = [f"{named(plan, key, each)} has {plan.tasks[key].task.clamps}" for key in holder.by if key in plan.tasks]
    return f"{words}: {listing(holding) or 'too few are free'} until {plan.say(holder.until)}"


def _bench(plan: Plan, each: PlannedTask, holder: Holder) -> str:
    benches = "The bench is" if plan.resources.benches == 1 else "The benches are"
    return f"{benches} taken until {plan.say(holder.until)}{_taken_by(plan, each, holder.by)}"


def _taken_by(plan: Plan, each: PlannedTask, keys: Sequence[str]) -> str:
    names = [named(plan, key, each) for key in keys if key in plan.tasks]
    return f" by {listing(names)}" if names else ""


def _air(plan: Plan, each: PlannedTask, holder: Holder) -> str:
    until = plan.say(holder.until)
    others = listing([named(plan, key, each) for key in holder.by if key in plan.tasks])
    if makes_wet(each.task):
        return f"No wet finish in the dust of {others or 'other work'}, which goes on until {until}"
    return f"No dust while {others or 'a coat'} is wet, until {until}"


def makes_wet(task: Task) -> bool:
    """Whether a task leaves something wet that dust would spoil."""
    return bool(task.wet_for) or task.kind is TaskKind.COAT


def _hours(plan: Plan, each: PlannedTask) -> str:
    """Return that nobody is there, or not for long enough, with the closed day or the person who is away."""
    waits = [(link, plan.tasks[link.before]) for link in each.task.links if link.before in plan.tasks]
    link, last = max(waits, key=lambda wait: wait[1].finish + wait[0].at_least, default=(None, None))
    since = max(plan.now, last.finish + link.at_least if last and link else plan.now, each.task.not_before or plan.now)
    opens = plan.say(each.start)
    done = f"“{last.task.name}” is finished {plan.say(last.finish)}" if last and not last.is_over else ""
    if done and link and link.at_least:
        done += f" and {span(link.at_least)} more pass until {plan.say(since)}"
    done = f"{done}; " if done else ""
    if not each.task.splittable and is_there(plan, each, since):
        days = closed(plan, since, each.start)
        done += f"it is done in one go, and there is time for that from {opens}"
        return _begun(f"{done}: {listing(days)}" if days else done)
    why = gone(plan, each, since)
    who = "nobody who can do it is there" if plan.calendar.is_open(since) else "nobody is there"
    return _begun(f"{done}{who} until {opens}{f': {listing(why)}' if why else ''}")


def _steady(plan: Plan, each: PlannedTask, holder: Holder) -> str:
    is_sooner = holder.until < each.start
    could = f"Could start {plan.say(max(holder.until, plan.now))}, but stays" if is_sooner else "Stays"
    return f"{could} where the plan had it, so that less moves"


def _begun(words: str) -> str:
    return words[:1].upper() + words[1:]
