"""Small random shops with something to do, for tests of what a plan says of itself; all invented."""

from dataclasses import replace
from datetime import timedelta

from hypothesis import strategies as st

from domain.part import TaskKind
from domain.person import Absence, Person, Skill
from domain.plan import Resources
from domain.task import WHOLE_KINDS, Link, Task
from plan_builders import MONDAY, a_task

HANDS_ON = (TaskKind.MILL, TaskKind.GLUE_UP, TaskKind.SAND, TaskKind.COAT, TaskKind.OTHER)
WAITS = (TaskKind.CLAMP, TaskKind.CURE)


@st.composite
def tasks(draw: st.DrawFn, *, jobs: int = 2, most: int = 7) -> tuple[Task, ...]:
    """Return tasks of some jobs, each waiting for some of its job that stand before it."""
    made: list[Task] = []
    for number in range(draw(st.integers(2, most))):
        job = draw(st.integers(1, jobs))
        kind = draw(st.sampled_from((*HANDS_ON, *HANDS_ON, *WAITS)))
        earlier = [task for task in made if task.job_id == job]
        links = (
            [draw(links_to(task)) for task in draw(st.lists(st.sampled_from(earlier), max_size=2, unique=True))]
            if (earlier)
            else []
        )
        is_held = draw(st.integers(0, 9)) == 0
        made.append(
            a_task(
                f"{kind.value} {number}", draw(st.sampled_from((30, 60, 120, 240, 600))) if kind not in WHOLE_KINDS else
                draw(st.sampled_from((30, 60, 120))), *links, kind=kind, job=job,
                crew=draw(st.sampled_from((1, 1, 1, 2))), splittable=kind not in WHOLE_KINDS,
                clamps=draw(st.sampled_from((4, 8))) if kind is TaskKind.GLUE_UP else 0,
                bench=draw(st.sampled_from((0, 1))) if kind is TaskKind.GLUE_UP else 0,
                wet_for=timedelta(hours=2) if kind is TaskKind.COAT else timedelta(),
                not_before=MONDAY + timedelta(hours=draw(st.integers(1, 60))) if is_held else None,
            )
        )  # fmt: skip
    for number, task in enumerate(made):
        if task.clamps:  # the clamps stay on while what comes next passes by itself
            then = next(
                (one for one in made if one.kind in WAITS and any(task.key == link.before for link in one.links)), None
            )
            made[number] = replace(task, until=then.key if then else "")
    return tuple(made)


@st.composite
def links_to(draw: st.DrawFn, before: Task) -> Link:
    """Return a link to a task, now and then with a window that closes."""
    least = timedelta(hours=draw(st.sampled_from((0, 0, 1, 6))))
    most = draw(st.sampled_from((None, None, None, 8, 24)))
    return Link(before.key, least, None if most is None else least + timedelta(hours=most))


@st.composite
def shops(draw: st.DrawFn) -> Resources:
    """Return what a small shop has, with people by name or without."""
    people = ()
    absences = ()
    if draw(st.booleans()):
        people = tuple(
            Person(number, name, frozenset(draw(st.sets(st.sampled_from(Skill), max_size=2))))
            for number, name in enumerate(("Ann", "Ben")[: draw(st.integers(1, 2))], start=1)
        )
        if draw(st.booleans()):
            away = MONDAY + timedelta(hours=draw(st.integers(0, 30)))
            absences = (Absence(1, 1, away, away + timedelta(hours=draw(st.sampled_from((2, 24)))), "ill"),)
    return Resources(
        hands=draw(st.integers(1, 2)), clamps=draw(st.sampled_from((8, 12))), benches=1, people=people,
        absences=absences, dry_places=draw(st.sampled_from((0, 1, 2))), finishing_room=draw(st.booleans()),
    )  # fmt: skip
