"""A remedy as the fields of a form with one button, and back."""

from collections.abc import Mapping
from datetime import UTC, date, datetime, time

from domain.open_minutes import EARLIEST, LATEST
from domain.plan.asked import Asked
from domain.plan.remedy import Give, GoFirst, Hold, LetGo, Promise, Remedy, Sand, Unpin, Work
from domain.task import Task

FORMS: Mapping[str, type] = {
    "hold": Hold, "work": Work, "sand": Sand, "unpin": Unpin, "let-go": LetGo, "give": Give, "go-first": GoFirst,
    "promise": Promise,
}  # fmt: skip
"""Remedies that one tap carries out, by name; the others are for people to arrange."""


def fill(remedy: Remedy) -> dict[str, str]:
    """Return the fields of a remedy's form; none for one that people have to arrange."""
    kind = next((name for name, known in FORMS.items() if isinstance(remedy, known)), "")
    match remedy:
        case Hold(key, until):
            fields = {"key": key, "until": until.astimezone(UTC).isoformat()}
        case Work(on, starts, ends):
            fields = {"on": on.isoformat(), "starts": f"{starts:%H:%M}", "ends": f"{ends:%H:%M}"}
        case Sand(before, after, _) | LetGo(before, after):
            fields = {"before": before, "key": after}
        case Unpin(key):
            fields = {"key": key}
        case Give(key, who):
            fields = {"key": key, "who": ",".join(map(str, who))}
        case GoFirst(job_id):
            fields = {"job": str(job_id)}
        case Promise(job_id, promised):
            fields = {"job": str(job_id), "on": promised.isoformat()}
        case _:
            return {}
    return {"remedy": kind, **fields}


def read(posted: Mapping[str, str], asked: Asked, scuffs: Mapping[str, Task]) -> Remedy | None:
    """Return the remedy that was tapped, None when it is none, or is about something that is gone."""
    try:
        return _read(posted, asked, scuffs)
    except (KeyError, ValueError, OverflowError):
        return None


def _read(posted: Mapping[str, str], asked: Asked, scuffs: Mapping[str, Task]) -> Remedy | None:
    kind = posted.get("remedy", "")
    if kind == "work":
        starts, ends = time.fromisoformat(posted["starts"]), time.fromisoformat(posted["ends"])
        is_a_stretch = starts < ends and starts.tzinfo is None and ends.tzinfo is None
        return Work(date.fromisoformat(posted["on"]), starts, ends) if is_a_stretch else None
    if kind in ("go-first", "promise"):
        job_id = {str(task.job_id): task.job_id for task in asked.tasks}[posted["job"]]
        if kind == "go-first":
            return GoFirst(job_id)
        on = date.fromisoformat(posted["on"])
        return Promise(job_id, on) if EARLIEST < on < LATEST else None
    key = asked.task(posted["key"]).key
    if kind == "hold":
        until = datetime.fromisoformat(posted["until"])
        return Hold(key, until) if until.tzinfo else None
    if kind == "unpin":
        return Unpin(key)
    if kind == "give":
        return Give(key, tuple(int(number) for number in posted["who"].split(",") if number))
    before = asked.task(posted["before"]).key
    if kind == "sand":
        return Sand(before, key, scuffs[key])
    return LetGo(before, key) if kind == "let-go" else None
