"""The starts an activity can have in certain hours, grouped by how long it then takes."""

from bisect import bisect_left, bisect_right
from dataclasses import dataclass
from itertools import pairwise

from domain.schedule.arc import Arc
from domain.schedule.hours import Hours
from domain.schedule.moves import LATE, last_with

Groups = dict[int, list[tuple[int, int]]]
"""By elapsed slots: the first and last of each run of starts."""


def by_length(hours: Hours, work: int, whole: bool, first: int, last: int) -> Groups:
    """Return the starts from the first slot to the last, each with the slots that pass until the work is done.

    Work that is split takes longer over a night than within a morning; but only few lengths ever differ.
    """
    found: Groups = {}
    if work == 0:
        found[0] = [
            (max(opens, first), min(closes, last))
            for opens, closes in zip(hours.opens, hours.closes, strict=True)
            if opens <= last and closes >= first
        ]
        return {0: _joined(found[0])} if found[0] else {}
    at = bisect_right(hours.closes, first)
    while at < len(hours.opens) and hours.opens[at] <= last:
        start = max(first, hours.opens[at])
        end = min(last, hours.closes[at] - (work if whole else 1))
        if whole:
            if start <= end:
                found.setdefault(work, []).append((start, end))
        else:
            _split(found, hours, work, at, start, end)
        at += 1
    return {length: _joined(runs) for length, runs in found.items()}


def _split(found: Groups, hours: Hours, work: int, at: int, start: int, end: int) -> None:
    """Add the starts within one stretch, cut wherever the work comes to its end in a later one."""
    while start <= end:
        passed = hours.before[at] + start - hours.opens[at] + work
        if passed > hours.total:
            return
        lies = bisect_left(hours.before, passed) - 1
        length = hours.opens[lies] + passed - hours.before[lies] - start
        until = min(end, start + hours.before[lies] + hours.closes[lies] - hours.opens[lies] - passed)
        found.setdefault(length, []).append((start, until))
        start = until + 1


def _joined(runs: list[tuple[int, int]]) -> list[tuple[int, int]]:
    joined: list[tuple[int, int]] = []
    for start, end in runs:
        if joined and start <= joined[-1][1] + 1:
            joined[-1] = joined[-1][0], max(end, joined[-1][1])
        else:
            joined.append((start, end))
    return joined


@dataclass(frozen=True, slots=True)
class Asked:
    """What a lag counted in certain hours asks of its far end, by where its near end is.

    shifts: by how many slots later at least, the runs of the near end; slots: runs, and the first slot that suits all.
    """

    shifts: Groups
    slots: list[tuple[int, int, int]]


def asked(arc: Arc, first: int, last: int, since: int) -> Asked:
    """Return what an arc asks for while its near end lies between two slots. since: its far end is never before."""
    hours = arc.hours
    assert hours is not None
    edges = {first, last + 1, *hours.opens, *hours.closes, *(slot + 1 for slot in hours.closes)}
    for passed in (*hours.before, hours.total):
        for crossing in (last_with(hours, passed - arc.least), _first_with(hours, passed - arc.least)):
            edges |= {crossing, crossing + 1}
    order = sorted(edge for edge in edges if first <= edge <= last + 1)
    found = Asked({}, [])
    for start, after in pairwise(order):
        low, high = arc.forth(start), arc.forth(after - 1)
        if low == LATE:
            continue
        if high <= since:
            found.slots.append((start, after - 1, since))
        elif low == high:
            found.slots.append((start, after - 1, low))
        else:
            found.shifts.setdefault(low - start, []).append((start, after - 1))
    return found


def _first_with(hours: Hours, passed: int) -> int:
    return hours.by(passed) if passed <= hours.total else LATE
