"""Earliest and latest times of tasks on two clocks, with shop hours and what really happened."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from domain.network import Cycle, cycle_words, in_order
from domain.open_minutes import OpenMinutes, minute_after, minute_at
from domain.part import TaskKind
from domain.shop_calendar import ShopCalendar, in_minutes
from domain.task import Clock, End, Link, Task


@dataclass(frozen=True, slots=True)
class Times:
    """When a task starts and is finished, in minutes of domain.open_minutes, and how far along it is."""

    start: int
    finish: int
    is_over: bool
    is_running: bool


@dataclass(frozen=True, slots=True)
class TaskTimes(Times):
    """When a task can and must happen, in minutes of domain.open_minutes; floats on the task's own clock.

    ready: everything it waits for has let go, whether or not the shop is open; held_by: the link that let go
    last, None when no link holds it; is_over: finished, or an unattended wait whose time has passed (one
    that waits for nothing and nobody has set a day for has not begun by itself);
    is_running: begun and not over; waits_for: keys of tasks that are not over; critical: if it slips, so does
    the finish of its job. What is over has no float and its latest times are what really happened.
    """

    late_start: int
    late_finish: int
    total_float: int
    free_float: int
    ready: int
    held_by: Link | None
    waits_for: tuple[str, ...]
    critical: bool


def task_times(
    tasks: Sequence[Task], calendar: ShopCalendar, now: datetime, due: Mapping[int, datetime]
) -> dict[str, TaskTimes]:
    """Return the times of tasks by key, in the order of the tasks.

    now: nothing that has not begun is put before it, save waits that began by themselves when hands let go;
    what is pinned to a time still to come starts exactly then;
    due: by when a job must be finished, for its latest times; without one, its own earliest finish.
    Links to tasks that are not given count as let go. Raises Cycle, naming the tasks.
    """
    network = _Network(tasks, calendar.minutes, minute_after(now))
    network.forward()
    own = network.job_finishes()
    late_own = network.latest(own)
    wanted = own | {job: minute_at(instant) for job, instant in due.items()}
    late = network.latest(wanted) if due else late_own
    return {task.key: network.times(number, late, late_own, own) for number, task in enumerate(tasks)}


Late = tuple[list[int], list[int]]


class _Network:
    """The tasks by number while their times are found."""

    def __init__(self, tasks: Sequence[Task], hours: OpenMinutes, now: int) -> None:
        self.tasks, self.hours, self.now = tasks, hours, now
        self.work = [in_minutes(task.duration) for task in tasks]
        self.attended = [task.clock is Clock.ATTENDED for task in tasks]
        number_of = {task.key: number for number, task in enumerate(tasks)}
        self.waits: list[list[tuple[int, Link, int]]] = [
            [
                (number_of[link.before], link, in_minutes(link.at_least))
                for link in task.links
                if link.before in number_of
            ]
            for task in tasks
        ]
        self.after: list[list[tuple[int, Link, int]]] = [[] for _ in tasks]
        for number, waits in enumerate(self.waits):
            for before, link, at_least in waits:
                self.after[before].append((number, link, at_least))
        self.order = self._ordered()
        count = len(tasks)
        self.start, self.finish, self.ready = [now] * count, [now] * count, [now] * count
        self.over, self.begun = [False] * count, [False] * count
        self.held: list[Link | None] = [None] * count

    def _ordered(self) -> list[int]:
        arcs = ((before, number, 0) for number, waits in enumerate(self.waits) for before, _, _ in waits)
        try:
            return in_order(len(self.tasks), arcs)
        except Cycle as cycle:
            raise Cycle(cycle.around, [self.tasks[number].name for number in cycle.around]) from None

    def forward(self) -> None:
        """Find earliest times, in order."""
        for number in self.order:
            self._get_ready(number)
            if self.tasks[number].finished_at is not None:
                self._as_finished(number)
            elif self.tasks[number].started_at is not None:
                self._as_started(number)
            else:
                self._as_planned(number)

    def _get_ready(self, number: int) -> None:
        ready = None
        for before, link, at_least in self.waits[number]:
            since = self.start[before] if link.leaves is End.START else self.finish[before]
            lets_go = self._pass(since, link, at_least)
            if link.reaches is End.FINISH:
                lets_go = self._start_for(number, lets_go)
            if ready is None or lets_go > ready:
                ready, self.held[number] = lets_go, link
        not_before = self.tasks[number].not_before
        if not_before is not None and (ready is None or minute_after(not_before) > ready):
            ready, self.held[number] = minute_after(not_before), None
        self.ready[number] = self.now if ready is None else ready

    def _as_finished(self, number: int) -> None:
        task = self.tasks[number]
        assert task.finished_at is not None
        finish = minute_after(task.finished_at)
        start = minute_at(task.started_at) if task.started_at else self._back(number, finish)
        self.start[number], self.finish[number] = min(start, finish), finish
        self.over[number] = self.begun[number] = True

    def _as_started(self, number: int) -> None:
        task = self.tasks[number]
        assert task.started_at is not None
        start = self.start[number] = minute_at(task.started_at)
        self.begun[number] = True
        if self.attended[number]:
            self.finish[number] = max(self.hours.add(start, self.work[number]), self.now)
        elif task.kind is TaskKind.DELIVERY:
            self.finish[number] = self._comes(task, start + self.work[number])
        else:
            self.finish[number] = start + self.work[number]
            self.over[number] = self.finish[number] <= self.now

    def _as_planned(self, number: int) -> None:
        task, ready = self.tasks[number], self.ready[number]
        if self._is_pinned(number):
            assert task.pinned_at is not None
            start = self.start[number] = minute_at(task.pinned_at)
            self.finish[number] = self._pinned_finish(number, start)
        elif self.attended[number]:
            start = self.hours.start(max(ready, self.now), self.work[number], whole=not task.splittable)
            self.start[number], self.finish[number] = start, self.hours.add(start, self.work[number])
        elif task.kind is TaskKind.DELIVERY:
            start = self.start[number] = max(ready, self.now)
            self.finish[number] = self._comes(task, start + self.work[number])
        else:
            by_itself = bool(self.waits[number])
            start = self.start[number] = ready if by_itself else max(ready, self.now)
            finish = self.finish[number] = start + self.work[number]
            let_go = not self._waits_for(number)
            let_go = let_go and (by_itself or task.not_before is not None)
            self.begun[number] = by_itself and let_go and start <= self.now
            self.over[number] = let_go and finish <= self.now

    def _is_pinned(self, number: int) -> bool:
        """Whether a task is to begin at a time that is still to come."""
        pinned_at = self.tasks[number].pinned_at
        return pinned_at is not None and minute_at(pinned_at) >= self.now and not self.begun[number]

    def _pinned_finish(self, number: int, start: int) -> int:
        """Return when a pinned task is finished: by the clock if it is done in one go, or begins outside shop hours."""
        work = self.work[number]
        by_hours = self.attended[number] and self.tasks[number].splittable and self.hours.is_open(start)
        return self.hours.add(start, work) if by_hours else start + work

    def _waits_for(self, number: int) -> tuple[str, ...]:
        """Return the keys of what must be over, or begun, before a task can start, and is not."""
        return tuple(
            link.before
            for before, link, _ in self.waits[number]
            if link.reaches is End.START
            and not (self.over[before] or (link.leaves is End.START and self.begun[before]))
        )

    def _start_for(self, number: int, finish: int) -> int:
        """Return the first start with which a task is not finished before a minute."""
        work = self.work[number]
        if not self.attended[number] or not self.tasks[number].splittable or not work:
            return finish - work
        return self.hours.subtract(self.hours.add(finish - 1, 1), work)

    def _last_start(self, number: int, start: int) -> int:
        """Return the last minute at which a task can start that is not after a minute."""
        if not self.attended[number]:
            return start
        if self.tasks[number].splittable:
            return self.hours.subtract(start + 1, 1)
        work = self.work[number]
        return self.hours.last_start(start + work, work, whole=True)

    def _comes(self, task: Task, finish: int) -> int:
        """Return when a delivery comes: as the supplier says, else after its lead time, never in the past."""
        return max(minute_after(task.expected_at) if task.expected_at else finish, self.now)

    def job_finishes(self) -> dict[int, int]:
        """Return the earliest finish of each job; what trails does not count."""
        finishes: dict[int, int] = {}
        for task, finish in zip(self.tasks, self.finish, strict=True):
            if not task.trails:
                finishes[task.job_id] = max(finish, finishes.get(task.job_id, finish))
        return finishes

    def latest(self, wanted: Mapping[int, int]) -> Late:
        """Return the latest starts and finishes with which every job is finished as wanted."""
        late_start, late_finish = list(self.start), list(self.finish)
        for number in reversed(self.order):
            if self.over[number]:
                continue
            finish, start = self._until(number, wanted, late_start, late_finish)
            if self.begun[number]:
                late_finish[number] = finish
                continue
            start = min(start, self._back(number, finish))
            late_start[number] = start
            late_finish[number] = self._finish(number, start)
        return late_start, late_finish

    def _finish(self, number: int, start: int) -> int:
        return self.hours.add(start, self.work[number]) if self.attended[number] else start + self.work[number]

    def _until(
        self, number: int, wanted: Mapping[int, int], starts: Sequence[int], finishes: Sequence[int]
    ) -> tuple[int, int]:
        """Return how late a task may finish, and start, by what follows it. starts, finishes: of what follows."""
        finish = self._wanted(number, wanted)
        start = finish
        for then, link, at_least in self.after[number]:
            if not self._is_held_up(then):
                continue
            ends = self.start if self._is_pinned(then) else starts
            if link.reaches is End.FINISH:
                ends = self.finish if self._is_pinned(then) else finishes
            by = self._unpass(ends[then], link, at_least)
            if link.leaves is End.FINISH:
                finish = min(finish, by)
            elif not self.begun[number]:
                start = min(start, self._last_start(number, by))
        return finish, start

    def times(self, number: int, late: Late, late_own: Late, job_finish: Mapping[int, int]) -> TaskTimes:
        """Return everything found about one task."""
        over, begun = self.over[number], self.begun[number]
        early = self.finish[number] if begun else self.start[number]
        side = 1 if begun else 0
        slips = not over and late_own[side][number] > early
        free = 0 if over else max(self._slack(number, early, self._free_until(number, job_finish)), 0)
        return TaskTimes(
            start=self.start[number],
            finish=self.finish[number],
            late_start=late[0][number],
            late_finish=late[1][number],
            total_float=0 if over else self._slack(number, early, late[side][number]),
            free_float=free,
            ready=self.ready[number],
            held_by=self.held[number],
            waits_for=self._waits_for(number),
            is_over=over,
            is_running=begun and not over,
            critical=not (over or slips or self.tasks[number].trails),
        )

    def _free_until(self, number: int, job_finish: Mapping[int, int]) -> int:
        """Return how late it may start, or finish once begun, and move no other task."""
        finish, start = self._until(number, job_finish, self.start, self.finish)
        return finish if self.begun[number] else min(start, self._back(number, finish))

    def _wanted(self, number: int, wanted: Mapping[int, int]) -> int:
        """Return when a task must be finished for its job to be; what trails may always take its time."""
        task, finish = self.tasks[number], self.finish[number]
        return max(wanted.get(task.job_id, finish), finish) if task.trails else wanted[task.job_id]

    def _is_held_up(self, then: int) -> bool:
        """Whether a task would be held up by one before it in a way that matters to the job."""
        return not (self.begun[then] or self.over[then] or self.tasks[then].trails)

    def _slack(self, number: int, early: int, late: int) -> int:
        return self.hours.between(early, late) if self.attended[number] else late - early

    def _back(self, number: int, finish: int) -> int:
        """Return the last start with which a task is finished by a minute."""
        if self.attended[number]:
            return self.hours.last_start(finish, self.work[number], whole=not self.tasks[number].splittable)
        return finish - self.work[number]

    def _pass(self, finish: int, link: Link, at_least: int) -> int:
        if link.clock is Clock.ATTENDED:
            return self.hours.add(finish, at_least)
        return finish + at_least

    def _unpass(self, start: int, link: Link, at_least: int) -> int:
        if link.clock is Clock.ATTENDED:
            return self.hours.subtract(start, at_least)
        return start - at_least


def check_link(tasks: Sequence[Task], *, before: str, after: str) -> str:
    """Return what is wrong, in words, with task `after` waiting for task `before`; nothing when it may.

    before, after: keys. Raises KeyError for a key that is not among the tasks.
    """
    by_key = {task.key: task for task in tasks}
    goal, trail, todo = by_key[after], {before: ""}, [before]
    for key in todo:
        if by_key[key] is goal:
            ring = [key]
            while trail[ring[-1]]:
                ring.append(trail[ring[-1]])
            return cycle_words([by_key[one].name for one in ring])
        for link in by_key[key].links:
            if link.before in by_key and link.before not in trail:
                trail[link.before] = key
                todo.append(link.before)
    return ""
