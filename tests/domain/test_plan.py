"""The plan: two clocks, what really happened, promises, windows, and what there is only so much of."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from domain.network import Cycle, critical_path
from domain.part import TaskKind
from domain.plan import BarKind, Resource, Resources, TaskState, chart, explain, latest_order_day, plan
from domain.plan.planned import HeldBy
from domain.task import Clock, Link
from plan_builders import ALWAYS, CALENDAR, MONDAY, a_plan, a_task, at, hours, wait

CLAMPED = (
    a_task("mill", 180),
    a_task("glue-up", 40, "mill", kind=TaskKind.GLUE_UP, splittable=False, clamps=8, bench=1, until="1/unclamp"),
    a_task("in clamps", 180, "glue-up", kind=TaskKind.CLAMP),
    a_task("unclamp", 20, "in clamps", kind=TaskKind.UNCLAMP),
    a_task("flatten", 120, Link("1/unclamp", hours(24), why="glue cures before a machine touches it")),
)


def starts(found, *names):
    return [found.tasks[f"1/{name}"].earliest_start for name in names]


def test_hands_wait_for_shop_hours_and_glue_does_not():
    found = a_plan(*CLAMPED)
    assert starts(found, "mill", "glue-up", "in clamps", "unclamp", "flatten") == [
        at("2026-06-01 08:00"),
        at("2026-06-01 11:00"),
        at("2026-06-01 11:40"),
        at("2026-06-01 14:40"),
        at("2026-06-02 15:00"),
    ]
    assert found.tasks["1/flatten"].earliest_finish == at("2026-06-02 17:00")


def test_what_cures_over_the_weekend_is_waited_for_on_monday():
    found = a_plan(*CLAMPED, now=at("2026-06-05 08:00"))
    assert found.tasks["1/flatten"].earliest_start == at("2026-06-08 08:00")
    assert found.tasks["1/flatten"].ready_at == at("2026-06-06 15:00")
    assert found.tasks["1/unclamp"].total_float == hours(2)  # shop hours until closing time on Friday
    assert found.tasks["1/in clamps"].total_float == hours(2)  # day and night


def test_a_glue_up_that_does_not_fit_before_closing_time_waits_until_morning():
    late = a_plan(*CLAMPED, now=at("2026-06-01 13:30"))
    assert late.tasks["1/glue-up"].earliest_start == at("2026-06-02 08:00")
    assert "done in one go" in explain(late, "1/glue-up")


def test_elapsed_time_is_right_across_a_change_of_the_clocks():
    # Source: US Energy Policy Act of 2005: clocks go forward on 8 March 2026 at 02:00, back on 1 November 2026.
    found = a_plan(a_task("coat", 60), a_task("dry", 48 * 60, "coat", kind=TaskKind.DRY), now=at("2026-10-31 16:00"))
    coat, dry = found.tasks["1/coat"], found.tasks["1/dry"]
    assert coat.earliest_finish == at("2026-11-02 09:00")
    for glued, cured in (("2026-03-07 16:00", "2026-03-08 17:00"), ("2026-10-31 16:00", "2026-11-01 15:00")):
        glue = a_task("glue", 30, started_at=at(glued) - hours(0.5), finished_at=at(glued))
        curing = a_plan(glue, a_task("cure", 24 * 60, "glue", kind=TaskKind.CURE), now=at(glued))
        assert curing.tasks["1/cure"].earliest_finish == at(cured)
    assert dry.earliest_finish - dry.earliest_start == hours(48)


def test_finished_tasks_keep_their_times_and_what_follows_is_planned_from_them():
    done = replace(CLAMPED[0], started_at=at("2026-06-01 08:10"), finished_at=at("2026-06-01 09:30"))
    found = a_plan(done, *CLAMPED[1:], now=at("2026-06-01 09:45"))
    assert found.tasks["1/mill"].earliest_start == at("2026-06-01 08:10")
    assert found.tasks["1/mill"].earliest_finish == at("2026-06-01 09:30")
    assert found.tasks["1/mill"].state is TaskState.DONE
    assert found.tasks["1/glue-up"].earliest_start == at("2026-06-01 09:45")
    assert found.tasks["1/glue-up"].state is TaskState.READY


def test_nothing_that_has_not_begun_is_put_before_now_and_now_counts_up_to_the_whole_minute():
    now = at("2026-06-01 09:45") + timedelta(seconds=20)
    assert a_plan(*CLAMPED, now=now).tasks["1/mill"].earliest_start == at("2026-06-01 09:46")


def test_running_work_that_takes_longer_is_planned_to_end_now():
    running = replace(CLAMPED[0], started_at=at("2026-06-01 08:00"))
    in_time = a_plan(running, *CLAMPED[1:], now=at("2026-06-01 09:00"))
    assert in_time.tasks["1/mill"].earliest_finish == at("2026-06-01 11:00")
    assert explain(in_time, "1/mill") == "Running since 08:00, until 11:00 as planned."
    over = a_plan(running, *CLAMPED[1:], now=at("2026-06-01 11:20"))
    assert over.tasks["1/mill"].earliest_finish == at("2026-06-01 11:20")
    assert over.tasks["1/glue-up"].state is TaskState.WAITING
    assert explain(over, "1/mill") == "Running since 08:00, longer than planned."


def test_clamp_time_begins_by_itself_when_the_glue_up_is_finished():
    done = [replace(task, finished_at=at("2026-06-01 10:00")) for task in CLAMPED[:2]]
    in_clamps = a_plan(*done, *CLAMPED[2:], now=at("2026-06-01 11:00")).tasks["1/in clamps"]
    assert (in_clamps.state, in_clamps.earliest_start) == (TaskState.RUNNING, at("2026-06-01 10:00"))
    assert in_clamps.earliest_finish == at("2026-06-01 13:00")
    later = a_plan(*done, *CLAMPED[2:], now=at("2026-06-01 14:00"))
    assert later.tasks["1/in clamps"].state is TaskState.DONE
    assert later.tasks["1/unclamp"].state is TaskState.READY
    assert explain(later, "1/in clamps") == "Over since 13:00."


def test_a_clamp_task_finished_three_hours_late_moves_the_plan():
    glued = [replace(task, finished_at=at("2026-06-01 09:00")) for task in CLAMPED[:2]]
    on_time = replace(CLAMPED[2], finished_at=at("2026-06-01 12:00"))
    late = replace(CLAMPED[2], finished_at=at("2026-06-01 15:00"))
    now = at("2026-06-01 15:00")
    before = a_plan(*glued, CLAMPED[2], *CLAMPED[3:], now=at("2026-06-01 09:00"))
    after = a_plan(*glued, late, *CLAMPED[3:], now=now)
    assert starts(before, "unclamp", "flatten") == [at("2026-06-01 13:00"), at("2026-06-02 13:20")]
    assert starts(after, "unclamp", "flatten") == [at("2026-06-01 15:00"), at("2026-06-02 15:20")]
    assert before.jobs[1].finish_at == at("2026-06-02 15:20")
    assert after.jobs[1].finish_at == at("2026-06-03 08:20")
    unclamped = replace(CLAMPED[3], started_at=at("2026-06-01 13:00"), finished_at=at("2026-06-01 13:20"))
    as_it_was = a_plan(*glued, on_time, unclamped, CLAMPED[4], now=now)
    assert starts(as_it_was, "flatten") == [at("2026-06-02 13:20")]


def test_a_task_held_back_by_the_maker_waits():
    found = a_plan(a_task("install", 60, not_before=at("2026-06-04 09:00")))
    assert found.tasks["1/install"].earliest_start == at("2026-06-04 09:00")
    assert explain(found, "1/install") == "Held back until Thu 09:00."


def test_the_promise_leaves_float_or_takes_it():
    kept = a_plan(*CLAMPED, promised={1: date(2026, 6, 3)})
    assert kept.jobs[1].words == "Ready Tue 2 Jun, 1 day before the promise of Wed 3 Jun."
    assert kept.tasks["1/flatten"].total_float == hours(8)
    assert kept.tasks["1/flatten"].critical
    assert kept.tasks["1/flatten"].free_float == timedelta(0)
    lost = a_plan(*CLAMPED, promised={1: date(2026, 6, 1)})
    assert lost.jobs[1].words == "Ready Tue 2 Jun, 1 day after the promise of Mon 1 Jun."
    assert lost.jobs[1].is_late
    assert lost.tasks["1/flatten"].total_float == -hours(8)
    unpromised = a_plan(*CLAMPED)
    assert unpromised.jobs[1].words == "Ready Tue 2 Jun; nothing is promised yet."
    assert unpromised.jobs[1].days_late is None


def test_work_that_ends_on_the_promised_day_keeps_the_promise():
    found = a_plan(*CLAMPED, promised={1: date(2026, 6, 2)})
    assert found.jobs[1].words == "Ready Tue 2 Jun, on the promised day."
    assert found.tasks["1/flatten"].latest_finish == at("2026-06-02 17:00")
    assert not found.jobs[1].is_late


def test_several_jobs_are_each_held_to_their_own_promise():
    other = a_task("sand", 60, job=2)
    found = a_plan(*CLAMPED, other, promised={1: date(2026, 6, 2), 2: date(2026, 6, 8)})
    assert found.tasks["2/sand"].total_float == hours(6 * 8 - 1)
    assert found.tasks["2/sand"].free_float == timedelta(0)
    assert [job.name for job in found.jobs.values()] == ["Job 1", "Job 2"]
    assert [each.key for each in found.of_job(1) if each.sets_date] == list(found.jobs[1].chain)
    assert found.jobs[1].chain == ("1/mill", "1/glue-up", "1/in clamps", "1/unclamp", "1/flatten")


def test_tasks_that_wait_for_each_other_are_named_in_order():
    ring = (a_task("cut", 5, "sand"), a_task("glue", 5, "cut"), a_task("sand", 5, "glue"), a_task("coat", 5, "sand"))
    with pytest.raises(Cycle, match=r"“cut” → “glue” → “sand” → “cut”\. Take one of the links away"):
        a_plan(*ring)


def test_explanations_name_what_lets_go_last_and_why():
    found = a_plan(*CLAMPED)
    assert explain(found, "1/mill") == "Can start now."
    assert explain(found, "1/flatten") == (
        "Waits until “unclamp” is finished 15:00, then 24 h until tomorrow 15:00: "
        "glue cures before a machine touches it."
    )
    closed = a_plan(*CLAMPED, now=at("2026-05-31 10:00"))
    assert explain(closed, "1/mill") == "Nobody is there until tomorrow 08:00."


def a_delivery(**more):
    lead = hours(24 * 7)
    return a_task("delivery", lead // timedelta(minutes=1), kind=TaskKind.DELIVERY, **more)


def test_the_latest_day_to_order_leaves_nothing_waiting():
    tasks = (a_delivery(), a_task("mill", 8 * 60, "delivery"))
    early = a_plan(*tasks, promised={1: date(2026, 6, 26)})
    # Milling must begin Friday 26 June 08:00; ordered on Friday 19 June at 16:00 it would come eight hours late.
    assert latest_order_day(early, "1/delivery") == date(2026, 6, 18)
    lost = a_plan(*tasks, promised={1: date(2026, 6, 2)})
    assert latest_order_day(lost, "1/delivery") == date(2026, 5, 25)
    assert explain(early, "1/delivery") == "Not ordered yet. Ordered 08:00, it comes Mon 8 Jun 08:00."


def test_a_delivery_without_a_lead_time_says_so():
    unsaid = a_plan(a_task("delivery", 0, kind=TaskKind.DELIVERY))
    assert explain(unsaid, "1/delivery").startswith("Not ordered yet, and no lead time is said")


def test_a_late_delivery_moves_the_plan_day_by_day_until_it_comes():
    ordered = a_delivery(started_at=at("2026-05-22 08:00"), expected_at=at("2026-05-29 10:00"))
    mill = a_task("mill", 60, "delivery")
    late = a_plan(ordered, mill)
    assert late.tasks["1/mill"].earliest_start == MONDAY
    assert late.tasks["1/mill"].state is TaskState.WAITING
    assert latest_order_day(late, "1/delivery") is None
    assert explain(late, "1/delivery") == "Ordered Fri 22 May 08:00, expected Fri 29 May 10:00 and not here yet."
    here = a_plan(replace(ordered, finished_at=at("2026-06-01 09:00")), mill, now=at("2026-06-01 09:00"))
    assert here.tasks["1/mill"].state is TaskState.READY


def coats(**first):
    """Two coats of 40 min; the second from 12 h to 24 h after the first."""
    sealer = a_task("First coat", 40, kind=TaskKind.COAT, splittable=False, **first)
    link = wait("First coat", hours(12), hours(24), if_missed="it needs sanding")
    return sealer, a_task("Second coat", 40, link, kind=TaskKind.COAT, splittable=False)


def test_a_recoat_window_says_when_it_closes():
    done = coats(finished_at=at("2026-06-01 09:40"))
    (window,) = a_plan(*done, now=at("2026-06-02 08:30")).windows
    assert window.words == "Second coat closes 09:40; after that it needs sanding."
    assert window.is_running
    assert window.is_met
    (window,) = a_plan(*done, now=at("2026-06-01 15:00")).windows
    assert window.words == "Second coat opens 21:40 and closes tomorrow 09:40; after that it needs sanding."
    (window,) = a_plan(*coats()).windows
    assert window.words == "Second coat would close tomorrow 08:40; after that it needs sanding."


def test_a_coat_whose_window_the_weekend_would_close_waits_so_that_it_stays_open():
    found = a_plan(*coats(), now=at("2026-06-05 10:00"))
    (window,) = found.windows
    assert window.is_met
    assert found.tasks["1/First coat"].earliest_start == at("2026-06-05 10:00")
    assert found.tasks["1/First coat"].start == at("2026-06-08 08:00")
    assert found.tasks["1/First coat"].holder.kind is HeldBy.WINDOW
    assert found.tasks["1/First coat"].holder.by == ("1/Second coat",)
    assert found.tasks["1/Second coat"].start == at("2026-06-09 08:00")


def test_a_window_that_nothing_can_keep_open_says_so_and_what_would_work():
    found = a_plan(*coats(finished_at=at("2026-06-05 10:40")), now=at("2026-06-05 10:40"))
    (window,) = found.windows
    assert not window.is_met
    assert window.words == (
        "Second coat can start 22:40 at the earliest and closes tomorrow 10:40, "
        "but nobody works from 17:00 to Mon 08:00; after that it needs sanding."
    )
    assert window.suggestions == (
        "Work outside shop hours, beginning by tomorrow 10:40.",
        "Plan for it: it needs sanding.",
    )
    assert found.tasks["1/Second coat"].start == at("2026-06-08 08:00")


def test_a_window_may_need_its_first_task_late_in_the_day():
    # From 15 to 16 h after the first: only when the first ends between 16:00 and 17:00 is that in shop hours.
    first = a_task("First coat", 40, kind=TaskKind.COAT, splittable=False)
    link = wait("First coat", hours(15), hours(16), if_missed="it needs sanding")
    found = a_plan(first, a_task("Second coat", 40, link))
    (window,) = found.windows
    assert window.is_met
    assert found.tasks["1/First coat"].finish == at("2026-06-01 16:00")  # so that it closes as the shop opens
    assert found.tasks["1/Second coat"].start == at("2026-06-02 08:00")


def test_a_missed_recoat_window_is_late_even_with_float_left():
    found = a_plan(
        *coats(finished_at=at("2026-06-01 09:40")), now=at("2026-06-03 09:00"), promised={1: date(2026, 6, 30)}
    )
    (window,) = found.windows
    assert found.tasks["1/Second coat"].total_float > timedelta(0)
    assert not window.is_met
    assert window.words == "Second coat closed yesterday 09:40: it needs sanding."
    assert window.suggestions == ("Plan for it: it needs sanding.",)


def test_what_something_else_holds_holds_back_what_it_must_soon_follow():
    first, second = coats()
    other = a_task("Dust extractor mended", 0, not_before=at("2026-06-04 08:00"))
    second = replace(second, links=(*second.links, Link(other.key)))
    found = a_plan(first, other, second)
    assert found.windows[0].is_met
    assert found.tasks["1/Second coat"].start == at("2026-06-04 08:00")
    assert found.tasks["1/First coat"].start >= at("2026-06-03 07:20")


def test_hands_that_are_short_are_waited_for():
    found = a_plan(a_task("cut", 60, crew=2), a_task("sand", 90), a_task("later", 60, "sand"))
    assert found.overloads == ()
    starts = [found.tasks[f"1/{name}"].start for name in ("cut", "sand", "later")]
    assert starts in (
        [at("2026-06-01 09:30"), MONDAY, at("2026-06-01 10:30")],
        [MONDAY, at("2026-06-01 09:00"), at("2026-06-01 10:30")],
    )
    assert found.is_checked
    assert {each.holder.kind for each in found.tasks.values()} <= {HeldBy.NOTHING, HeldBy.LINK, HeldBy.PERSON}


def test_clamps_are_held_until_they_come_off_and_over_night():
    other = a_task("second glue-up", 30, clamps=8, not_before=at("2026-06-01 14:00"), splittable=False)
    glued = [replace(task, finished_at=at("2026-06-01 10:00")) for task in CLAMPED[:2]]
    still_on = a_plan(*glued, *CLAMPED[2:], other, now=at("2026-06-01 15:00"))
    assert still_on.tasks["1/unclamp"].start == at("2026-06-01 15:00")
    assert still_on.tasks["1/second glue-up"].start == at("2026-06-01 15:20")
    assert still_on.tasks["1/second glue-up"].holder.kind is HeldBy.CLAMPS
    assert still_on.tasks["1/second glue-up"].holder.by == ("1/glue-up",)
    assert still_on.overloads == ()


def test_what_is_going_on_with_more_than_there_is_stays_an_overload():
    # Two people are at work on what takes three: a fact, so the plan says it and changes nothing about it.
    begun = MONDAY - timedelta(minutes=60)
    tasks = [a_task(name, 600, crew=crew, started_at=begun) for name, crew in (("mill", 2), ("cut", 1))]
    (load,) = a_plan(*tasks).overloads
    assert (load.resource, load.asked, load.there) == (Resource.HANDS, 3, 2)
    assert load.words.endswith("the plan asks for 3 pairs of hands; there are 2: “mill” and “cut”.")
    assert (load.start, load.end) == (MONDAY, at("2026-06-02 10:00"))
    assert load.tasks == ("1/mill", "1/cut")


def test_work_that_one_pair_of_hands_does_is_done_one_after_the_other():
    found = a_plan(a_task("mill", 600), a_task("cut", 600), resources=Resources(hands=1))
    assert found.overloads == ()
    assert max(each.finish for each in found.tasks.values()) == at("2026-06-03 12:00")


def test_the_chart_breaks_hands_on_work_where_the_shop_is_closed():
    found = a_plan(a_task("mill", 600), a_task("rest", 60, "mill", kind=TaskKind.CURE), promised={1: date(2026, 6, 3)})
    drawn = chart(found, found.of_job(1))
    mill, rest = drawn.rows
    assert [(bar.start, bar.end) for bar in mill.bars] == [
        (at("2026-06-01 08:00"), at("2026-06-01 12:00")),
        (at("2026-06-01 13:00"), at("2026-06-01 17:00")),
        (at("2026-06-02 08:00"), at("2026-06-02 10:00")),
    ]
    assert [bar.kind for bar in rest.bars] == [BarKind.ELAPSED]
    assert (rest.slip.start, rest.slip.end) == (at("2026-06-02 11:00"), at("2026-06-04 00:00"))
    assert (drawn.start, drawn.end) == (at("2026-06-01 00:00"), at("2026-06-05 00:00"))
    assert drawn.closed[0] == (at("2026-06-01 00:00"), at("2026-06-01 08:00"))
    assert drawn.closed[1] == (at("2026-06-01 12:00"), at("2026-06-01 13:00"))


def test_dates_out_of_reach_are_refused_in_words():
    with pytest.raises(ValueError, match="outside the years 1900 to 2200"):
        a_plan(*CLAMPED, promised={1: date.max})
    with pytest.raises(ValueError, match="outside the years 1900 to 2200"):
        a_plan(replace(CLAMPED[0], not_before=datetime(9999, 1, 1, tzinfo=UTC)))


@st.composite
def jobs(draw):
    """Tasks that wait for earlier ones, on both clocks, some of them finished, with now in the middle."""
    count = draw(st.integers(1, 12))
    tasks = []
    for number in range(count):
        before = draw(st.lists(st.integers(0, number - 1), unique=True, max_size=3)) if number else []
        links = [wait(str(one), timedelta(minutes=draw(st.integers(0, 3000)))) for one in before]
        kind = draw(st.sampled_from([TaskKind.OTHER, TaskKind.COAT, TaskKind.CURE, TaskKind.MILESTONE]))
        tasks.append(a_task(str(number), draw(st.integers(0, 2000)), *links, kind=kind, splittable=draw(st.booleans())))
    return tasks


UNLIMITED = Resources(hands=12, clamps=100, benches=100)
NOWS = st.integers(0, 60 * 24 * 20).map(lambda minutes: MONDAY + timedelta(minutes=minutes))


@settings(max_examples=80)
@given(jobs(), NOWS)
def test_with_a_shop_that_never_closes_and_enough_of_everything_the_plan_is_the_plain_critical_path(tasks, now):
    tasks = [replace(task, splittable=True) for task in tasks]
    minutes = [task.duration // timedelta(minutes=1) for task in tasks]
    numbers = {task.key: number for number, task in enumerate(tasks)}
    lags = [
        (numbers[link.before], number, link.at_least // timedelta(minutes=1))
        for number, task in enumerate(tasks)
        for link in task.links
    ]
    expected = critical_path(minutes, lags)
    found = a_plan(*tasks, now=now, calendar=ALWAYS, resources=UNLIMITED, slot=1)
    by_number = [found.tasks[task.key] for task in tasks]
    open_ones = [number for number, each in enumerate(by_number) if not each.has_begun]
    for number in open_ones:
        each = by_number[number]
        assert each.start == each.earliest_start
        assert (each.earliest_start - now) // timedelta(minutes=1) == expected.early_start[number]
        assert each.total_float // timedelta(minutes=1) == expected.total_float[number]
        assert each.critical == (expected.total_float[number] == 0)
    assert (found.jobs[1].finish_at - now) // timedelta(minutes=1) == max(expected.early_finish)


@settings(max_examples=80)
@given(jobs(), NOWS)
def test_nothing_starts_before_what_it_waits_for_or_while_nobody_works(tasks, now):
    found = a_plan(*tasks, now=now)
    for each in found.tasks.values():
        assert each.earliest_start >= now
        for link in each.task.links:
            assert each.earliest_start >= found.tasks[link.before].earliest_finish + link.at_least
        if each.task.clock is Clock.ATTENDED:
            assert CALENDAR.is_open(each.earliest_start) or not each.task.duration
            assert CALENDAR.between(each.earliest_start, each.earliest_finish) == each.task.duration
        else:
            assert each.earliest_finish - each.earliest_start == each.task.duration
        assert timedelta(0) <= each.free_float <= each.total_float or each.is_over
        assert each.latest_start >= each.earliest_start


@settings(max_examples=60)
@given(jobs(), NOWS, st.data())
def test_a_task_held_back_to_its_latest_start_does_not_move_the_finish(tasks, now, data):
    found = a_plan(*tasks, now=now, resources=UNLIMITED, slot=1)
    each = found.tasks[data.draw(st.sampled_from([task.key for task in tasks]))]
    held = [replace(task, not_before=each.latest_start if task.key == each.key else None) for task in tasks]
    later = a_plan(*held, now=now, resources=UNLIMITED, slot=1)
    assert later.jobs[1].finish_at == found.jobs[1].finish_at


def test_eighty_tasks_are_planned_from_plain_facts_only():
    tasks = [a_task(str(number), 30, *([str(number - 1)] if number else [])) for number in range(80)]
    found = plan(tasks, CALENDAR, datetime(2026, 6, 1, 12, tzinfo=UTC), Resources(), {})
    assert found.jobs[1].finish_at == at("2026-06-05 17:00")
    assert len(found.jobs[1].chain) == 80


def test_a_full_cure_goes_on_after_the_hand_over_and_makes_nothing_late():
    cure = a_task("cure", 14 * 24 * 60, "coat", kind=TaskKind.CURE, trails=True)
    planned = a_plan(a_task("coat", 60), a_task("hand-over", 45, "coat"), cure, promised={1: date(2026, 6, 1)})
    job = planned.jobs[1]
    assert job.finish_at == planned.tasks["1/hand-over"].earliest_finish
    assert planned.tasks["1/cure"].earliest_finish > job.finish_at
    assert not planned.tasks["1/cure"].critical
    assert planned.tasks["1/cure"].total_float == timedelta()
    assert planned.tasks["1/coat"].free_float == timedelta()
