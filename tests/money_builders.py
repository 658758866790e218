"""Small jobs, prices and terms for tests about money, all invented."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction
from typing import ClassVar

from domain.figure import Figure, typed
from domain.length import ZERO, Length
from domain.material import Material, MaterialKind
from domain.money import Money
from domain.operation import OPERATIONS, OperationTime
from domain.part import Built, Part, Stage, Step, TaskKind, Work
from domain.pieces.piece import Link, PlacedPiece
from domain.practice import ShopPractice
from domain.price import Markup, Price
from domain.problem import Problem
from domain.take_off import BuiltPiece, CutLine, PartRef, TakeOff, TakeOffLine
from domain.terms import OverheadBase, Terms

TODAY = date(2026, 3, 2)
PRACTICE = ShopPractice()
MAPLE = Material(MaterialKind.LUMBER, "hard maple", "8/4", "FAS")
PLYWOOD = Material(MaterialKind.SHEET, "maple plywood", "3/4")
GLUE = Material(MaterialKind.GLUE, "yellow PVA")
PULL = Material(MaterialKind.HARDWARE, "bar pull", "5")


@dataclass(frozen=True, slots=True)
class Block:
    """A piece that asks nothing: money does not look inside."""

    kind: ClassVar[str] = "block"
    title: ClassVar[str] = "Block"
    belongs_to: ClassVar[tuple[str, ...]] = ("block",)
    links: ClassVar[tuple[Link, ...]] = ()

    def own_problems(self, practice: ShopPractice) -> Iterable[Problem]:
        return ()

    def build(self, practice: ShopPractice, where: str) -> Built:
        return Built()


def a_price(
    id: int = 1,
    material: Material = GLUE,
    holds: str = "16",
    dollars: str = "7.85",
    *,
    supplier: str = "Mill Street Supply",
    days: int = 0,
    whole: bool = True,
    taxed: bool = True,
    on: date = TODAY,
) -> Price:
    package, lead = f"package of {holds}", timedelta(days=days)
    cents = Money.of(Fraction(dollars))
    return Price(id, material, material.title, supplier, package, Fraction(holds), cents, on, lead, whole, taxed)


def needs(material: Material, quantity: str, *piece_ids: int) -> TakeOffLine:
    figure = typed(f"{material.title} needed", Fraction(quantity), material.unit)
    return TakeOffLine(material, figure, figure, tuple(PartRef(id, f"Piece {id}") for id in piece_ids))


def a_step(key: str = "sand", quantity: str = "10", *, operation: str = "sand", crew: int = 1) -> Step:
    amount = typed("So much", Fraction(quantity), OPERATIONS[operation].unit)
    return Step(key, key, TaskKind.OTHER, Stage.BUILD, (Work(operation, amount),), crew=crew)


def a_piece(id: int, *steps: Step, belongs_to: int | None = None, quantity: int = 1) -> BuiltPiece:
    return BuiltPiece(PlacedPiece(id, f"Piece {id}", quantity, Block(), belongs_to), steps)


def a_cut(piece_id: int, material: Material, net: Figure, mark: str = "1") -> CutLine:
    part = Part(mark, "board", 1, Length.of(1), Length.of(1), Length.of(1), material)
    nothing = typed("size", ZERO)
    return CutLine(
        PartRef(piece_id, f"Piece {piece_id}", mark), part, typed("pieces", 1), (nothing, nothing, nothing), net
    )


def a_take_off(*pieces: BuiltPiece, lines: Iterable[TakeOffLine] = (), cuts: Iterable[CutLine] = ()) -> TakeOff:
    return TakeOff(pieces=pieces, lines=tuple(lines), cut_list=tuple(cuts))


def some_terms(**change: object) -> Terms:
    usual: dict[str, object] = {
        "shop_rate": Money.parse("60"),
        "overhead": Fraction(20),
        "overhead_base": OverheadBase.LABOUR_HOURS,
        "profit": Markup(Fraction(1, 4)),
        "where": "job:3:terms",
    }
    return Terms(**(usual | change))  # type: ignore[arg-type]


NO_TIME = OperationTime(Fraction(0), Fraction(0))
TIMES = {
    "sand": OperationTime(Fraction(5), Fraction(1)),
    "glue-up": OperationTime(Fraction(15), Fraction(1), 2),
    **dict.fromkeys(("deliver", "clean-up", "hand-over"), NO_TIME),
}
