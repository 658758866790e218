"""The demo's rack: boards and offcuts in the shop, boards seen at the yard, what a finished job took. Invented."""

from collections.abc import Iterator
from fractions import Fraction

from sqlmodel import Session

from domain.board_use import BoardUse
from domain.job import JobState
from domain.length import Length
from domain.material import Material, MaterialKind
from domain.money import Money
from domain.rack import RackPiece, RackPlace
from domain.rack_list import marked
from webapp.demo.shop import PANELS, YARD
from webapp.store.board_use import add_board_use
from webapp.store.job import search_jobs
from webapp.store.rack import add_rack_pieces, load_rack
from webapp.store.take_off import load_take_off

CHERRY, OAK, ASH, MAPLE = "Black cherry", "White oak", "White ash", "Hard maple (sugar maple)"

_BOARDS = (
    (CHERRY, "4/4", "6 1/4", "7' 2", "sapwood on one edge"), (CHERRY, "4/4", "5", "4' 11", ""),
    (CHERRY, "8/4", "7 1/2", "3' 8", "checked end, 2 in"), (OAK, "4/4", "8 1/4", "6' 1", ""),
    (OAK, "8/4", "6", "5' 6", ""), (ASH, "4/4", "5 3/4", "8' 3", "bowed"), (ASH, "5/4", "9 1/8", "3' 5", ""),
    (MAPLE, "8/4", "4 1/2", "9'", "a mineral streak"),
)  # fmt: skip
_SEEN = (
    (OAK, "8/4", "7 1/4", "9' 10", "9.60"), (OAK, "8/4", "8 5/8", "10' 2", "9.60"),
    (OAK, "8/4", "6 3/4", "9' 9", "9.60"), (OAK, "8/4", "9 1/4", "8' 7", "10.20"),
    (CHERRY, "8/4", "7 7/8", "8' 4", "8.30"), (CHERRY, "4/4", "8 3/4", "10' 1", "5.95"),
    (ASH, "5/4", "7 1/2", "9' 11", "5.20"),
)  # fmt: skip
_OFFCUTS = (
    ("birch plywood", "1/2", "23 1/2", "48", False), ("birch plywood", "1/2", "14", "60", True),
    ("birch plywood", "1/4", "20 1/4", "30", True), ("maple plywood", "3/4", "16 3/8", "96", False),
    ("maple plywood", "3/4", "24", "31 1/2", False), ("maple plywood", "1/4", "48", "22", True),
)  # fmt: skip

_CUT_UP = ("7/10", "62/100")
"""Which share of what was cut up the finished job's woods gave, one after another."""


def add_rack(db: Session) -> None:
    """Put boards and offcuts on the rack, and record what the finished job took of its woods."""
    finished = next((job.id for job in search_jobs(db) if job.state is JobState.CLOSED), None)
    add_rack_pieces(db, marked((*_boards(), *_seen(), *_offcuts(finished)), load_rack(db, cut_up=True)))
    if finished is not None:
        for use in _uses(db, finished):
            add_board_use(db, use)


def _lumber(name: str, quarter: str) -> Material:
    return Material(MaterialKind.LUMBER, name, quarter, "FAS")


def _boards() -> Iterator[RackPiece]:
    for name, quarter, width, length, note in _BOARDS:
        yield RackPiece(0, "", _lumber(name, quarter), Length.parse(width), Length.parse(length), note=note)


def _seen() -> Iterator[RackPiece]:
    for name, quarter, width, length, price in _SEEN:
        yield RackPiece(
            0, "", _lumber(name, quarter), Length.parse(width), Length.parse(length), RackPlace.YARD,
            price=Money.parse(price), supplier=YARD,
        )  # fmt: skip


def _offcuts(finished: int | None) -> Iterator[RackPiece]:
    for name, thickness, width, length, is_of_finished in _OFFCUTS:
        yield RackPiece(
            0, "", Material(MaterialKind.SHEET, name, thickness), Length.parse(width), Length.parse(length),
            supplier="" if is_of_finished else PANELS, offcut_of=finished if is_of_finished else None,
        )  # fmt: skip


def _uses(db: Session, job_id: int) -> Iterator[BoardUse]:
    """Yield what was cut up of the first woods of a job, to the whole board foot."""
    woods = [line for line in load_take_off(db, job_id).lines if line.material.kind is MaterialKind.LUMBER]
    for line, share in zip(woods, _CUT_UP, strict=False):
        used = Fraction(round(line.net.value / Fraction(share)))
        yield BoardUse(0, job_id, "", line.material, line.net.value, used, note="counted at the saw")
