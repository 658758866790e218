"""How good a plan is, in words: what no plan can beat, what that follows from, and what a search has proved."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from domain.open_minutes import instant_of
from domain.part import TaskKind
from domain.plan.planned import Plan, PlannedTask
from domain.schedule.bound import link_bounds
from domain.schedule.schedule import Bound, Limit, Progress, Proof
from domain.shop_calendar import ShopCalendar
from domain.task import Clock
from domain.when import day
from domain.words import counted

WAITS = {
    TaskKind.DELIVERY: "deliveries",
    TaskKind.ACCLIMATE: "lumber that gets used to the shop",
    TaskKind.CLAMP: "glue in clamps",
    TaskKind.UNCLAMP: "glue that cures",
    TaskKind.GLUE_UP: "glue that cures",
    TaskKind.CURE: "glue that cures",
    TaskKind.COAT: "drying",
    TaskKind.DRY: "drying",
}
"""What a wait is called, by what is waited for."""

PROVED = {
    Proof.NONE: "",
    Proof.BEST: "Proved: no plan of this job is better.",
    Proof.BEST_PLACE: "Proved: each job has its best place, the others unchanged.",
}


@dataclass(frozen=True, slots=True)
class Standing:
    """How a job's finish stands. bound_at: no plan can finish it before; is_met: this one does, to the day;
    limit: what keeps it from being sooner; words: the same in a sentence or two.
    """

    job_id: int
    bound_at: datetime
    is_met: bool
    limit: str
    words: str


def standings(plan: Plan) -> dict[int, Standing]:
    """Return how each job of a plan stands against what no plan can beat, by its id; finished jobs left out.

    What no plan can beat is what a search has found of the same facts, else what calendars and links alone say.
    """
    made = plan.model
    if made is None:
        return {}
    found = {}
    for bound in plan.bounds or link_bounds(made.problem):
        job = plan.jobs[made.jobs[bound.job]]
        if not job.is_finished:
            found[job.job_id] = _standing(plan, bound, job.job_id)
    return found


def standing_words(plan: Plan, progress: Progress) -> str:
    """Return how far a search over all open jobs has come: how many stand at their bound, and what is proved."""
    made = plan.model
    assert made is not None
    finishes: dict[int, int] = {}
    for activity, finish in zip(made.problem.activities, progress.best.finish, strict=True):
        if activity.counts:
            finishes[activity.job] = max(finishes.get(activity.job, 0), finish)
    today = plan.calendar.local(plan.now).date()
    last = max(finishes.values(), default=0)
    words = f"{counted(len(finishes), 'job')} planned, the last ready {day(_day(plan, last), today)}"
    met = sum(_day(plan, bound.slot) >= _day(plan, finishes[bound.job]) for bound in progress.bounds)
    if progress.bounds:
        words += f"; {met} of {len(progress.bounds)} on the first day that any plan could reach"
    proved = PROVED[progress.proof]
    return f"{words}. {proved}".strip() if proved else words


def _standing(plan: Plan, bound: Bound, job_id: int) -> Standing:
    assert plan.model is not None
    bound_at, limit = plan.model.grid.instant(bound.slot), limit_words(plan, bound)
    finish_at = plan.jobs[job_id].finish_at
    is_met = plan.calendar.local(finish_at).date() <= plan.calendar.local(bound_at).date()
    return Standing(job_id, bound_at, is_met, limit, _words(plan, job_id, bound_at, limit))


def _words(plan: Plan, job_id: int, bound_at: datetime, limit: str) -> str:
    first, finish = plan.calendar.local(bound_at).date(), plan.calendar.local(plan.jobs[job_id].finish_at).date()
    today = plan.calendar.local(plan.now).date()
    alone = "" if len(plan.jobs) == 1 else ", even with every other job left out"
    if finish <= first:
        words = f"No plan can finish before {day(first, today)}{alone}; this one does."
    else:
        away = working_days(plan.calendar, first, finish)
        more = f"at most {counted(away, 'working day')} from the best possible"
        words = f"No plan can finish before {day(first, today)}{alone}; this one is {more}."
    return f"{words} Limited by {limit}."


def limit_words(plan: Plan, bound: Bound) -> str:
    """Return what keeps a job's finish from being sooner, in a maker's words."""
    assert plan.model is not None
    return _limit_words(plan, bound.limit, bound.which, [plan.model.keys[number] for number in bound.chain])


def _limit_words(plan: Plan, limit: Limit, which: int | None, chain: Sequence[str]) -> str:
    made = plan.model
    if limit is Limit.LINKS:
        return _longest_wait([plan.tasks[key] for key in chain if key in plan.tasks]) or str(limit.value)
    if made is None or which is None:
        return str(limit.value)
    if limit is Limit.RESOURCE and which < len(made.kinds):
        kind = made.kinds[which]
        return str(kind.held_by.value) + (f" ({kind.length.tape()} or more)" if kind.length else "")
    if limit is Limit.PEOPLE and which < len(made.people) and made.people[which]:
        return f"the hours of {plan.name_of(made.people[which])}"
    return str(limit.value)


def _longest_wait(chain: Sequence[PlannedTask]) -> str:
    """Return what most of a chain's time goes to, where it takes longer than all hands on it together."""
    passed: dict[str, timedelta] = {}
    hands = timedelta()
    for number, each in enumerate(chain):
        if each.task.clock is Clock.ATTENDED:
            hands += each.task.duration
        elif name := WAITS.get(each.task.kind):
            passed[name] = passed.get(name, timedelta()) + each.task.duration
        before = chain[number - 1] if number else None
        link = next((one for one in each.task.links if before and one.before == before.key), None)
        if before and link and link.at_least and (name := WAITS.get(before.task.kind)):
            passed[name] = passed.get(name, timedelta()) + link.at_least
    longest = max(passed, key=lambda name: passed[name], default="")
    return longest if longest and passed[longest] > hands else ""


def working_days(calendar: ShopCalendar, first: date, last: date) -> int:
    """Return how many days on which the shop works lie after the first day, up to the last."""
    count, on = 0, first
    while on < last:
        on += timedelta(days=1)
        count += bool(calendar.hours(on))
    return max(count, 1)


def _day(plan: Plan, slot: int) -> date:
    assert plan.model is not None
    return plan.calendar.local(instant_of(plan.model.grid.minute(slot))).date()
