"""Labour by operation and by piece: the same minutes and money, added up two ways."""

from fractions import Fraction

from domain.estimate import estimate
from domain.labour import WHOLE_JOB, by_operation, by_piece
from domain.price import PriceBook
from money_builders import PRACTICE, TIMES, TODAY, a_piece, a_step, a_take_off, some_terms

TWO = a_take_off(
    a_piece(1, a_step(quantity="10"), a_step("glue", "8", operation="glue-up")),
    a_piece(2, a_step(quantity="70")),
)


def test_each_operation_and_each_piece_is_added_up_once() -> None:
    found = estimate(TWO, PriceBook(), TIMES, some_terms(), (), PRACTICE, TODAY)
    operations, pieces = by_operation(found.labour), by_piece(found.labour, TWO)
    sand = next(one for one in operations if one.key == "sand")
    assert sand.minutes.value == (5 + 10) + (5 + 70)
    assert [one.title for one in pieces] == ["Piece 1", "Piece 2", WHOLE_JOB]
    assert pieces[0].minutes.value == (5 + 10) + 2 * (15 + 8)


def test_both_ways_add_up_to_all_labour_to_the_cent() -> None:
    found = estimate(TWO, PriceBook(), TIMES, some_terms(), (), PRACTICE, TODAY)
    for sums in (by_operation(found.labour), by_piece(found.labour, TWO)):
        assert sum((one.extension.value for one in sums), Fraction(0)) == found.totals.labour.value
        assert sum((one.minutes.value for one in sums), Fraction(0)) / 60 == found.totals.hours.value


def test_a_job_without_hands_has_no_labour() -> None:
    assert by_operation(()) == by_piece((), TWO) == ()
