"""What the client answered to a quote, and where the quote stands."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from enum import Enum

from domain.job import JobState
from domain.money import Money, split
from domain.problem import Problem
from domain.quote import FrozenQuote, Payment


class AnswerKind(Enum):
    """What was answered; the value is what the database holds and what a person reads."""

    ACCEPTED = "accepted"
    DECLINED = "declined"
    WITHDRAWN = "withdrawn"  # the answer before it is taken back: the quote stands open again


class QuoteState(Enum):
    OPEN = "open"
    ACCEPTED = "accepted"
    DECLINED = "declined"
    EXPIRED = "expired"
    REPLACED = "replaced"


@dataclass(frozen=True, slots=True)
class Answer:
    """option: the name of the option taken with it, empty for the job as quoted."""

    kind: AnswerKind
    answered_at: datetime
    option: str = ""
    note: str = ""


def state(quote: FrozenQuote, answers: Sequence[Answer], on: date, *, is_replaced: bool = False) -> QuoteState:
    """Return where a quote stands on a day: the last answer counts, and an answered quote no longer expires.

    answers: in the order given; is_replaced: a later quote revises this one.
    """
    last = answers[-1].kind if answers else AnswerKind.WITHDRAWN
    if last is AnswerKind.ACCEPTED:
        return QuoteState.ACCEPTED
    if last is AnswerKind.DECLINED:
        return QuoteState.DECLINED
    if is_replaced:
        return QuoteState.REPLACED
    return QuoteState.EXPIRED if on > quote.valid_until else QuoteState.OPEN


def answer_problems(
    quote: FrozenQuote,
    answers: Sequence[Answer],
    answer: Answer,
    on: date,
    *,
    is_replaced: bool = False,
    accepted: str = "",
) -> tuple[Problem, ...]:
    """Return why an answer cannot be taken on a day, and what would work.

    accepted: the number of another quote of the job that stands accepted, empty for none.
    """
    now = state(quote, answers, on, is_replaced=is_replaced)
    if answer.kind is AnswerKind.WITHDRAWN:
        answered = now in (QuoteState.ACCEPTED, QuoteState.DECLINED)
        return () if answered else (Problem("answer", "There is no answer to take back."),)
    if now in (QuoteState.ACCEPTED, QuoteState.DECLINED):
        return (Problem("answer", f"This quote is {now.value}. Take that answer back first."),)
    if now is QuoteState.REPLACED:
        return (Problem("answer", "A later quote replaces this one. Answer that one."),)
    if now is QuoteState.EXPIRED and answer.kind is AnswerKind.ACCEPTED:
        until = quote.valid_until.isoformat()
        return (Problem("answer", f"This quote was valid until {until}. Revise it to offer it again."),)
    if accepted and answer.kind is AnswerKind.ACCEPTED:
        words = f"Quote {accepted} of this job is accepted. Take that answer back first."
        return (Problem("answer", words),)
    if answer.option and answer.option not in {option.name for option in quote.options}:
        return (Problem("option", f"“{answer.option}” is not an option of this quote."),)
    return ()


def revise_problems(state: QuoteState) -> tuple[Problem, ...]:
    """Return why a quote that stands so cannot be replaced by a later one, and what would work."""
    if state is QuoteState.ACCEPTED:
        words = "This quote is accepted and stays as it is. Agree on changes in writing, or take the answer back first."
        return (Problem("", words),)
    if state is QuoteState.REPLACED:
        return (Problem("", "A later quote replaces this one. Revise that one."),)
    return ()


def quoted_state(job: JobState) -> JobState:
    """Return how far along a job is once it has a quote."""
    return JobState.QUOTED if job is JobState.ENQUIRY else job


def answered_state(job: JobState, kind: AnswerKind) -> JobState:
    """Return how far along a job is after an answer to a quote of it; work that has begun is not taken back."""
    if kind is AnswerKind.ACCEPTED and job in (JobState.ENQUIRY, JobState.QUOTED):
        return JobState.ACCEPTED
    return JobState.QUOTED if kind is AnswerKind.WITHDRAWN and job is JobState.ACCEPTED else job


def agreed_total(quote: FrozenQuote, option: str = "") -> Money:
    """Return what the client agreed to pay, tax included. Raises KeyError for an unknown option."""
    if not option:
        return quote.total
    return {each.name: each.total for each in quote.options}[option]


def agreed_payments(quote: FrozenQuote, option: str = "") -> tuple[Payment, ...]:
    """Return the payment stages of what was agreed; they add up to it. Raises KeyError for an unknown option."""
    parts = split(agreed_total(quote, option), [payment.share for payment in quote.payments])
    return tuple(
        Payment(each.name, each.share, part, each.before_start)
        for each, part in zip(quote.payments, parts, strict=True)
    )
