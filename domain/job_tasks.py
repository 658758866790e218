"""A job's facts to its tasks: the steps of its pieces, deliveries, coats and install, and what the maker changed."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from fractions import Fraction

from domain.figure import Figure, Rule, Unit
from domain.job import Job
from domain.job_steps import HAND_OVER, job_steps, named_finishes, scuff_step
from domain.job_waits import brings_lumber, job_waits
from domain.operation import OPERATIONS, OperationTime, minutes, unsaid
from domain.part import Step, TaskKind, Wait
from domain.pieces.piece import PlacedPiece
from domain.practice import ShopPractice
from domain.problem import Problem
from domain.take_off import TakeOff
from domain.task import WHOLE_KINDS, Delivery, Link, OwnLink, Task, TaskRecord, key_of
from domain.task_record import with_records


@dataclass(frozen=True, slots=True)
class JobTasks:
    """The tasks of a job in order, what is missing or was left out, and the tasks the maker dropped."""

    tasks: tuple[Task, ...]
    problems: tuple[Problem, ...] = ()
    dropped: tuple[Task, ...] = ()


def job_tasks(
    job: Job,
    take_off: TakeOff,
    times: Mapping[str, OperationTime],
    practice: ShopPractice,
    now: datetime,
    *,
    deliveries: Iterable[Delivery] = (),
    records: Iterable[TaskRecord] = (),
    links: Iterable[OwnLink] = (),
) -> JobTasks:
    """Return the tasks of a job, with everything recorded and changed by the maker.

    times: what the shop says operations take; steps whose operations have no time yet count as none and are
    named. A coat whose recoat window has closed unused gets a scuffing before it: now tells which.
    """
    kept = tuple(records)
    making = _Making(job, take_off, times, practice, tuple(deliveries), {record.key: record for record in kept}, now)
    tasks, problems, dropped = with_records(job, making.tasks(), kept, tuple(links))
    return JobTasks(tasks, (*making.unsaid(), *problems), dropped)


def delivery_key(job_id: int, delivery: Delivery) -> str:
    """Return the key of the task that waits for a delivery."""
    return key_of(job_id, f"{delivery.key}.delivery")


@dataclass(frozen=True, slots=True)
class _Making:
    """Everything a job's tasks are made from."""

    job: Job
    take_off: TakeOff
    times: Mapping[str, OperationTime]
    practice: ShopPractice
    deliveries: tuple[Delivery, ...]
    records: Mapping[str, TaskRecord]
    now: datetime

    def tasks(self) -> tuple[Task, ...]:
        """Return all tasks in order, linked, without what the maker recorded."""
        own = tuple(self._own_steps())
        made = [
            *self._delivery_tasks(),
            *(self._piece_task(built.placed, step) for built in self.take_off.pieces for step in built.steps),
            *(self._task(step, step.key) for step in own),
        ]
        waits = job_waits(self.take_off, self.deliveries, own, self.practice)
        links = {then: [self._link(wait) for wait in found] for then, found in waits.items()}
        made = [replace(task, links=tuple(_merged(task.links, links.get(task.part, ())))) for task in made]
        made = [self._handed_over(task, made) for task in made]
        return tuple(replace(task, position=100 * place) for place, task in enumerate(made, start=1))

    def unsaid(self) -> Iterator[Problem]:
        """Yield the operations nobody has given a time."""
        steps = (*(step for built in self.take_off.pieces for step in built.steps), *self._own_steps())
        for key in unsaid([work for step in steps for work in step.work], self.times):
            words = f"Nobody has said how long “{OPERATIONS[key].name}” takes: the plan counts it as no time."
            yield Problem(f"operation:{key}", words)

    def _own_steps(self) -> Iterator[Step]:
        """Yield the job's own steps, with a scuffing where a recoat window has closed or the maker asked for one."""
        areas = named_finishes(self.take_off)
        for step in job_steps(self.take_off, self.practice):
            name, coat, number = step.key.partition(".coat-")
            if coat and step.after and self._needs_scuff(name, int(number), step.after[0]):
                scuff = scuff_step(areas[name], name, int(number), self.practice)
                yield scuff
                yield replace(step, after=(Wait(scuff.key),))
            else:
                yield step

    def _needs_scuff(self, name: str, number: int, window: Wait) -> bool:
        if window.at_most is None:
            return False
        if (asked := self.records.get(f"{name}.scuff-{number}")) is not None:
            return not asked.dropped
        before, coat = self.records.get(window.step), self.records.get(f"{name}.coat-{number}")
        if before is None or before.finished_at is None:
            return False
        has_begun = coat is not None and (coat.started_at or coat.finished_at) is not None
        return not has_begun and self.now > before.finished_at + window.at_most

    def _piece_task(self, placed: PlacedPiece, step: Step) -> Task:
        many = f"{placed.quantity} × " if placed.quantity > 1 else ""
        name = f"{many}{placed.name}: {step.name[:1].lower()}{step.name[1:]}"
        return self._task(step, f"p{placed.id}.{step.key}", name=name, piece_id=placed.id)

    def _task(self, step: Step, part: str, *, name: str = "", piece_id: int | None = None) -> Task:
        takes = minutes(step.work, self.times) if step.work else step.elapsed or _no_time()
        crews = [self.times[work.operation].crew for work in step.work if work.operation in self.times]
        prefix = part.removesuffix(step.key)
        return Task(
            key=key_of(self.job.id, part),
            job_id=self.job.id,
            job_name=self.job.name,
            name=name or step.name,
            kind=step.kind,
            takes=takes,
            crew=max(step.crew, *crews) if crews else step.crew,
            links=tuple(self._link(replace(wait, step=prefix + wait.step)) for wait in step.after),
            clamps=step.clamps,
            bench=step.bench,
            until=key_of(self.job.id, prefix + step.until) if step.until else "",
            splittable=step.kind not in WHOLE_KINDS,
            piece_id=piece_id,
            operations=tuple(dict.fromkeys(work.operation for work in step.work)),
        )

    def _delivery_tasks(self) -> Iterator[Task]:
        for delivery in self.deliveries:
            lead = Figure("Lead time", Fraction(delivery.lead_time // timedelta(minutes=1), 1440), Unit.DAY, _LEAD)
            yield Task(
                key=delivery_key(self.job.id, delivery),
                job_id=self.job.id,
                job_name=self.job.name,
                name=delivery.name,
                kind=TaskKind.DELIVERY,
                takes=lead,
                started_at=delivery.ordered_at,
                expected_at=delivery.expected_at,
                finished_at=delivery.arrived_at,
            )
            if brings_lumber(delivery):
                rest = Step(f"{delivery.key}.acclimate", f"Lumber gets used to the shop: {delivery.name}",
                            TaskKind.ACCLIMATE, elapsed=self.practice.figure("acclimation_days"),
                            after=(Wait(f"{delivery.key}.delivery"),))  # fmt: skip
                yield self._task(rest, rest.key)

    def _link(self, wait: Wait) -> Link:
        """Return the link of a wait that names a whole key within the job."""
        before = key_of(self.job.id, wait.step)
        return Link(before, wait.at_least, wait.at_most, why=wait.why, if_missed=wait.if_missed)

    def _handed_over(self, task: Task, made: Sequence[Task]) -> Task:
        """Return the task; the hand-over waits for everything that nothing else waits for."""
        if task.part != HAND_OVER:
            return task
        waited_for = {link.before for each in made for link in each.links}
        ends = [Link(each.key) for each in made if each.key not in waited_for and each is not task]
        return replace(task, links=tuple(_merged(task.links, ends)))


_LEAD = Rule("the longest lead time of what comes with it", "price book")


def _no_time() -> Figure:
    return Figure("A moment", Fraction(0), Unit.MINUTE, Rule("no time passes"))


def _merged(*links: Iterable[Link]) -> Iterator[Link]:
    """Yield the links, of several to one task only the last to let go; a window that closes is kept."""
    by_before: dict[str, Link] = {}
    for link in (link for each in links for link in each):
        known = by_before.get(link.before)
        if known is None:
            by_before[link.before] = link
        else:
            closes = [most for most in (known.at_most, link.at_most) if most is not None]
            longer = max(known, link, key=lambda each: each.at_least)
            by_before[link.before] = replace(
                longer,
                at_most=min(closes, default=None),
                why=longer.why or known.why or link.why,
                if_missed=known.if_missed or link.if_missed,
            )
    yield from by_before.values()
