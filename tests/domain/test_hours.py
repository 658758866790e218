from datetime import date, time, timedelta

import pytest

from domain.hours import ExtraHours, OpenHours, days_between, extra_days, overlap, usual_week
from domain.shop_calendar import Hours

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


def test_extra_hours_are_added_to_those_of_the_day_and_open_a_closed_one() -> None:
    weekly: tuple[Hours, ...] = (((time(8), time(12)),), *((),) * 6)
    monday, other_monday, saturday = date(2026, 6, 1), date(2026, 6, 8), date(2026, 6, 6)
    extra = [
        ExtraHours(1, monday, time(13), time(15)),
        ExtraHours(2, saturday, time(8), time(12)),
        ExtraHours(3, saturday, time(13), time(14)),
        ExtraHours(4, other_monday, time(9), time(10)),
    ]
    assert extra_days(extra, weekly, {other_monday: "holiday"}) == {
        monday: ((time(8), time(12)), (time(13), time(15))),
        saturday: ((time(8), time(12)), (time(13), time(14))),
        other_monday: ((time(9), time(10)),),
    }
