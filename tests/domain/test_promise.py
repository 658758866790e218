"""How sure a finish is: formulas against a published example and SciPy, dates against simulated jobs."""

from fractions import Fraction
from random import Random
from statistics import NormalDist, mean, pvariance

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import beta

from benchmarks.shop_problem import shop_problem
from domain.promise import Spread, odds
from domain.promise.draw import draws, quantile
from domain.promise.odds import at_share, pulls
from domain.schedule.generate import first
from domain.schedule.problem import Activity, Lag, Problem
from domain.schedule.replay import Replay
from domain.schedule.schedule import Schedule

HOUSE = {
    "A": (1, 2, 3), "B": (2, "3.5", 8), "C": (6, 9, 18), "D": (4, "5.5", 10), "E": (1, "4.5", 5), "F": (4, 4, 10),
    "G": (5, "6.5", 11), "H": (5, 8, 17), "I": (3, "7.5", 9), "J": (3, 9, 9), "K": (4, 4, 4), "L": (1, "5.5", 7),
    "M": (1, 2, 3), "N": (5, "5.5", 9),
}  # fmt: skip
"""Three times of each activity of a house-building project in a textbook of operations research; from memory."""
MEANS = dict(zip("ABCDEFGHIJKLMN", (2, 4, 10, 6, 4, 5, 7, 9, 7, 8, 4, 5, 2, 6), strict=True))
CRITICAL = "ABCEFJLN"


def spread(best: object, usual: object, worst: object) -> Spread:
    return Spread(*(Fraction(str(each)) for each in (best, usual, worst)))


def test_means_and_variances_are_those_of_the_textbook_example() -> None:
    assert {name: spread(*times).mean for name, times in HOUSE.items()} == MEANS
    critical = [spread(*HOUSE[name]) for name in CRITICAL]
    assert sum(each.mean for each in critical) == 44
    assert sum(each.variance for each in critical) == 9
    assert round(NormalDist(44, 3).cdf(47), 4) == 0.8413


@given(st.integers(0, 50), st.integers(0, 50), st.integers(0, 50), st.floats(0.005, 0.995))
def test_quantiles_are_those_of_scipy(less: int, more: int, even_more: int, share: float) -> None:
    found = spread(less, less + more, less + more + even_more)
    first_shape, second_shape = (float(each) for each in found.shape)
    assert quantile(first_shape, second_shape, share) == pytest.approx(
        beta.ppf(share, first_shape, second_shape), abs=0.002
    )


def test_what_is_drawn_has_the_mean_of_pert_and_its_width() -> None:
    found = spread(480, 600, 1140)
    drawn = [case[0] for case in draws([found, None], 1000, seed=3)]
    assert mean(drawn) == pytest.approx(float(found.mean), abs=1)
    assert min(drawn) >= 480
    assert max(drawn) <= 1140
    first_shape, second_shape = (float(each) for each in found.shape)
    assert pvariance(drawn) == pytest.approx(beta.var(first_shape, second_shape) * 660**2, rel=0.02)
    assert {case[1] for case in draws([found, None], 10, seed=3)} == {0}


def test_the_same_seed_draws_the_same_and_another_does_not() -> None:
    found = [spread(8, 10, 19)] * 3
    assert draws(found, 50, seed=1) == draws(found, 50, seed=1)
    assert draws(found, 50, seed=1) != draws(found, 50, seed=2)


@pytest.mark.parametrize("times", [(2, 1, 3), (1, 3, 2), (-1, 1, 2)])
def test_three_times_must_be_in_order(times: tuple[int, int, int]) -> None:
    with pytest.raises(ValueError, match="best ≤ usual ≤ worst"):
        spread(*times)


def test_a_spread_in_shares_moves_with_what_is_usual() -> None:
    assert spread(8, 10, 19).times(Fraction(60)) == spread(48, 60, 114)


def test_so_many_of_ordered_values_are_not_more_than_the_one_at_a_share() -> None:
    assert at_share(range(1, 11), 0.9) == 9
    assert at_share(range(1, 11), 0.5) == 5
    assert at_share([7], 0.01) == 7


def two_in_a_row() -> tuple[Problem, Schedule]:
    problem = Problem((Activity(100), Activity(20)), (Lag(0, 1),))
    return problem, Schedule((0, 100), (100, 120), ((), ()))


def test_a_row_of_two_is_finished_when_both_have_taken_their_time() -> None:
    problem, schedule = two_in_a_row()
    found = odds(problem, schedule, [spread(80, 100, 190), spread(20, 20, 20)])
    expected = 80 + 110 * beta.ppf(0.9, *(float(each) for each in spread(80, 100, 190).shape)) + 20
    assert found.by(0, 0.9) == pytest.approx(expected, abs=1)
    assert found.share_by(0, found.by(0, 0.9)) == pytest.approx(0.9, abs=0.01)
    assert [pull.activity for pull in found.pulls[0]] == [0]
    assert found.pulls[0][0].correlation == pytest.approx(1)


def test_what_has_no_spread_or_no_effect_pulls_at_nothing() -> None:
    spreads = [spread(1, 2, 3), spread(1, 2, 3), None]
    cases = [[1, 1, 0], [3, 1, 0], [1, 3, 0], [3, 3, 0]] * 50
    assert [pull.activity for pull in pulls(cases, [case[0] for case in cases], spreads)] == [0]
    assert pulls(cases, [5] * len(cases), spreads) == ()


def test_dates_said_for_nine_in_ten_hold_in_nine_of_ten_simulated_jobs() -> None:
    """2,000 jobs drawn by Python's own betavariate from the stated spreads: 88 to 92 of 100 are finished in time."""
    held = {0.5: 0, 0.9: 0}
    jobs, each = 20, 100
    for seed in range(jobs):
        problem = shop_problem(1, seed=seed)
        schedule = first(problem)
        spreads = [
            Spread(Fraction(one.work) * Fraction(4, 5), Fraction(one.work), Fraction(one.work) * Fraction(19, 10))
            if one.crew
            else Spread(Fraction(one.work), Fraction(one.work), Fraction(one.work))
            for one in problem.activities
        ]
        said = odds(problem, schedule, spreads)
        random, replay = Random(1000 + seed), Replay(problem, schedule)
        for _ in range(each):
            _, finish = replay.run([_drawn(one, random) for one in spreads])
            last = max(slot for slot, one in zip(finish, problem.activities, strict=True) if one.counts)
            for share in held:
                held[share] += last <= said.by(0, share)
    assert 0.88 <= held[0.9] / (jobs * each) <= 0.92
    assert 0.46 <= held[0.5] / (jobs * each) <= 0.54


def _drawn(one: Spread, random: Random) -> int:
    width = one.worst - one.best
    if not width:
        return round(one.usual)
    first_shape, second_shape = one.shape
    return round(float(one.best) + float(width) * random.betavariate(float(first_shape), float(second_shape)))
