"""What the pages of a job's quotes show, and what a quote is frozen from."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from sqlmodel import Session

from domain.answer import QuoteState, agreed_payments, agreed_total, revise_problems
from domain.estimate import Estimate
from domain.job import Job
from domain.money import Money
from domain.option import Option
from domain.piece_words import piece_words
from domain.price_share import PriceShare
from domain.problem import Problem
from domain.quote import USUAL_WORDS, FrozenQuote, Payment, QuoteWords, freeze, freeze_problems
from domain.shop import Shop
from domain.terms import Terms
from webapp.forms.quote import Freezing
from webapp.store import quote as store
from webapp.store.estimate import Facts, load_facts
from webapp.store.job import load_job
from webapp.store.option import load_options
from webapp.store.quote import StoredQuote
from webapp.store.rows import Missing
from webapp.store.shop import load_shop


@dataclass(frozen=True)
class ShownQuote:
    """A quote and where it stands today. answered_on: day of the answer that counts; replaced_by: what revises it."""

    stored: StoredQuote
    state: QuoteState
    answered_on: date | None = None
    replaced_by: StoredQuote | None = None

    @property
    def quote(self) -> FrozenQuote:
        return self.stored.quote

    @property
    def agreed_option(self) -> str:
        return self.stored.answer.option if self.stored.answer else ""

    @property
    def agreed_total(self) -> Money:
        return agreed_total(self.quote, self.agreed_option)

    @property
    def agreed_payments(self) -> tuple[Payment, ...]:
        return agreed_payments(self.quote, self.agreed_option)

    @property
    def can_be_revised(self) -> bool:
        return not revise_problems(self.state)

    @property
    def can_be_accepted(self) -> bool:
        return self.state is QuoteState.OPEN

    @property
    def can_be_declined(self) -> bool:
        return self.state in (QuoteState.OPEN, QuoteState.EXPIRED)


@dataclass(frozen=True)
class QuotesPage:
    """has_moved: the estimate no longer comes to what the newest quote promises."""

    job: Job
    estimate: Estimate
    quotes: tuple[ShownQuote, ...]

    @property
    def has_moved(self) -> bool:
        return bool(self.quotes) and self.quotes[0].quote.total != self.estimate.total.money

    @property
    def working(self) -> str:
        return f"/jobs/{self.job.id}/working/price"


@dataclass(frozen=True)
class Freezable:
    """What a quote is frozen from. priced: every option of the job with the whole job's estimate."""

    shop: Shop
    job: Job
    facts: Facts
    estimate: Estimate
    priced: tuple[tuple[Option, Estimate], ...]
    replaces: StoredQuote | None

    @property
    def terms(self) -> Terms:
        return self.facts.terms

    @property
    def words(self) -> QuoteWords:
        return self.replaces.quote.words if self.replaces else USUAL_WORDS

    @property
    def lines(self) -> tuple[tuple[PriceShare, str], ...]:
        """Return the lines as the client reads them: each with its words."""
        return tuple((share, self._in_words(share)) for share in self.estimate.shares)

    def problems(self, chosen: Sequence[Option] = ()) -> tuple[Problem, ...]:
        return freeze_problems(self.estimate, self._chosen(chosen))

    def problems_of(self, option: Option) -> tuple[Problem, ...]:
        """Return what keeps an option off the quote, beyond what keeps the job itself from being quoted."""
        return next(
            tuple(problem for problem in priced.problems if problem not in self.estimate.problems)
            for one, priced in self.priced
            if one == option
        )

    def frozen(self, how: Freezing, number: str) -> FrozenQuote:
        return freeze(
            self.estimate, self._chosen(how.options), how.terms, self.job, self.shop, on=self.facts.on,
            number=number, words=how.words, replaces=self.replaces.quote.number if self.replaces else "",
        )  # fmt: skip

    def _in_words(self, share: PriceShare) -> str:
        return "" if share.piece_id is None else piece_words(share.piece_id, self.estimate.take_off, self.shop)

    def _chosen(self, options: Sequence[Option]) -> list[tuple[Option, Estimate]]:
        ids = {option.id for option in options}
        return [(option, estimate) for option, estimate in self.priced if option.id in ids]


def quotes_page(db: Session, job_id: int, now: datetime) -> QuotesPage:
    """Return the quotes of a job, newest first, beside its estimate as it stands. Raises Missing."""
    job, facts = load_job(db, job_id), load_facts(db, job_id, now)
    quotes = store.load_quotes(db, job_id)
    shop = load_shop(db)
    return QuotesPage(job, facts.estimate(), tuple(_shown(each, quotes, facts.on, shop) for each in quotes))


def _shown(stored: StoredQuote, of_job: Sequence[StoredQuote], on: date, shop: Shop) -> ShownQuote:
    later = next((each for each in of_job if each.id == stored.replaced_by), None)
    answered_on = shop.day_of(stored.answer.answered_at) if stored.answer else None
    return ShownQuote(stored, stored.state(on), answered_on, later)


def freezable(db: Session, job_id: int, now: datetime, replaces: str) -> Freezable:
    """Return what a quote of a job is frozen from. replaces: id of the quote it revises, empty for none.

    Raises Missing, also for a quote that is of another job.
    """
    job, facts = load_job(db, job_id), load_facts(db, job_id, now)
    priced = tuple((option, facts.estimate(option)) for option in load_options(db, job_id))
    quotes = {str(each.id): each for each in store.load_quotes(db, job_id)}
    if replaces and replaces not in quotes:
        raise Missing(f"quote {replaces[:20]} of job {job_id}")
    return Freezable(load_shop(db), job, facts, facts.estimate(), priced, quotes.get(replaces))


def load_quote(db: Session, quote_id: int, now: datetime) -> tuple[ShownQuote, Job]:
    """Return a quote as it stands today, and its job. Raises Missing."""
    stored = store.load_quote(db, quote_id)
    quotes, shop = store.load_quotes(db, stored.job_id), load_shop(db)
    return _shown(stored, quotes, shop.day_of(now), shop), load_job(db, stored.job_id)
