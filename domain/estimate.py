"""The estimate: take-off × prices + hands × shop rate, up to the total, live and recomputed whenever shown."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from domain.exact import product, summed
from domain.figure import Figure, Rule, Unit, add_up, together, typed
from domain.job_steps import job_steps, named_finishes
from domain.money import Money, total
from domain.operation import OPERATIONS, OperationTime, person_minutes, unsaid
from domain.part import Step, Work
from domain.practice import ShopPractice
from domain.price import Packages, PriceBook
from domain.price_share import PriceShare, by_piece, finish_shares, price_shares
from domain.problem import Problem
from domain.take_off import TakeOff, TakeOffLine
from domain.terms import CostLine, Terms
from domain.totals import NOT_SAID, Totals, totals

NO_TIME = OperationTime()


@dataclass(frozen=True, slots=True)
class MaterialLine:
    """One material of the take-off in the packages bought. extension [$]: each package line to the cent, added."""

    line: TakeOffLine
    packages: tuple[Packages, ...]
    extension: Figure
    is_old: bool = False

    @property
    def taxed(self) -> Money:
        """Return what of it is taxed when materials are."""
        return total(each.extension for each in self.packages if each.price.taxed)


@dataclass(frozen=True, slots=True)
class LabourLine:
    """One operation on one piece, on one finish of several pieces, or of the job as a whole (piece_id None).

    minutes: of all hands together [min]; finish: its name in named_finishes(), empty for none.
    """

    piece_id: int | None
    operation: str
    minutes: Figure
    extension: Figure
    finish: str = ""


@dataclass(frozen=True, slots=True)
class Estimate:
    """What a job costs and what it sells for, on a day.

    shares: the price before tax by top-level piece and by cost that the client reads; they add up to it.
    problems: what keeps the total from being the whole price, fields are addresses; old: prices to check again.
    """

    on: date
    take_off: TakeOff
    materials: tuple[MaterialLine, ...]
    labour: tuple[LabourLine, ...]
    costs: tuple[CostLine, ...]
    totals: Totals
    shares: tuple[PriceShare, ...]
    problems: tuple[Problem, ...] = ()
    old: tuple[Packages, ...] = ()

    @property
    def price(self) -> Figure:
        return self.totals.price

    @property
    def total(self) -> Figure:
        return self.totals.total


def estimate(
    take_off: TakeOff,
    prices: PriceBook,
    times: Mapping[str, OperationTime],
    terms: Terms,
    costs: Sequence[CostLine],
    practice: ShopPractice,
    on: date,
) -> Estimate:
    """Return the estimate of a job: its pieces' steps and the job's own, from job_steps().

    A material without a price, an operation without a time and a rate nobody has said are left out and named.
    """
    work = tuple(_work(take_off, practice))
    materials = tuple(_material_lines(take_off.lines, prices, practice, on))
    labour = tuple(_labour_lines(work, times, terms))
    added = _totals(materials, labour, costs, terms)
    return Estimate(
        on=on,
        take_off=take_off,
        materials=materials,
        labour=labour,
        costs=tuple(costs),
        totals=added,
        shares=price_shares(take_off, _piece_costs(materials, labour, take_off), costs, terms, added.price),
        problems=(*take_off.problems, *_unpriced(take_off, prices), *_untimed(work, times), *terms.missing),
        old=tuple(p for line in materials for p in line.packages if p.price.is_old(on, practice)),
    )


Whose = tuple[int | None, str]
"""What a step is for: a piece, or a finish by its name, or (None, "") the job as a whole."""


def _work(take_off: TakeOff, practice: ShopPractice) -> Iterator[tuple[Whose, Step]]:
    for built in take_off.pieces:
        yield from (((built.placed.id, ""), step) for step in built.steps)
    finishes = named_finishes(take_off)
    for step in job_steps(take_off, practice):
        name = step.key.partition(".")[0]
        yield (None, name if name in finishes else ""), step


def _material_lines(
    lines: Iterable[TakeOffLine], prices: PriceBook, practice: ShopPractice, on: date
) -> Iterator[MaterialLine]:
    for line in lines:
        if unpriced(line, prices):
            continue
        packages = paid_for(line, prices)
        extension = add_up(line.material.title, [each.figure(line.needed) for each in packages], Unit.DOLLAR)
        yield MaterialLine(line, packages, extension, any(p.price.is_old(on, practice) for p in packages))


def _labour_lines(
    work: Iterable[tuple[Whose, Step]], times: Mapping[str, OperationTime], terms: Terms
) -> Iterator[LabourLine]:
    """Yield each operation of each piece once; a step of it is a task, set up once, with its own crew."""
    found: dict[tuple[Whose, str], list[Figure]] = {}
    for whose, step in work:
        for operation, alike in _by_operation(step.work).items():
            if times.get(operation, NO_TIME).is_said:
                minutes = person_minutes(alike, times, step.crew)
                found.setdefault((whose, operation), []).append(minutes)
    for ((piece_id, finish), operation), parts in found.items():
        name = OPERATIONS[operation].name
        minutes = together(name, parts, Unit.MINUTE)
        yield LabourLine(piece_id, operation, minutes, _pay(name, minutes, terms), finish)


def _by_operation(work: Iterable[Work]) -> dict[str, list[Work]]:
    found: dict[str, list[Work]] = {}
    for one in work:
        found.setdefault(one.operation, []).append(one)
    return found


def _pay(name: str, minutes: Figure, terms: Terms) -> Figure:
    where = f"{terms.where}:shop_rate"
    if terms.shop_rate is None:
        return Figure(name, Fraction(0), Unit.DOLLAR, Rule(NOT_SAID, where=where))
    rate = typed("Shop rate", terms.shop_rate.dollars, Unit.DOLLAR_PER_HOUR, where=where)
    amount = Money.of(product(minutes.value, rate.value, over=60))
    return Figure(name, amount.dollars, Unit.DOLLAR, Rule("minutes ÷ 60 × shop rate, to the cent"), (minutes, rate))


def _totals(
    materials: Sequence[MaterialLine], labour: Sequence[LabourLine], costs: Sequence[CostLine], terms: Terms
) -> Totals:
    material = add_up("Materials", [line.extension for line in materials], Unit.DOLLAR)
    taxed = total(line.taxed for line in materials)
    untaxed = f"materials less {(material.money - taxed).plain()} that is not taxed"
    taxed_material = material
    if taxed != material.money:
        taxed_material = Figure("Taxed materials", taxed.dollars, Unit.DOLLAR, Rule(untaxed), (material,))
    minutes = add_up("All hands", [line.minutes for line in labour], Unit.MINUTE)
    hours = Figure("Labour hours", minutes.value / 60, Unit.HOUR, Rule("minutes ÷ 60"), (minutes,))
    pay = add_up("Labour", [line.extension for line in labour], Unit.DOLLAR)
    return totals(material, taxed_material, hours, pay, costs, terms)


def _piece_costs(
    materials: Sequence[MaterialLine], labour: Iterable[LabourLine], take_off: TakeOff
) -> Mapping[int, Fraction]:
    """Return each piece's own materials and labour [$], exact."""
    costs: dict[int, list[Fraction]] = {built.placed.id: [] for built in take_off.pieces}
    lines = [material.line for material in materials]
    for material, shares in zip(materials, by_piece(lines, take_off), strict=True):
        for piece_id, share in shares.items():
            costs[piece_id].append(material.extension.value * share)
    coated = finish_shares(take_off)
    for line in labour:
        if line.piece_id is not None:
            costs[line.piece_id].append(line.extension.value)
        for piece_id, share in coated.get(line.finish, {}).items():
            costs[piece_id].append(line.extension.value * share)
    return {piece_id: summed(parts) for piece_id, parts in costs.items()}


def unpriced(line: TakeOffLine, prices: PriceBook) -> Problem | None:
    """Return the problem of a material without a price; one that nothing is bought of at the book's needs none."""
    return prices.missing(line.material) if line.by_the_book else None


def paid_for(line: TakeOffLine, prices: PriceBook) -> tuple[Packages, ...]:
    """Return what of a material is paid for: boards and sheets at their own prices, the rest by the price book.

    Raises KeyError for one without a price: ask unpriced() first.
    """
    by_the_book = prices.cover(line.material, line.by_the_book) if line.by_the_book else ()
    return (*(one.packages for one in line.chosen), *by_the_book)


def _unpriced(take_off: TakeOff, prices: PriceBook) -> Iterator[Problem]:
    for line in take_off.lines:
        if problem := unpriced(line, prices):
            yield problem


def _untimed(work: Iterable[tuple[Whose, Step]], times: Mapping[str, OperationTime]) -> Iterator[Problem]:
    for key in unsaid([one for _, step in work for one in step.work], times):
        words = f"No time yet for “{OPERATIONS[key].name}”. Say its minutes; 0 if it takes none."
        yield Problem(f"operation:{key}", words)
