"""Today's list: timers, what fits before the next interruption, what is blocked or late, and why."""

from dataclasses import replace
from datetime import date, timedelta

from domain.part import TaskKind
from domain.plan import Resources
from domain.today import todays_list
from plan_builders import CALENDAR, MONDAY, a_plan, a_task, at, hours, wait


def today(*tasks, now=MONDAY, **more):
    return todays_list(a_plan(*tasks, now=now, **more), now, CALENDAR)


def names(noted):
    return [each.planned.task.name for each in noted]


def in_clamps(**more):
    """A top whose glue-up ended at 11:20: three hours in clamps, which hold eight clamps and the bench."""
    return (
        a_task("glue-up", 40, kind=TaskKind.GLUE_UP, clamps=8, bench=1, until="1/unclamp",
               started_at=at("2026-06-01 10:40"), finished_at=at("2026-06-01 11:20")),
        a_task("in clamps", 180, "glue-up", kind=TaskKind.CLAMP),
        a_task("unclamp", 20, "in clamps", kind=TaskKind.UNCLAMP),
        a_task("cure", 24 * 60, "glue-up", kind=TaskKind.CURE),
        a_task("flatten", 90, "unclamp", "cure"),
    )  # fmt: skip


def test_a_clamp_timer_runs_and_what_fits_before_it_calls_is_told_from_what_does_not():
    short, long = a_task("sand drawers", 60), a_task("cut carcass", 180)
    found = today(*in_clamps(), short, long, now=at("2026-06-01 13:00"))
    assert [timer.words for timer in found.timers] == ["Clamps off 14:20", "Cures until tomorrow 11:20"]
    assert found.interrupted_at == at("2026-06-01 14:20")
    assert found.interruption == "in clamps: clamps off 14:20"
    assert names(found.fits) == ["sand drawers"]
    assert names(found.too_long) == ["cut carcass"]
    assert found.fits[0].takes == hours(1)


def test_when_the_clamp_time_is_over_taking_them_off_comes_first():
    other = a_task("sand drawers", 60, position=1)
    found = today(*in_clamps(), other, now=at("2026-06-01 14:30"), promised={1: date(2026, 6, 30)})
    assert names(found.fits) == ["unclamp", "sand drawers"]
    assert [timer.words for timer in found.timers] == ["Cures until tomorrow 11:20"]


def test_closing_time_interrupts_when_no_timer_does():
    found = today(a_task("mill", 120), a_task("cut", 180), now=at("2026-06-01 14:30"))
    assert found.interrupted_at == at("2026-06-01 17:00")
    assert found.interruption == "closing time 17:00"
    assert names(found.fits) == ["mill"]
    assert names(found.too_long) == ["cut"]


def test_before_the_shop_opens_the_list_is_for_the_morning():
    found = today(a_task("mill", 120), now=at("2026-05-30 19:00"))
    assert found.starts_at == MONDAY
    assert names(found.fits) == ["mill"]


def test_a_glue_up_that_must_not_be_broken_off_does_not_fit_late_in_the_day():
    found = today(a_task("glue-up", 40, kind=TaskKind.GLUE_UP, splittable=False), now=at("2026-06-01 16:40"))
    assert names(found.too_long) == ["glue-up"]


def coats():
    window = wait("First coat", hours(12), hours(36), if_missed="it needs sanding")
    return (
        a_task("First coat", 40, kind=TaskKind.COAT, finished_at=at("2026-06-01 09:40")),
        a_task("Second coat", 40, window, kind=TaskKind.COAT),
    )


def test_the_next_coat_is_a_timer_from_when_it_opens_until_it_closes():
    (timer,) = today(*coats(), now=at("2026-06-01 10:00")).timers
    assert timer.words == "Second coat from 21:40 until tomorrow 21:40"
    assert (timer.at, timer.until) == (at("2026-06-01 21:40"), at("2026-06-02 21:40"))
    (timer,) = today(*coats(), now=at("2026-06-02 09:00")).timers
    assert timer.words == "Second coat until 21:40"


def test_a_window_that_closes_comes_before_what_has_less_float():
    urgent = a_task("urgent", 60, position=1)
    found = today(*coats(), urgent, now=at("2026-06-02 09:00"), promised={1: date(2026, 6, 30)})
    assert names(found.fits) == ["Second coat", "urgent"]
    assert found.fits[0].why == "its window closes 21:40"


def test_a_missed_recoat_window_is_late_even_with_float_left():
    found = today(*coats(), now=at("2026-06-03 09:00"), promised={1: date(2026, 6, 30)})
    assert names(found.late) == ["Second coat"]
    assert found.late[0].words == "Second coat closed yesterday 21:40: it needs sanding."


def test_drying_without_a_latest_time_is_a_timer_too():
    coat = a_task("Last coat", 40, kind=TaskKind.COAT, finished_at=at("2026-06-01 09:40"))
    deliver = a_task("Deliver", 90, wait("Last coat", hours(24), why="the finish is dry enough to handle"))
    (timer,) = today(coat, deliver, now=at("2026-06-01 10:00")).timers
    assert timer.words == "Deliver from tomorrow 09:40"
    assert timer.calls


def test_what_is_next_in_line_says_what_blocks_it_and_the_rest_stays_out():
    found = today(a_task("mill", 120), a_task("glue-up", 40, "mill"), a_task("flatten", 60, "glue-up"))
    assert names(found.blocked) == ["glue-up"]
    assert found.blocked[0].words == "Waits for “mill”."


def test_what_waits_for_time_only_says_until_when():
    found = today(*in_clamps(), now=at("2026-06-01 13:00"))
    assert [(each.planned.task.name, each.words) for each in found.blocked] == [
        ("unclamp", "Waits for “in clamps”."),
    ]


def test_running_work_is_shown_with_its_end_and_is_late_when_it_runs_on():
    running = a_task("mill", 120, started_at=MONDAY)
    found = today(running, now=at("2026-06-01 09:00"))
    assert found.running[0].words == "Running since 08:00, until 10:00 as planned."
    assert found.late == ()
    late = today(running, now=at("2026-06-01 10:30"))
    assert late.late[0].words == "Running since 08:00, longer than planned."


def test_work_that_should_have_begun_is_late_and_says_by_when():
    found = today(
        a_task("mill", 240), a_task("sand", 240, "mill"), now=at("2026-06-02 09:00"), promised={1: date(2026, 6, 2)}
    )
    assert [(each.planned.task.name, each.words) for each in found.late] == [("mill", "Should have begun by 08:00.")]
    assert found.fits[0].why == "it should have begun by 08:00"


def test_least_float_comes_first_with_a_reason_each():
    found = today(
        a_task("cut", 30),
        a_task("glue-up", 40),
        a_task("in clamps", 180, "glue-up", kind=TaskKind.CLAMP),
        a_task("rest", 60, "in clamps"),
    )
    assert [(each.planned.task.name, each.why) for each in found.fits] == [
        ("glue-up", "it sets the finish date; then 3 h pass by themselves"),
        ("cut", "it can wait until 13:10"),  # 4 h 10 min of shop hours
    ]


def test_deliveries_say_when_to_order_and_when_they_are_late():
    lead = 7 * 24 * 60
    to_come = a_task("boards", lead, kind=TaskKind.DELIVERY)
    found = today(to_come, a_task("mill", 480, "boards"), promised={1: date(2026, 6, 26)})
    assert [(each.planned.task.name, each.words) for each in found.to_arrange] == [("boards", "Order by Thu 18 Jun.")]
    assert found.fits == ()
    ordered = replace(to_come, started_at=at("2026-05-20 09:00"), expected_at=at("2026-05-29 12:00"))
    late = today(ordered, a_task("mill", 480, "boards"))
    assert late.late[0].words == "Ordered Wed 20 May 09:00, expected Fri 29 May 12:00 and not here yet."
    assert late.timers == ()
    on_its_way = today(replace(ordered, expected_at=at("2026-06-03 12:00")))
    assert on_its_way.timers[0].words == "Expected Wed 12:00"
    assert not on_its_way.timers[0].calls


def test_goods_on_order_without_a_day_are_a_call_to_make_and_not_late():
    ordered = a_task("boards", 0, kind=TaskKind.DELIVERY, started_at=at("2026-05-20 09:00"))
    found = today(ordered, a_task("mill", 480, "boards"))
    assert found.late == ()
    assert found.to_arrange[0].words.endswith("nobody has said when it comes. Ask, and put the day on the order.")


def test_a_day_nobody_has_agreed_on_is_to_be_settled_and_blocks_what_waits_for_it():
    day = a_task("install day", 0, kind=TaskKind.MILESTONE)
    deliver = a_task("deliver", 90, "install day")
    found = today(day, deliver, promised={1: date(2026, 6, 5)})
    assert [each.words for each in found.to_arrange] == ["Settle by Fri 5 Jun."]
    assert found.blocked[0].words == "Waits for “install day”."
    agreed = today(replace(day, not_before=at("2026-06-03 09:00")), deliver)
    assert [each.words for each in agreed.to_arrange] == []
    assert agreed.blocked[0].words == "Waits for “install day”."
    here = today(replace(day, not_before=at("2026-06-03 09:00")), deliver, now=at("2026-06-03 09:00"))
    assert names(here.fits) == ["deliver"]


def test_what_is_short_is_said_beside_the_task():
    another = a_task("second glue-up", 40, clamps=8, bench=1, crew=2)
    running = a_task("mill", 120, started_at=at("2026-06-01 12:50"))
    found = today(*in_clamps(), running, another, now=at("2026-06-01 13:00"), resources=Resources(2, 12, 1))
    assert found.fits[0].warning == "needs 2 people, 1 free; needs 8 clamps, 4 free; needs 1 bench, 0 free"


def test_seconds_within_the_minute_do_not_hide_what_can_start_now():
    now = MONDAY + timedelta(seconds=42, microseconds=7)
    found = today(a_task("mill", 120), now=now)
    assert names(found.fits) == ["mill"]
    assert found.late == ()


def test_nothing_to_do_is_an_empty_list():
    found = today(a_task("mill", 120, finished_at=MONDAY), now=at("2026-06-01 10:00"))
    assert (found.fits, found.blocked, found.timers, found.late) == ((), (), (), ())
