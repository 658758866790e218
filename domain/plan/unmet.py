"""What a task asks for that can never be had here: named, with what would help; the plan is made as near as it can."""

from collections.abc import Sequence
from dataclasses import dataclass

from domain.length import Length
from domain.person import SKILL_OF
from domain.plan.held import HeldBy
from domain.plan.holding import Kind
from domain.shop_calendar import in_minutes
from domain.task import Task
from domain.words import counted


@dataclass(frozen=True, slots=True)
class Unmet:
    """key: of the task; words: what cannot be met and what would help."""

    key: str
    words: str


def too_few(task: Task, there: int) -> Unmet:
    """Return that a task needs more people at once than there ever are; there 0: never together."""
    name = f"“{task.name}” ({task.job_name})"
    if not there:
        words = "nobody who could do it is there together. Change who does it, their hours, or how many it needs"
        return Unmet(task.key, f"{name}: {words}. It is planned for one person meanwhile.")
    needs = f"{name} needs {counted(task.crew, 'person', 'people')} at once; there {_are(there)}"
    return Unmet(task.key, f"{needs}. Get help for it, or say that fewer will do; it is planned with {there}.")


def unskilled(task: Task) -> Unmet:
    """Return that nobody who may do a task has the skill it asks for."""
    skill = SKILL_OF[task.kind].value if task.kind in SKILL_OF else "to work alone"
    words = f"Nobody it could be given to has the skill it asks for ({skill}). Say who can, under People"
    return Unmet(task.key, f"“{task.name}” ({task.job_name}): {words}. It is planned for whoever is there meanwhile.")


def too_long(task: Task, longest: int) -> Unmet:
    """Return that a task done in one go is longer than any stretch of work. longest: that stretch [min]."""
    name = f"“{task.name}” ({task.job_name}) takes {in_minutes(task.duration)} min in one go"
    words = f"nobody works longer than {longest} min without a break. Split it, or work longer that day"
    return Unmet(task.key, f"{name}, but {words}. It is planned with a break meanwhile.")


def too_many(task: Task, kind: Kind, asked: int) -> Unmet:
    """Return that a task needs more of something than the shop has."""
    what = {HeldBy.CLAMPS: "clamp", HeldBy.BENCH: "bench", HeldBy.DRYING: "place to dry"}[kind.held_by]
    many = {"bench": "benches", "place to dry": "places to dry"}.get(what, f"{what}s")
    far = f" that open {_inches(kind.length)}" if kind.length else ""
    needs = f"“{task.name}” ({task.job_name}) needs {counted(asked, what, many)}{far}; there {_are(kind.there)}"
    help_words = f"Borrow or buy {many}, do it in smaller parts, or count again under Shop"
    return Unmet(task.key, f"{needs}. {help_words}; it is planned with what there is.")


def never_free(task: Task, kind: Kind) -> Unmet:
    """Return that something is held by one task until after another that needs it too, so that both wait for ever."""
    what = {HeldBy.CLAMPS: "clamps", HeldBy.BENCH: "benches", HeldBy.DRYING: "places to dry"}[kind.held_by]
    words = f"No plan keeps to the {what} there are: tasks wait for each other to let go of them"
    help_words = f"Get more {what}, or let “{task.name}” ({task.job_name}) hold fewer"
    return Unmet(task.key, f"{words}. {help_words}; they are planned as if there were enough.")


def _are(there: int) -> str:
    return "is 1" if there == 1 else f"are {there}"


def _inches(length: Length) -> str:
    return f"{float(length.inches):g} in"


def pin_missed(pinned: Task, before: Task) -> Unmet:
    """Return that something pinned begins before what it waits for can be done."""
    words = f"“{pinned.name}” ({pinned.job_name}) is pinned to a time before “{before.name}” can be done"
    return Unmet(pinned.key, f"{words}. Pin it later, or take the pin off; it is planned as pinned meanwhile.")


def lost(tasks: Sequence[Task]) -> Unmet:
    """Return that no plan with the limits of the shop was found."""
    words = "No plan was found that keeps to people, clamps and hours: tasks stand as if there were enough of them."
    return Unmet(tasks[0].key, f"{words} Look for people away for years, and for dates far ahead.")
