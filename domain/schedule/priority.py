"""Which activity is more urgent than another, before anything is placed: by what comes after it, roughly."""

from collections.abc import Iterator

from domain.schedule.prepared import Prepared
from domain.schedule.problem import Mode


def rules(prepared: Prepared) -> Iterator[list[float]]:
    """Yield priorities by different rules, the lower the more urgent."""
    problem = prepared.problem
    open_share = [sum(closes - opens for opens, closes in calendar.stretches) / problem.horizon
                  for calendar in problem.calendars]  # fmt: skip
    stretch = 1 / max(min(open_share, default=1), 1e-3)
    for factor in dict.fromkeys((stretch, 1.0)):
        heads, tails = _heads(prepared, factor), _tails(prepared, factor)
        ends = [0.0] * len(problem.jobs)
        for number, activity in enumerate(problem.activities):
            ends[activity.job] = max(ends[activity.job], heads[number] + tails[number])
        due = [end if job.due is None else float(job.due) for job, end in zip(problem.jobs, ends, strict=True)]
        yield [due[activity.job] - tail for activity, tail in zip(problem.activities, tails, strict=True)]
        rank = {job: place for place, job in enumerate(sorted(range(len(due)), key=due.__getitem__))}
        yield [
            rank[activity.job] * 4.0 * problem.horizon + due[activity.job] - tail
            for activity, tail in zip(problem.activities, tails, strict=True)
        ]


def lengths(prepared: Prepared, factor: float) -> list[float]:
    """Return how long each activity takes, roughly: working time stretched by how much of the time is open."""
    return [
        activity.work * (1.0 if activity.mode is Mode.PASSIVE else factor) for activity in prepared.problem.activities
    ]


def _heads(prepared: Prepared, factor: float) -> list[float]:
    """Return when each activity can start, roughly."""
    length = lengths(prepared, factor)
    heads = [0.0] * len(length)
    for number in sorted(range(len(length)), key=prepared.depth.__getitem__):
        activity = prepared.problem.activities[number]
        if activity.fact is not None:
            heads[number] = activity.fact.start
            length[number] = activity.fact.finish - activity.fact.start
            continue
        heads[number] = max(prepared.problem.now, activity.earliest, activity.pinned or 0)
        for link in prepared.links_in[number]:
            if link.least is not None:
                gap = link.least * (1.0 if link.hours is None else factor)
                begins = heads[link.other] + (0 if link.from_start else length[link.other])
                heads[number] = max(heads[number], begins + gap - (length[number] if link.to_finish else 0))
    return heads


def _tails(prepared: Prepared, factor: float) -> list[float]:
    """Return how much time passes from the start of each activity until all that follows is done, roughly."""
    length = lengths(prepared, factor)
    tails = list(length)
    for number in sorted(range(len(length)), key=prepared.depth.__getitem__, reverse=True):
        for link in prepared.links_out[number]:
            if link.least is not None and not prepared.fixed[link.other]:
                gap = link.least * (1.0 if link.hours is None else factor)
                rest = tails[link.other] - (length[link.other] if link.to_finish else 0)
                tails[number] = max(tails[number], (0 if link.from_start else length[number]) + gap + rest)
    return tails
