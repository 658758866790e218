"""Tasks, hours and instants for tests of the plan, with sensible defaults. Everything in them is invented."""

from datetime import UTC, date, datetime, time, timedelta
from fractions import Fraction
from zoneinfo import ZoneInfo

from domain.figure import Unit, typed
from domain.part import TaskKind
from domain.plan import Plan, Resources, plan
from domain.shop_calendar import ShopCalendar
from domain.task import Link, Task

ZONE = ZoneInfo("America/New_York")
DAY = ((time(8), time(12)), (time(13), time(17)))
CALENDAR = ShopCalendar("America/New_York", (DAY,) * 5 + ((), ()))
ALWAYS = ShopCalendar("UTC", (((time(0), time(0)),),) * 7)


def at(text: str) -> datetime:
    """Return an instant from wall-clock time in the shop: `2026-06-01 08:00` is a Monday."""
    return datetime.fromisoformat(text).replace(tzinfo=ZONE).astimezone(UTC)


MONDAY = at("2026-06-01 08:00")


def hours(count: float) -> timedelta:
    return timedelta(hours=count)


def a_task(
    name: str, takes: float = 60, *after: str | Link, kind: TaskKind = TaskKind.OTHER, job: int = 1, **more
) -> Task:
    """Return a task of so many minutes; after: names of tasks of the job it waits for, or links."""
    links = tuple(link if isinstance(link, Link) else Link(f"{job}/{link}") for link in after)
    figure = typed("How long", Fraction(takes), Unit.MINUTE)
    return Task(
        key=f"{job}/{name}", job_id=job, job_name=f"Job {job}", name=name, kind=kind, takes=figure, links=links, **more
    )


def wait(before: str, least: timedelta, most: timedelta | None = None, *, job: int = 1, **more) -> Link:
    return Link(f"{job}/{before}", least, most, **more)


def a_plan(
    *tasks: Task,
    now: datetime = MONDAY,
    calendar: ShopCalendar = CALENDAR,
    resources: Resources = Resources(hands=2, clamps=12, benches=1),
    promised: dict[int, date] | None = None,
    **more,
) -> Plan:
    return plan(tasks, calendar, now, resources, promised or {}, **more)
