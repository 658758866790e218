"""Open slots of a calendar: the same answers as the shop's calendar in minutes, and hours that a team has in common."""

from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from domain.open_minutes import OpenMinutes, minute_at
from domain.schedule.hours import Hours, hours_of, team_hours
from domain.schedule.problem import Activity, Calendar, NoRoom, Person, Problem

DAY = Calendar(((8, 12), (13, 17), (32, 36), (37, 41)))
"""Two days of 8 to 12 and 13 to 17, a slot an hour."""


def test_work_is_broken_off_at_closing_time_and_goes_on_when_it_opens_again():
    hours = hours_of(DAY)
    assert hours.fit(11, 3, False) == (11, 15)  # 11-12, then 13-15
    assert hours.fit(12, 1, False) == (13, 14)
    assert hours.fit(16, 2, False) == (16, 33)  # 16-17, then 32-33
    assert hours.end(8, 8) == 17
    assert hours.between(11, 33) == 6  # 1 + 4 + 1
    assert hours.between(33, 11) == -6


def test_work_in_one_go_waits_for_a_stretch_that_holds_it():
    hours = hours_of(DAY)
    assert hours.fit(10, 3, True) == (13, 16)
    assert hours.fit(14, 4, True) == (32, 36)
    assert hours.fit(8, 5, True) is None
    with pytest.raises(NoRoom):
        hours.start(8, 5, True)


def test_work_of_no_slots_is_done_at_closing_time_but_not_after():
    hours = hours_of(DAY)
    assert hours.fit(12, 0, False) == (12, 12)
    assert hours.fit(18, 0, True) == (32, 32)
    assert hours.fit(41, 0, True) == (41, 41)
    assert hours.last_start(20, 0, False) == 17


def test_beyond_the_last_stretch_and_before_the_first_there_is_no_room():
    hours = hours_of(DAY)
    assert hours.fit(8, 17, False) is None  # 16 open slots in all
    for ask in (lambda: hours.next_open(41), lambda: hours.end(8, 17), lambda: hours.last_start(8, 1, False)):
        with pytest.raises(NoRoom):
            ask()


def test_a_team_works_while_all_of_it_is_there():
    early, late = Calendar(((6, 10), (11, 14), (30, 34))), Calendar(((8, 12), (13, 17), (32, 36)))
    problem = Problem((Activity(1),), people=(Person(0), Person(1), Person(0)), calendars=(early, late))
    assert team_hours(problem, (0, 2)) is hours_of(early)
    both = team_hours(problem, (0, 1))
    assert list(zip(both.opens, both.closes, strict=True)) == [(8, 10), (11, 12), (13, 14), (32, 34)]
    assert both.longest == 2
    assert team_hours(problem, (1, 0)).total == 6


def week_of_minutes() -> tuple[OpenMinutes, Hours, int]:
    """Return the same weeks in minutes of UTC and in slots, and the minute of slot 0: a Monday."""
    begins = minute_at(datetime(2026, 6, 1, tzinfo=UTC))

    def stretches(first: date, last: date) -> list[tuple[int, int]]:
        days = (first + timedelta(days=one) for one in range((last - first).days + 1))
        open_days = [minute_at(datetime(day.year, day.month, day.day, tzinfo=UTC)) for day in days if day.weekday() < 5]
        return [(day + opens * 60, day + closes * 60) for day in open_days for opens, closes in ((8, 12), (13, 17))]

    slots = [
        ((week * 7 + day) * 1440 + opens * 60, (week * 7 + day) * 1440 + closes * 60)
        for week in range(8)
        for day in range(5)
        for opens, closes in ((8, 12), (13, 17))
    ]
    return OpenMinutes(stretches, 240), Hours(slots), begins


MINUTES, SLOTS, BEGINS = week_of_minutes()


@given(st.integers(0, 20 * 1440), st.integers(0, 900), st.booleans())
@settings(max_examples=300)
def test_slots_answer_as_the_calendar_in_minutes_does(slot, work, whole):
    whole = whole and work <= 240
    start = SLOTS.start(slot, work, whole)
    assert start == MINUTES.start(BEGINS + slot, work, whole=whole) - BEGINS
    assert SLOTS.end(start, work) == MINUTES.add(BEGINS + start, work) - BEGINS
    assert SLOTS.fit(slot, work, whole) == (start, SLOTS.end(start, work))
    assert SLOTS.between(slot, slot + work) == MINUTES.between(BEGINS + slot, BEGINS + slot + work)
    assert SLOTS.next_open(slot) == MINUTES.next_open(BEGINS + slot) - BEGINS
    later = slot + 7 * 1440
    assert SLOTS.last_start(later, work, whole) == MINUTES.last_start(BEGINS + later, work, whole=whole) - BEGINS
