"""Two big invented jobs for benchmarks: 100 parts, and 100 kinds of part; more than 80 tasks, all of it priced."""

import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time
from functools import _lru_cache_wrapper
from zoneinfo import ZoneInfo

from domain.delivery import deliveries
from domain.estimate import Estimate, estimate
from domain.job import Client, Job
from domain.job_tasks import job_tasks
from domain.operation import starting_times
from domain.pieces.part_list import PartList
from domain.pieces.piece import PlacedPiece
from domain.plan import Plan, Resources, plan
from domain.practice import ShopPractice
from domain.price import PriceBook
from domain.shop_calendar import ShopCalendar
from domain.shortage import to_order
from domain.take_off import TakeOff, take_off
from webapp.demo.pieces import PANTRY, Placing
from webapp.demo.shop import TERMS, prices

NOW = datetime(2026, 6, 1, 14, 0, tzinfo=UTC)
ZONE = "America/New_York"
DAY = ((time(8), time(12)), (time(13), time(17)))
JOB = Job(1, "Invented pantry", Client(1, "Invented client"), promised_on=date(2026, 9, 1))
MANY = 100

WITHOUT = "Short top"
"""The demo's pantry without it has some 80 tasks."""


def placed(placings: Iterable[Placing]) -> tuple[PlacedPiece, ...]:
    """Return the pieces of a demo job with ids, each before what belongs to it."""
    found: list[PlacedPiece] = []

    def place(placing: Placing, owner: int | None) -> None:
        found.append(PlacedPiece(len(found) + 1, placing.name, placing.quantity, placing.piece, owner))
        own = found[-1].id
        for belonging in placing.belongings:
            place(belonging, own)

    for placing in placings:
        place(placing, None)
    return tuple(found)


def a_list(lines: int) -> str:
    """Return a typed part list of single parts, no two alike, of woods and sheets that the demo has prices for."""
    woods = ("Black cherry", "White ash", "maple plywood")
    rows = (
        f"Part {row}; 1; 3/4; {row % 5 + 2} {row % 15 + 1}/16; {row % 40 + 12}; {woods[row % 3]}"
        for row in range(lines)
    )
    return "\n".join(rows)


def a_job_of_100_parts() -> tuple[PlacedPiece, ...]:
    """Return the demo's pantry and a part list, together 100 parts to cut."""
    return _filled_up(lambda needs: sum(int(line.pieces.value) for line in needs.cut_list))


def a_job_of_100_kinds_of_part() -> tuple[PlacedPiece, ...]:
    """Return the demo's pantry and a part list, together 100 lines of cut list."""
    return _filled_up(lambda needs: len(needs.cut_list))


def _filled_up(count: Callable[[TakeOff], int]) -> tuple[PlacedPiece, ...]:
    """Return the pantry with a part list that brings it to 100, however they are counted."""
    pieces = placed(placing for placing in PANTRY if placing.name != WITHOUT)
    lines = a_list(MANY - count(take_off(pieces, ShopPractice())))
    return (*pieces, PlacedPiece(len(pieces) + 1, "Odds and ends", 1, PartList(lines=lines)))


def with_one_changed(pieces: Sequence[PlacedPiece], turn: int) -> tuple[PlacedPiece, ...]:
    """Return the pieces with the first top a little longer, never twice the same for another turn."""
    top = pieces[0]
    longer = replace(top, piece=replace(top.piece, length=top.piece.length * (1000 + turn) / 1000))
    return (longer, *pieces[1:])


@dataclass(frozen=True)
class Recomputed:
    """Everything a shop sees of a job."""

    needs: TakeOff
    estimate: Estimate
    plan: Plan


def recompute(pieces: tuple[PlacedPiece, ...]) -> Recomputed:
    """Return take-off, estimate and plan of a job, from its pieces and facts of the shop made anew."""
    practice, times, book = ShopPractice(), starting_times(), PriceBook(tuple(prices(NOW.date())))
    needs = take_off(pieces, practice, TERMS.waste)
    priced = estimate(needs, book, times, TERMS, (), practice, NOW.date())
    short = to_order(needs.lines, (), (), book, job_id=JOB.id)
    coming = deliveries((), short.suppliers, zone=ZoneInfo(ZONE))
    tasks = job_tasks(JOB, needs, times, practice, NOW, deliveries=coming).tasks
    calendar = ShopCalendar(ZONE, (DAY,) * 5 + ((), ()))
    assert JOB.promised_on is not None
    made = plan(tasks, calendar, NOW, Resources(2, 24, 2), {JOB.id: JOB.promised_on})
    return Recomputed(needs, priced, made)


def forget() -> None:
    """Empty every memory of bounded size, so that all is worked out anew; published tables stay read."""
    for memory in _memories():
        if memory.cache_parameters()["maxsize"] is not None:
            memory.cache_clear()


def _memories() -> Iterator["_lru_cache_wrapper[object]"]:
    for name, module in list(sys.modules.items()):
        if name.split(".")[0] in ("domain", "webapp"):
            yield from (one for one in vars(module).values() if isinstance(one, _lru_cache_wrapper))
