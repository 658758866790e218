"""The quote: an estimate frozen into the words and cents the client reads, and what the client answered."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction

from domain.estimate import Estimate
from domain.job import Job
from domain.money import Money, split, total
from domain.option import Option, usual_words
from domain.piece_words import piece_words
from domain.pieces.piece import PlacedPiece
from domain.price_share import PriceShare
from domain.problem import Problem
from domain.shop import Shop
from domain.terms import PaymentStage, Terms


@dataclass(frozen=True, slots=True)
class Party:
    """Who the quote is from or for, as printed."""

    name: str
    address: str = ""
    phone: str = ""
    email: str = ""
    licence: str = ""


@dataclass(frozen=True, slots=True)
class QuoteLine:
    """One line as the client reads it; piece_id: the piece it is for, None for a cost of its own."""

    title: str
    words: str
    amount: Money
    piece_id: int | None = None


@dataclass(frozen=True, slots=True)
class QuotedOption:
    """The whole job with one change. total: tax included; difference: against the quote's total."""

    name: str
    words: str
    total: Money
    difference: Money


@dataclass(frozen=True, slots=True)
class Payment:
    name: str
    share: Fraction
    amount: Money
    before_start: bool = False


@dataclass(frozen=True, slots=True)
class QuoteWords:
    """What the maker writes on a quote beside the lines, one paragraph each."""

    included: tuple[str, ...] = ()
    not_included: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    licensed: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()


USUAL_WORDS = QuoteWords(
    included=(
        "Materials, making, finishing, delivery and installation of the pieces listed.",
        "One visit to measure before anything is cut.",
    ),
    not_included=(
        "Repairs to walls, floors and ceilings, and painting of them.",
        "Anything hidden that is found once work starts; it is priced in writing before it is done.",
    ),
    cautions=(
        "Wood takes up and gives off moisture and moves with the seasons. Keep the room heated and aired as you "
        "would to live in it; fine gaps that open in winter and close in summer are no fault.",
        "A finish goes on hardening after it feels dry. Keep water, heat and food off it until the date we give.",
        "A home built before 1978 may have lead paint. Tell us before we cut, drill or sand anything painted.",
    ),
    licensed=(
        "Water, gas and electrical connections are made by licensed trades under your local code. "
        "We cut openings to their templates and connect nothing.",
    ),
)
"""Source: common practice, no source; lead paint: 40 CFR 745, from memory. For the shop to change."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FrozenQuote:
    """A quote as promised: copied text and cents that no later price can reach.

    price: before tax; taxed: the amount that the tax is a share of;
    replaces: the number of the quote this one revises, empty for none.
    Raises ValueError when the lines, tax, payments or options do not add up to what is printed.
    """

    number: str
    job_name: str
    site: str
    client: Party
    shop: Party
    issued_on: date
    valid_until: date
    lines: tuple[QuoteLine, ...]
    price: Money
    tax: Money
    tax_share: Fraction
    taxed: Money
    total: Money
    payments: tuple[Payment, ...]
    options: tuple[QuotedOption, ...] = ()
    words: QuoteWords = QuoteWords()
    promised_on: date | None = None
    replaces: str = ""
    invented: bool = False

    def __post_init__(self) -> None:
        if faults := self._faults():
            raise ValueError(f"quote {self.number} does not foot: {'; '.join(faults)}")

    def _faults(self) -> list[str]:
        lines, paid = total(line.amount for line in self.lines), total(each.amount for each in self.payments)
        faults = [] if lines == self.price else [f"lines {lines.plain()}, price {self.price.plain()}"]
        if self.price + self.tax != self.total:
            faults.append(f"price and tax {(self.price + self.tax).plain()}, total {self.total.plain()}")
        if paid != self.total:
            faults.append(f"payments {paid.plain()}, total {self.total.plain()}")
        faults += [f"option {option.name}" for option in self.options if option.total - self.total != option.difference]
        if self.valid_until < self.issued_on:
            faults.append(f"valid until {self.valid_until}, issued on {self.issued_on}")
        return faults


def payments(amount: Money, stages: Sequence[PaymentStage]) -> tuple[Payment, ...]:
    """Return the payment stages with amounts that add back up to the amount."""
    parts = split(amount, [stage.share for stage in stages])
    return tuple(
        Payment(stage.name, stage.share, part, stage.before_start) for stage, part in zip(stages, parts, strict=True)
    )


def freeze_problems(estimate: Estimate, options: Iterable[tuple[Option, Estimate]]) -> tuple[Problem, ...]:
    """Return what must be put right before an estimate can be promised."""
    problems = list(estimate.problems)
    if not estimate.shares:
        problems.append(Problem("", "There is nothing to quote yet. Add a piece or a cost that the client reads."))
    for option, priced in options:
        problems += [Problem(each.field, f"Option “{option.name}”: {each.words}") for each in priced.problems]
    return tuple(problems)


def freeze(
    estimate: Estimate,
    options: Sequence[tuple[Option, Estimate]],
    terms: Terms,
    job: Job,
    shop: Shop,
    *,
    on: date,
    number: str,
    words: QuoteWords = USUAL_WORDS,
    replaces: str = "",
) -> FrozenQuote:
    """Return the quote of an estimate, as the client reads it; options: each with the whole job's estimate.

    Raises ValueError for what freeze_problems() finds fault with.
    """
    if problems := freeze_problems(estimate, options):
        raise ValueError("; ".join(problem.words for problem in problems))
    amount, client = estimate.total.money, job.client
    placed = [built.placed for built in estimate.take_off.pieces]
    return FrozenQuote(
        number=number,
        job_name=job.name,
        site=job.site,
        client=Party(client.name, client.address, client.phone, client.email),
        shop=Party(shop.name, shop.address, shop.phone, shop.email, shop.licence),
        issued_on=on,
        valid_until=on + timedelta(days=terms.validity_days),
        lines=tuple(_line(share, estimate, shop) for share in estimate.shares),
        price=estimate.price.money,
        tax=estimate.totals.tax.money,
        tax_share=terms.tax,
        taxed=estimate.totals.taxed.money,
        total=amount,
        payments=payments(amount, terms.stages),
        options=tuple(_option(option, placed, priced.total.money, amount) for option, priced in options),
        words=words,
        promised_on=job.promised_on,
        replaces=replaces,
        invented=job.invented,
    )


def _line(share: PriceShare, estimate: Estimate, shop: Shop) -> QuoteLine:
    words = "" if share.piece_id is None else piece_words(share.piece_id, estimate.take_off, shop)
    return QuoteLine(share.title, words, share.amount, share.piece_id)


def _option(option: Option, placed: Sequence[PlacedPiece], amount: Money, base: Money) -> QuotedOption:
    return QuotedOption(option.name, usual_words(option, placed), amount, amount - base)
