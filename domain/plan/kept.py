"""The plan people follow, kept so that the next one moves as little of it as it can."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from hashlib import sha256

from domain.open_minutes import minute_at
from domain.plan.load import Resources
from domain.plan.model import Model
from domain.plan.planned import Plan
from domain.schedule.schedule import Bound, Limit, Progress, Proof, Schedule
from domain.shop_calendar import ShopCalendar
from domain.task import Task

LATER = 1 << 40
"""A slot after all others: what was not planned before comes when it can."""


@dataclass(frozen=True, slots=True)
class KeptTask:
    """When a task was planned, and for whom: ids of named people, else their places among those at work."""

    start: datetime
    finish: datetime
    who: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class KeptBound:
    """A finish that no plan of a job can beat, with keys and instants in the place of the numbers of a Bound."""

    job_id: int
    finish_at: datetime
    limit: Limit
    which: int | None = None
    chain: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class KeptPlan:
    """facts: the fingerprint of what it was made from; tasks: by key; missed: how many windows are;
    proof, bounds: what a search found out.
    """

    facts: str
    tasks: Mapping[str, KeptTask]
    missed: int = 0
    proof: Proof = Proof.NONE
    bounds: tuple[KeptBound, ...] = ()


@dataclass(frozen=True, slots=True)
class Moved:
    """A task that stands elsewhere, or is done by others, than before. was, will: its start."""

    key: str
    was: datetime
    will: datetime


def kept_plan(plan: Plan, *, facts: str, progress: Progress | None = None) -> KeptPlan:
    """Return a plan to keep. progress: a better schedule of the same plan, and what is known of it."""
    if plan.model is None or plan.schedule is None:
        return KeptPlan(facts, {})
    made, schedule = plan.model, progress.best if progress else plan.schedule
    tasks: dict[str, KeptTask] = {}
    for number, key in enumerate(made.keys):
        each, team = plan.tasks[key], schedule.team[number]
        start, finish = made.grid.instant(schedule.start[number]), made.grid.instant(schedule.finish[number])
        if each.has_begun:
            start, finish = each.start, each.finish
        tasks[key] = KeptTask(start, finish, tuple(made.people[place] or place for place in team))
    if progress is None:
        return KeptPlan(facts, tasks, len(schedule.broken))
    bounds = tuple(
        KeptBound(
            made.jobs[bound.job],
            made.grid.instant(bound.slot),
            bound.limit,
            bound.which,
            tuple(made.keys[number] for number in bound.chain),
        )
        for bound in progress.bounds
    )
    return KeptPlan(facts, tasks, len(schedule.broken), progress.proof, bounds)


def changes(old: KeptPlan, new: KeptPlan | Plan) -> tuple[Moved, ...]:
    """Return the tasks that a new plan moves or gives to others, the earliest first; those begun have not moved."""
    begun = {key for key, each in new.tasks.items() if each.has_begun} if isinstance(new, Plan) else set()
    tasks = kept_plan(new, facts="").tasks if isinstance(new, Plan) else new.tasks
    found = [
        Moved(key, old.tasks[key].start, each.start)
        for key, each in tasks.items()
        if key in old.tasks and key not in begun and _differs(old.tasks[key], each)
    ]
    return tuple(sorted(found, key=lambda moved: (moved.will, moved.key)))


def _differs(old: KeptTask, new: KeptTask) -> bool:
    return old.start != new.start or sorted(old.who) != sorted(new.who)


def as_bounds(kept: KeptPlan, made: Model) -> tuple[Bound, ...]:
    """Return what was found out with a kept plan, in the numbers of a model of the same facts."""
    return tuple(
        Bound(
            made.jobs.index(bound.job_id),
            made.grid.ceil(minute_at(bound.finish_at)),
            bound.limit,
            bound.which,
            tuple(made.number[key] for key in bound.chain if key in made.number),
        )
        for bound in kept.bounds
        if bound.job_id in made.jobs
    )


def as_schedule(kept: KeptPlan, made: Model) -> Schedule:
    """Return a kept plan in the numbers of a model; what it does not know comes last, by whoever can."""
    place = {person: number for number, person in enumerate(made.people) if person}
    starts, finishes, teams = [], [], []
    for key in made.keys:
        each = kept.tasks.get(key)
        starts.append(LATER if each is None else made.grid.ceil(minute_at(each.start)))
        finishes.append(LATER if each is None else made.grid.ceil(minute_at(each.finish)))
        teams.append(tuple(_numbers(each.who, place, len(made.people))) if each else ())
    return Schedule(tuple(starts), tuple(finishes), tuple(teams))


def _numbers(who: Sequence[int], place: Mapping[int, int], many: int) -> Iterable[int]:
    if place:
        return (place[person] for person in who if person in place)
    return (number for number in who if number < many)


def fingerprint(
    tasks: Iterable[Task],
    calendar: ShopCalendar,
    resources: Resources,
    promised: Mapping[int, date],
    weights: Mapping[int, int],
) -> str:
    """Return what tells the facts of a plan from others, whatever time it is."""
    parts = [_of_task(task) for task in tasks]
    hours = (calendar.zone, calendar.weekly, sorted(calendar.closed), sorted(calendar.extra.items()))
    said = repr((sorted(parts), hours, _there(resources), sorted(promised.items()), sorted(weights.items())))
    return sha256(said.encode()).hexdigest()


def _there(resources: Resources) -> tuple[object, ...]:
    """Return what there is, in words that are the same every time: sets of skills have no order."""
    people = [
        (person.id, sorted(skill.value for skill in person.skills), person.helps_only, person.weekly)
        for person in resources.people
    ]
    away = [(each.person_id, each.starts_at, each.ends_at) for each in resources.absences]
    clamps = (resources.clamps, resources.clamps_of)
    rooms = (resources.dry_places, resources.finishing_room)
    return resources.hands, people, away, clamps, resources.benches, rooms, resources.aim.value


def _of_task(task: Task) -> str:
    links = [
        (link.before, link.at_least, link.at_most, link.clock.value, link.leaves.value, link.reaches.value)
        for link in task.links
    ]
    return repr((
        task.key, task.kind.value, task.duration, task.crew, links, task.clamps, task.bench, task.until,
        task.not_before, task.expected_at, task.started_at, task.finished_at, task.splittable, task.trails,
        task.pinned_at, task.who, task.on_site, task.wet_for, task.clamp_length,
    ))  # fmt: skip
