"""A schedule in slots laid back over the tasks it is of: when, who, and what holds each."""

from collections.abc import Mapping, Sequence

from domain.open_minutes import minute_after, minute_at
from domain.plan.holders import Holders
from domain.plan.model import Model
from domain.plan.planned import PlannedTask, planned
from domain.schedule.schedule import Schedule
from domain.task import Task
from domain.task_times import TaskTimes, Times


def planned_tasks(
    tasks: Sequence[Task], times: Mapping[str, TaskTimes], now: int, made: Model, schedule: Schedule
) -> dict[str, PlannedTask]:
    """Return the tasks as they are planned, by key, in order; what has begun keeps its exact times."""
    holders = Holders(made, schedule)
    found: dict[str, PlannedTask] = {}
    for number, task in enumerate(tasks):
        places = schedule.team[number]
        who = tuple(made.people[place] for place in places if made.people[place])
        if times[task.key].is_over or times[task.key].is_running:
            found[task.key] = planned(
                task, times[task.key], now, who=who, places=places, holders=holders, number=number
            )
            continue
        found[task.key] = planned(
            task,
            times[task.key],
            now,
            start=made.grid.instant(schedule.start[number]),
            finish=made.grid.instant(schedule.finish[number]),
            who=who,
            places=places,
            holders=holders,
            number=number,
        )
    return found


def times_as_planned(each: PlannedTask, times: TaskTimes) -> Times:
    """Return when a task starts and is finished as it is planned."""
    if each.has_begun:
        return times
    return Times(minute_at(each.start), minute_after(each.finish), times.is_over, times.is_running)
