"""Public holidays, checked against the laws they come from."""

from datetime import date, timedelta

import pytest

from domain.holiday import Holiday, holidays_of, region_of, suggestions


def nth(year: int, month: int, weekday: int, number: int) -> date:
    """Return the so-manieth weekday of a month, 0 is Monday; the last one for -1."""
    days = [date(year, month, 1) + timedelta(days=each) for each in range(31)]
    return [day for day in days if day.month == month and day.weekday() == weekday][
        number if number < 0 else number - 1
    ]


def federal(year: int) -> set[date]:
    """Return the legal public holidays of the United States by the words of the law.

    Source: 5 U.S.C. 6103(a).
    """
    return {
        date(year, 1, 1), nth(year, 1, 0, 3), nth(year, 2, 0, 3), nth(year, 5, 0, -1), date(year, 6, 19),
        date(year, 7, 4), nth(year, 9, 0, 1), nth(year, 10, 0, 2), date(year, 11, 11), nth(year, 11, 3, 4),
        date(year, 12, 25),
    }  # fmt: skip


@pytest.mark.parametrize("year", [2024, 2025, 2026, 2027, 2028])
def test_federal_holidays_are_those_of_the_law(year: int) -> None:
    listed = {each.day for each in holidays_of("US", year) if "observed" not in each.name}
    assert listed == federal(year)


def test_a_state_has_its_own_beside_them() -> None:
    # Source: New York General Construction Law, section 24: Lincoln's birthday, the twelfth of February.
    lincoln = Holiday(date(2026, 2, 12), "Lincoln's Birthday")
    assert lincoln in holidays_of("US-NY", 2026)
    assert lincoln not in holidays_of("US", 2026)


def test_a_holiday_on_a_saturday_is_also_kept_the_friday_before() -> None:
    # Source: 5 U.S.C. 6103(b): the fourth of July 2026 is a Saturday.
    assert Holiday(date(2026, 7, 3), "Independence Day (observed)") in holidays_of("US", 2026)


@pytest.mark.parametrize(
    ("typed", "code", "name"),
    [
        ("US-NY", "US-NY", "United States, New York"),
        ("new york", "US-NY", "United States, New York"),
        ("United States, New York", "US-NY", "United States, New York"),
        ("Ontario", "CA-ON", "Canada, Ontario"),
        ("Canada", "CA", "Canada"),
        ("Georgia", "US-GA", "United States, Georgia"),
        ("GE", "GE", "Georgia (country)"),
        ("de-by", "DE-BY", "Germany, Bayern"),
        ("Guinea-Bissau", "GW", "Guinea Bissau"),
    ],
)
def test_a_region_is_known_by_name_and_by_code(typed: str, code: str, name: str) -> None:
    # Codes by ISO 3166-1 and 3166-2.
    found = region_of(typed)
    assert (found.code, found.name) == (code, name)
    assert region_of(found.name) == found


@pytest.mark.parametrize(("typed", "words"), [("Narnia", "Try New York"), ("US-XX", "no part of United States. Try")])
def test_a_region_that_is_none_is_said_with_what_would_be_one(typed: str, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        region_of(typed)


def test_everything_suggested_is_understood() -> None:
    names = suggestions()
    assert {"United States, New York", "Canada, Quebec", "Germany"} <= set(names)
    for name in names:
        assert region_of(name).code, name
