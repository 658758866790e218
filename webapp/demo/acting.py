"""Acting out the demo's plan: what two people would have done by now, one task after another."""

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta

from sqlmodel import Session

from domain.part import TaskKind
from domain.shop_calendar import ShopCalendar
from domain.task import Clock, Task, TaskRecord
from webapp.demo.shop import SHOP
from webapp.store.piece import load_pieces
from webapp.store.plan import load_job_facts
from webapp.store.shop import load_calendar
from webapp.store.task import save_record

Span = tuple[datetime, datetime]
LONGEST_LOOK_BACK = 60
TOOK = (90, 100, 130, 85, 110, 160, 100, 80, 120, 95)
"""What work really took, in hundredths of what was planned, one task after the other. Invented."""


def act_out(
    db: Session, job_id: int, *, now: datetime, pieces: Sequence[str] = (), last: str = "", ago: timedelta = timedelta()
) -> None:
    """Record the tasks of a job as done up to now.

    pieces: names, in the order they were taken up; last: the step of the last of them that was finished so long
    ago, what came before it is done, nothing after. Without these the whole job is done.
    """
    calendar = load_calendar(db)
    assert calendar is not None
    tasks = load_job_facts(db, now, job_id).tasks
    last_key = tasks[-1].key
    if pieces:
        ids = {placed.name: placed.id for placed in load_pieces(db, job_id)}
        turn = {ids[name]: place for place, name in enumerate(pieces)}
        tasks = tuple(sorted(tasks, key=lambda task: turn.get(task.piece_id or 0, len(turn) if task.piece_id else -1)))
        last_key = f"{job_id}/p{ids[pieces[-1]]}.{last}"
    done, end = _as_it_went(tasks, calendar, last_key, now - ago)

    def is_agreed(task: Task) -> bool:
        """Whether it is the day of the install, which is agreed in the job that is done and still open in the other."""
        return task.kind is TaskKind.MILESTONE and not pieces

    for task in tasks:
        span = done.get(task.key)
        if span is None or span[1] > end or not (task.clock is Clock.ATTENDED or is_agreed(task)):
            continue
        if pieces and task.key == last_key:  # it was finished just so long ago, whatever the hour
            span = now - ago - task.duration, now - ago
        record = TaskRecord(task.part, started_at=_minute(span[0]), finished_at=_minute(span[1]))
        save_record(db, job_id, record, version=0)


def _as_it_went(
    tasks: Sequence[Task], calendar: ShopCalendar, last: str, by: datetime
) -> tuple[Mapping[str, Span], datetime]:
    """Return when each task was done, for the latest first morning that gets the last one done in time."""
    for days in range(1, LONGEST_LOOK_BACK):
        begin = calendar.midnight(calendar.local(by).date() - timedelta(days=days))
        done = _one_after_another(tasks, calendar, begin)
        if done[last][1] <= by:
            return done, done[last][1]
    raise ValueError(f"the demo's {last} does not get done in {LONGEST_LOOK_BACK} days")


def _one_after_another(tasks: Sequence[Task], calendar: ShopCalendar, begin: datetime) -> Mapping[str, Span]:
    """Return spans in which nobody does two things at once and nothing starts before what it waits for."""
    done: dict[str, Span] = {}
    free = [begin] * SHOP.hands
    waiting = list(tasks)
    known = {task.key for task in tasks}
    while waiting:
        task = next(
            one for one in waiting if all(link.before in done or link.before not in known for link in one.links)
        )
        waiting.remove(task)
        ready = max((done[link.before][1] + link.at_least for link in task.links if link.before in done), default=begin)
        if task.clock is Clock.ELAPSED:
            done[task.key] = ready, ready + (timedelta() if task.kind is TaskKind.DELIVERY else task.duration)
            continue
        free.sort()
        start = calendar.next_open(max(ready, free[min(task.crew, len(free)) - 1]))
        finish = calendar.add(start, task.duration * TOOK[len(done) % len(TOOK)] // 100)
        free[: task.crew] = [finish] * min(task.crew, len(free))
        done[task.key] = start, finish
    return done


def _minute(at: datetime) -> datetime:
    return at.replace(second=0, microsecond=0)
