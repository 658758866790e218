"""Shop hours: attended time passes only in them, elapsed time passes day and night, clocks change."""

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from domain.open_minutes import instant_of
from domain.shop_calendar import ShopCalendar

DAY = ((time(8), time(12)), (time(13), time(17)))
WEEK = (DAY,) * 5 + ((), ())
NEW_YORK = ZoneInfo("America/New_York")


def a_calendar(**changes) -> ShopCalendar:
    return ShopCalendar(**({"zone": "America/New_York", "weekly": WEEK} | changes))


def at(text: str, zone: ZoneInfo = NEW_YORK) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=zone).astimezone(UTC)


def hours(count: float) -> timedelta:
    return timedelta(hours=count)


def test_attended_time_passes_only_in_shop_hours():
    calendar = a_calendar()
    assert calendar.add(at("2026-06-05 11:00"), hours(2)) == at("2026-06-05 14:00")
    assert calendar.add(at("2026-06-05 16:00"), hours(2)) == at("2026-06-08 09:00")  # over a weekend
    assert calendar.subtract(at("2026-06-08 09:00"), hours(2)) == at("2026-06-05 16:00")
    assert calendar.between(at("2026-06-05 16:00"), at("2026-06-08 09:00")) == hours(2)
    assert calendar.between(at("2026-06-08 09:00"), at("2026-06-05 16:00")) == -hours(2)


def test_work_that_fills_the_day_ends_at_closing_time_and_the_next_begins_in_the_morning():
    calendar = a_calendar()
    assert calendar.add(at("2026-06-04 08:00"), hours(8)) == at("2026-06-04 17:00")
    assert calendar.next_open(at("2026-06-04 17:00")) == at("2026-06-05 08:00")
    assert calendar.subtract(at("2026-06-05 17:00"), hours(8)) == at("2026-06-05 08:00")


def test_the_shop_is_open_from_the_opening_minute_until_before_the_closing_minute():
    calendar = a_calendar()
    assert calendar.is_open(at("2026-06-04 08:00"))
    assert calendar.is_open(at("2026-06-04 11:59:59"))
    assert not calendar.is_open(at("2026-06-04 12:00"))
    assert calendar.closes(at("2026-06-04 09:10")) == at("2026-06-04 12:00")
    assert calendar.closes(at("2026-06-06 09:10")) == at("2026-06-08 12:00")


def test_a_closed_day_has_no_hours():
    calendar = a_calendar(closed={date(2026, 6, 5): "county fair"})
    assert calendar.next_open(at("2026-06-04 17:00")) == at("2026-06-08 08:00")
    assert calendar.open_stretches(date(2026, 6, 5)) == ()


def test_an_extra_day_is_worked_though_the_weekday_is_not():
    calendar = a_calendar(extra={date(2026, 6, 6): ((time(9), time(11)),)})
    assert calendar.add(at("2026-06-05 16:00"), hours(2)) == at("2026-06-06 10:00")
    assert calendar.open_stretches(date(2026, 6, 6)) == ((at("2026-06-06 09:00"), at("2026-06-06 11:00")),)


def test_a_stretch_may_run_past_midnight():
    calendar = a_calendar(weekly=(((time(22), time(2)),),) + ((),) * 6)
    assert calendar.add(at("2026-06-08 23:30"), hours(1)) == at("2026-06-09 00:30")
    assert calendar.open_stretches(date(2026, 6, 9)) == ((at("2026-06-09 00:00"), at("2026-06-09 02:00")),)
    assert calendar.add(at("2026-06-08 23:30"), hours(3)) == at("2026-06-15 22:30")


def test_stretches_that_touch_at_midnight_are_one():
    always = a_calendar(weekly=(((time(0), time(0)),),) * 7)
    assert always.add(at("2026-06-08 23:30"), timedelta(days=3)) == at("2026-06-11 23:30")
    assert always.minutes.start(0, 90, whole=True) == 0
    assert always.subtract(at("2026-06-08 23:30"), timedelta(days=300)) == at("2025-08-12 23:30")


def test_a_night_shift_is_an_hour_shorter_when_the_clocks_go_forward():
    # 8 March 2026, 02:00 to 03:00 does not exist in New York (United States rule: second Sunday in March).
    calendar = a_calendar(weekly=((),) * 5 + (((time(22), time(6)),), ()))
    assert calendar.between(at("2026-03-07 22:00"), at("2026-03-08 06:00")) == hours(7)
    assert calendar.add(at("2026-03-08 01:30"), hours(1)) == at("2026-03-08 03:30")


def test_a_night_shift_is_an_hour_longer_when_the_clocks_go_back():
    # 1 November 2026, 01:00 to 02:00 comes twice in New York (first Sunday in November).
    calendar = a_calendar(weekly=((),) * 5 + (((time(22), time(6)),), ()))
    assert calendar.between(at("2026-10-31 22:00"), at("2026-11-01 06:00")) == hours(9)
    again = calendar.add(at("2026-11-01 01:30"), hours(1))
    assert again == at("2026-11-01 01:30") + hours(1)
    assert f"{calendar.local(again):%H:%M %Z}" == "01:30 EST"


def test_shop_hours_stay_by_the_wall_clock_when_the_clocks_change():
    calendar = a_calendar()
    assert calendar.add(at("2026-03-06 16:00"), hours(2)) == at("2026-03-09 09:00")
    assert calendar.add(at("2026-10-30 16:00"), hours(2)) == at("2026-11-02 09:00")


def test_work_that_is_done_in_one_go_waits_for_a_stretch_that_holds_it():
    minutes = a_calendar().minutes
    start = instant_of(minutes.start(_minute("2026-06-05 16:30"), 60, whole=True))
    assert start == at("2026-06-08 08:00")
    assert instant_of(minutes.start(_minute("2026-06-05 16:30"), 60, whole=False)) == at("2026-06-05 16:30")
    assert instant_of(minutes.last_start(_minute("2026-06-08 08:30"), 60, whole=True)) == at("2026-06-05 16:00")
    too_long = minutes.start(_minute("2026-06-05 16:30"), 5 * 60, whole=True)
    assert instant_of(too_long) == at("2026-06-05 16:30")


def test_a_shop_without_hours_is_refused_in_words():
    with pytest.raises(ValueError, match=r"no working hours.*for instance Monday 08:00 to 17:00"):
        a_calendar(weekly=((),) * 7, extra={date(2026, 6, 6): DAY})


def test_dates_no_shop_keeps_hours_for_are_refused_in_words():
    with pytest.raises(ValueError, match="outside the years 1900 to 2200"):
        a_calendar().add(at("2026-06-05 16:00"), timedelta(days=100_000))
    with pytest.raises(ValueError, match="outside the years 1900 to 2200"):
        a_calendar().between(at("0026-06-05 16:00"), at("2026-06-05 16:00"))


def test_a_year_of_closed_days_is_got_over():
    first = date(2026, 6, 1)
    calendar = a_calendar(closed={first + timedelta(days=count): "rebuilding" for count in range(400)})
    assert calendar.add(at("2026-06-01 08:00"), hours(1)) == at("2027-07-06 09:00")


INSTANTS = st.datetimes(datetime(2024, 1, 1), datetime(2028, 1, 1)).map(  # noqa: DTZ001
    lambda value: value.replace(second=0, microsecond=0, tzinfo=UTC)
)
WORK = st.integers(0, 60 * 200).map(lambda value: timedelta(minutes=value))
CLOCKS = st.integers(0, 95).map(lambda quarter: time(quarter // 4, quarter % 4 * 15))
CALENDARS = st.builds(
    ShopCalendar,
    zone=st.sampled_from(["UTC", "America/New_York", "Australia/Lord_Howe", "Asia/Kathmandu"]),
    weekly=st.lists(st.lists(st.tuples(CLOCKS, CLOCKS), max_size=3).map(tuple), min_size=7, max_size=7)
    .map(tuple)
    .filter(any),
    closed=st.dictionaries(st.dates(date(2024, 1, 1), date(2028, 1, 1)), st.just("holiday"), max_size=5),
)


@settings(max_examples=60)
@given(CALENDARS, INSTANTS, WORK)
def test_what_is_added_can_be_measured_and_taken_off_again(calendar, instant, work):
    end = calendar.add(instant, work)
    assert calendar.between(instant, end) == work
    start = calendar.subtract(end, work)
    assert calendar.between(start, end) == work
    assert start >= instant or not work
    if work:
        assert calendar.is_open(start)


@settings(max_examples=60)
@given(CALENDARS, INSTANTS, INSTANTS, WORK)
def test_later_in_never_gives_earlier_out(calendar, one, other, work):
    first, second = sorted((one, other))
    assert calendar.add(first, work) <= calendar.add(second, work)
    assert calendar.subtract(first, work) <= calendar.subtract(second, work)
    assert calendar.next_open(first) <= calendar.next_open(second)
    assert calendar.between(first, second) >= timedelta(0)


@settings(max_examples=60)
@given(CALENDARS, INSTANTS, st.integers(0, 600), st.booleans())
def test_the_last_start_is_the_mirror_image_of_the_first(calendar, instant, work, whole):
    minutes = calendar.minutes
    ready = int(instant.timestamp()) // 60
    start = minutes.start(ready, work, whole=whole)
    finish = minutes.add(start, work)
    assert minutes.is_open(start) or not work
    assert minutes.last_start(finish, work, whole=whole) == start
    if whole and 0 < work <= minutes.longest:
        assert finish - start == work


@settings(max_examples=60)
@given(CALENDARS, INSTANTS, st.integers(1, 72))
def test_open_and_closed_stretches_share_out_a_span_between_them(calendar, instant, length):
    start, end = instant, instant + hours(length)
    closed = sum((to - since for since, to in calendar.closed_stretches(start, end)), timedelta())
    assert calendar.between(start, end) + closed == hours(length)


def _minute(text: str) -> int:
    return int(at(text).timestamp()) // 60
