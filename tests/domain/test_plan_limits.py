"""The plan keeps to what there is: people with skills and own hours, clamps by length, places to dry, clean air."""

from dataclasses import replace
from datetime import date, time, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from domain.length import Length
from domain.part import TaskKind
from domain.person import Absence, Person, Skill
from domain.plan import Resources
from domain.plan.planned import HeldBy
from domain.shop import ClampsOf
from domain.shop_calendar import ShopCalendar
from domain.task import Clock, End, Link, key_of
from plan_builders import ALWAYS, CALENDAR, DAY, MONDAY, a_plan, a_task, at, hours, wait

ADA, BEN = Person(7, "Ada", frozenset({Skill.FINISHING, Skill.BENCH})), Person(9, "Ben", frozenset({Skill.MACHINES}))
MORNINGS = (((time(8), time(12)),),) * 5 + ((), ())


def there(*people, **more):
    return Resources(people=people, clamps=24, benches=2, **more)


def a_coat(name, *after, **more):
    return a_task(name, 40, *after, kind=TaskKind.COAT, splittable=False, **more)


def starts(found, *names):
    return [found.tasks[f"1/{name}"].start for name in names]


def test_work_is_done_by_those_who_can():
    found = a_plan(a_task("mill", 60, kind=TaskKind.MILL), a_task("sand", 60, kind=TaskKind.SAND),
                   a_task("saw", 60, kind=TaskKind.CUT), resources=there(ADA, BEN))  # fmt: skip
    assert [found.tasks[f"1/{name}"].who for name in ("mill", "sand", "saw")] == [(9,), (7,), (9,)]
    assert sorted(starts(found, "mill", "saw")) == [MONDAY, at("2026-06-01 09:00")]
    later = max((found.tasks[f"1/{name}"] for name in ("mill", "saw")), key=lambda each: each.start)
    assert later.holder.kind is HeldBy.PERSON
    assert found.name_of(9) == "Ben"
    assert found.name_of(3) == "person 3"


def test_somebody_works_in_their_own_hours_and_not_while_away():
    half = replace(ADA, weekly=MORNINGS)
    away = Absence(1, 7, at("2026-06-02 00:00"), at("2026-06-03 00:00"))
    found = a_plan(a_task("sand", 360, kind=TaskKind.SAND), resources=there(half, absences=(away,)))
    assert found.tasks["1/sand"].finish == at("2026-06-03 10:00")  # four hours on Monday, none on Tuesday, two more
    assert found.is_checked


def test_nobody_works_on_a_closed_day_but_everybody_on_extra_hours():
    saturday = date(2026, 6, 6)
    closed = ShopCalendar("America/New_York", (DAY,) * 5 + ((), ()), {date(2026, 6, 1): "closed"},
                          {saturday: ((time(8), time(10)),)})  # fmt: skip
    half = replace(ADA, weekly=MORNINGS)
    found = a_plan(a_task("sand", 60 * 17, kind=TaskKind.SAND), calendar=closed, resources=there(half))
    assert found.tasks["1/sand"].start == at("2026-06-02 08:00")
    assert found.tasks["1/sand"].finish == at("2026-06-06 09:00")


def test_a_helper_is_only_ever_the_second():
    helper = Person(8, "Cy", helps_only=True)
    found = a_plan(a_task("carry", 60, crew=2), a_task("sand", 60, kind=TaskKind.SAND), resources=there(ADA, helper))
    assert set(found.tasks["1/carry"].who) == {7, 8}
    assert found.tasks["1/sand"].who == (7,)


def test_a_task_that_is_given_to_somebody_waits_for_them():
    tasks = a_task("first", 60, who=(9,)), a_task("second", 60, who=(9,))
    found = a_plan(*tasks, resources=there(ADA, BEN))
    assert [found.tasks[f"1/{name}"].who for name in ("first", "second")] == [(9,), (9,)]
    assert sorted(starts(found, "first", "second")) == [MONDAY, at("2026-06-01 09:00")]


def glue(name, clamps, length=None):
    more = {"clamp_length": Length.of(length)} if length else {}
    return a_task(name, 60, kind=TaskKind.GLUE_UP, splittable=False, clamps=clamps, **more)


def test_long_clamps_are_counted_by_themselves_and_short_work_may_use_them():
    clamps = Resources(
        hands=3, clamps=12, benches=3, clamps_of=(ClampsOf(Length.of(24), 8), ClampsOf(Length.of(50), 4))
    )
    wide = a_plan(glue("one", 3, 40), glue("other", 3, 40), resources=clamps)
    assert sorted(starts(wide, "one", "other")) == [MONDAY, at("2026-06-01 09:00")]
    short = a_plan(glue("one", 4, 40), glue("other", 8, 20), resources=clamps)
    assert starts(short, "one", "other") == [MONDAY, MONDAY]
    all_of_them = a_plan(glue("one", 10, 20), glue("other", 3, 40), resources=clamps)
    assert sorted(starts(all_of_them, "one", "other")) == [MONDAY, at("2026-06-01 09:00")]
    assert all_of_them.is_checked


def test_nobody_sands_while_a_coat_is_wet_but_in_another_room():
    coat = a_coat("coat", wet_for=hours(2))
    sand = a_task("sand", 30, kind=TaskKind.SAND, not_before=at("2026-06-01 08:10"))
    found = a_plan(coat, sand)
    assert found.tasks["1/sand"].start == at("2026-06-01 10:40")
    assert found.tasks["1/sand"].holder.kind is HeldBy.AIR
    assert found.tasks["1/sand"].holder.by == ("1/coat",)
    apart = a_plan(coat, sand, resources=Resources(hands=2, finishing_room=True))
    assert apart.tasks["1/sand"].start == at("2026-06-01 08:10")
    on_site = a_plan(coat, replace(sand, on_site=True))
    assert on_site.tasks["1/sand"].start == at("2026-06-01 08:10")


def test_places_to_dry_are_held_until_a_piece_can_be_carried():
    one, other = a_coat("one"), a_task("carry", 30, wait("one", hours(4)))
    second = a_coat("second")
    found = a_plan(one, other, second, resources=Resources(hands=2, dry_places=1))
    assert found.is_checked
    if found.tasks["1/one"].start < found.tasks["1/second"].start:
        assert found.tasks["1/second"].start >= found.tasks["1/one"].finish + hours(4)
    else:
        assert found.tasks["1/one"].start >= found.tasks["1/second"].finish


def test_what_is_pinned_starts_exactly_then_and_the_rest_gives_way():
    pinned = a_task("visit", 60, pinned_at=at("2026-06-01 10:00"))
    found = a_plan(a_task("long", 240, splittable=False), pinned, resources=Resources(hands=1))
    assert found.tasks["1/visit"].start == at("2026-06-01 10:00")
    assert found.tasks["1/visit"].holder.kind is HeldBy.PINNED
    assert found.tasks["1/long"].start == at("2026-06-01 13:00")
    evening = a_plan(replace(pinned, pinned_at=at("2026-06-01 19:00")))
    assert (evening.tasks["1/visit"].start, evening.tasks["1/visit"].finish) == (
        at("2026-06-01 19:00"), at("2026-06-01 20:00"),
    )  # fmt: skip
    gone_by = a_plan(replace(pinned, pinned_at=at("2026-05-29 10:00")))
    assert gone_by.tasks["1/visit"].start == MONDAY


def test_two_pins_that_share_hands_both_stay_and_the_plan_says_so():
    pins = [a_task(name, 60, pinned_at=at("2026-06-01 10:00")) for name in ("visit", "fetch")]
    found = a_plan(*pins, a_task("mill", 60, not_before=at("2026-06-01 10:00")), resources=Resources(hands=1))
    assert starts(found, "visit", "fetch") == [at("2026-06-01 10:00")] * 2
    assert [load.asked for load in found.overloads] == [2]
    assert found.tasks["1/mill"].start == at("2026-06-01 11:00")


def test_a_pin_before_what_it_waits_for_is_named_and_kept():
    pinned = a_task("fit", 60, "mill", pinned_at=at("2026-06-01 09:00"))
    found = a_plan(a_task("mill", 240), pinned)
    assert found.tasks["1/fit"].start == at("2026-06-01 09:00")
    assert "is pinned to a time before “mill” can be done" in found.unmet[0].words


def test_links_leave_and_reach_either_end():
    start_to_start = a_plan(a_task("glue", 120), a_task("wipe", 30, wait("glue", hours(0.5), leaves=End.START)))
    assert start_to_start.tasks["1/wipe"].start == at("2026-06-01 08:30")
    finish_to_finish = a_plan(a_task("mill", 120), a_task("sweep", 30, wait("mill", hours(0), reaches=End.FINISH)))
    assert finish_to_finish.tasks["1/sweep"].start == at("2026-06-01 09:30")
    by_hours = a_plan(a_task("mill", 120), a_task("sweep", 30, wait("mill", hours(8), clock=Clock.ATTENDED)))
    assert by_hours.tasks["1/sweep"].start == at("2026-06-02 10:00")


@pytest.mark.parametrize(
    ("task", "words"),
    [
        (a_task("lift", 60, crew=3), "needs 3 people at once; there are 2"),
        (a_task("glue", 60, clamps=60, splittable=False), "needs 60 clamps; there are 12"),
        (a_task("bench", 60, bench=2), "needs 2 benches; there is 1"),
        (
            replace(a_coat("spray"), takes=a_task("", 300).takes),
            "takes 300 min in one go, but nobody works longer than 240 min",
        ),
    ],
)
def test_what_can_never_be_had_is_named_and_planned_as_near_as_can_be(task, words):
    beside = a_task("beside", 60, job=2)
    found = a_plan(task, beside)
    assert words in found.unmet[0].words
    assert found.unmet[0].key == task.key
    assert found.tasks[task.key].finish > MONDAY
    assert found.tasks["2/beside"].start - MONDAY <= hours(1)
    assert found.is_checked


def test_without_anybody_with_the_skill_whoever_is_there_is_planned_and_that_is_said():
    found = a_plan(a_task("coat", 60, kind=TaskKind.COAT), resources=there(BEN))
    assert "nobody" in found.unmet[0].words.lower()
    assert found.tasks["1/coat"].who == (9,)


def test_windows_that_contradict_one_another_cost_one_of_them_and_no_week():
    # Three coats, each 4 to 12 h after the one before: within hours of 8 to 17 never two windows in a row can be kept.
    coats = [a_coat("1"), *(a_coat(str(n), wait(str(n - 1), hours(4), hours(12), if_missed="sand it")) for n in (2, 3))]
    found = a_plan(*coats, a_task("deliver", 60, "3"))
    assert [window.is_met for window in found.windows] == [True, False]
    assert found.jobs[1].finish_at <= at("2026-06-02 11:00")
    assert found.is_checked


def test_an_empty_shop_is_planned_for_one_and_nothing_is_planned_of_nothing():
    assert a_plan(a_task("cut", 60), resources=Resources(hands=0)).tasks["1/cut"].start == MONDAY
    assert a_plan().tasks == {}


def test_a_promise_in_the_past_is_late_and_planned_all_the_same():
    found = a_plan(a_task("cut", 60), promised={1: date(2026, 5, 20)})
    assert found.jobs[1].is_late
    assert found.tasks["1/cut"].start == MONDAY


def test_work_goes_on_past_midnight_and_when_the_clocks_change():
    # Source: US Energy Policy Act of 2005: clocks go forward on 8 March 2026 at 02:00, back on 1 November 2026.
    nights = ShopCalendar("America/New_York", (((time(20), time(6)),),) * 7)
    for evening, morning in (("2026-03-07 20:00", "2026-03-08 06:00"), ("2026-10-31 20:00", "2026-11-01 06:00")):
        length = at(morning) - at(evening)
        found = a_plan(a_task("mill", length // timedelta(minutes=1)), calendar=nights, now=at(evening))
        assert (found.tasks["1/mill"].start, found.tasks["1/mill"].finish) == (at(evening), at(morning))


KINDS = [TaskKind.OTHER, TaskKind.MILL, TaskKind.SAND, TaskKind.COAT, TaskKind.CURE, TaskKind.GLUE_UP]


@st.composite
def shops(draw):
    """A shop of few people and two jobs that share them."""
    tasks = []
    for number in range(draw(st.integers(1, 12))):
        kind = draw(st.sampled_from(KINDS))
        before = draw(st.lists(st.integers(0, number - 1), unique=True, max_size=2)) if number else []
        most = draw(st.sampled_from([None, hours(30)]))
        links = [Link(tasks[one].key, hours(draw(st.integers(0, 6))), most) for one in before]
        tasks.append(
            a_task(
                str(number), draw(st.integers(0, 500)), *links, kind=kind, job=draw(st.integers(1, 2)),
                crew=draw(st.integers(1, 2)), splittable=kind not in (TaskKind.COAT, TaskKind.GLUE_UP),
                clamps=draw(st.integers(1, 9)) if kind is TaskKind.GLUE_UP else 0,
                wet_for=hours(2) if kind is TaskKind.COAT else hours(0),
            )
        )  # fmt: skip
    people = draw(st.sampled_from([(), (ADA, replace(BEN, weekly=MORNINGS)), (ADA, BEN, Person(3, "Cy"))]))
    return tasks, Resources(hands=2, clamps=12, people=people, dry_places=draw(st.integers(0, 1)))


@settings(max_examples=40)
@given(shops(), st.integers(0, 10_000))
def test_every_plan_passes_the_checker_and_starts_nothing_before_its_links_allow(shop, minutes):
    tasks, resources = shop
    found = a_plan(*tasks, resources=resources, now=MONDAY + timedelta(minutes=minutes))
    assert found.is_checked
    for each in found.tasks.values():
        assert each.start >= each.earliest_start
        assert each.holder is not None


@settings(max_examples=25)
@given(shops())
def test_with_enough_of_everything_the_plan_is_the_critical_path_to_the_minute(shop):
    tasks, _ = shop
    loose = [
        replace(task, links=tuple(replace(link, at_most=None) for link in task.links), wet_for=hours(0), clamps=0,
                kind=TaskKind.OTHER if task.clock is Clock.ATTENDED else task.kind, splittable=True)
        for task in tasks
    ]  # fmt: skip
    for calendar in (CALENDAR, ALWAYS):
        found = a_plan(*loose, calendar=calendar, resources=Resources(hands=24, benches=9), slot=1)
        assert [each.start for each in found.tasks.values()] == [each.earliest_start for each in found.tasks.values()]


def test_tasks_that_hold_what_the_other_waits_for_are_planned_and_named():
    """Each holds one of two benches until the other, which needs both, is done: no plan keeps to that."""
    tasks = (
        a_task("one", 60, bench=1, until=key_of(1, "end")),
        a_task("other", 60, bench=1, until=key_of(1, "end")),
        a_task("end", 60, "one", "other", bench=1),
    )
    found = a_plan(*tasks, resources=Resources(hands=2, benches=2))
    assert found.is_checked
    assert [each.key for each in found.unmet] == ["1/one"]
    assert "No plan keeps to the benches there are" in found.unmet[0].words


def test_two_rows_of_coats_that_meet_share_one_place_to_dry_in_turn():
    coats = (
        a_task("one", 60, kind=TaskKind.COAT),
        a_task("other", 60, kind=TaskKind.COAT),
        a_task("last", 60, "one", "other", kind=TaskKind.COAT),
    )
    found = a_plan(*coats, resources=Resources(hands=2, dry_places=1))
    assert found.is_checked
    assert found.unmet == ()


def test_named_people_are_the_hands_there_are():
    """Three with names, whatever number of hands was typed before: three at work at once is not too much."""
    three = (ADA, BEN, Person(3, "Cy"))
    found = a_plan(*(a_task(str(number), 60) for number in range(3)), resources=Resources(hands=2, people=three))
    assert {each.start for each in found.tasks.values()} == {MONDAY}
    assert found.overloads == ()
