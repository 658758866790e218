"""A task with its times, a job with its finish, and the plan that holds them."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from enum import Enum

from domain.open_minutes import instant_of, minute_after
from domain.plan.held import HeldBy as HeldBy
from domain.plan.held import Holder as Holder
from domain.plan.holders import Holders
from domain.plan.load import Overload, Resources
from domain.plan.model import Model
from domain.plan.unmet import Unmet
from domain.plan.window import Window
from domain.schedule.schedule import Bound, Proof, Schedule
from domain.shop_calendar import ShopCalendar
from domain.task import Link, Task
from domain.task_times import TaskTimes
from domain.when import when

NEVER = datetime.max.replace(tzinfo=UTC)
"""The start of a task that is not planned yet."""


class TaskState(Enum):
    """How far along a task is; the value is what a person reads."""

    DONE = "done"
    RUNNING = "running"
    READY = "can start"
    WAITING = "waiting"


@dataclass(frozen=True, slots=True)
class PlannedTask:
    """A task and when it is planned, can and must happen; instants in UTC, floats on the task's own clock.

    start, finish: as planned, with what there is of people, clamps, benches and clean air; who: ids of the people
    planned for it, empty where nobody stands there or people are not named; places: numbers of the same people among
    those at work, from 0, named or not; holders, number: where its holder is found;
    earliest_start, earliest_finish: by its links alone, as if there were enough of everything;
    latest_start, latest_finish: with them the promise still holds, or without a promise the earliest finish;
    total_float: what it may slip until then, negative when the promise is lost as things stand;
    free_float: what it may slip and move no other task; critical: if it slips at all, so does its job's finish;
    sets_date: it stands in the chain that leads to the finish, though a night may leave it a few hours;
    ready_at: when everything it waits for has let go, though the shop may be closed; held_by: the link that
    let go last; waits_for: keys of what is not over yet; is_over: done, or a wait whose time has passed.
    """

    task: Task
    state: TaskState
    earliest_start: datetime
    earliest_finish: datetime
    latest_start: datetime
    latest_finish: datetime
    total_float: timedelta
    free_float: timedelta
    critical: bool
    ready_at: datetime
    held_by: Link | None
    waits_for: tuple[str, ...]
    sets_date: bool = False
    start: datetime = NEVER
    finish: datetime = NEVER
    who: tuple[int, ...] = ()
    places: tuple[int, ...] = ()
    holders: Holders | None = field(default=None, repr=False, compare=False)
    number: int = 0

    def __post_init__(self) -> None:
        if self.start is NEVER:
            object.__setattr__(self, "start", self.earliest_start)
            object.__setattr__(self, "finish", self.earliest_finish)

    @property
    def holder(self) -> Holder | None:
        """What keeps it from starting sooner, found when it is asked for; None of a task that stands in no plan."""
        return None if self.holders is None else self.holders.of(self.number)

    @property
    def key(self) -> str:
        return self.task.key

    @property
    def is_over(self) -> bool:
        return self.state is TaskState.DONE

    @property
    def has_begun(self) -> bool:
        return self.state in (TaskState.DONE, TaskState.RUNNING)


@dataclass(frozen=True, slots=True)
class JobPlan:
    """When a job is finished. days_late: after the promise, negative before it, None without one.

    chain: keys of the tasks that set the date, first to last; words: the finish against the promise.
    """

    job_id: int
    name: str
    finish_at: datetime
    promised_on: date | None
    days_late: int | None
    is_finished: bool
    chain: tuple[str, ...]
    words: str

    @property
    def is_late(self) -> bool:
        return (self.days_late or 0) > 0


@dataclass(frozen=True, slots=True)
class Plan:
    """The tasks of one or several jobs with their times, and what is wrong with them.

    unmet: what can never be met, with what would help; model, schedule: the same plan in numbers, None in an empty one;
    is_checked: a checker that shares nothing with the planner found nothing wrong with it;
    weights: how much the lateness of a job hurts beside that of others, by id;
    proof, bounds: what a search found out about these very facts; domain.plan.standing says it in words.
    """

    now: datetime
    calendar: ShopCalendar
    resources: Resources
    tasks: Mapping[str, PlannedTask]
    jobs: Mapping[int, JobPlan]
    windows: tuple[Window, ...] = ()
    overloads: tuple[Overload, ...] = ()
    unmet: tuple[Unmet, ...] = ()
    model: Model | None = None
    schedule: Schedule | None = None
    is_checked: bool = False
    weights: Mapping[int, int] = field(default_factory=dict)
    proof: Proof = Proof.NONE
    bounds: tuple[Bound, ...] = ()

    def of_job(self, job_id: int) -> tuple[PlannedTask, ...]:
        """Return the tasks of a job in their order."""
        return tuple(each for each in self.tasks.values() if each.task.job_id == job_id)

    def name_of(self, person_id: int) -> str:
        """Return the name of a person by id, or of a place among those without names, counted from 1: `person 1`."""
        named = (person.name for person in self.resources.people if person.id == person_id)
        return next(named, f"person {person_id}")

    def say(self, instant: datetime) -> str:
        """Return an instant as near as it needs to be, in the shop's zone: `tomorrow 09:40`."""
        return when(instant, self.now, self.calendar.tz)

    @property
    def minute(self) -> int:
        """Return now as a minute of domain.open_minutes."""
        return minute_after(self.now)


def planned(
    task: Task,
    times: TaskTimes,
    now: int,
    *,
    start: datetime = NEVER,
    finish: datetime = NEVER,
    who: tuple[int, ...] = (),
    places: tuple[int, ...] = (),
    holders: Holders | None = None,
    number: int = 0,
) -> PlannedTask:
    """Return a task with its times as instants. now: minute of domain.open_minutes; the rest: as it is planned."""
    return PlannedTask(
        task=task,
        state=_state(times, now),
        earliest_start=instant_of(times.start),
        earliest_finish=task.finished_at or instant_of(times.finish),
        latest_start=instant_of(times.late_start),
        latest_finish=instant_of(times.late_finish),
        total_float=timedelta(minutes=times.total_float),
        free_float=timedelta(minutes=times.free_float),
        critical=times.critical,
        ready_at=instant_of(times.ready),
        held_by=times.held_by,
        waits_for=times.waits_for,
        start=start,
        finish=finish,
        who=who,
        places=places,
        holders=holders,
        number=number,
    )


def _state(times: TaskTimes, now: int) -> TaskState:
    if times.is_over:
        return TaskState.DONE
    if times.is_running:
        return TaskState.RUNNING
    return TaskState.WAITING if times.waits_for or times.ready > now else TaskState.READY
