"""The take-off of a job as it is reckoned: by factor, or as laid out on boards and sheets."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import date
from fractions import Fraction

from domain.buying.plan import buying_plan, is_bought
from domain.buying.shape import MaterialPlan, OnHand, SizeUsed, Stand
from domain.buying.words import asked_for
from domain.exact import summed
from domain.figure import Figure, Rule, add_up
from domain.material import Material, MaterialKind
from domain.money import Money
from domain.pieces.piece import PlacedPiece
from domain.practice import ShopPractice
from domain.price import Packages, Price
from domain.rack import CUT_FROM, ONE_OF, RackPiece, RackPlace
from domain.take_off import TakeOff, TakeOffLine, WasteChoice, WasteMethod, take_off
from domain.take_off.shape import Chosen, PartRef

YARD = "Yard"
"""Who sells a board when nobody is named."""


def job_take_off(placed: Iterable[PlacedPiece], practice: ShopPractice, waste: WasteChoice, on_hand: OnHand) -> TakeOff:
    """Return what the pieces of a job need, boards and sheets reckoned the way the job says."""
    found = take_off(placed, practice, waste, tuple(on_hand.yields.items()))
    if waste.method is not WasteMethod.LAYOUT:
        return found
    return as_laid_out(found, on_hand, practice)


def as_laid_out(found: TakeOff, on_hand: OnHand, practice: ShopPractice) -> TakeOff:
    """Return the take-off with its boards and sheets as laid out instead of by factor."""
    plan = buying_plan(found, on_hand, practice)
    laid = [line for one in plan.materials for line in bought_lines(one)]
    others = [line for line in found.lines if line.material.kind not in CUT_FROM]
    too_large = {f"material:{one.material.key}" for one in plan.materials}
    kept = tuple(problem for problem in found.problems if problem.field not in too_large)
    return replace(found, lines=(*laid, *others), problems=(*kept, *plan.problems))


def bought_lines(plan: MaterialPlan) -> Iterator[TakeOffLine]:
    """Yield a line for each material bought: sheets of another size are another material."""
    groups: dict[Material, list[SizeUsed]] = {}
    for size in plan.sizes:
        same = plan.material.kind is MaterialKind.LUMBER or size.piece is not None
        groups.setdefault(plan.material if same else size.material, []).append(size)
    for material, sizes in groups.items():
        parts, net = (plan.parts, plan.net) if len(groups) == 1 else _share(plan, sizes)
        bought = [one for one in sizes if is_bought(one)]
        needed = add_up(f"{material.title} to buy", (one.quantity for one in bought), material.unit,
                        "boards and sheets of the layout added up")  # fmt: skip
        chosen = tuple(found for one in sizes if (found := _chosen(one)))
        yield TakeOffLine(material, net, needed, parts, _why(sizes), asked_for(_to_ask(plan, bought)), chosen)


def _share(plan: MaterialPlan, sizes: Iterable[SizeUsed]) -> tuple[tuple[PartRef, ...], Figure]:
    """Return the parts that are cut from these sizes, and their net area [ft²]."""
    keys = {size.source.key for size in sizes}
    places = [place for one in plan.rounds for laid in one.layout.laid if laid.source in keys for place in laid.places]
    marks = {place.blank for place in places}
    area = summed(place.at.area for place in places) / 144
    label = f"{plan.material.title}, net area on these sheets"
    net = Figure(label, area, plan.net.unit, Rule("the parts that lie on them"), (plan.net,))
    return tuple(ref for ref in plan.parts if ref.on_stock in marks), net


def _to_ask(plan: MaterialPlan, bought: Iterable[SizeUsed]) -> Iterator[SizeUsed]:
    """Yield what a supplier is still asked for by its size: not cut yet, and not listed with a price of its own."""
    waiting = [laid.source for one in plan.rounds if one.stand is not Stand.CUT for laid in one.layout.laid]
    for size in bought:
        many = waiting.count(size.source.key)
        if many and not (size.piece and size.piece.price):
            yield replace(size, count=replace(size.count, value=Fraction(many)))


def _why(sizes: Iterable[SizeUsed]) -> str:
    own = [one for one in sizes if not is_bought(one)]
    return f"from the rack: {', '.join(one.piece.mark for one in own if one.piece)}" if own else ""


def _chosen(size: SizeUsed) -> Chosen | None:
    """Return a board or sheet of the rack that has its own price, as what is bought or was."""
    piece = size.piece
    if piece is None or piece.price is None:
        return None
    return Chosen(Packages(price_of(piece, size.quantity), Fraction(1)), piece.place is RackPlace.SHOP)


def price_of(piece: RackPiece, quantity: Figure) -> Price:
    """Return what one piece of the rack costs, as a package of its own. Raises ValueError for one without a price."""
    if piece.price is None:
        raise ValueError(f"{piece.title} has no price")
    package, is_sheet = ONE_OF[piece.material.kind], piece.material.kind is MaterialKind.SHEET
    amount = piece.price if is_sheet else Money.of(piece.price.dollars * quantity.value)
    return Price(
        -piece.id, piece.material, piece.title, piece.supplier or YARD, package, quantity.value,
        amount, date.max,
    )  # fmt: skip
