"""The frozen quote: words and cents that foot, and what the client answered."""

from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from fractions import Fraction
from typing import ClassVar

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.answer import Answer, AnswerKind, QuoteState, agreed_payments, agreed_total, answer_problems, state
from domain.estimate import Estimate, estimate
from domain.figure import Unit, typed
from domain.job import Client, Job
from domain.length import Length
from domain.money import Money, total
from domain.operation import starting_times
from domain.option import LeftOut, Option, OtherWood, apply
from domain.part import Face, FinishChoice
from domain.piece_words import piece_words
from domain.pieces.ask import size
from domain.pieces.base_cabinet import BaseCabinet
from domain.pieces.built_up_edge import BuiltUpEdge
from domain.pieces.drawer import Drawer
from domain.pieces.piece import PlacedPiece
from domain.pieces.top import Top as PantryTop
from domain.price import PriceBook
from domain.quote import USUAL_WORDS, FrozenQuote, QuotedOption, QuoteLine, freeze, freeze_problems, payments
from domain.shop import Shop
from domain.take_off import BuiltPiece, TakeOff, take_off
from domain.terms import CostKind, CostLine, PaymentStage, TaxBase, Terms, stage_problems
from money_builders import (
    GLUE,
    MAPLE,
    PRACTICE,
    TIMES,
    TODAY,
    Block,
    a_cut,
    a_piece,
    a_price,
    a_step,
    a_take_off,
    needs,
    some_terms,
)

JOB = Job(3, "Pantry", Client(1, "R. Example", "1 Sample Street"), "1 Sample Street", date(2026, 6, 1), invented=True)
SHOP = Shop(name="Sample Joinery", licence="X-1")
BOOK = PriceBook((a_price(1, MAPLE, "1", "9.40", whole=False), a_price(3, GLUE, "16", "7.85")))
TWO = a_take_off(
    a_piece(1, a_step()),
    a_piece(2, a_step(quantity="70")),
    lines=[needs(MAPLE, "37.25", 1, 2), needs(GLUE, "20", 1, 2)],
)
TERMS = some_terms(tax=Fraction("0.0825"), tax_base=TaxBase.EVERYTHING)
WITHOUT = Option(1, "Without the second", (LeftOut(2),))


def priced(take_off: TakeOff = TWO, terms: Terms = TERMS, costs: tuple[CostLine, ...] = ()) -> Estimate:
    return estimate(take_off, BOOK, TIMES, terms, costs, PRACTICE, TODAY)


def a_quote(terms: Terms = TERMS, costs: tuple[CostLine, ...] = (), *, replaces: str = "") -> FrozenQuote:
    less = a_take_off(a_piece(1, a_step()), lines=[needs(MAPLE, "20", 1)])
    options = [(WITHOUT, priced(less, terms, costs))]
    found = priced(terms=terms, costs=costs)
    return freeze(found, options, terms, JOB, SHOP, on=TODAY, number="2026-014", replaces=replaces)


# Freezing


def test_a_quote_copies_what_the_client_reads_and_shows_no_inner_cost():
    quote = a_quote(replaces="2026-013")
    assert [line.title for line in quote.lines] == ["Piece 1", "Piece 2"]
    assert (quote.client.name, quote.shop.licence, quote.site) == ("R. Example", "X-1", "1 Sample Street")
    assert quote.valid_until == date(2026, 4, 1)
    assert (quote.number, quote.replaces, quote.invented) == ("2026-014", "2026-013", True)
    assert quote.words == USUAL_WORDS
    assert total(line.amount for line in quote.lines) == quote.price == priced().price.money
    assert quote.tax == Money.of(quote.price.dollars * Fraction("0.0825"))


def test_an_option_shows_its_price_and_the_difference():
    (option,) = a_quote().options
    assert option.words == "Without Piece 2"
    assert option.total == a_quote().total + option.difference
    assert option.difference < Money(0)


def test_an_allowance_is_a_line_of_its_own():
    allowance = CostLine(1, CostKind.ALLOWANCE, "Allowance for pulls", Money.parse("300"), marked_up=False)
    assert a_quote(costs=(allowance,)).lines[-1] == QuoteLine("Allowance for pulls", "", Money(30000))


def test_payments_add_back_up_to_the_total():
    quote = a_quote()
    assert [payment.name for payment in quote.payments] == [stage.name for stage in TERMS.stages]
    assert total(payment.amount for payment in quote.payments) == quote.total
    assert TERMS.deposit == Fraction(1, 2)


def test_later_prices_and_terms_do_not_reach_a_frozen_quote():
    quote = a_quote()
    assert a_quote(replace(TERMS, shop_rate=Money.parse("99"))) != quote
    assert quote == a_quote()


@pytest.mark.parametrize(
    "change",
    [
        {"price": Money(1)},
        {"tax": Money(1)},
        {"total": Money(1)},
        {"lines": ()},
        {"payments": ()},
        {"options": (QuotedOption("Other", "", Money(100), Money(100)),)},
        {"valid_until": date(2020, 1, 1)},
    ],
)
def test_a_quote_that_does_not_foot_cannot_be(change):
    with pytest.raises(ValueError, match="does not foot"):
        replace(a_quote(), **change)


def test_one_cent_off_is_caught():
    quote = a_quote()
    first, *rest = quote.lines
    with pytest.raises(ValueError, match="does not foot"):
        replace(quote, lines=(replace(first, amount=first.amount + Money(1)), *rest))


def test_nothing_is_promised_while_a_price_is_missing_in_the_job_or_an_option():
    found = priced(replace(TWO, lines=(*TWO.lines, needs(replace(MAPLE, grade="1C"), "3", 1))))
    for job, options in ((found, []), (priced(), [(WITHOUT, found)])):
        assert "1C" in freeze_problems(job, options)[0].words
        with pytest.raises(ValueError, match="No price for"):
            freeze(job, options, TERMS, JOB, SHOP, on=TODAY, number="2026-014")
    assert "Without the second" in freeze_problems(priced(), [(WITHOUT, found)])[0].words


def test_an_empty_job_cannot_be_quoted():
    (problem,) = freeze_problems(priced(a_take_off()), [])
    assert "nothing to quote" in problem.words


STAGES = st.lists(st.integers(1, 30), min_size=1, max_size=6).map(
    lambda parts: [PaymentStage(f"Stage {n}", Fraction(part, sum(parts))) for n, part in enumerate(parts)]
)


@given(st.integers(0, 10**9), STAGES)
def test_payment_stages_never_lose_a_cent(cents, stages):
    found = payments(Money(cents), stages)
    assert total(payment.amount for payment in found) == Money(cents)
    for payment in found:
        assert abs(payment.amount.dollars - Fraction(cents, 100) * payment.share) < Fraction(1, 100)


@given(st.integers(1, 10**5), st.fractions(0, Fraction(1, 4), max_denominator=10_000), st.integers(0, 10**6), STAGES)
def test_every_frozen_quote_foots(rate, tax, cents, stages):
    terms = some_terms(shop_rate=Money(rate), tax=tax, tax_base=TaxBase.EVERYTHING, stages=tuple(stages))
    quote = a_quote(terms, (CostLine(1, CostKind.SUBCONTRACT, "Stone top", Money(cents)),))
    assert total(line.amount for line in quote.lines) + quote.tax == quote.total
    assert total(payment.amount for payment in quote.payments) == quote.total
    assert all(option.total == quote.total + option.difference for option in quote.options)


def test_stages_that_do_not_add_up_are_refused_with_what_they_come_to():
    stages = (
        PaymentStage("Deposit", Fraction(1, 2)),
        PaymentStage("", Fraction(1, 4)),
        PaymentStage("Rest", Fraction(0)),
    )
    assert [problem.words for problem in stage_problems(stages)] == [
        "A payment stage needs a name, such as Deposit.",
        "“Rest” asks for 0 %. Ask for more, or remove the stage.",
        "The payment stages add up to 75 %. Make it 100 %.",
    ]
    with pytest.raises(ValueError, match="needs a name"):
        some_terms(stages=stages)


# Words


@dataclass(frozen=True)
class Top(Block):
    kind: ClassVar[str] = "top"
    length: Length = size("Length", "108")
    depth: Length = size("Depth", "25 1/2")


def test_a_piece_is_told_by_wood_size_finish_and_what_comes_with_it():
    choice = FinishChoice("hardwax oil", 2, colour="water stain")
    face = Face("top", 1, Length.of(1), Length.of(1), choice)
    net = typed("net", Fraction(1), Unit.BOARD_FOOT)
    job = TakeOff(
        pieces=(
            BuiltPiece(PlacedPiece(1, "Top", 2, Top()), faces=(face,)),
            BuiltPiece(PlacedPiece(2, "Front edge", 1, Block(), belongs_to=1), faces=(face,)),
        ),
        cut_list=(a_cut(1, MAPLE, net), a_cut(2, MAPLE, net)),
    )
    assert piece_words(1, job, SHOP) == (
        "2, each: hard maple; 108 in long, 25 1/2 in deep; 2 coats of hardwax oil over water stain; "
        "together with 1 × Front edge"
    )
    assert "2743 mm long" in piece_words(1, job, replace(SHOP, unit="mm"))
    assert piece_words(2, job, SHOP) == "hard maple; 2 coats of hardwax oil over water stain"


def test_a_job_of_real_pieces_is_quoted_from_typed_sizes_to_lines_that_foot():
    placed = (
        PlacedPiece(1, "Long top", 1, PantryTop()),
        PlacedPiece(2, "Front edge", 1, BuiltUpEdge(), belongs_to=1),
        PlacedPiece(3, "Base", 2, BaseCabinet()),
        PlacedPiece(4, "Drawer", 4, Drawer(), belongs_to=3),
    )
    cherry = Option(1, "Cherry", (OtherWood("Black cherry"),), pieces=(1,))
    jobs = [take_off(pieces, PRACTICE) for pieces in (placed, apply(cherry, placed))]
    materials = dict.fromkeys(line.material for job in jobs for line in job.lines)
    book = PriceBook(tuple(a_price(n, material, "3", "19.95") for n, material in enumerate(materials)))
    first, second = (estimate(job, book, starting_times(), TERMS, (), PRACTICE, TODAY) for job in jobs)
    quote = freeze(first, [(cherry, second)], TERMS, JOB, SHOP, on=TODAY, number="2026-015")
    assert [line.title for line in quote.lines] == ["Long top", "Base"]
    assert quote.lines[0].words.endswith("; with Front edge")
    assert "108 in long, 25 1/2 in deep, 1 1/2 in thick" in quote.lines[0].words
    assert quote.lines[1].words.endswith("; together with 4 × Drawer")
    assert {figure.rule.where for figure in first.total.walk()} >= {"piece:1:length", "practice:kerf"}
    assert "Black cherry" in {line.material.name for line in second.take_off.lines}


# Answers

LAST_DAY = date(2026, 4, 1)
AFTER = date(2026, 4, 2)


def an_answer(kind: AnswerKind = AnswerKind.ACCEPTED, option: str = "") -> Answer:
    return Answer(kind, datetime(2026, 3, 9, 15, 0, tzinfo=UTC), option)


def test_a_quote_stands_until_the_end_of_its_last_day():
    quote = a_quote()
    assert state(quote, [], LAST_DAY) is QuoteState.OPEN
    assert state(quote, [], AFTER) is QuoteState.EXPIRED


def test_an_answered_quote_no_longer_expires_and_the_last_answer_counts():
    quote, accepted, declined = a_quote(), an_answer(), an_answer(AnswerKind.DECLINED)
    assert state(quote, [accepted], AFTER) is QuoteState.ACCEPTED
    assert state(quote, [accepted, declined], AFTER) is QuoteState.DECLINED
    withdrawn = an_answer(AnswerKind.WITHDRAWN)
    assert state(quote, [accepted, withdrawn], TODAY) is QuoteState.OPEN
    assert state(quote, [accepted, withdrawn], AFTER) is QuoteState.EXPIRED


def test_a_revised_quote_is_replaced_unless_it_was_answered():
    quote = a_quote()
    assert state(quote, [], TODAY, is_replaced=True) is QuoteState.REPLACED
    assert state(quote, [an_answer()], TODAY, is_replaced=True) is QuoteState.ACCEPTED


def test_an_expired_quote_can_be_declined_but_not_accepted():
    quote = a_quote()
    assert answer_problems(quote, [], an_answer(), LAST_DAY) == ()
    assert "2026-04-01" in answer_problems(quote, [], an_answer(), AFTER)[0].words
    assert answer_problems(quote, [], an_answer(AnswerKind.DECLINED), AFTER) == ()


def test_what_cannot_be_answered_says_what_would_work():
    quote, withdrawn = a_quote(), an_answer(AnswerKind.WITHDRAWN)
    assert "Take that answer back" in answer_problems(quote, [an_answer()], an_answer(), TODAY)[0].words
    assert "no answer" in answer_problems(quote, [], withdrawn, TODAY)[0].words
    assert answer_problems(quote, [an_answer()], withdrawn, TODAY) == ()
    assert "later quote" in answer_problems(quote, [], an_answer(), TODAY, is_replaced=True)[0].words
    assert "not an option" in answer_problems(quote, [], an_answer(option="Gold"), TODAY)[0].words
    assert answer_problems(quote, [], an_answer(option=WITHOUT.name), TODAY) == ()


def test_an_accepted_option_is_agreed_at_its_own_total_and_paid_in_the_same_stages():
    quote = a_quote()
    assert agreed_total(quote) == quote.total
    assert agreed_payments(quote) == quote.payments
    assert agreed_total(quote, WITHOUT.name) == quote.options[0].total
    paid = agreed_payments(quote, WITHOUT.name)
    assert total(payment.amount for payment in paid) == quote.options[0].total
    assert [payment.share for payment in paid] == [payment.share for payment in quote.payments]
    with pytest.raises(KeyError):
        agreed_total(quote, "Gold")
