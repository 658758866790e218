"""A job's facts to its tasks: the steps of its pieces, deliveries, coats and install, and what the maker changed."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from fractions import Fraction

from domain.figure import Figure, Rule, Unit
from domain.finish import dust_free
from domain.glue_problem import CLAMPS, glue_problems
from domain.glue_stage import GluePlan
from domain.job import Job
from domain.job_steps import HAND_OVER, job_steps, named_finishes, scuff_step
from domain.job_waits import AT_CLIENT, brings_lumber, job_waits
from domain.length import Length
from domain.operation import OPERATIONS, OperationTime, minutes, unsaid
from domain.part import Step, TaskKind, Wait
from domain.practice import ShopPractice
from domain.problem import Problem
from domain.season import ready_to_mill
from domain.take_off import TakeOff
from domain.task import WHOLE_KINDS, Delivery, Link, OwnLink, Task, TaskRecord, duration_of, key_of
from domain.task_record import APART, with_records
from domain.terms import percent
from domain.words import first_lower


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
    return JobTasks(tasks, (*making.unsaid(), *making.glue_ups(), *problems), dropped)


def scuffs(
    job: Job, take_off: TakeOff, times: Mapping[str, OperationTime], practice: ShopPractice, now: datetime
) -> Mapping[str, Task]:
    """Return the scuffing that could be done before each coat, by the coat's key, were it asked for."""
    asked = {
        f"{name}.scuff-{number}": TaskRecord(f"{name}.scuff-{number}")
        for name, area in named_finishes(take_off).items()
        for number in range(2, area.choice.coats + 1)
    }
    made = _Making(job, take_off, times, practice, (), asked, now).tasks()
    by_part = {task.part: task for task in made}
    return {key_of(job.id, part.replace(".scuff-", ".coat-")): by_part[part] for part in asked if part in by_part}


def depends_on_time(records: Iterable[TaskRecord]) -> bool:
    """Whether a job's tasks may change as time passes: once a coat is on, the window of the next one can close."""
    return any(record.finished_at is not None and ".coat-" in record.key for record in records)


def delivery_key(job_id: int, delivery: str) -> str:
    """Return the key of the task that waits for a delivery, from the delivery's own key."""
    return key_of(job_id, f"{delivery}.delivery")


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
        steps = (*self._delivery_steps(), *self._piece_steps(), *(_Part(step.key, step, step.name) for step in own))
        waits = self._waits(steps, job_waits(self.take_off, self.deliveries, own, self.practice))
        return tuple(self._task(part, waits[part.key], APART * place) for place, part in enumerate(steps, start=1))

    def unsaid(self) -> Iterator[Problem]:
        """Yield the operations nobody has given a time."""
        steps = (*(step for built in self.take_off.pieces for step in built.steps), *self._own_steps())
        for key in unsaid([work for step in steps for work in step.work], self.times):
            words = f"Nobody has said how long “{OPERATIONS[key].name}” takes: the plan counts it as no time."
            yield Problem(f"operation:{key}", words)

    def glue_ups(self) -> Iterator[Problem]:
        """Yield what keeps a panel from being glued as planned; clamps are counted by the plan itself."""
        for built in self.take_off.pieces:
            for step in built.steps:
                for problem in glue_problems(step.panel, self.practice) if step.panel else ():
                    if problem.field != CLAMPS:
                        where = problem.field if ":" in problem.field else f"{built.placed.where}:{problem.field}"
                        yield Problem(where, f"{built.placed.name}: {problem.words}")

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

    def _piece_steps(self) -> Iterator["_Part"]:
        for built in self.take_off.pieces:
            placed = built.placed
            title = f"{placed.quantity} × {placed.name}" if placed.quantity > 1 else placed.name
            panel: GluePlan | None = None
            for step in built.steps:
                name = f"{title}: {first_lower(step.name)}"
                panel = step.panel or panel
                wide = _glued_width(step, panel) if panel else None
                yield _Part(f"p{placed.id}.{step.key}", step, name, piece_id=placed.id, clamp_length=wide)

    def _delivery_steps(self) -> Iterator["_Part"]:
        for delivery in self.deliveries:
            lead = Figure("Lead time", Fraction(delivery.lead_time // timedelta(minutes=1), 1440), Unit.DAY, _LEAD)
            comes = Step(f"{delivery.key}.delivery", delivery.name, TaskKind.DELIVERY, elapsed=lead)
            yield _Part(comes.key, comes, comes.name, delivery=delivery)
            if brings_lumber(delivery):
                yield self._acclimation(delivery, comes.key)

    def _acclimation(self, delivery: Delivery, comes: str) -> "_Part":
        """Return the wait until boards are used to the shop, from when the last of them came."""
        within = self.practice.figure("moisture_within")
        low, high = (percent(figure.value / 100) for figure in ready_to_mill(self.practice.seasons, within))
        reads = f"{low.removesuffix(' %')} to {high} on the meter"
        name = f"Lumber gets used to the shop, {reads}: {delivery.name}"
        waits = () if delivery.lumber_at else (Wait(comes),)
        days = self.practice.figure("acclimation_days")
        rest = Step(f"{delivery.key}.acclimate", name, TaskKind.ACCLIMATE, elapsed=days, after=waits)
        return _Part(rest.key, rest, rest.name, started_at=delivery.lumber_at)

    def _waits(
        self, parts: Sequence["_Part"], across: Mapping[str, Sequence[Wait]]
    ) -> Mapping[str, Mapping[str, Wait]]:
        """Return what each part waits for, by their keys; the hand-over for all that nothing else waits for."""
        waits: dict[str, dict[str, Wait]] = {}
        for part in parts:
            own = (replace(wait, step=part.prefix + wait.step) if part.prefix else wait for wait in part.step.after)
            waits[part.key] = _merged(*own, *across.get(part.key, ()))
        if HAND_OVER in waits:
            trailing = {part.key for part in parts if part.step.trails}
            waited_for = {before for key, found in waits.items() if key not in trailing for before in found}
            last = waits.keys() - waited_for - trailing - {HAND_OVER}
            waits[HAND_OVER] |= {part.key: Wait(part.key) for part in parts if part.key in last}
        return waits

    def _task(self, part: "_Part", waits: Mapping[str, Wait], position: int) -> Task:
        step, delivery = part.step, part.delivery
        crews = [self.times[work.operation].crew for work in step.work if work.operation in self.times]
        return Task(
            key=key_of(self.job.id, part.key),
            job_id=self.job.id,
            job_name=self.job.name,
            name=part.name,
            kind=step.kind,
            takes=minutes(step.work, self.times) if step.work else step.elapsed or _NO_TIME,
            crew=max(step.crew, *crews) if crews else step.crew,
            links=tuple(self._link(wait) for wait in waits.values()),
            clamps=step.clamps,
            bench=step.bench,
            until=key_of(self.job.id, part.prefix + step.until) if step.until else "",
            splittable=step.kind not in WHOLE_KINDS,
            position=position,
            piece_id=part.piece_id,
            operations=tuple(dict.fromkeys(work.operation for work in step.work)),
            trails=step.trails,
            started_at=delivery.ordered_at if delivery else part.started_at,
            expected_at=delivery.expected_at if delivery else None,
            finished_at=delivery.arrived_at if delivery else None,
            on_site=step.stage in AT_CLIENT,
            wet_for=self._wet_for(step),
            clamp_length=part.clamp_length,
        )

    def _wet_for(self, step: Step) -> timedelta:
        """Return how long after a coat dust would still settle in it; no time for other work."""
        if step.kind is not TaskKind.COAT:
            return timedelta()
        return duration_of(dust_free(self._family(step.key), self.practice))

    def _family(self, key: str) -> str:
        """Return the finish or stain that a coat is of."""
        name, _, what = key.rpartition(".")
        choice = named_finishes(self.take_off)[name].choice
        return choice.colour if what == "colour" else choice.family

    def _link(self, wait: Wait) -> Link:
        before = key_of(self.job.id, wait.step)
        return Link(before, wait.at_least, wait.at_most, why=wait.why, if_missed=wait.if_missed)


@dataclass(frozen=True, slots=True)
class _Part:
    """A step with its key and name within the job. prefix: what its own waits' keys begin with;
    started_at: of a wait that has begun by itself; clamp_length: its clamps must open so far.
    """

    key: str
    step: Step
    name: str
    piece_id: int | None = None
    delivery: Delivery | None = None
    started_at: datetime | None = None
    clamp_length: Length | None = None

    @property
    def prefix(self) -> str:
        return self.key.removesuffix(self.step.key)


def _glued_width(step: Step, panel: GluePlan) -> Length | None:
    """Return the width of what a stage of a glue-up makes, which its clamps must span; None for any other step."""
    number = step.key.removeprefix("glue-up-")
    found = [stage.width.length for stage in panel.in_turn if str(stage.number) == number]
    return found[0] if found and number != step.key else None


_LEAD = Rule("the longest lead time of what comes with it", "price book")
_NO_TIME = Figure("A moment", Fraction(0), Unit.MINUTE, Rule("no time passes"))


def _merged(*waits: Wait) -> dict[str, Wait]:
    """Return the waits by what they wait for, of several only the last to let go; a window that closes is kept."""
    merged: dict[str, Wait] = {}
    for wait in waits:
        known = merged.setdefault(wait.step, wait)
        if known is not wait:
            closes = [most for most in (known.at_most, wait.at_most) if most is not None]
            longer = max(known, wait, key=lambda each: each.at_least)
            merged[wait.step] = replace(
                longer,
                at_most=min(closes, default=None),
                why=longer.why or known.why or wait.why,
                if_missed=known.if_missed or wait.if_missed,
            )
    return merged
