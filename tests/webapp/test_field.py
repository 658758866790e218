"""Sizes as typed: what a form shows is read back as the very same size."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.length import Length
from webapp.forms.field import Fields, size_text


@pytest.mark.parametrize(
    ("typed", "unit", "shown"),
    [
        ("25-1/4\"", "in", "25 1/4"),
        ("8' 6", "in", "102"),
        ("641 mm", "in", "641 mm"),
        ("641.5", "mm", "641.5"),
        ("1 in", "mm", "25.4"),
        ("1/64 in", "mm", "1/64 in"),
        ("25 1/4 in", "mm", "25 1/4 in"),
        ("0.3", "in", "3/10"),
    ],
)  # fmt: skip
def test_a_size_is_shown_as_it_would_be_typed(typed: str, unit: str, shown: str) -> None:
    assert size_text(Length.parse(typed, bare=unit), unit) == shown  # type: ignore[arg-type]


@given(
    st.integers(0, 9_999),
    st.integers(0, 999_999),
    st.sampled_from(["in", "mm", "cm", "m", "ft"]),
    st.sampled_from(["in", "mm"]),
)
def test_what_is_shown_is_read_back_exactly(whole: int, millionths: int, unit: str, bare: str) -> None:
    size = Length.parse(f"{whole}.{millionths:06} {unit}")
    assert Length.parse(size_text(size, bare), bare=bare) == size  # type: ignore[arg-type]


def test_a_minus_is_taken_where_a_size_has_a_direction() -> None:
    for text in ("-1/4", "−1/4"):
        fields = Fields({"lean": text})
        assert fields.size("lean", "Lean", signed=True) == Length(Fraction(-1, 4))
        assert fields.size("lean", "Lean") is None
        assert text in fields.problems[0].words
