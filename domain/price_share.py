"""How the price of a job is shared by its pieces, so that a quote can price each and still add up."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from domain.exact import summed
from domain.figure import Figure, Rule, Unit, typed
from domain.job_steps import named_finishes
from domain.material import MaterialKind
from domain.money import NOTHING, Money, split, total
from domain.take_off import BuiltPiece, FinishArea, TakeOff, TakeOffLine
from domain.terms import CostLine, Terms
from domain.totals import charged


@dataclass(frozen=True, slots=True)
class PriceShare:
    """What the client pays, before tax, for a top-level piece with all that belongs to it, or for one cost."""

    title: str
    figure: Figure
    piece_id: int | None = None
    cost_id: int | None = None

    @property
    def amount(self) -> Money:
        return self.figure.money


def top_pieces(take_off: TakeOff) -> Mapping[int, int]:
    """Return for every piece the one it belongs to in the end, itself if to none that is there."""
    owners = {built.placed.id: built.placed.belongs_to for built in take_off.pieces}
    return {piece_id: _top(piece_id, owners) for piece_id in owners}


def _top(piece_id: int, owners: Mapping[int, int | None]) -> int:
    seen = {piece_id}
    while (owner := owners[piece_id]) in owners and owner not in seen:
        assert owner is not None
        seen.add(owner)
        piece_id = owner
    return piece_id


def by_piece(lines: Iterable[TakeOffLine], take_off: TakeOff) -> Iterator[Mapping[int, Fraction]]:
    """Yield for each material the share of it that each piece uses; the shares add up to 1.

    Boards and sheets by net quantity, finish by area; the rest by how many of the pieces there are.
    """
    built = {each.placed.id: each for each in take_off.pieces}
    nets = {cut.ref: cut.net.value for cut in take_off.cut_list}
    for line in lines:
        weights: dict[int, list[Fraction]] = {}
        for ref in dict.fromkeys(line.parts):
            if ref.piece_id in built:
                weight = nets.get(ref) or _weight(line, built[ref.piece_id], take_off.finishes)
                weights.setdefault(ref.piece_id, []).append(weight)
        yield _shares({piece_id: summed(parts) for piece_id, parts in weights.items()})


def finish_shares(take_off: TakeOff) -> Mapping[str, Mapping[int, Fraction]]:
    """Return the share of each named finish that each piece gets, by area; the shares of one add up to 1."""
    return {name: _shares(finish.by_piece) for name, finish in named_finishes(take_off).items()}


def _shares(weights: Mapping[int, Fraction]) -> Mapping[int, Fraction]:
    together = summed(weights.values())
    return {piece_id: weight / together for piece_id, weight in weights.items()} if together else {}


def _weight(line: TakeOffLine, built: BuiltPiece, finishes: Sequence[FinishArea]) -> Fraction:
    if line.material.kind is MaterialKind.FINISH:
        alike = [one for one in finishes if line.material.name in (one.choice.family, one.choice.colour)]
        return summed(one.by_piece.get(built.placed.id, Fraction(0)) for one in alike)
    return Fraction(built.placed.quantity)


def price_shares(
    take_off: TakeOff, piece_costs: Mapping[int, Fraction], costs: Sequence[CostLine], terms: Terms, price: Figure
) -> tuple[PriceShare, ...]:
    """Return the price before tax by top-level piece and by cost with a line of its own; they add up to it.

    Such a cost shows what it adds to the price; pieces share the rest by their own materials and labour [$],
    so what belongs to no piece, overhead, contingency, profit and rounding are spread over them.
    piece_costs: by the piece's id.
    """
    tops = top_pieces(take_off)
    weights = {top: Fraction(0) for top in tops.values()}
    for piece_id, cost in piece_costs.items():
        weights[tops[piece_id]] += cost
    own = [cost for cost in costs if cost.is_own_line or not weights]
    amounts = [charged(cost, terms.profit) for cost in own]
    rest = price.money - total(amounts)
    if not weights or rest < NOTHING:
        shared = _split(price.money, [*weights.values(), *(amount.dollars for amount in amounts)])
    else:
        shared = (*_split(rest, list(weights.values())), *amounts)
    names = {built.placed.id: built.placed.name for built in take_off.pieces}
    pieces = [
        PriceShare(names[top], _figure(names[top], amount, weight, price), piece_id=top)
        for (top, weight), amount in zip(weights.items(), shared, strict=False)
    ]
    added = [
        PriceShare(cost.description, _own_figure(cost, amount), cost_id=cost.id)
        for cost, amount in zip(own, shared[len(weights) :], strict=True)
    ]
    return (*pieces, *added)


def _split(amount: Money, weights: Sequence[Fraction]) -> tuple[Money, ...]:
    """Return the amount split by weights; alike when they are all nothing."""
    together = sum(weights, Fraction(0))
    if not weights:
        return ()
    return split(amount, [weight / together if together else Fraction(1, len(weights)) for weight in weights])


def _figure(title: str, amount: Money, weight: Fraction, price: Figure) -> Figure:
    rule = Rule("with the pieces that belong to it")
    own = Figure("Its own materials and labour", Money.of(weight).dollars, Unit.DOLLAR, rule)
    rule = Rule("price before tax, less lines of their own, shared by each piece's own materials and labour")
    return Figure(title, amount.dollars, Unit.DOLLAR, rule, (own, price))


def _own_figure(cost: CostLine, amount: Money) -> Figure:
    typed_amount = typed(cost.description, cost.amount, where=cost.where)
    words = "with the profit on it" if amount != cost.amount else "as it costs"
    return Figure(cost.description, amount.dollars, Unit.DOLLAR, Rule(words), (typed_amount,))
