"""The buying plan of a job, material by material, with its figures."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from fractions import Fraction

from domain.buying.asked import Asked, rounds_of
from domain.buying.shape import BuyingPlan, MaterialPlan, OnHand, SizeUsed, Stand
from domain.buying.sources import Stock
from domain.buying.words import bound_words, left_aside_words, unplaced_problem
from domain.exact import product
from domain.figure import Figure, Rule, Unit, add_up
from domain.layout.shape import Source
from domain.material import Material, MaterialKind
from domain.practice import ShopPractice
from domain.problem import Problem
from domain.rack import CUT_FROM, RackPlace
from domain.take_off.shape import CutLine, TakeOff


def buying_plan(take_off: TakeOff, on_hand: OnHand, practice: ShopPractice) -> BuyingPlan:
    """Return how the parts of a job are cut and what has to be bought for them.

    take_off: reckoned by factor, whose lines are what each layout is compared with.
    """
    plans = tuple(_plans(take_off, on_hand, practice))
    return BuyingPlan(plans, tuple(problem for plan in plans for problem in plan.problems))


def _plans(take_off: TakeOff, on_hand: OnHand, practice: ShopPractice) -> Iterator[MaterialPlan]:
    factor = {line.material: line.needed for line in take_off.lines}
    groups: dict[Material, list[CutLine]] = {}
    for line in take_off.cut_list:
        groups.setdefault(line.part.material, []).append(line)
    for material, lines in groups.items():
        if material.kind in CUT_FROM:
            yield _plan(material, lines, on_hand, practice, factor.get(material))


def _plan(
    material: Material, lines: Sequence[CutLine], on_hand: OnHand, practice: ShopPractice, by_factor: Figure | None
) -> MaterialPlan:
    asked = rounds_of(material, lines, on_hand, practice)
    sizes = tuple(_sizes(asked, f"job:{on_hand.job_id}:layout"))
    net = add_up(f"{material.title}, net", (line.net for line in lines), _net_unit(material))
    used = _sum(f"{material.title} cut up", sizes, material)
    bought = [one for one in sizes if is_bought(one)]
    to_buy = _sum(f"{material.title} to buy", bought, material, "none: all that is cut lies in the shop")
    return MaterialPlan(
        material=material,
        parts=tuple(line.ref for line in lines),
        rounds=asked.rounds,
        sizes=sizes,
        net=net,
        used=used,
        to_buy=to_buy,
        got=_got(_laid_net(material, lines, _unplaced(asked)), sizes, material),
        by_factor=by_factor,
        bound=bound_words(asked.rounds, material),
        note=left_aside_words(asked.left_aside, material),
        problems=tuple(_problems(material, lines, asked)),
    )


def is_bought(size: SizeUsed) -> bool:
    """Whether it comes from outside the shop: a size for sale, or a board seen at the yard."""
    return size.piece is None or size.piece.place is RackPlace.YARD


def _sizes(asked: Asked, where: str) -> Iterator[SizeUsed]:
    """Yield what all rounds use of each source, in the order they are taken up. where: the address of the layout."""
    many: dict[str, int] = {}
    sources: dict[str, Source] = {}
    for one in asked.rounds:
        for source, count in one.layout.used():
            many[source.key] = many.get(source.key, 0) + count
            sources[source.key] = source
    for key, count in many.items():
        if stock := asked.stocks.get(key):
            yield _size(sources[key], count, stock, where)


def _size(source: Source, count: int, stock: Stock, where: str) -> SizeUsed:
    rule = Rule("counted in the layout", "the layout of these parts", where)
    how_many = Figure(f"{stock.title}, how many", Fraction(count), Unit.EACH, rule)
    value = product(count, stock.quantity.value)
    quantity = Figure(stock.title, value, stock.quantity.unit, Rule("how many × one of it"), (how_many, stock.quantity))
    whole = stock.quantity if count == 1 else quantity
    return SizeUsed(source, stock.title, stock.material, stock.width, stock.length, how_many, whole, stock.piece)


def _sum(label: str, sizes: Sequence[SizeUsed], material: Material, none: str = "none is cut") -> Figure:
    words = "boards and sheets of the layout added up" if sizes else none
    return add_up(label, (one.quantity for one in sizes), material.unit, words)


def _net_unit(material: Material) -> Unit:
    return Unit.SQUARE_FOOT if material.kind is MaterialKind.SHEET else Unit.BOARD_FOOT


def _unplaced(asked: Asked) -> Mapping[str, int]:
    """Return how many of each blank the last round could not place."""
    last = next((one.layout for one in reversed(asked.rounds) if one.stand is not Stand.CUT), None)
    return last.unplaced if last else {}


def _laid_net(material: Material, lines: Iterable[CutLine], unplaced: Mapping[str, int]) -> Figure:
    """Return what the parts that found their place hold."""
    laid = (_less(line, unplaced.get(line.ref.on_stock, 0)) for line in lines)
    return add_up(f"{material.title}, net", laid, _net_unit(material))


def _less(line: CutLine, left: int) -> Figure:
    if not left:
        return line.net
    value = line.net.value * (line.pieces.value - left) / line.pieces.value
    return Figure(line.net.label, value, line.net.unit, Rule("the share of them that found a place"), (line.net,))


def _got(net: Figure, sizes: Sequence[SizeUsed], material: Material) -> Figure | None:
    """Return the share of what is cut up that becomes parts; None when nothing is."""
    whole = add_up("Cut up", (_as_net(one, material) for one in sizes), net.unit)
    if not whole.value:
        return None
    return Figure("Yield", net.value / whole.value, Unit.SHARE, Rule("net ÷ cut up"), (net, whole))


def _as_net(size: SizeUsed, material: Material) -> Figure:
    if material.kind is MaterialKind.LUMBER:
        return size.quantity
    value = product(int(size.count.value), size.width.inches, size.length.inches, over=144)
    return Figure(size.title, value, Unit.SQUARE_FOOT, Rule("how many × width × length ÷ 144"), (size.count,))


def _problems(material: Material, lines: Sequence[CutLine], asked: Asked) -> Iterator[Problem]:
    """Yield the parts that the last round could not place."""
    last = next((one.layout for one in reversed(asked.rounds) if one.stand is not Stand.CUT), None)
    if last is None or not last.unplaced:
        return
    by_mark = {line.ref.on_stock: line for line in lines}
    for blank in last.to_cut.blanks:
        if blank.key in last.unplaced:
            line = by_mark[blank.key]
            name = f"{line.ref.piece}: {line.part.name.lower()} {blank.name}"
            yield unplaced_problem(material, blank, name, f"piece:{line.ref.piece_id}:length")
