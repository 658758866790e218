"""What was typed to freeze a quote, and what the client answered -> values, or problems."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from domain.answer import Answer, AnswerKind
from domain.option import Option
from domain.problem import Problem
from domain.quote import QuoteWords
from domain.terms import Terms
from webapp.forms import terms as terms_forms
from webapp.forms.field import LONGEST_NOTE, Fields

LABELS = {
    "validity_days": "Valid for",
    "included": "Included",
    "not_included": "Not included",
    "licensed": "Left to licensed trades",
    "cautions": "Good to know",
    "notes": "Notes",
}
WORDS = tuple(name for name in LABELS if name != "validity_days")
LONGEST_PARAGRAPHS = 40


@dataclass(frozen=True, slots=True)
class Freezing:
    """How an estimate is to be frozen. terms: the job's, with the days and payments typed for this quote."""

    terms: Terms
    words: QuoteWords
    options: tuple[Option, ...]


def fill(terms: Terms, words: QuoteWords, options: Sequence[Option], offered: Sequence[Option]) -> dict[str, str]:
    """Return the form as it is shown first. options: all the job has; offered: those ticked to start with."""
    shown = {name: text for name, text in terms_forms.fill(terms).items() if _is_of_quote(name)}
    shown |= {name: "\n".join(getattr(words, name)) for name in WORDS}
    return shown | {option_name(option.id): "yes" if option in offered else "" for option in options}


def option_name(option_id: int) -> str:
    """Return the name of the tick that puts an option on the quote."""
    return f"option_{option_id}"


def read(posted: Mapping[str, str], terms: Terms, options: Sequence[Option]) -> tuple[Freezing | None, list[Problem]]:
    """Return how to freeze as typed, or None and every problem. terms: the job's own, for all that is not asked."""
    fields = Fields(posted)
    words = QuoteWords(**{name: _paragraphs(fields, name) for name in WORDS})
    typed = {name: text for name, text in posted.items() if _is_of_quote(name)}
    blank = {name: "" for name in terms_forms.fill(terms) if _is_of_quote(name)}
    changed, problems = terms_forms.read(terms_forms.fill(terms) | blank | typed)
    problems = [*problems, *fields.problems]
    if changed is None or problems:
        return None, problems
    chosen = tuple(option for option in options if fields.tick(option_name(option.id)))
    own = replace(terms, validity_days=changed.validity_days, stages=changed.stages)
    return Freezing(own, words, chosen), []


def read_answer(posted: Mapping[str, str], at: datetime) -> tuple[Answer | None, list[Problem]]:
    """Return what the client answered, or None and every problem."""
    fields = Fields(posted)
    kind = fields.choice("answer", "Answer", AnswerKind)
    option = fields.text("option", "Option")
    note = fields.text("note", "Note", most=LONGEST_NOTE)
    if fields.problems or kind is None:
        return None, fields.problems
    return Answer(kind, at, option if kind is AnswerKind.ACCEPTED else "", note), []


def _is_of_quote(name: str) -> bool:
    return name == "validity_days" or name.startswith("stage_")


def _paragraphs(fields: Fields, name: str) -> tuple[str, ...]:
    """Return the lines of a text, each a paragraph; blank ones are none."""
    text = fields.text(name, LABELS[name], most=2 * LONGEST_NOTE)
    lines = tuple(line.strip() for line in text.splitlines() if line.strip())
    if len(lines) > LONGEST_PARAGRAPHS:
        fields.problem(name, f"{LABELS[name]} has {len(lines)} paragraphs. Keep it to {LONGEST_PARAGRAPHS}.")
    return lines
