"""Marking a task as started or finished, taking that back, and the times that cannot be."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime, tzinfo

from domain.problem import Problem
from domain.task import TaskRecord
from domain.when import when


def marked_at(now: datetime) -> datetime:
    """Return the whole minute that is written down for what is marked now."""
    return now.replace(second=0, microsecond=0)


def started(record: TaskRecord, at: datetime, who: tuple[int, ...] = ()) -> TaskRecord:
    """Return the record of a task that began at an instant and goes on. who: ids of those who began it, if known:
    then it is theirs, unless it was given to somebody before.
    """
    return replace(record, started_at=at, finished_at=None, who=record.who or who)


def finished(record: TaskRecord, at: datetime) -> TaskRecord:
    """Return the record of a task that was finished at an instant; when it began is kept, if anybody said so."""
    return replace(record, finished_at=at)


def taken_back(record: TaskRecord) -> TaskRecord:
    """Return the record one step back: what was finished goes on, what goes on has not begun."""
    if record.finished_at is not None:
        return replace(record, finished_at=None)
    return replace(record, started_at=None)


def mark_problems(record: TaskRecord, now: datetime, zone: tzinfo) -> Iterator[Problem]:
    """Yield what is wrong with when a task began and was finished. zone: the shop's, for the words."""
    begun, over = record.started_at, record.finished_at
    for field, verb, at in (("started_at", "Started", begun), ("finished_at", "Finished", over)):
        if at is not None and at > now:
            said = f"{verb} {when(at, now, zone)} is still to come: it is {when(now, now, zone)} now."
            yield Problem(field, f"{said} Give a time gone by.")
    if begun is not None and over is not None and over < begun:
        said = f"Finished {when(over, now, zone)} comes before started {when(begun, now, zone)}."
        yield Problem("finished_at", f"{said} Change one of them.")
