"""What a plan is made from, so that it can be made again with something changed."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from typing import Any

from domain.plan import Plan, Resources, plan
from domain.shop_calendar import ShopCalendar
from domain.task import Task


@dataclass(frozen=True, slots=True)
class Asked:
    """The facts of a plan: the tasks of all jobs in it, the hours, what there is, and what is promised.

    more: what else plan() takes by name, such as weights of jobs and the plan that was kept.
    """

    tasks: tuple[Task, ...]
    calendar: ShopCalendar
    now: datetime
    resources: Resources
    promised: Mapping[int, date]
    more: Mapping[str, Any] = field(default_factory=dict)

    def plan(self) -> Plan:
        """Return the plan of these facts. Raises what plan() raises."""
        return plan(self.tasks, self.calendar, self.now, self.resources, self.promised, **self.more)

    def task(self, key: str) -> Task:
        """Return a task by its key. Raises KeyError."""
        for task in self.tasks:
            if task.key == key:
                return task
        raise KeyError(key)

    def weight(self, job_id: int) -> int:
        """Return how much the lateness of a job hurts beside that of others."""
        weights: Mapping[int, int] = self.more.get("weights", {})
        return weights.get(job_id, 1)

    def with_task(self, changed: Task) -> "Asked":
        """Return the facts with a task in the place of the one of the same key."""
        return replace(self, tasks=tuple(changed if task.key == changed.key else task for task in self.tasks))

    def with_more_tasks(self, tasks: Iterable[Task]) -> "Asked":
        return replace(self, tasks=(*self.tasks, *tasks))


def asked_of(made: Plan, **more: Any) -> Asked:
    """Return what a plan was made from. more: what else it was given by name."""
    promised = {job.job_id: job.promised_on for job in made.jobs.values() if job.promised_on}
    tasks = tuple(each.task for each in made.tasks.values())
    return Asked(tasks, made.calendar, made.now, made.resources, promised, {"weights": made.weights, **more})
