"""A remedy carried out: what it changes of tasks, hours, jobs and links."""

from dataclasses import replace
from datetime import datetime

from sqlmodel import Session

from domain.hours import ExtraHours
from domain.job import Matters
from domain.plan.remedy import Give, GoFirst, Hold, LetGo, Promise, Remedy, Sand, Unpin, Work
from domain.task import TaskRecord
from webapp.store import job as job_store
from webapp.store import shop as shop_store
from webapp.store import task as task_store
from webapp.store.rows import Missing


def carry_out(db: Session, remedy: Remedy, *, now: datetime, why: str) -> None:
    """Save what a remedy changes. why: of extra hours. Raises Missing for one that people have to arrange."""
    match remedy:
        case Hold(key, until):
            _change(db, key, not_before=until if until > now else None)
        case Unpin(key):
            _change(db, key, pinned_at=None)
        case Give(key, who):
            _change(db, key, who=who)
        case Sand(_, _, scuff):
            _change(db, scuff.key, dropped=False)
        case Work(day, starts, ends):
            shop_store.add_extra_hours(db, ExtraHours(0, day, starts, ends, why))
        case LetGo(before, after):
            _let_go(db, before, after)
        case GoFirst(job_id):
            job_store.save_job(db, replace(job_store.load_job(db, job_id), matters=Matters.MOST))
        case Promise(job_id, on):
            job_store.save_job(db, replace(job_store.load_job(db, job_id), promised_on=on))
        case _:
            raise Missing("a remedy that can be carried out here")


def _change(db: Session, key: str, **changed: object) -> None:
    job_id, part = _parts(key)
    record, version = task_store.load_record(db, job_id, part)
    made: TaskRecord = replace(record, **changed)  # type: ignore[arg-type]
    task_store.save_record(db, job_id, made, version=version)


def _let_go(db: Session, before: str, after: str) -> None:
    job_id, part = _parts(after)
    for link in task_store.load_links(db, [job_id])[job_id]:
        if (link.before, link.after) == (_parts(before)[1], part):
            task_store.save_link(db, job_id, replace(link, at_most=None))
            return
    raise Missing(f"link from {before} to {after}")


def _parts(key: str) -> tuple[int, str]:
    job, _, part = key.partition("/")
    return int(job), part
