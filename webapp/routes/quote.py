"""Quotes: an estimate frozen into what the client reads, answered, revised and printed."""

from collections.abc import Mapping, Sequence
from datetime import datetime

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from domain.answer import (
    AnswerKind,
    answer_problems,
    answered_state,
    quoted_state,
    revise_problems,
)
from domain.money import Money
from domain.number import next_number, revised_number
from domain.option import Option
from domain.problem import Problem
from domain.terms import DEPOSIT_CAUTION, Terms
from webapp import desk
from webapp.desk import Posted, reading, see_other, writing
from webapp.forms import quote as forms
from webapp.forms import terms as terms_forms
from webapp.render import page
from webapp.routes.estimate_page import Hindrance, hindrances
from webapp.routes.quote_page import freezable, load_quote, quotes_page
from webapp.store import history
from webapp.store import quote as store
from webapp.store.estimate import load_facts
from webapp.store.form_key import leads_to
from webapp.store.job import set_state
from webapp.store.option import load_options
from webapp.store.shop import today

router = APIRouter()


class Refused(Exception):
    """What was asked for cannot be done; the problems say why. Raised inside a writing session, it undoes it."""

    def __init__(self, problems: Sequence[Problem], status: int = 422) -> None:
        super().__init__(problems)
        self.problems, self.status = problems, status


@router.get("/jobs/{job_id}/quotes")
def show_quotes(request: Request, job_id: int) -> Response:
    with reading(request) as db:
        shown = quotes_page(db, job_id, desk.now(request))
    return page(request, "quotes", job=shown.job, page=shown)


@router.get("/jobs/{job_id}/quotes/new")
def new_quote(request: Request, job_id: int, replaces: str = "") -> Response:
    return _form(request, job_id, replaces)


@router.post("/jobs/{job_id}/quotes")
def freeze_quote(request: Request, job_id: int, posted: Posted) -> Response:
    """Freeze the estimate as it stands; refused while anything is unknown or the total is not what was shown."""
    replaces = posted.get("replaces", "")
    with reading(request) as db:
        terms, options = _terms_and_options(db, job_id, desk.now(request))
    how, problems = forms.read(posted, terms, options)
    if how is None:
        return _form(request, job_id, replaces, posted, problems)
    try:
        with writing(request, "Quote frozen", job_id=job_id) as db:
            quote_id = _freeze(db, job_id, how, posted, desk.now(request))
            url = leads_to(db, f"/quotes/{quote_id}")
    except Refused as refused:
        return _form(request, job_id, replaces, posted, refused.problems, status=refused.status)
    return see_other(request, url)


def _terms_and_options(db: Session, job_id: int, now: datetime) -> tuple[Terms, tuple[Option, ...]]:
    return load_facts(db, job_id, now).terms, load_options(db, job_id)


def _freeze(db: Session, job_id: int, how: forms.Freezing, posted: Mapping[str, str], now: datetime) -> int:
    """Freeze within the writing session, so that numbers and totals cannot move meanwhile. Raises Refused."""
    found = freezable(db, job_id, now, posted.get("replaces", ""))
    problems = list(found.problems(how.options))
    if found.replaces:
        problems += revise_problems(found.replaces.state(found.facts.on))
    if problems:
        raise Refused(problems)
    _check_seen(found.estimate.total.money, posted.get("seen_total", ""))
    taken = store.load_numbers(db)
    base = found.replaces.quote.number if found.replaces else ""
    number = revised_number(base, taken) if base else next_number(taken, found.facts.on)
    quote = found.frozen(how, number)
    history.say(db, f"Quote {number} frozen, which stays as it is")
    set_state(db, job_id, quoted_state(found.job.state))
    return store.add_quote(db, job_id, quote, replaces=found.replaces.id if found.replaces else None, at=now)


def _check_seen(total: Money, seen: str) -> None:
    """Raise Refused when the total moved since the person saw it: nobody promises what they have not read."""
    if seen and seen != total.plain():
        words = (
            f"The total was {seen} when you opened this page and is {total.plain()} now. Look again, then freeze it."
        )
        raise Refused([Problem("", words)], status=409)


@router.get("/quotes/{quote_id}")
def show_quote(request: Request, quote_id: int) -> Response:
    return _quote(request, quote_id)


@router.get("/quotes/{quote_id}/print")
def print_quote(request: Request, quote_id: int) -> Response:
    with reading(request) as db:
        shown, _ = load_quote(db, quote_id, desk.now(request))
    return page(request, "quote_print", shown=shown, quote=shown.quote)


@router.post("/quotes/{quote_id}/answers")
def answer_quote(request: Request, quote_id: int, posted: Posted) -> Response:
    """Note what the client answered; an answer stands until the next one."""
    answer, problems = forms.read_answer(posted, desk.now(request))
    if answer is None:
        return _quote(request, quote_id, posted, problems)
    with reading(request) as db:
        job_id = store.load_quote(db, quote_id).job_id
    try:
        with writing(request, f"Quote answered: {answer.kind.value}", job_id=job_id) as db:
            shown, job = load_quote(db, quote_id, desk.now(request))
            others = (each for each in store.load_quotes(db, job_id) if each.id != quote_id)
            accepted = next((each.quote.number for each in others if each.is_accepted), "")
            replaced, on = shown.replaced_by is not None, today(db, desk.now(request))
            if found := answer_problems(
                shown.quote, shown.stored.answers, answer, on, is_replaced=replaced, accepted=accepted
            ):
                raise Refused(found)
            store.add_answer(db, quote_id, answer)
            set_state(db, job_id, answered_state(job.state, answer.kind))
            history.say(db, f"Quote {shown.quote.number}: {_said(answer.kind)}")
            url = leads_to(db, f"/quotes/{quote_id}")
    except Refused as refused:
        return _quote(request, quote_id, posted, refused.problems, status=409)
    return see_other(request, url)


def _said(kind: AnswerKind) -> str:
    return "answer taken back" if kind is AnswerKind.WITHDRAWN else kind.value


def _quote(
    request: Request, quote_id: int, typed: Mapping[str, str] | None = None, problems: Sequence[Problem] = (), *,
    status: int = 422,
) -> Response:  # fmt: skip
    with reading(request) as db:
        shown, job = load_quote(db, quote_id, desk.now(request))
        options = load_options(db, job.id)
    agreed = next((option for option in options if option.name == shown.agreed_option), None)
    typed = {"option": "", "note": "", **(typed or {})}
    return page(
        request, "quote", status=status if problems else 200, job=job, shown=shown, quote=shown.quote, typed=typed,
        problems=problems, kinds=AnswerKind, agreed_option=agreed,
    )  # fmt: skip


def _form(
    request: Request, job_id: int, replaces: str, typed: Mapping[str, str] | None = None,
    problems: Sequence[Problem] = (), *, status: int = 422,
) -> Response:  # fmt: skip
    with reading(request) as db:
        found = freezable(db, job_id, desk.now(request), replaces)
    options = [option for option, _ in found.priced]
    offered = [option for option in options if not found.problems_of(option)]
    shown = forms.fill(found.terms, found.words, options, offered)
    if typed is not None:
        shown = {**dict.fromkeys(shown, ""), **typed}
    standing = list(hindrances(found.estimate, found.facts.prices, f"/jobs/{job_id}/price"))
    standing += [Hindrance(one.words, f"/jobs/{job_id}/pieces") for one in found.problems() if not one.field]
    if found.replaces:
        state = found.replaces.state(found.facts.on)
        standing += [Hindrance(one.words, f"/jobs/{job_id}/quotes") for one in revise_problems(state)]
    return page(
        request, "quote_form", status=status if problems else 200, job=found.job, found=found, typed=shown,
        problems=problems, ask=forms, terms_ask=terms_forms, caution=DEPOSIT_CAUTION, standing=standing,
        is_typed=typed is not None, option_problems={option.id: found.problems_of(option) for option in options},
    )  # fmt: skip
