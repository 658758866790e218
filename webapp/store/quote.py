"""Frozen quotes and what the client answered: inserted once, never changed."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

from sqlmodel import Session, col, select

from domain.answer import Answer, AnswerKind, QuoteState, state
from domain.quote import FrozenQuote
from webapp.store import rows
from webapp.store.codec import from_json, to_json
from webapp.store.tables import AnswerRow, QuoteRow


@dataclass(frozen=True, slots=True)
class StoredQuote:
    """A quote as it lies in the store. answers: in the order given; replaced_by: id of the quote that revises it."""

    id: int
    job_id: int
    quote: FrozenQuote
    frozen_at: datetime
    answers: tuple[Answer, ...] = ()
    replaced_by: int | None = None

    def state(self, on: date) -> QuoteState:
        """Return where it stands on a day of the shop's zone."""
        return state(self.quote, self.answers, on, is_replaced=self.replaced_by is not None)

    @property
    def answer(self) -> Answer | None:
        """Return the answer that counts: the last one, unless it was taken back."""
        last = self.answers[-1] if self.answers else None
        return last if last and last.kind is not AnswerKind.WITHDRAWN else None

    @property
    def is_accepted(self) -> bool:
        return self.answer is not None and self.answer.kind is AnswerKind.ACCEPTED


def load_quotes(db: Session, job_id: int) -> tuple[StoredQuote, ...]:
    """Return the quotes of a job, newest first."""
    query = select(QuoteRow).where(QuoteRow.job_id == job_id).order_by(col(QuoteRow.id).desc())
    return _stored(db, db.exec(query).all())


def load_quote(db: Session, quote_id: int) -> StoredQuote:
    """Return one quote. Raises Missing."""
    return _stored(db, [rows.find(db, QuoteRow, quote_id)])[0]


def load_numbers(db: Session) -> tuple[str, ...]:
    """Return every number a quote of the shop has; read it in the writing session that adds the next."""
    return tuple(db.exec(select(QuoteRow.number)))


def load_accepted(db: Session, job_id: int) -> StoredQuote | None:
    """Return the job's accepted quote, None while there is none; the newest should there be several."""
    return next((each for each in load_quotes(db, job_id) if each.is_accepted), None)


def add_quote(db: Session, job_id: int, quote: FrozenQuote, *, replaces: int | None = None, at: datetime) -> int:
    """Insert a frozen quote and return its id. replaces: id of the quote it revises."""
    row = QuoteRow(
        job_id=job_id, number=quote.number, replaces=replaces, frozen_at=at, valid_until=quote.valid_until,
        total=quote.total, frozen=to_json(quote),
    )  # fmt: skip
    return rows.add(db, row)


def add_answer(db: Session, quote_id: int, answer: Answer) -> int:
    """Insert what the client answered and return its id. Raises Missing."""
    rows.find(db, QuoteRow, quote_id)
    row = AnswerRow(
        quote_id=quote_id, answer=answer.kind.value, option=answer.option, answered_at=answer.answered_at,
        note=answer.note,
    )  # fmt: skip
    return rows.add(db, row)


def _stored(db: Session, found: Iterable[QuoteRow]) -> tuple[StoredQuote, ...]:
    quotes = list(found)
    ids = [row.id for row in quotes]
    answers = db.exec(select(AnswerRow).where(col(AnswerRow.quote_id).in_(ids)).order_by(col(AnswerRow.id))).all()
    later = select(QuoteRow.replaces, QuoteRow.id).where(col(QuoteRow.replaces).in_(ids)).order_by(col(QuoteRow.id))
    replaced_by = dict(db.exec(later).all())
    return tuple(
        StoredQuote(
            id=row.id or 0,
            job_id=row.job_id,
            quote=from_json(FrozenQuote, row.frozen),
            frozen_at=row.frozen_at,
            answers=tuple(_answer(answer) for answer in answers if answer.quote_id == row.id),
            replaced_by=replaced_by.get(row.id),
        )
        for row in quotes
    )


def _answer(row: AnswerRow) -> Answer:
    return Answer(AnswerKind(row.answer), row.answered_at, row.option, row.note)
