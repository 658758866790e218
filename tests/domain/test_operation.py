"""Operations: minutes from what the shop says, and what nobody has said yet."""

from fractions import Fraction

import pytest

from domain.figure import Figure, Unit, typed
from domain.operation import (
    OPERATIONS,
    STARTING_SOURCE,
    OperationTime,
    minutes,
    person_minutes,
    starting_times,
    unsaid,
)
from domain.part import Work


def work(operation: str, quantity: str) -> Work:
    return Work(operation, typed("So much", Fraction(quantity), OPERATIONS[operation].unit))


TIMES = {
    "mill": OperationTime(Fraction(20), Fraction(8)),
    "glue-up": OperationTime(Fraction(15), Fraction(1), crew=2),
    "sand": OperationTime(None, Fraction(1)),
}


def test_minutes_are_setup_once_and_each_times_quantity() -> None:
    assert minutes([work("mill", "5")], TIMES).value == 20 + 8 * 5


def test_an_operation_done_twice_in_one_task_is_set_up_once() -> None:
    assert minutes([work("mill", "5"), work("mill", "3")], TIMES).value == 20 + 8 * (5 + 3)


def test_the_clock_runs_once_for_a_crew_and_wages_for_each() -> None:
    glue_up = [work("glue-up", "37")]
    assert minutes(glue_up, TIMES).value == 15 + 37
    assert person_minutes(glue_up, TIMES).value == 2 * (15 + 37)
    assert person_minutes(glue_up, TIMES, crew=3).value == 3 * (15 + 37), "the step needs more than usual"


def test_what_nobody_has_said_is_named_and_never_a_silent_zero() -> None:
    both = [work("flatten", "20"), work("sand", "60"), work("mill", "5")]
    assert minutes(both, TIMES).value == 20 + 8 * 5
    assert unsaid(both, TIMES) == ("flatten", "sand"), "half said is not said"
    assert unsaid([work("mill", "5")], TIMES) == ()


def test_an_operation_that_is_not_in_the_catalogue_is_a_mistake() -> None:
    lost = Work("polish", Figure("So much", Fraction(1), Unit.EACH, typed("x", 1).rule))
    for ask in (minutes, unsaid):
        with pytest.raises(KeyError):
            ask([lost], TIMES)


def test_minutes_open_down_to_where_the_shop_said_them() -> None:
    timed = {"mill": OperationTime(Fraction(22), Fraction(9))}
    found = minutes([work("mill", "5")], timed)
    said = {one.rule.where for one in found.walk() if one.rule.source == "shop practice"}
    assert said == {"operation:mill"}
    assert found.unit is Unit.MINUTE


def test_starting_values_are_offered_with_a_plain_word_about_their_source() -> None:
    times = starting_times()
    assert times.keys() == OPERATIONS.keys()
    assert all(time.is_said for time in times.values())
    assert "without a source" in STARTING_SOURCE


def test_no_work_takes_no_time() -> None:
    assert minutes([], TIMES).value == 0
