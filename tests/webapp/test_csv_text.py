"""The csv module of the standard library is the independent reader."""

import csv
from fractions import Fraction
from io import StringIO

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.length import Length
from domain.money import Money
from webapp.csv_text import FORMULA_STARTS, download, table

words = st.text(st.characters(exclude_categories=("Cs",), exclude_characters="\0"))


def read(text: str) -> list[list[str]]:
    return list(csv.reader(StringIO(text, newline="")))


@given(st.lists(st.lists(words, min_size=2, max_size=2)))
def test_words_come_back_and_none_starts_a_formula(rows: list[list[str]]) -> None:
    back = read(table(("a", "b"), rows))
    assert back[0] == ["a", "b"]
    for typed, found in zip(rows, back[1:], strict=True):
        for before, after in zip(typed, found, strict=True):
            assert after == (f"'{before}" if before.startswith(FORMULA_STARTS) else before)
            assert not after.startswith(("=", "+", "-", "@", "\t", "\r"))


@given(st.fractions(min_value=-10_000, max_value=10_000))
def test_numbers_stay_numbers_to_the_nearest_millionth(value: Fraction) -> None:
    text = table(("n",), [(value,)])
    reader = csv.reader(StringIO(text), quoting=csv.QUOTE_NONNUMERIC)
    next(reader)
    (number,) = next(reader)
    assert isinstance(number, float)  # the reader's word for: this cell was not quoted
    plain = text.splitlines()[1]
    assert set(plain) <= set("-.0123456789")
    assert abs(Fraction(plain) - value) <= Fraction(1, 2_000_000)


@pytest.mark.parametrize(
    ("cell", "text"),
    [
        (3, "3"),
        (-3, "-3"),
        (Length.of("1/64"), "0.015625"),
        (Money(-725), "-7.25"),
        (Fraction(199_999_999, 2_000_000), "100"),
        (None, '""'),
        ("8/4 white oak", '"8/4 white oak"'),
        ("a;=1+1", '"a;=1+1"'),
    ],
)
def test_cells_read_as_a_spreadsheet_needs_them(cell: object, text: str) -> None:
    assert table(("x",), [(cell,)]).splitlines()[1] == text  # type: ignore[list-item]


def test_a_file_to_keep_says_its_name_and_its_letters() -> None:
    reply = download("job-3-cut-list", ("Wood",), [("Zürgelbaum",)])
    assert reply.headers["content-disposition"] == 'attachment; filename="job-3-cut-list.csv"'
    assert bytes(reply.body).decode("utf-8-sig").splitlines()[1] == '"Zürgelbaum"'
