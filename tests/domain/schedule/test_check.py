"""The checker against schedules tried slot by slot, and against one mistake of each kind."""

from dataclasses import replace

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from domain.schedule.check import violations
from domain.schedule.problem import (
    Activity,
    Air,
    Calendar,
    Fact,
    Hold,
    Lag,
    Mode,
    Person,
    Problem,
    Resource,
    Side,
)
from domain.schedule.schedule import Schedule
from schedule_cases import problems
from schedule_slots import Place, as_schedule, is_allowed, places

HOURS = Calendar(((0, 4), (8, 12), (16, 20)))
LATE = Calendar(((2, 6), (8, 14)))
WORK = Activity(3, Mode.SPLITTABLE, 1, (0,))
WAIT = Activity(2)


def shop(*activities: Activity, **more: object) -> Problem:
    """Return a problem of two people, the second of whom comes late, with room for anything else."""
    return replace(
        Problem(activities, people=(Person(0), Person(1)), calendars=(HOURS, LATE), horizon=20),
        **more,  # type: ignore[arg-type]
    )


def at(*places: tuple[int, int] | Place, broken: tuple[int, ...] = ()) -> Schedule:
    """Return a schedule; the first person does whatever says no team."""
    whole = [place if len(place) == 3 else (*place, (0,)) for place in places]
    return Schedule(
        tuple(place[0] for place in whole),
        tuple(place[1] for place in whole),
        tuple(place[2] for place in whole),
        broken,
    )


def test_nothing_is_wrong_with_work_in_hours_or_broken_off_over_a_night() -> None:
    assert violations(shop(WORK, WORK), at((0, 3), (3, 10))) == ()


def test_lists_of_another_length_are_told_at_once() -> None:
    assert violations(shop(WORK), Schedule((0, 1), (3,), ((0,),))) == ("1 activities, but 2 in start",)


BOTH = replace(WORK, crew=2, helpers=(1,))
WHOLE = replace(WORK, mode=Mode.WHOLE)
MISTAKES = [
    (shop(WORK, now=2), at((1, 4)), "starts at 1, but it is 2 now"),
    (shop(replace(WORK, earliest=2)), at((1, 4)), "starts at 1, but at 2 at the earliest"),
    (shop(replace(WORK, pinned=2)), at((1, 4)), "starts at 1, but is pinned to 2"),
    (shop(replace(WORK, fact=Fact(0, 9, (0,)))), at((1, 9)), "planned from 1 to 9, but happened from 0 to 9"),
    (shop(replace(WORK, fact=Fact(0, 9, (1,)))), at((0, 9)), "was begun by (1,)"),
    (shop(WAIT), at((0, 3, ())), "runs from 0 to 3, but takes 2 slots"),
    (shop(WORK), at((2, 8)), "has 2 open slots from 2 to 8, but takes 3"),
    (shop(WORK), at((2, 10)), "has 4 open slots"),
    (shop(WORK), at((5, 11)), "its team is away when it starts or ends"),
    (shop(WORK), at((1, 5)), "its team is away when it starts or ends"),
    (shop(WHOLE), at((2, 9)), "must be done in one go"),
    (shop(BOTH), at((0, 3, (0, 1))), "has 1 open slots from 0 to 3, but takes 3"),
    (shop(replace(WORK, pinned=6)), at((6, 11)), "runs from 6 to 11, but takes 3 slots of the clock"),
    (shop(WORK), at((0, 3, ())), "has team (), but needs 1 people at once"),
    (shop(BOTH), at((0, 3, (0, 0))), "has team (0, 0), but needs 2 people at once"),
    (shop(WORK), at((2, 5, (1,))), "has [1] in its team, who may not do it"),
    (shop(replace(WORK, helpers=(1,))), at((2, 5, (1,))), "nobody who may lead it"),
    (shop(WORK, WORK), at((0, 3), (2, 9)), "person 0 is at activity 0 until 3, and at 1 from 2"),
    (
        shop(WORK, replace(WORK, work=1)),
        at((2, 9), (3, 4)),
        "person 0 is at activity 0 until 9, and at 1 from 3",
    ),
    (shop(WAIT, WAIT, lags=(Lag(0, 1, 2),)), at((0, 2, ()), (3, 5, ())), "lasts 1, but 2 at least"),
    (
        shop(WAIT, WAIT, lags=(Lag(0, 1, 0, 2),)),
        at((0, 2, ()), (5, 7, ())),
        "lasts 3, but 2 at most, and is not said to be broken",
    ),
    (shop(WAIT, WAIT, lags=(Lag(0, 1, 0, 2),)), at((0, 2, ()), (3, 5, ()), broken=(0,)), "said to be broken, but"),
    (shop(WAIT, WAIT, lags=(Lag(0, 1, 0, 2),)), at((0, 2, ()), (5, 7, ()), broken=(0, 0)), "said twice"),
    (shop(WAIT, WAIT, lags=(Lag(0, 1, 3, calendar=0),)), at((0, 2, ()), (8, 10, ())), "lasts 2, but 3 at least"),
    (
        shop(WAIT, WAIT, resources=(Resource(3),), holds=(Hold(0, 2, 0, 0), Hold(0, 2, 1, 1))),
        at((0, 2, ()), (1, 3, ())),
        "4 of resource 0 are held at 1, but there are 3",
    ),
    (
        shop(WAIT, WAIT, WAIT, resources=(Resource(1),), holds=(Hold(0, 1, 0, 1), Hold(0, 1, 2, 2))),
        at((0, 2, ()), (6, 8, ()), (3, 5, ())),
        "2 of resource 0 are held at 3, but there are 1",
    ),
    (
        shop(WAIT, WAIT, resources=(Resource(1),), holds=(Hold(0, 1, 0, 0, 4), Hold(0, 1, 1, 1))),
        at((0, 2, ()), (5, 7, ())),
        "2 of resource 0 are held at 5, but there are 1",
    ),
    (
        shop(WAIT, WAIT, airs=(Air(0, Side.WET, 0, 0, 4), Air(0, Side.DUST, 1, 1))),
        at((0, 2, ()), (5, 7, ())),
        "room 0 has wet finish until 6, and dust from 5",
    ),
]


@pytest.mark.parametrize(("problem", "schedule", "words"), MISTAKES, ids=[words for *_, words in MISTAKES])
def test_each_mistake_is_named_with_its_numbers(problem: Problem, schedule: Schedule, words: str) -> None:
    assert [words in said for said in violations(problem, schedule)] == [True]


def test_an_ending_at_a_start_is_no_clash_of_people_clamps_or_air() -> None:
    problem = shop(
        WORK,
        replace(WORK, work=1),
        resources=(Resource(1),),
        holds=(Hold(0, 1, 0, 0), Hold(0, 1, 1, 1)),
        airs=(Air(0, Side.WET, 0, 0), Air(0, Side.DUST, 1, 1)),
    )
    assert violations(problem, at((0, 3), (3, 4))) == ()


def test_dust_in_one_room_leaves_another_clean_and_two_coats_share_a_room() -> None:
    airs = (Air(0, Side.WET, 0, 0), Air(1, Side.DUST, 1, 1), Air(0, Side.WET, 1, 1))
    assert violations(shop(WAIT, WAIT, airs=airs), at((0, 2, ()), (1, 3, ()))) == ()


@pytest.mark.parametrize(
    ("from_start", "to_finish", "least", "most"),
    [(False, False, 3, 3), (True, False, 5, 5), (False, True, 6, 6), (True, True, 8, 8)],
)
def test_a_lag_counts_between_the_ends_it_names(from_start: bool, to_finish: bool, least: int, most: int) -> None:
    lag = Lag(0, 1, least, most, from_start, to_finish)
    problem = shop(WAIT, replace(WAIT, work=3), lags=(lag,))
    good = at((0, 2, ()), (5, 8, ()))
    assert violations(problem, good) == ()
    assert len(violations(replace(problem, lags=(replace(lag, least=least + 1),)), good)) == 1
    assert len(violations(replace(problem, lags=(replace(lag, most=most - 1),)), good)) == 1


def test_a_pin_in_closed_hours_runs_by_the_clock_and_one_in_open_hours_is_broken_off() -> None:
    assert violations(shop(replace(WORK, pinned=5)), at((5, 8))) == ()
    assert violations(shop(replace(WORK, pinned=2)), at((2, 9))) == ()
    assert violations(shop(replace(WHOLE, pinned=2)), at((2, 5))) == ()


def test_what_facts_bring_about_is_never_wrong_but_what_is_planned_on_top_is() -> None:
    begun = replace(WORK, fact=Fact(0, 5, (0,)))
    problem = shop(
        begun,
        begun,
        replace(WORK, work=1),
        resources=(Resource(1),),
        holds=(Hold(0, 1, 0, 0), Hold(0, 1, 1, 1)),
        airs=(Air(0, Side.WET, 0, 0), Air(0, Side.DUST, 1, 1)),
        lags=(Lag(2, 0),),
        now=2,
    )
    assert violations(problem, at((0, 5), (0, 5), (8, 9))) == ()
    on_top = replace(problem, holds=(*problem.holds, Hold(0, 1, 2, 2)), airs=(*problem.airs, Air(0, Side.DUST, 2, 2)))
    assert len(violations(on_top, at((0, 5), (0, 5), (3, 4)))) == 3


@given(problems(), st.data())
def test_the_checker_agrees_with_a_look_at_every_slot(problem: Problem, data: st.DataObject) -> None:
    """Activities stand anywhere each may by itself; whether they disturb one another is counted slot by slot."""
    choices = [list(places(problem, number, 20)) for number in range(len(problem.activities))]
    assume(all(choices))
    placed = [choice[data.draw(st.integers(0, len(choice) - 1))] for choice in choices]
    found = violations(problem, as_schedule(problem, placed))
    assert (found == ()) == is_allowed(problem, placed), found


@given(problems(facts=False), st.data())
def test_a_place_that_an_activity_cannot_have_by_itself_is_found(problem: Problem, data: st.DataObject) -> None:
    number = data.draw(st.integers(0, len(problem.activities) - 1))
    start, finish = data.draw(st.integers(0, 20)), data.draw(st.integers(0, 24))
    choices = [list(places(problem, at, 20)) for at in range(len(problem.activities))]
    assume(all(choices))
    placed = [choice[0] for choice in choices]
    placed[number] = (start, finish, placed[number][2])
    alone = replace(
        problem,
        activities=(problem.activities[number],),
        lags=(),
        holds=(),
        airs=(),
    )
    found = violations(alone, as_schedule(alone, [placed[number]]))
    assert (found == ()) == (placed[number] in list(places(problem, number, 24))), found
