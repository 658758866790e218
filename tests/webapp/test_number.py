from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as some

from domain.length import Length
from webapp.forms.field import Fields
from webapp.forms.number import as_typed, share_as_typed, size_as_typed

NUMBERS = some.fractions(min_value=0, max_value=100_000, max_denominator=999)


@given(NUMBERS)
def test_a_number_is_read_back_as_it_was_shown(value: Fraction) -> None:
    assert Fields({"it": as_typed(value)}).number("it", "It") == value


@given(some.fractions(min_value=0, max_value=1, max_denominator=400))
def test_a_share_is_read_back_as_it_was_shown(share: Fraction) -> None:
    assert Fields({"it": share_as_typed(share)}).share("it", "It") == share


@given(NUMBERS, some.sampled_from(["in", "mm"]))
def test_a_size_is_read_back_as_it_was_shown(inches: Fraction, unit: str) -> None:
    size = Length(inches)
    assert Fields({"it": size_as_typed(size, unit)}, unit).size("it", "It") == size  # type: ignore[arg-type]


def test_numbers_are_shown_the_way_people_type_them() -> None:
    assert [as_typed(Fraction(text)) for text in ("12", "15/2", "4/3", "1/3")] == ["12", "7.5", "1 1/3", "1/3"]
    assert as_typed(None) == ""
    assert size_as_typed(Length.of("1/8"), "mm") == "3.175"
