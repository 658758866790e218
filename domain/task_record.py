"""What the maker recorded and changed, laid over the tasks that follow from the job's facts."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import timedelta
from fractions import Fraction

from domain.figure import Figure, Unit, typed
from domain.job import Job
from domain.part import TaskKind
from domain.problem import Problem
from domain.task import WHOLE_KINDS, Clock, Link, OwnLink, Task, TaskRecord, key_of
from domain.task_times import check_link

APART = 100
"""How far apart tasks stand in a list, so that one can be put between two others."""

Laid = tuple[tuple[Task, ...], tuple[Problem, ...], tuple[Task, ...]]
"""Tasks in order, what was left out, and the dropped tasks."""


def with_records(job: Job, tasks: Sequence[Task], records: Sequence[TaskRecord], links: Sequence[OwnLink]) -> Laid:
    """Return the tasks with the maker's own tasks, changed times and names, and links; dropped ones taken out.

    What waited for a dropped task then waits for what that one waited for. A link of the maker's that would
    make tasks wait for each other, or that names a task no longer there, is left out and named.
    """
    by_key = {key_of(job.id, record.key): record for record in records}
    first = max((task.position for task in tasks), default=0) + APART
    own = [own_task(job, record, position=first + APART * place) for place, record in enumerate(_own(records))]
    changed = [_changed(job, task, by_key.get(task.key)) for task in (*tasks, *own)]
    dropped = tuple(task for task in changed if _is_dropped(by_key.get(task.key)))
    kept = _without(changed, dropped)
    kept, problems = _linked(job, kept, links)
    return tuple(sorted(kept, key=lambda task: task.position)), (*_untimed(records), *problems), dropped


def swapped(tasks: Sequence[Task], one: Task, other: Task) -> Mapping[str, int]:
    """Return the positions that change when two tasks of a list change places, by key within the job."""
    if one is other:
        return {}
    if one.position != other.position:
        return {one.part: other.position, other.part: one.position}
    order = [other if task is one else one if task is other else task for task in tasks]
    return {each.part: APART * place for place, each in enumerate(order, start=1) if each.position != APART * place}


def own_task(job: Job, record: TaskRecord, *, position: int) -> Task:
    """Return the task of a record that the maker added."""
    kind = record.kind or TaskKind.OTHER
    return Task(
        key=key_of(job.id, record.key),
        job_id=job.id,
        job_name=job.name,
        name=record.name or "A task without a name",
        kind=kind,
        takes=_typed_minutes(record.minutes or 0, record.key, job),
        crew=record.crew if record.crew is not None else 1,
        splittable=kind not in WHOLE_KINDS,
        own=True,
        position=position,
    )


def _own(records: Iterable[TaskRecord]) -> Iterator[TaskRecord]:
    return (record for record in records if record.own)


def _is_dropped(record: TaskRecord | None) -> bool:
    return record is not None and record.dropped


def _untimed(records: Iterable[TaskRecord]) -> Iterator[Problem]:
    for record in records:
        if record.own and not record.dropped and record.minutes is None and record.kind is not TaskKind.MILESTONE:
            words = f"Nobody has said how long “{record.name}” takes: the plan counts it as no time."
            yield Problem(f"task:{record.key}", words)


def _typed_minutes(minutes: int, part: str, job: Job) -> Figure:
    return typed("How long it takes", Fraction(minutes), Unit.MINUTE, where=f"job:{job.id}:plan:{part}")


def _changed(job: Job, task: Task, record: TaskRecord | None) -> Task:
    """Return the task as the maker recorded and changed it; what came from an order page stays."""
    if record is None:
        return task
    said = record.minutes is not None and not task.own
    return replace(
        task,
        name=record.name or task.name,
        takes=_typed_minutes(record.minutes or 0, record.key, job) if said else task.takes,
        crew=task.crew if record.crew is None else record.crew,
        position=task.position if record.position is None else record.position,
        not_before=record.not_before,
        started_at=task.started_at or record.started_at,
        finished_at=task.finished_at or record.finished_at,
        pinned_at=record.pinned_at,
        who=record.who,
        best=_minutes(record.best),
        worst=_minutes(record.worst),
    )


def _minutes(count: int | None) -> timedelta | None:
    return None if count is None else timedelta(minutes=count)


def _without(tasks: Sequence[Task], dropped: Sequence[Task]) -> list[Task]:
    """Return the tasks without the dropped ones, whose links are passed on."""
    kept = list(tasks)
    for gone in dropped:
        latest = next((task for task in kept if task.key == gone.key), gone)
        kept = [_past(task, latest) for task in kept if task.key != gone.key]
    return kept


def _past(task: Task, gone: Task) -> Task:
    """Return a task that no longer waits for one that is dropped, but for what that one waited for."""
    until = task.until
    if until == gone.key:
        until = next((link.before for link in gone.links if link.before != task.key), "")
    links = [passed for link in task.links for passed in ((link,) if link.before != gone.key else _passed(link, gone))]
    return replace(task, links=tuple(links), until=until)


def _passed(link: Link, gone: Task) -> Iterator[Link]:
    for earlier in gone.links:
        attended = link.clock is Clock.ATTENDED and earlier.clock is Clock.ATTENDED
        yield Link(
            earlier.before,
            link.at_least + earlier.at_least,
            clock=Clock.ATTENDED if attended else Clock.ELAPSED,
            why=link.why or earlier.why,
        )


def _linked(job: Job, tasks: Sequence[Task], links: Sequence[OwnLink]) -> tuple[list[Task], tuple[Problem, ...]]:
    """Return the tasks with the maker's own links, and what is wrong with those left out."""
    by_key = {task.key: task for task in tasks}
    problems: list[Problem] = []
    for link in links:
        before, after = key_of(job.id, link.before), key_of(job.id, link.after)
        if before not in by_key or after not in by_key:
            there = by_key.get(before) or by_key.get(after)
            name = f" of “{there.name}”" if there else ""
            problems.append(Problem(f"link:{link.before}:{link.after}", f"A link{name} leads to a task that is gone."))
        elif ring := check_link(tuple(by_key.values()), before=before, after=after):
            problems.append(Problem(f"link:{link.before}:{link.after}", ring))
        else:
            added = Link(
                before, link.at_least, link.at_most, link.clock, "you said so", own=True, leaves=link.leaves,
                reaches=link.reaches,
            )  # fmt: skip
            by_key[after] = replace(by_key[after], links=(*by_key[after].links, added))
    return list(by_key.values()), tuple(problems)
