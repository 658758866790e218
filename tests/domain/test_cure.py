"""Elapsed time passes day and night, and the same when clocks change. zoneinfo's database is the reference."""

from datetime import UTC, datetime, timedelta
from fractions import Fraction
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.cure import RecoatWindow, clamps_off_at, cured_at, duration, recoat_window, recoat_window_of
from domain.figure import Unit, typed
from domain.finish import colour_families, finish_families
from domain.practice import ShopPractice

NEW_YORK = ZoneInfo("America/New_York")
USUAL = ShopPractice()
instants = st.integers(1_577_836_800, 2_051_222_400).map(lambda second: datetime.fromtimestamp(second, UTC))


def test_glue_cures_24_hours_though_clocks_go_forward():
    # Source: US Energy Policy Act of 2005: clocks go forward on 8 March 2026 at 02:00, back on 1 November 2026
    assert cured_at(datetime(2026, 3, 7, 16, 0, tzinfo=NEW_YORK), timedelta(hours=24)).hour == 17
    assert cured_at(datetime(2026, 10, 31, 16, 0, tzinfo=NEW_YORK), timedelta(hours=24)).hour == 15
    assert cured_at(datetime(2026, 6, 6, 16, 0, tzinfo=NEW_YORK), timedelta(hours=24)).hour == 16


def test_clamps_come_off_on_a_sunday_too():
    saturday = datetime(2026, 6, 6, 22, 30, tzinfo=NEW_YORK)
    assert clamps_off_at(saturday, timedelta(hours=3)) == datetime(2026, 6, 7, 1, 30, tzinfo=NEW_YORK)


@given(instants, st.integers(0, 10_000))
def test_elapsed_time_is_the_difference_of_instants(start, minutes):
    local = start.astimezone(NEW_YORK)
    end = cured_at(local, timedelta(minutes=minutes))
    assert end.astimezone(UTC) - start == timedelta(minutes=minutes)
    assert end.tzinfo is NEW_YORK


def test_an_instant_without_a_zone_is_refused():
    naive = datetime(2026, 6, 1, 8, 0)  # noqa: DTZ001
    for use in (lambda: cured_at(naive, timedelta(hours=1)), lambda: RecoatWindow(naive)):
        with pytest.raises(ValueError, match="no time zone"):
            use()


def test_times_become_whole_minutes_a_begun_one_counting():
    assert duration(typed("t", Fraction(3, 2), Unit.HOUR)) == timedelta(minutes=90)
    assert duration(typed("t", 14, Unit.DAY)) == timedelta(days=14)
    assert duration(typed("t", Fraction(1, 3), Unit.MINUTE)) == timedelta(minutes=1)
    with pytest.raises(ValueError, match="not a time"):
        duration(typed("t", 3, Unit.POUND))


def test_a_recoat_window_opens_and_closes():
    coated = datetime(2026, 6, 1, 9, 40, tzinfo=NEW_YORK)
    window = recoat_window(coated, timedelta(hours=12), timedelta(hours=24))
    opens, closes = coated + timedelta(hours=12), coated + timedelta(hours=24)
    minute = timedelta(minutes=1)
    assert not window.is_open(opens - minute)
    assert window.is_open(opens)
    assert window.is_open(closes)
    assert not window.is_open(closes + minute)
    assert window.is_missed(closes + minute)
    assert not window.is_missed(opens - minute)


def test_a_window_that_never_closes_is_never_missed():
    coated = datetime(2026, 6, 1, 9, 40, tzinfo=NEW_YORK)
    window = recoat_window(coated, timedelta(hours=1))
    assert window.closes is None
    assert window.is_open(coated + timedelta(days=365))


def test_a_window_closes_after_it_opens():
    at = datetime(2026, 6, 1, 9, 40, tzinfo=NEW_YORK)
    with pytest.raises(ValueError, match="cannot close"):
        recoat_window(at, timedelta(hours=2), timedelta(hours=1))


def test_oil_modified_polyurethane_is_recoated_within_a_day():
    # Source: how-to articles: chemical bond only within about 24 h, scuff after that
    coated = datetime(2026, 6, 1, 9, 40, tzinfo=NEW_YORK)
    window = recoat_window_of("Oil-modified polyurethane", coated, USUAL)
    assert (window.opens, window.closes) == (coated + timedelta(hours=12), coated + timedelta(hours=24))


@given(instants, st.sampled_from((*finish_families(), *colour_families())), st.sampled_from(finish_families()))
def test_every_family_has_a_window(coated, family, under):
    window = recoat_window_of(family, coated, USUAL, under=under)
    assert coated <= window.opens
    assert window.is_open(window.opens)
