"""What to have at hand for a task, and what to get ready for the next glue-up."""

from datetime import datetime, timedelta

from domain.part import TaskKind
from domain.plan import Plan, PlannedTask
from domain.task import Task
from domain.today.free import Free, names
from domain.words import counted, listing

SOON = timedelta(hours=8)
"""Shop time ahead for which it is worth laying things out: a day's work."""

DRY_RUN = "try the parts dry, with the clamps set to width"
"""Source: common practice, no source."""


def needs(task: Task) -> str:
    """Return what a task asks for beyond one pair of hands: `2 people and 8 clamps`; empty for nothing."""
    asked = (
        (task.crew > 1, f"{task.crew} people"),
        (task.clamps > 0, counted(task.clamps, "clamp")),
        (task.bench > 0, "the bench" if task.bench == 1 else f"{task.bench} benches"),
    )
    return listing([words for there, words in asked if there])


def get_ready(plan: Plan, starts_at: datetime) -> tuple[tuple[PlannedTask, str], ...]:
    """Return the next glue-up that is not to start at once but within a day's work, and what to lay out for it."""
    coming = [
        each
        for each in plan.tasks.values()
        if each.task.kind is TaskKind.GLUE_UP and not each.has_begun and each.start > starts_at
    ]
    if not coming:
        return ()
    first = min(coming, key=lambda each: (each.start, each.task.position, each.key))
    if plan.calendar.between(starts_at, first.start) > SOON:
        return ()
    return ((first, _words(plan, first, starts_at)),)


def _words(plan: Plan, each: PlannedTask, at: datetime) -> str:
    who = names(plan, each.who)
    asked = f": {needs(each.task)}" if needs(each.task) else ""
    words = f"From {plan.say(each.start)}{f' with {who}' if who else ''}{asked}. Lay out the glue, and {DRY_RUN}."
    taken = Free(plan, at).taken(each.task)
    return f"{words} It {taken}." if taken else words
