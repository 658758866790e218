"""Tasks: how long a figure is, which clock a kind runs on, keys."""

from datetime import timedelta
from fractions import Fraction

import pytest

from domain.figure import Unit, typed
from domain.part import TaskKind
from domain.task import Clock, clock_of, duration_of
from plan_builders import a_task


@pytest.mark.parametrize(
    ("value", "unit", "minutes"),
    [
        ("90", Unit.SECOND, 2),
        ("0", Unit.MINUTE, 0),
        ("41/2", Unit.MINUTE, 21),
        ("3/4", Unit.HOUR, 45),
        ("1/7", Unit.HOUR, 9),
        ("10", Unit.DAY, 10 * 24 * 60),
    ],
)
def test_a_duration_is_its_figure_in_whole_minutes_rounded_up(value, unit, minutes):
    assert duration_of(typed("Clamp time", Fraction(value), unit)) == timedelta(minutes=minutes)


def test_lengths_of_time_that_cannot_be_meant_are_refused_in_words():
    with pytest.raises(ValueError, match="Cure is in ft, not in minutes"):
        duration_of(typed("Cure", 3, Unit.FOOT))
    with pytest.raises(ValueError, match="Cure of 4000 days must be from 0 to ten years"):
        duration_of(typed("Cure", 4000, Unit.DAY))
    with pytest.raises(ValueError, match="Cure of -1 min"):
        duration_of(typed("Cure", -1, Unit.MINUTE))


def test_glue_finish_and_lead_times_pass_day_and_night_and_hands_only_in_shop_hours():
    elapsed = {kind for kind in TaskKind if clock_of(kind) is Clock.ELAPSED}
    assert elapsed == {
        TaskKind.DELIVERY,
        TaskKind.ACCLIMATE,
        TaskKind.CLAMP,
        TaskKind.CURE,
        TaskKind.DRY,
        TaskKind.MILESTONE,
    }


def test_a_task_knows_its_key_within_the_job_even_when_that_holds_a_slash():
    assert a_task("p3.glue-up-1", job=12).part == "p3.glue-up-1"
    assert a_task("supplier:Hill/Dale yard.delivery", job=12).part == "supplier:Hill/Dale yard.delivery"
