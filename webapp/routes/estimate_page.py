"""The price page: what it shows, and what a change anywhere on it sends back."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from fastapi import Request, Response
from sqlmodel import Session

from domain.estimate import Estimate, unpriced
from domain.figure import Figure
from domain.job import Job
from domain.labour import LabourSum, by_operation, by_piece
from domain.money import Money, total
from domain.operation import OPERATIONS, Operation
from domain.price import Price, PriceBook
from domain.problem import Problem
from domain.take_off import TakeOffLine
from domain.terms import DEPOSIT_CAUTION, Terms, otherwise_said
from domain.words import counted
from webapp import desk, links
from webapp.conflict import conflict, differences
from webapp.desk import reading, see_other
from webapp.forms import cost as cost_forms
from webapp.forms import estimate as forms
from webapp.forms import operation as operation_forms
from webapp.forms import terms as terms_forms
from webapp.render import fragments, page
from webapp.store import price as price_store
from webapp.store import shop as shop_store
from webapp.store.estimate import Facts, load_facts
from webapp.store.job import load_job
from webapp.store.rows import ChangedMeanwhile
from webapp.store.terms import has_own_terms
from webapp.working import PAGES

UNSAID = "operation:"
"""How the field of a problem begins that an operation without a time has; its key follows."""


@dataclass(frozen=True)
class Offer:
    """A price of a material. buy: how many packages of it the job buys; unbought: why it buys none."""

    price: Price
    buy: Figure | None
    unbought: str
    is_old: bool

    @property
    def slot(self) -> str:
        return forms.price_name(self.price.id)


@dataclass(frozen=True)
class Listed:
    """A board or sheet of the rack with a price of its own. place: in the row's extension."""

    place: int
    title: str
    href: str
    in_shop: bool


@dataclass(frozen=True)
class MaterialRow:
    """A material with a price, and every package it could be bought in. place: in the page's materials;
    listed: boards and sheets counted here by a price of their own.
    """

    place: int
    line: TakeOffLine
    extension: Figure
    offers: tuple[Offer, ...]
    listed: tuple[Listed, ...]


@dataclass(frozen=True)
class OperationRow:
    """An operation the job needs, with its time. place: in the page's operations."""

    place: int
    operation: Operation
    labour: LabourSum

    @property
    def slot(self) -> str:
        return operation_slot(self.operation.key)


@dataclass(frozen=True)
class Hindrance:
    """What keeps the total from being the whole price, and where to put it right."""

    words: str
    href: str


@dataclass(frozen=True)
class EstimatePage:
    """missing: materials without a price; unsaid: operations without a time; others: costs by their place;
    shown: what every field of the page holds, by its name; versions: of the rows behind the forms, by slot.
    """

    job: Job
    estimate: Estimate
    terms: Terms
    has_own_terms: bool
    materials: tuple[MaterialRow, ...]
    missing: tuple[TakeOffLine, ...]
    operations: tuple[OperationRow, ...]
    unsaid: tuple[Operation, ...]
    by_piece: tuple[LabourSum, ...]
    hindrances: tuple[Hindrance, ...]
    shown: Mapping[str, str]
    versions: Mapping[str, int]

    @property
    def is_empty(self) -> bool:
        """Whether there is nothing to price yet."""
        return not (self.estimate.take_off.pieces or self.estimate.take_off.problems or self.estimate.costs)

    @property
    def working(self) -> str:
        return f"/jobs/{self.job.id}/working/price"

    @property
    def profit_by_its_other_name(self) -> str:
        return otherwise_said(self.terms.profit)

    @property
    def deposit_caution(self) -> str:
        return DEPOSIT_CAUTION if self.terms.deposit else ""

    @property
    def shares_together(self) -> Money:
        return total(share.amount for share in self.estimate.shares)


def operation_slot(key: str) -> str:
    return f"operation-{key}"


def cost_slot(cost_id: int) -> str:
    return f"cost-{cost_id}"


def estimate_page(db: Session, job_id: int, now: datetime) -> EstimatePage:
    """Return the price page of a job. Raises Missing."""
    job, facts = load_job(db, job_id), load_facts(db, job_id, now)
    estimate = facts.estimate()
    unsaid = [OPERATIONS[problem.field.removeprefix(UNSAID)] for problem in _unsaid(estimate)]
    labour = enumerate(by_operation(estimate.labour))
    operations = [OperationRow(place, OPERATIONS[each.key], each) for place, each in labour]
    materials = tuple(_materials(estimate, facts))
    missing = tuple(line for line in estimate.take_off.lines if unpriced(line, facts.prices))
    return EstimatePage(
        job=job,
        estimate=estimate,
        terms=facts.terms,
        has_own_terms=has_own_terms(db, job_id),
        materials=materials,
        missing=missing,
        operations=tuple(operations),
        unsaid=tuple(unsaid),
        by_piece=by_piece(estimate.labour, estimate.take_off),
        hindrances=hindrances(estimate, facts.prices),
        shown=_shown(facts, materials, missing, [*(row.operation for row in operations), *unsaid]),
        versions=_versions(facts, materials, operations, shop_store.load_operation_versions(db)),
    )


PAGES["price"] = estimate_page


def _unsaid(estimate: Estimate) -> list[Problem]:
    """Return the problems of operations that nobody has said a time for."""
    return [problem for problem in estimate.problems if problem.field.startswith(UNSAID)]


def _materials(estimate: Estimate, facts: Facts) -> Iterator[MaterialRow]:
    for place, line in enumerate(estimate.materials):
        bought = {each.price.id: each.figure(line.line.needed).came_from[0] for each in line.packages}
        at_yard = any(not one.in_shop for one in line.line.chosen)
        unbought = "dearer here" if line.line.by_the_book else "those above do" if at_yard else "the rack has it"
        offers = (
            Offer(price, bought.get(price.id), unbought, price.is_old(facts.on, facts.practice))
            for price in facts.prices.of(line.line.material)
        )
        listed = (
            Listed(at, one.packages.price.description, links.link(one.packages.price.where), one.in_shop)
            for at, one in enumerate(line.line.chosen)
        )
        yield MaterialRow(place, line.line, line.extension, tuple(offers), tuple(listed))


def hindrances(estimate: Estimate, prices: PriceBook, at: str = "") -> tuple[Hindrance, ...]:
    """Return what keeps the total from being the whole price, alike things counted. at: the price page, if not here."""
    missing = [problem for line in estimate.take_off.lines if (problem := unpriced(line, prices))]
    unsaid = _unsaid(estimate)
    found = []
    if missing:
        found.append((f"{counted(len(missing), 'material has', 'materials have')} no price yet.", f"{at}#missing"))
    if unsaid:
        found.append((f"{counted(len(unsaid), 'operation has', 'operations have')} no time yet.", f"{at}#unsaid"))
    for problem in estimate.problems:
        if problem not in missing and problem not in unsaid:
            found.append((problem.words, links.link(problem.field) or f"{at}#{problem.field}"))
    return tuple(Hindrance(words, href) for words, href in found)


def _shown(
    facts: Facts, materials: Sequence[MaterialRow], missing: Sequence[TakeOffLine], operations: Sequence[Operation]
) -> Mapping[str, str]:
    shown = forms.fill_missing([line.material for line in missing])
    shown |= terms_forms.fill(facts.terms) | cost_forms.named(cost_forms.BLANK, 0)
    for cost in facts.costs:
        shown |= cost_forms.named(cost_forms.fill(cost), cost.id)
    for row in materials:
        shown |= {offer.slot: offer.price.package_price.plain() for offer in row.offers}
    for operation in operations:
        shown |= operation_forms.fill(operation, facts.times.get(operation.key))
    return shown


def _versions(
    facts: Facts, materials: Sequence[MaterialRow], operations: Sequence[OperationRow], said: Mapping[str, int]
) -> Mapping[str, int]:
    versions = {offer.slot: offer.price.version for row in materials for offer in row.offers}
    versions |= {cost_slot(cost.id): cost.version for cost in facts.costs}
    versions |= {row.slot: said.get(row.operation.key, 0) for row in operations}
    return versions | {"terms": facts.terms.version}


def show(
    request: Request, job_id: int, *, typed: Mapping[str, str] | None = None, problems: Sequence[Problem] = ()
) -> Response:
    """Return the whole page; with problems as status 422, what was typed still in its fields."""
    with reading(request) as db:
        shown = estimate_page(db, job_id, desk.now(request))
        suppliers = price_store.load_suppliers(db)
    return page(
        request, "estimate", status=422 if problems else 200, job=shown.job, page=shown, problems=problems,
        typed={**shown.shown, **(typed or {})}, suppliers=suppliers, ask=forms, cost_ask=cost_forms,
        terms_ask=terms_forms, clash=None,
    )  # fmt: skip


def refused(
    request: Request, job_id: int, slot: str, typed: Mapping[str, str], problems: Sequence[Problem]
) -> Response:
    """Return status 422: the words beside the form for htmx, else the page with what was typed.

    slot: which form of the page, as the ids of its problems and its hidden state start.
    """
    if desk.is_htmx(request):
        return fragments(request, "estimate", "problems", status=422, slot=slot, found=problems, clash=None)
    return show(request, job_id, typed=typed, problems=problems)


def saved(request: Request, job_id: int, slot: str, url: str) -> Response:
    """Return all that is reckoned on the page, beside its inputs, for htmx; else lead back to the page."""
    if not desk.is_htmx(request):
        return see_other(request, url)
    with reading(request) as db:
        shown = estimate_page(db, job_id, desk.now(request))
    return fragments(
        request, "estimate", "state", "problems", *_reckoned(shown), job=shown.job, page=shown, slot=slot,
        version=shown.versions.get(slot, 0), found=(), clash=None,
    )  # fmt: skip


def _reckoned(shown: EstimatePage) -> Iterator[str | tuple[str, Mapping[str, Any]]]:
    """Yield the fragments that a change anywhere on the page may change."""
    yield from ("totals", "standing", "shares", "by_piece", "whose_terms")
    for row in shown.materials:
        yield "needed", {"row": row}
        yield "material_amount", {"row": row}
        for place, offer in enumerate(row.offers):
            yield "offer", {"row": row, "offer": offer, "place": place}
    for operation in shown.operations:
        yield "operation_minutes", {"row": operation}
        yield "operation_amount", {"row": operation}


def clashed(
    request: Request, job_id: int, slot: str, changed: ChangedMeanwhile, *, labels: Mapping[str, str],
    stored: Mapping[str, str], theirs: str,
) -> Response:  # fmt: skip
    """Return status 409 with what was typed beside what is stored: by the form for htmx, else as a page."""
    if not desk.is_htmx(request):
        return conflict(request, changed, labels=labels, stored=stored, theirs=theirs)
    clash = {
        "version": changed.version,
        "differences": differences(request.state.posted, labels, stored),
        "theirs": f"/jobs/{job_id}/price",
    }
    return fragments(request, "estimate", "problems", status=409, slot=slot, found=(), clash=clash)
