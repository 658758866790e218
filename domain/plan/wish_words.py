"""Wishes of a plan that contradict one another, each in words with its dates."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise

from domain.plan.held import HeldBy
from domain.plan.model import Model
from domain.plan.planned import Plan
from domain.plan.window import Window
from domain.schedule.wish import Kind, Wish
from domain.when import day, span
from domain.words import listing


@dataclass(frozen=True, slots=True)
class Around:
    """The plan that a contradiction was found in, and the window it is about, if it is about one."""

    plan: Plan
    model: Model
    window: Window | None = None

    def task(self, number: int) -> str:
        return f"“{self.plan.tasks[self.model.keys[number]].task.name}”"


ASKS = frozenset({Kind.MOST, Kind.DUE, Kind.PIN, Kind.EARLIEST, Kind.LEAST})
"""What somebody wants; the rest is what there is only so much of."""


def say(wish: Wish, around: Around) -> str:
    """Return a wish as a clause with its dates: `“Second coat” must follow “First coat” by Sun 14:00`."""
    plan, problem = around.plan, around.model.problem
    match wish.kind:
        case Kind.MOST:
            return _most(wish.number, around)
        case Kind.LEAST:
            key, link = around.model.links[wish.number]
            after, before = plan.tasks[key].task.name, plan.tasks[link.before].task.name
            return f"“{after}” comes at least {span(link.at_least)} after “{before}”"
        case Kind.PIN:
            at = around.model.grid.instant(problem.activities[wish.number].pinned or 0)
            return f"{around.task(wish.number)} is pinned to {plan.say(at)}"
        case Kind.EARLIEST:
            at = around.model.grid.instant(problem.activities[wish.number].earliest)
            return f"{around.task(wish.number)} is held back until {plan.say(at)}"
        case Kind.DUE:
            job = plan.jobs[around.model.jobs[wish.number]]
            on = day(job.promised_on, plan.calendar.local(plan.now).date()) if job.promised_on else "then"
            return f"{job.name} is promised for {on}"
        case Kind.HOURS:
            return _hours(wish.number, around)
        case Kind.PEOPLE:
            return _people((wish.number,), around)
        case Kind.CAPACITY:
            return _capacity(wish.number, around)
        case Kind.AIR:
            return "no dust is made while finish is wet"


def together(wishes: Sequence[Wish], around: Around) -> str:
    """Return why wishes contradict one another, as one sentence."""
    asked = [say(wish, around) for wish in wishes if wish.kind in ASKS]
    people = tuple(wish.number for wish in wishes if wish.kind is Kind.PEOPLE)
    limits = [say(wish, around) for wish in wishes if wish.kind not in ASKS and wish.kind is not Kind.PEOPLE]
    limits += [_people(people, around)] if people else []
    wanted = listing(asked, most=6)
    if wanted and limits:
        joined = "; and " if any(":" in one for one in asked) else " and "
        words = f"{joined.join(asked)}, but {listing(limits, most=6)}"
    elif len(asked) > 1:
        words = f"{listing(asked, most=6)}: both cannot be" if len(asked) == 2 else f"{wanted}: all of it cannot be"
    else:
        words = f"{wanted or listing(limits, most=6)}: that cannot be"
    return f"{words[:1].upper()}{words[1:]}."


def _most(number: int, around: Around) -> str:
    key, link = around.model.links[number]
    plan = around.plan
    after, before = plan.tasks[key], plan.tasks[link.before]
    window = next((one for one in plan.windows if (one.before, one.after) == (link.before, key)), around.window)
    names = f"“{after.task.name}” must follow “{before.task.name}”"
    if window is None:
        return names
    closes = plan.say(window.closes_at)
    if before.is_over or link.at_most is None:
        return f"{names} by {closes}"
    return f"{names}, done {plan.say(before.finish)}, within {span(link.at_most)}: by {closes}"


def _hours(number: int, around: Around) -> str:
    """Return when people of a calendar are not there, around the window if there is one."""
    plan, problem = around.plan, around.model.problem
    ids = [around.model.people[at] for at, person in enumerate(problem.people) if person.calendar == number]
    names = [plan.name_of(one) for one in ids if one]
    who = listing(names) if names and len(ids) < len(problem.people) else "nobody"
    works = "works" if who == "nobody" else ("is not there" if len(names) == 1 else "are not there")
    gap = _gap(problem.calendars[number].stretches, around)
    if gap is not None and all(_is_closed(calendar.stretches, gap, around) for calendar in problem.calendars):
        who, works = "nobody", "works"
    if gap is None:
        return f"{who} {works} outside their hours" if who != "nobody" else "nobody works outside shop hours"
    return f"{who} {works} from {plan.say(gap[0])} to {plan.say(gap[1])}"


def _is_closed(stretches: Sequence[tuple[int, int]], gap: tuple[datetime, datetime], around: Around) -> bool:
    """Whether nobody of a calendar works in a closed time of another."""
    grid = around.model.grid
    return all(grid.instant(ends) <= gap[0] or grid.instant(opens) >= gap[1] for opens, ends in stretches)


def _gap(stretches: Sequence[tuple[int, int]], around: Around) -> tuple[datetime, datetime] | None:
    """Return the closed time in which the window closes, or the longest one within it."""
    if around.window is None:
        return None
    grid = around.model.grid
    gaps = [(grid.instant(ends), grid.instant(opens)) for (_, ends), (opens, _) in pairwise(stretches)]
    window = around.window
    meeting = [gap for gap in gaps if gap[0] <= window.closes_at and gap[1] >= max(window.opens_at, around.plan.now)]
    return max(meeting, key=lambda gap: gap[1] - gap[0], default=None)


def _people(numbers: Sequence[int], around: Around) -> str:
    ids = [around.model.people[number] for number in numbers]
    names = [around.plan.name_of(one) for one in ids if one]
    if not names and around.plan.resources.hands == 1:
        return "there is only one pair of hands"
    who = listing(names) if names else ("everybody" if len(numbers) > 1 else "one person")
    return f"{who} can be in only one place at a time"


def _capacity(number: int, around: Around) -> str:
    kind = around.model.kinds[number]
    there = around.model.problem.resources[number].capacity
    what = {HeldBy.CLAMPS: "clamp", HeldBy.BENCH: "bench", HeldBy.DRYING: "place to dry"}.get(kind.held_by, "piece")
    many = {"bench": "benches", "place to dry": "places to dry"}.get(what, f"{what}s")
    long = f" that open {kind.length.tape()}" if kind.length else ""
    return f"there {'is' if there == 1 else 'are'} only {there} {what if there == 1 else many}{long}"
