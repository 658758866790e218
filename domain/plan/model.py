"""Tasks, hours and what there is, turned into activities on a grid of slots, and back."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime

from domain.open_minutes import OpenMinutes, minute_after
from domain.part import TaskKind
from domain.plan.grid import SLOT, Grid
from domain.plan.holding import Holding, Kind, holdings, kinds, room_of, rooms, side_of
from domain.plan.load import Resources
from domain.plan.team import Team
from domain.plan.unmet import Unmet, too_few, too_long, too_many, unskilled
from domain.schedule.problem import Activity, Air, Fact, Hold, Job, Lag, Mode, Person, Problem, Resource
from domain.shop_calendar import Hours, ShopCalendar, in_minutes
from domain.task import Clock, End, Link, Task
from domain.task_times import TaskTimes

Joint = tuple[str, Link]
"""The key of a task and a link by which it waits."""


@dataclass(frozen=True, slots=True)
class Model:
    """A plan's tasks as a problem of numbers. keys: of the tasks by activity number, number: the reverse;
    links: by lag number, which task waits by which link; jobs: ids by job number; kinds: by resource number;
    rooms: numbers by name; people: ids by person number, 0 for one without a name; unmet: what can never be met,
    and so is left out of the problem as far as it must be.
    """

    problem: Problem
    grid: Grid
    keys: tuple[str, ...]
    links: tuple[Joint, ...]
    jobs: tuple[int, ...]
    kinds: tuple[Kind, ...]
    rooms: Mapping[str, int]
    people: tuple[int, ...]
    unmet: tuple[Unmet, ...] = ()
    number: Mapping[str, int] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Given:
    """What a model is made from. times: by their links alone, and what has happened; due, weights: by job id;
    minutes of domain.open_minutes throughout.
    """

    tasks: Sequence[Task]
    times: Mapping[str, TaskTimes]
    calendar: ShopCalendar
    now: int
    resources: Resources
    due: Mapping[int, int]
    weights: Mapping[int, int]
    slot: int = SLOT


def model(given: Given, horizon: int) -> Model:
    """Return the problem of a plan up to a slot of its grid."""
    return _Making(given, horizon).model()


def first_horizon(given: Given) -> int:
    """Return a slot by which everything should be finished, unless people are away for long."""
    grid = Grid.around(given.now, given.slot)
    last = max((times.finish for times in given.times.values()), default=given.now)
    labour = sum(in_minutes(task.duration) for task in given.tasks if task.clock is Clock.ATTENDED)
    open_week = max(sum(_hours_long(day) for day in given.calendar.weekly), 60)
    weeks = 4 + labour * 7 // (open_week * 4 * max(given.resources.pairs_of_hands, 1))
    quarter = 13 * 7 * 1440
    return grid.ceil(-(-max(last, given.now) // quarter) * quarter + -(-weeks // 13) * quarter)


def _hours_long(day: Hours) -> int:
    return sum((closes.hour - opens.hour) % 24 * 60 or 60 for opens, closes in day)


class _Making:
    """A model in the making."""

    def __init__(self, given: Given, horizon: int) -> None:
        self.given, self.horizon = given, horizon
        self.grid = Grid.around(given.now, given.slot)
        self.now = self.grid.ceil(given.now)
        self.team = Team(given.resources, given.calendar, self.grid, horizon)
        self.keys = tuple(task.key for task in given.tasks)
        self.number = {key: number for number, key in enumerate(self.keys)}
        self.jobs = tuple(dict.fromkeys(task.job_id for task in given.tasks))
        self.job_number = {job: number for number, job in enumerate(self.jobs)}
        self.hours: OpenMinutes = given.calendar.minutes
        self.unmet: list[Unmet] = []
        self.busy: set[int] = set()

    def model(self) -> Model:
        given = self.given
        activities = tuple(self._activity(task) for task in given.tasks)
        joints = tuple(self._joints())
        these = kinds(given.tasks, given.resources)
        places = rooms(given.tasks, given.resources)
        lags = tuple(self._lag(joint, activities) for joint in joints)
        problem = Problem(
            activities=activities,
            lags=lags,
            resources=tuple(Resource(kind.there) for kind in these),
            holds=tuple(self._holds(these, activities)),
            airs=tuple(self._airs(places)),
            people=tuple(Person(calendar) for calendar in self.team.calendar_of),
            calendars=tuple(self.team.calendars),
            jobs=tuple(self._job(job) for job in self.jobs),
            now=self.now,
            horizon=self.horizon,
        )
        return Model(
            problem=problem,
            grid=self.grid,
            keys=self.keys,
            links=joints,
            jobs=self.jobs,
            kinds=these,
            rooms=places,
            people=self.team.ids or (0,) * self.team.size,
            unmet=tuple(self.unmet),
            number=self.number,
        )

    def _job(self, job: int) -> Job:
        due = self.given.due.get(job)
        return Job(None if due is None else self.grid.floor(due), self.given.weights.get(job, 1))

    def _activity(self, task: Task) -> Activity:
        times, job, counts = self.given.times[task.key], self.job_number[task.job_id], not task.trails
        if times.is_over or times.is_running:
            fact = Fact(self.grid.floor(times.start), self.grid.ceil(times.finish), self._at_work(task, times))
            return Activity(max(fact.finish - fact.start, 0), job=job, counts=counts, fact=fact)
        earliest = self.now
        if task.not_before is not None:
            earliest = max(earliest, self.grid.ceil(minute_after(task.not_before)))
        pinned = self._pinned(task)
        if task.clock is Clock.ELAPSED:
            work = self.grid.slots(in_minutes(task.duration))
            if task.kind is TaskKind.DELIVERY:
                work = self.grid.slots(times.finish - times.start)
            return Activity(work, job=job, counts=counts, earliest=earliest, pinned=pinned)
        crew = self.team.crew(task)
        if task.crew > crew.size:
            self.unmet.append(too_few(task, self.team.size))
        if not self.team.can_lead(task):
            self.unmet.append(unskilled(task))
        work = self.grid.slots(in_minutes(task.duration))
        longest = self.team.longest(crew)
        if not longest:
            crew = replace(crew, size=1, leads=tuple(range(self.team.size)), helpers=())
            self.unmet.append(too_few(task, 0))
        mode = Mode.SPLITTABLE if task.splittable else Mode.WHOLE
        if mode is Mode.WHOLE and work > longest and pinned is None:
            mode = Mode.SPLITTABLE
            self.unmet.append(too_long(task, longest * self.grid.slot))
        return Activity(work, mode, crew.size, crew.leads, crew.helpers, job, counts, earliest, pinned)

    def _pinned(self, task: Task) -> int | None:
        """Return the slot a task is pinned to; a time gone by holds nothing any more."""
        if task.pinned_at is None:
            return None
        slot = self.grid.floor(minute_after(task.pinned_at))
        return slot if slot >= self.now else None

    def _at_work(self, task: Task, times: TaskTimes) -> tuple[int, ...]:
        """Return who is on a task that is running: those it is given to, else the first who can and are free."""
        if times.is_over or task.clock is Clock.ELAPSED:
            return ()
        crew = self.team.crew(task)
        everybody = (*crew.leads, *crew.helpers)
        free = [number for number in everybody if number not in self.busy]
        team = tuple((free + [number for number in everybody if number in self.busy])[: crew.size])
        self.busy.update(team)
        return team

    def _joints(self) -> Iterator[Joint]:
        for task in self.given.tasks:
            for link in task.links:
                if link.before in self.number and link.before != task.key:
                    yield task.key, link

    def _lag(self, joint: Joint, activities: Sequence[Activity]) -> Lag:
        """Return a link as a lag; one that leaves a fact is counted in exact minutes."""
        key, link = joint
        before, after = self.number[link.before], self.number[key]
        least, most = in_minutes(link.at_least), None if link.at_most is None else in_minutes(link.at_most)
        from_start, to_finish = link.leaves is End.START, link.reaches is End.FINISH
        fact, attended = activities[before].fact, link.clock is Clock.ATTENDED
        if fact is not None:
            times = self.given.times[link.before]
            since = times.start if from_start else times.finish
            begins = fact.start if from_start else fact.finish
            opens = self.hours.add(since, least) if attended else since + least
            first = self.grid.ceil(opens) - begins
            last = None
            if most is not None:
                closes = self.hours.add(since, most) if attended else since + most
                last = self._at_most(self.grid.floor(closes) - begins, first, most >= least)
            return Lag(before, after, first, last, from_start, to_finish)
        first = self.grid.slots(least)
        last = None if most is None else self._at_most(most // self.grid.slot, first, most >= least)
        if most is None and self._begins_by_itself(key, activities):
            last = first
        return Lag(before, after, first, last, from_start, to_finish, 0 if attended else None)

    def _at_most(self, most: int, least: int, is_possible: bool) -> int:
        """Return the limit of a lag, not less than its least only because slots are coarse."""
        return max(most, least) if is_possible else most

    def _begins_by_itself(self, key: str, activities: Sequence[Activity]) -> bool:
        """Whether a wait begins the moment the one thing it waits for lets go."""
        task, activity = self.given.tasks[self.number[key]], activities[self.number[key]]
        is_free = activity.mode is Mode.PASSIVE and activity.pinned is None and activity.fact is None
        waits = [link for link in task.links if link.before in self.number]
        by_itself = task.clock is Clock.ELAPSED and task.kind is not TaskKind.DELIVERY and task.not_before is None
        return is_free and by_itself and len(waits) == 1 and waits[0].reaches is End.START

    def _holds(self, these: Sequence[Kind], activities: Sequence[Activity]) -> Iterator[Hold]:
        tasks = self.given.tasks
        for each in holdings(tasks, these):
            first, last = self.number[each.first], self.number[each.last]
            if activities[last].fact is not None and activities[first].fact is None:
                last = first
            amount, there = each.amount, these[each.kind].there
            if self._is_let_go(each, activities[last]):
                continue
            if amount > there:
                if activities[first].fact is None:
                    self.unmet.append(too_many(tasks[first], these[each.kind], amount))
                amount = there
            if amount:
                yield Hold(each.kind, amount, first, last, self.grid.slots(each.minutes))

    def _is_let_go(self, each: Holding, last: Activity) -> bool:
        spare = self.grid.slots(each.minutes)
        return last.fact is not None and last.fact.finish + spare <= self.now and self.given.times[each.last].is_over

    def _airs(self, places: Mapping[str, int]) -> Iterator[Air]:
        for number, task in enumerate(self.given.tasks):
            side = side_of(task)
            room = places.get(room_of(task, self.given.resources))
            if side is not None and room is not None:
                spare = self.grid.slots(in_minutes(task.wet_for)) if task.kind is TaskKind.COAT else 0
                yield Air(room, side, number, number, spare)


def instant(made: Model, slot: int) -> datetime:
    """Return the instant [UTC] a slot of a model starts at."""
    return made.grid.instant(slot)
