"""Schedules made at once: small ones by hand, longest paths by another library, all kinds against the checker."""

import networkx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from domain.schedule.check import violations
from domain.schedule.cost import cost
from domain.schedule.generate import Generator, first
from domain.schedule.problem import (
    Activity,
    Air,
    Calendar,
    Fact,
    Hold,
    Job,
    Lag,
    Mode,
    NoRoom,
    Person,
    Problem,
    Resource,
    Side,
)
from schedule_problems import problems
from scheduling_sets import job_shops

SHOP = Calendar(
    tuple((day * 24 + opens, day * 24 + closes) for day in range(60) for opens, closes in ((8, 12), (13, 17)))
)
"""Every day 8 to 12 and 13 to 17, a slot an hour."""
HOUSE = {
    "A": (2, ""), "B": (4, "A"), "C": (10, "B"), "D": (6, "C"), "E": (4, "C"), "F": (5, "E"), "G": (7, "D"),
    "H": (9, "EG"), "I": (7, "C"), "J": (8, "FI"), "K": (4, "J"), "L": (5, "J"), "M": (2, "H"), "N": (6, "KL"),
}  # fmt: skip


def work(slots: int, mode: Mode = Mode.SPLITTABLE, **more) -> Activity:
    return Activity(slots, mode, **({"crew": 1, "leads": (0,)} | more))


def shop(activities, lags=(), *, people: int = 1, **more) -> Problem:
    return Problem(
        tuple(activities),
        tuple(lags),
        people=(Person(0),) * people,
        calendars=(SHOP,),
        **({"horizon": 60 * 24} | more),
    )


def made(problem: Problem, **more):
    schedule = first(problem, **more)
    assert violations(problem, schedule) == ()
    return schedule


def test_work_is_broken_off_overnight_and_glue_dries_through_it():
    # Ten hours from 8: 8-12, 13-17, then 8-10 the next day; 20 hours of drying end at 30 + 24 = 54, still closed: 56.
    schedule = made(shop([work(10), Activity(20), work(2, Mode.WHOLE)], [Lag(0, 1), Lag(1, 2)]))
    assert schedule.start == (8, 34, 56)
    assert schedule.finish == (34, 54, 58)


def test_one_pair_of_hands_does_one_thing_at_a_time_and_two_do_two():
    alone = made(shop([work(4), work(4)]))
    assert sorted(alone.finish) == [12, 17]
    both = made(shop([work(4, leads=(0, 1)), work(4, leads=(0, 1))], people=2))
    assert both.finish == (12, 12)
    assert {team for (team,) in both.team} == {0, 1}


def test_two_who_lift_together_are_both_there_from_start_to_finish():
    # One is away in the afternoon: four hours together are the morning, whatever the other could do.
    mornings = Calendar(tuple((day * 24 + 8, day * 24 + 12) for day in range(60)))
    problem = Problem(
        (work(6, crew=2, leads=(0,), helpers=(1,)), work(3, leads=(0,))),
        people=(Person(0), Person(1)),
        calendars=(SHOP, mornings),
        horizon=60 * 24,
    )
    schedule = made(problem)
    # 8-12 and 8-10 the next day together; nobody does anything else in between. Three hours from 10 end at 14;
    # done first, they end at 11 and leave 1 + 4 + 1 hours of three mornings.
    assert sorted(schedule.finish) in ([34, 38], [11, 57])


def test_a_window_that_a_night_would_miss_is_met_by_starting_later():
    # The coat takes an hour, the next is due within 6 hours of its finish and no sooner than 4: 8-9 and 13-14 do.
    # With 3 hours of other work first, a coat from 11 to 12 leaves until 18 for the next: 16-17 is 4 hours on.
    coats = [work(1, Mode.WHOLE), work(1, Mode.WHOLE)]
    assert made(shop(coats, [Lag(0, 1, 4, 6)])).start == (8, 13)
    late = made(shop([work(5), *coats], [Lag(0, 1), Lag(1, 2, 4, 6)]))
    # Work until 14 leaves a coat from 14 to 15, then 19 to 21 for the next: closed. So both wait for the morning.
    assert late.start[1:] == (32, 37)
    assert late.broken == ()


def test_a_window_that_nothing_can_meet_is_said_to_be_missed():
    # From the finish at 12 at the latest no hour that is open lies 15 to 16 hours on, from 17 neither: 8 to 9 do.
    problem = shop([work(4, Mode.WHOLE), work(4, Mode.WHOLE, earliest=100)], [Lag(0, 1, 0, 1)])
    assert made(problem).broken == ()
    never = shop([work(4, Mode.WHOLE, leads=(0,)), Activity(1, earliest=9)], [Lag(0, 1, 18, 19), Lag(0, 1, 0, 2)])
    assert made(never).broken == (1,)


def test_clamps_stay_on_until_somebody_takes_them_off():
    # Glue 8-9, dry until 11, unclamp 11-12; the second glue-up needs the same clamps: 13-14, dry to 16, unclamp 16-17.
    steps = [work(1, Mode.WHOLE), Activity(2), work(1, Mode.WHOLE)] * 2
    lags = [Lag(0, 1), Lag(1, 2), Lag(3, 4), Lag(4, 5)]
    holds = [Hold(0, 6, 0, 2), Hold(0, 6, 3, 5)]
    schedule = made(shop(steps, lags, resources=(Resource(8),), holds=tuple(holds)))
    assert sorted(schedule.start[0::3]) == [8, 13]
    assert max(schedule.finish) == 17
    enough = made(shop(steps, lags, resources=(Resource(12),), holds=tuple(holds)))
    assert sorted(enough.start[0::3]) == [8, 9]


def test_dust_settles_before_a_coat_and_a_coat_dries_before_dust():
    airs = (Air(0, Side.DUST, 0, 0, 1), Air(0, Side.WET, 1, 1, 3))
    problem = shop([work(2, Mode.WHOLE), work(1, Mode.WHOLE, leads=(1,))], people=2, airs=airs)
    # Sanding 8-10 and an hour to settle, or the coat 8-9 and three hours to dry: the sum of finishes is the same job's.
    assert sorted(made(problem).start) in ([8, 11], [8, 13])


def test_what_has_happened_stays_and_keeps_its_people_and_clamps():
    problem = shop(
        [work(2, fact=Fact(9, 12, (0,))), Activity(3), work(1, Mode.WHOLE), work(4)],
        [Lag(0, 1), Lag(1, 2)],
        resources=(Resource(4),),
        holds=(Hold(0, 4, 0, 2), Hold(0, 1, 3, 3)),
        now=10,
    )
    schedule = made(problem)
    assert (schedule.start[0], schedule.finish[0]) == (9, 12)
    assert schedule.start[2:] == (15, 16)


def test_what_is_pinned_starts_exactly_then_and_the_rest_makes_room():
    schedule = made(shop([work(3, Mode.WHOLE), work(2, Mode.WHOLE, pinned=9)]))
    assert schedule.start == (13, 9)
    away = made(shop([work(3, pinned=20), work(1)]))
    assert (away.start[0], away.finish[0]) == (20, 23)  # nobody is there then, so it passes by the clock


def test_a_plan_made_again_keeps_who_does_what_and_when():
    problem = shop([work(4, leads=(0, 1)) for _ in range(6)], people=2)
    before = made(problem)
    assert made(problem, kept=before) == before
    more = shop([*problem.activities, work(4, leads=(0, 1))], people=2)
    kept = made(more, kept=type(before)((*before.start, 900), (*before.finish, 904), (*before.team, (0,))))
    assert (kept.start[:6], kept.team[:6]) == (before.start, before.team)


def test_who_should_do_something_does_it():
    problem = shop([work(4, leads=(0, 1)), work(4, leads=(0, 1))], people=2)
    schedule = Generator(problem).schedule([0, 1], teams=[(1,), (1,)])
    assert schedule.team == ((1,), (1,))
    assert schedule.start == (8, 13)


def test_a_horizon_that_is_too_short_is_said_to_be():
    with pytest.raises(NoRoom):
        first(shop([work(9)], horizon=24))
    with pytest.raises(NoRoom):
        first(shop([work(5, Mode.WHOLE)]))


def test_a_house_takes_44_weeks():
    """The network, recomputed by hand, is that of a house in a textbook of operations research (from memory)."""
    names = list(HOUSE)
    lags = [Lag(names.index(before), names.index(name)) for name, (_, after) in HOUSE.items() for before in after]
    schedule = made(Problem(tuple(Activity(slots) for slots, _ in HOUSE.values()), tuple(lags)))
    assert max(schedule.finish) == 44
    assert dict(zip(names, schedule.start, strict=True)) == {
        "A": 0, "B": 2, "C": 6, "D": 16, "E": 16, "F": 20, "G": 22, "H": 29, "I": 16, "J": 25, "K": 33, "L": 33,
        "M": 38, "N": 38,
    }  # fmt: skip


@given(problems())
@settings(max_examples=60, deadline=None)
def test_a_schedule_made_at_once_breaks_nothing(problem):
    assert violations(problem, first(problem)) == ()


@given(problems(most=6), st.randoms(use_true_random=False))
@settings(max_examples=60, deadline=None)
def test_any_priorities_make_a_schedule_that_breaks_nothing(problem, chance):
    generator = Generator(problem)
    priorities = [chance.random() for _ in problem.activities]
    schedule = generator.schedule(priorities)
    assert violations(problem, schedule) == ()
    assert schedule == Generator(problem).schedule(priorities)


@given(st.lists(st.integers(0, 9), min_size=2, max_size=12), st.data())
@settings(max_examples=100, deadline=None)
def test_where_nothing_runs_short_a_schedule_is_the_longest_path(lengths, data):
    many = len(lengths)
    pairs = data.draw(st.sets(st.tuples(st.integers(0, many - 1), st.integers(0, many - 1)), max_size=2 * many))
    lags = [
        Lag(*pair, data.draw(st.integers(0, 6)), from_start=data.draw(st.booleans()))
        for pair in pairs
        if pair[0] < pair[1]
    ]
    problem = Problem(tuple(Activity(length) for length in lengths), tuple(lags))
    graph = networkx.DiGraph()
    graph.add_nodes_from(range(many), weight=0)
    for number in range(many):
        graph.add_edge("begin", number, weight=0)
        graph.add_edge(number, "end", weight=lengths[number])
    for lag in lags:
        graph.add_edge(lag.before, lag.after, weight=lag.least + (0 if lag.from_start else lengths[lag.before]))
    for schedule in (first(problem), Generator(problem).schedule([0.0] * many)):
        assert violations(problem, schedule) == ()
        assert max(schedule.finish) == networkx.dag_longest_path_length(graph)


def test_published_job_shops_are_made_at_once_not_far_from_their_optimum():
    for shop_of in job_shops():
        schedule = made(shop_of.problem)
        assert shop_of.optimum <= max(schedule.finish) <= 1.3 * shop_of.optimum


def test_of_two_jobs_the_one_that_is_due_comes_first():
    problem = shop([work(8, job=0), work(8, job=1)], jobs=(Job(), Job(due=17)))
    schedule = made(problem)
    assert schedule.start == (32, 8)
    assert cost(problem, schedule).late == 0


def test_two_parts_are_sanded_before_either_is_coated_where_the_order_is_loose() -> None:
    """By hand: both sanded by 4, both wet from 4 to 10; one led to its end first keeps dust away until 8."""
    activities = tuple(Activity(work) for _ in range(2) for work in (2, 6))
    rooms = tuple(Air(0, Side.DUST if at % 2 == 0 else Side.WET, at, at) for at in range(4))
    sander = tuple(Hold(0, 1, at, at) for at in (0, 2))
    windows = (Lag(0, 1, 0, 4), Lag(2, 3, 0, 4))
    problem = Problem(activities, windows, (Resource(1),), sander, rooms, horizon=100)
    generator = Generator(problem)
    keys = [0.0, 2.0, 1.0, 3.0]
    led, loose = generator.schedule(keys), generator.schedule(keys, loose=True)
    assert (max(led.finish), max(loose.finish)) == (16, 10)
    assert violations(problem, loose) == ()
