"""What the demo's jobs are built from. Every person, room and size is invented."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from domain.length import Length
from domain.pieces.base_cabinet import BaseCabinet
from domain.pieces.built_up_edge import BuiltUpEdge
from domain.pieces.door import Door
from domain.pieces.drawer import Drawer
from domain.pieces.filler import Filler
from domain.pieces.piece import Piece
from domain.pieces.shelf import Shelf
from domain.pieces.support_strips import SupportStrips
from domain.pieces.toe_kick import ToeKick
from domain.pieces.top import Alignment, Top

inch = Length.parse
Choices = Mapping[str, Any]

CHERRY: Choices = {"species": "Black cherry", "finish": "Hardwax oil", "coats": 3, "on_site": True}
LOOK: Choices = {"seen_thickness": inch("2")}
CASES: Choices = {"sheet": "maple plywood", "finish": "Waterborne polyurethane", "coats": 3}
FRONTS: Choices = {"species": "Black cherry", "finish": "Waterborne polyurethane", "coats": 3}
ASH: Choices = {"species": "White ash", "finish": "Oil-modified polyurethane", "coats": 3}
MAPLE: Choices = {"species": "Hard maple (sugar maple)", "finish": "Hardwax oil", "coats": 2}


@dataclass(frozen=True)
class Placing:
    """A piece to place, and the pieces that belong to it."""

    name: str
    piece: Piece
    quantity: int = 1
    belongings: "Sequence[Placing]" = ()


def _drawer(width: str, height: str, front: Choices = FRONTS) -> Drawer:
    return Drawer(width=inch(width), height=inch(height), depth=inch("22 1/2"), **front)


PANTRY = (
    Placing(
        "Long top",
        Top(length=inch("108"), widest_board=inch("5 1/2"), alignment=Alignment.BISCUITS, **CHERRY),
        belongings=(
            Placing("Long top, front edge", BuiltUpEdge(length=inch("108"), **LOOK, raised_by=inch("15/32"), **CHERRY)),
            Placing("Long top, support strips", SupportStrips(run=inch("108"), edge_hangs=inch("1/2"))),
        ),
    ),
    Placing(
        "Short top",
        Top(length=inch("61 1/2"), depth=inch("18"), widest_board=inch("5 1/2"), right_end_seen=True, **CHERRY),
        belongings=(
            Placing(
                "Short top, front edge",
                BuiltUpEdge(length=inch("61 1/2"), depth=inch("18"), returned_ends=1, **LOOK, **CHERRY),
            ),
        ),
    ),
    Placing(
        "Drawer cabinet",
        BaseCabinet(width=inch("36"), adjustable_shelves=0, **CASES),
        quantity=2,
        belongings=(
            Placing("Shallow drawers", _drawer("33", "5"), quantity=2),
            Placing("Deep drawers", _drawer("33", "11"), quantity=4),
        ),
    ),
    Placing(
        "Door cabinet",
        BaseCabinet(width=inch("35 1/4"), seen_sides=1, **CASES),
        belongings=(Placing("Doors", Door(width=inch("17 3/8"), height=inch("29 3/4"), **FRONTS), quantity=2),),
    ),
    Placing("Toe kick", ToeKick(length=inch("107 1/4"), **FRONTS)),
    Placing("Scribe at the left wall", Filler(length=inch("34 1/2"), gap=inch("3/4"), **FRONTS), quantity=2),
)  # fmt: skip

WINDOW_SEAT = (
    Placing("Seat", Top(length=inch("72"), depth=inch("19"), thickness=inch("1 1/16"), **ASH)),
    Placing(
        "Drawer box under the seat",
        BaseCabinet(width=inch("34"), height=inch("16"), depth=inch("18"), adjustable_shelves=0, **CASES),
        quantity=2,
        belongings=(
            Placing(
                "Wide drawers", Drawer(width=inch("32 1/2"), height=inch("10"), depth=inch("17"), **ASH), quantity=2
            ),
        ),
    ),
    Placing("Side shelves", Shelf(length=inch("30"), depth=inch("11"), **ASH), quantity=4),
)

FOLDING_COUNTER = (
    Placing(
        "Folding counter",
        Top(length=inch("84"), depth=inch("25 1/2"), widest_board=inch("6"), left_end_seen=True, **MAPLE),
        belongings=(Placing("Counter, support strips", SupportStrips(run=inch("84"))),),
    ),
    Placing("Counter cabinet", BaseCabinet(width=inch("30"), **CASES), quantity=2),
)

LAUNDRY_COUNTER = (
    Placing(
        "Counter top",
        Top(length=inch("96"), depth=inch("26"), widest_board=inch("4 1/2"), alignment=Alignment.BISCUITS, **MAPLE),
        belongings=(Placing("Counter, support strips", SupportStrips(run=inch("96"))),),
    ),
    Placing("Laundry cabinet", BaseCabinet(width=inch("32"), **CASES), quantity=2),
)

HALL_BENCH = (
    Placing("Bench top", Top(length=inch("66"), depth=inch("17"), thickness=inch("1 1/16"), **ASH)),
    Placing(
        "Bench box",
        BaseCabinet(width=inch("33"), height=inch("16"), depth=inch("16"), adjustable_shelves=0, **CASES),
        quantity=2,
    ),
)
