from datetime import date, time, timedelta

import pytest

from domain.hours import OpenHours, days_between, overlap, usual_week

MORNING = OpenHours(1, 0, time(8), time(12))


def test_hours_that_begin_before_others_end_are_named_with_what_is_there() -> None:
    problem = overlap(OpenHours(0, 0, time(11, 59), time(17)), [MORNING])
    assert problem is not None
    assert "Monday is open already from 08:00 to 12:00" in problem.words


def test_hours_may_touch_lie_on_another_day_or_replace_themselves() -> None:
    assert overlap(OpenHours(0, 0, time(12), time(17)), [MORNING]) is None
    assert overlap(OpenHours(0, 1, time(8), time(12)), [MORNING]) is None
    assert overlap(OpenHours(1, 0, time(7), time(11)), [MORNING]) is None


def test_hours_end_after_they_start() -> None:
    with pytest.raises(ValueError, match="end after"):
        OpenHours(0, 0, time(12), time(12))


def test_the_usual_week_has_forty_hours() -> None:
    assert sum((one.length for one in usual_week()), timedelta()) == timedelta(hours=5 * 8)


def test_both_ends_of_a_closing_are_closed() -> None:
    assert list(days_between(date(2026, 12, 31), date(2027, 1, 1))) == [date(2026, 12, 31), date(2027, 1, 1)]
