"""Values come back from the file exactly as they went in, and wrong types do not get in."""

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sqlalchemy.exc import IntegrityError, StatementError

from domain.length import Length
from domain.money import Money
from domain.shop import Shop
from domain.terms import Terms
from store_builders import NOW
from webapp.store.codec import from_json, to_json
from webapp.store.columns import ExactColumn, MoneyColumn
from webapp.store.database import Database
from webapp.store.tables import PracticeRow, PriceRow

FRACTIONS = st.fractions(max_denominator=10**6)


@given(FRACTIONS)
def test_an_exact_number_is_text_that_a_person_and_fraction_read_alike(value: Fraction) -> None:
    text = ExactColumn().process_bind_param(value, None)  # type: ignore[arg-type]
    assert text == str(value)
    assert ExactColumn().process_result_value(text, None) == value  # type: ignore[arg-type]


def test_a_float_is_not_an_exact_number(database: Database) -> None:
    with pytest.raises(StatementError, match="not exact"), database.write("float", at=NOW) as db:
        db.add(PracticeRow(id="kerf", value=0.1))  # type: ignore[arg-type]


@given(st.integers(-(2**62), 2**62))
def test_money_is_whole_cents(cents: int) -> None:
    assert MoneyColumn().process_bind_param(Money(cents), None) == cents  # type: ignore[arg-type]
    assert MoneyColumn().process_result_value(cents, None) == Money(cents)  # type: ignore[arg-type]


def test_more_cents_than_32_bits_hold(database: Database) -> None:
    price: dict[str, Any] = {
        "material": "oak",
        "package": "bf",
        "package_quantity": Fraction(1),
        "priced_on": NOW.date(),
    }
    with database.write("dear", at=NOW) as db:
        db.add(PriceRow(**price, price=Money(3_000_000_000)))
    with database.read() as db:
        row = db.get(PriceRow, 1)
        assert row is not None
        assert row.price == Money(3_000_000_000)
    with pytest.raises(IntegrityError), database.write("negative", at=NOW) as db:
        db.add(PriceRow(**price, price=Money(-1)))


@given(FRACTIONS, st.text())
def test_values_come_back_from_their_document(value: Fraction, words: str) -> None:
    for whole in (value, Length(value), Shop(name=words[:50]), Terms()):
        assert from_json(type(whole), to_json(whole)) == whole


def test_a_document_of_something_else_is_refused() -> None:
    for text in ("", "{", "[]", '{"cents": "many"}', "null"):
        with pytest.raises(ValueError):  # noqa: PT011
            from_json(Money, text)
