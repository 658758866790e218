"""Today's list: whose turn it is, timers, what fits before the next interruption, what to leave, and why."""

from dataclasses import replace
from datetime import date, time, timedelta

from domain.length import Length
from domain.part import TaskKind
from domain.person import Absence, Person, Skill
from domain.plan import Resources
from domain.shop import ClampsOf
from domain.today import Noted, todays_list
from domain.today.start import in_the_way, missed_window
from plan_builders import CALENDAR, MONDAY, a_plan, a_task, at, hours, wait


def today(*tasks, now=MONDAY, **more):
    return todays_list(a_plan(*tasks, now=now, **more), now, CALENDAR)


def names(noted):
    return [each.planned.task.name for each in noted]


def words(noted):
    return [(each.planned.task.name, each.words) for each in noted]


def now_or_else(found):
    """Return what can start: what is somebody's turn, then what fits beside it."""
    return [turn.next.planned.task.name for turn in found.turns if turn.can_start] + names(found.fits)


ALONE = Resources(hands=1, clamps=12, benches=1)


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


def test_a_clamp_timer_runs_and_what_fits_before_it_calls_is_told_from_what_fits_in_part():
    tasks = (a_task("label", 10), a_task("sand drawers", 60, position=1), a_task("cut carcass", 180, position=2))
    found = today(*in_clamps(), *tasks, now=at("2026-06-01 13:00"), resources=ALONE, promised={1: date(2026, 6, 30)})
    assert [timer.words for timer in found.timers] == ["Clamps off 14:20", "Cures until tomorrow 11:20"]
    assert found.interrupted_at == at("2026-06-01 14:20")
    assert found.interruption == "in clamps: clamps off 14:20"
    assert now_or_else(found) == ["sand drawers", "label"]
    assert [(each.planned.task.name, each.part) for each in found.part_of] == [
        ("cut carcass", timedelta(hours=1, minutes=20)),
    ]
    assert found.turns[0].next.takes == hours(1)


def test_what_goes_in_one_go_and_past_the_interruption_is_left():
    planing = a_task("plane", 120, splittable=False)
    found = today(*in_clamps(), a_task("label", 10), planing, now=at("2026-06-01 13:00"), resources=ALONE)
    assert ("plane", "It takes 2 h in one go, and there is an interruption 14:20.") in words(found.leave)
    other = today(*in_clamps(), planing, now=at("2026-06-01 13:00"), resources=Resources(2, 12, 1))
    assert now_or_else(other) == ["plane"], "somebody else takes the clamps off"


def test_when_the_clamp_time_is_over_taking_them_off_comes_first():
    other = a_task("sand drawers", 60, position=1)
    found = today(*in_clamps(), other, now=at("2026-06-01 14:30"), promised={1: date(2026, 6, 30)}, resources=ALONE)
    assert now_or_else(found) == ["unclamp", "sand drawers"]
    assert [timer.words for timer in found.timers] == ["Cures until tomorrow 11:20"]


def test_closing_time_interrupts_when_no_timer_does():
    found = today(a_task("mill", 120), a_task("cut", 180), now=at("2026-06-01 14:30"))
    assert found.interrupted_at == at("2026-06-01 17:00")
    assert found.interruption == "closing time 17:00"
    assert sorted(now_or_else(found)) == ["cut", "mill"]


def test_before_the_shop_opens_the_list_is_for_the_morning():
    found = today(a_task("mill", 120), now=at("2026-05-30 19:00"))
    assert found.starts_at == MONDAY
    assert now_or_else(found) == ["mill"]


def test_a_glue_up_that_must_not_be_broken_off_is_left_late_in_the_day_and_got_ready_for_the_morning():
    found = today(a_task("glue-up", 40, kind=TaskKind.GLUE_UP, splittable=False), now=at("2026-06-01 16:40"))
    assert now_or_else(found) == []
    assert words(found.leave) == [("glue-up", "It takes 40 min in one go, and the shop closes 17:00.")]
    assert found.turns[0].wait == found.leave[0].words
    assert found.get_ready[0].words.startswith("From tomorrow 08:00. Lay out the glue")


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
    found = today(*coats(), urgent, now=at("2026-06-02 09:00"), promised={1: date(2026, 6, 30)}, resources=ALONE)
    assert now_or_else(found) == ["Second coat", "urgent"]
    assert found.turns[0].next.why == "its window closes 21:40"


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
    assert words(found.late) == [("mill", "Should have begun by 08:00.")]
    assert found.turns[0].next.why == "it should have begun by 08:00"


def test_what_the_plan_starts_first_comes_first_with_a_reason_each():
    found = today(
        a_task("cut", 30),
        a_task("glue-up", 40),
        a_task("in clamps", 180, "glue-up", kind=TaskKind.CLAMP),
        a_task("rest", 60, "in clamps"),
        resources=ALONE,
    )
    assert found.turns[0].next.why == "it sets the finish date; then 3 h pass by themselves"
    assert [(each.planned.task.name, each.why) for each in found.fits] == [
        ("cut", "it can wait until 13:10"),  # 4 h 10 min of shop hours
    ]


def test_deliveries_say_when_to_order_and_when_they_are_late():
    lead = 7 * 24 * 60
    to_come = a_task("boards", lead, kind=TaskKind.DELIVERY)
    found = today(to_come, a_task("mill", 480, "boards"), promised={1: date(2026, 6, 26)})
    assert [(each.planned.task.name, each.words) for each in found.to_arrange] == [("boards", "Order by Thu 18 Jun.")]
    assert now_or_else(found) == []
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
    assert now_or_else(here) == ["deliver"]


def test_a_glue_up_whose_clamps_are_still_on_something_else_is_left_and_says_until_when():
    another = a_task("second glue-up", 40, clamps=8, bench=1, crew=2)
    running = a_task("mill", 120, started_at=at("2026-06-01 12:50"))
    found = today(*in_clamps(), running, another, now=at("2026-06-01 13:00"), resources=Resources(2, 12, 1))
    short = "Needs 8 clamps, 4 free until 14:40; needs 1 bench, 0 free until 14:40."
    assert words(found.leave) == [("second glue-up", short)]
    first = found.turns[0]
    assert names(Noted(each, "") for each in first.at_work) == ["mill"]
    assert first.next.needs == "2 people, 8 clamps and the bench"
    assert first.next.short == "needs 2 people, 1 free until 15:00"
    assert not first.can_start


def test_clamps_that_are_too_short_do_not_help():
    def glue_up(name, length, **more):
        return a_task(name, 40, kind=TaskKind.GLUE_UP, clamps=4, clamp_length=Length.of(length), **more)

    on = glue_up("long panel", 60, until="1/off", started_at=at("2026-06-01 08:00"), finished_at=at("2026-06-01 08:40"))
    off = a_task("off", 180, "long panel", kind=TaskKind.CLAMP)
    there = Resources(2, 12, 2, clamps_of=(ClampsOf(Length.of(24), 6), ClampsOf(Length.of(60), 6)))
    found = today(on, off, glue_up("long door", 48), glue_up("drawer", 20), now=at("2026-06-01 09:00"), resources=there)
    long = "Needs 4 clamps that are long enough, 2 free until 11:40."
    assert words(found.leave) == [("long door", long)]
    assert now_or_else(found) == ["drawer"]


def test_more_clamps_than_the_shop_has_are_told_and_keep_nobody_from_starting():
    found = today(a_task("glue-up", 40, clamps=60), resources=Resources(1, 24, 1))
    assert found.leave == ()
    assert found.turns[0].next.short == "needs 60 clamps, 24 free"


WINDOW = wait("First coat", hours(12), hours(36), if_missed="it needs sanding")
COATS = (
    a_task("First coat", 40, kind=TaskKind.COAT, splittable=False),
    a_task("Second coat", 40, WINDOW, kind=TaskKind.COAT, splittable=False),
)


def test_a_coat_whose_window_would_close_while_nobody_works_is_not_started():
    friday = today(*COATS, now=at("2026-06-05 09:00"))
    assert words(friday.leave) == [(
        "First coat",
        "Started now, “Second coat” would have to begin from 21:40 to tomorrow 21:40, and nobody works then; "
        "after that it needs sanding.",
    )]  # fmt: skip
    assert now_or_else(friday) == []
    assert friday.turns[0].starts_at == at("2026-06-08 08:00")
    assert friday.turns[0].wait == friday.leave[0].words
    thursday = today(*COATS, now=at("2026-06-04 09:00"))
    assert (thursday.leave, now_or_else(thursday)) == ((), ["First coat"])


def test_that_a_window_would_be_missed_is_found_by_trying_and_true():
    """The plan itself, made with the coat put on at each hour, misses the window exactly when the list says so."""
    for hour in range(8, 17):
        for weekday in (1, 4, 5):
            now = at(f"2026-06-0{weekday} {hour:02}:00")
            made = a_plan(*COATS, now=now)
            told = missed_window(made, made.tasks["1/First coat"], now) is not None
            begun = a_plan(replace(COATS[0], started_at=now), COATS[1], now=now)
            assert told is not all(window.is_met for window in begun.windows), now


def test_a_window_that_no_start_can_meet_keeps_nobody_from_working():
    closed = wait("First coat", hours(9), hours(10), if_missed="it needs sanding")
    coats = (COATS[0], a_task("Second coat", 300, closed, kind=TaskKind.COAT, splittable=False))
    assert today(*coats, now=at("2026-06-04 09:00")).leave == ()


def test_dust_waits_while_a_coat_is_wet_in_the_same_room_and_a_coat_while_dust_is_made():
    wet = a_task("Last coat", 40, kind=TaskKind.COAT, finished_at=at("2026-06-01 09:40"), wet_for=hours(2))
    sand, site = a_task("sand", 60, kind=TaskKind.SAND), a_task("plane", 60, kind=TaskKind.MILL, on_site=True)
    found = today(wet, sand, site, now=at("2026-06-01 10:00"), resources=ALONE)
    assert words(found.leave) == [("sand", "It makes dust, and “Last coat” is wet until 11:40.")]
    assert now_or_else(found) == ["plane"]
    apart = today(wet, sand, site, now=at("2026-06-01 10:00"), resources=replace(ALONE, finishing_room=True))
    assert apart.leave == ()
    milling = a_task("mill", 120, kind=TaskKind.MILL, started_at=at("2026-06-01 09:00"))
    coat = a_task("coat", 40, kind=TaskKind.COAT)
    assert words(today(milling, coat, now=at("2026-06-01 10:00")).leave) == [("coat", "“mill” makes dust until 11:00.")]


ANA = Person(3, "Ana", frozenset({Skill.MACHINES, Skill.BENCH}))
BEN = Person(5, "Ben", frozenset({Skill.FINISHING}))
NAMED = Resources(hands=1, clamps=12, benches=1, people=(ANA, BEN))


def a_panel():
    return (
        a_task("mill", 60, kind=TaskKind.MILL),
        a_task("sand", 60, kind=TaskKind.SAND),
        a_task("glue", 40, "mill", kind=TaskKind.GLUE_UP, crew=2, clamps=8, bench=1, splittable=False),
    )


def test_everybody_is_told_their_own_next_task_and_who_is_on_it_with_them():
    found = today(*a_panel(), resources=NAMED)
    assert [(turn.name, turn.next.planned.task.name, turn.can_start) for turn in found.turns] == [
        ("Ana", "mill", True),
        ("Ben", "sand", True),
    ]
    assert found.turns[0].next.why == "it sets the finish date; “glue” waits for it"
    done = [replace(task, finished_at=at("2026-06-01 09:00")) for task in a_panel()[:2]]
    glue = today(*done, a_panel()[2], resources=NAMED, now=at("2026-06-01 09:00"))
    assert [(turn.next.planned.task.name, turn.others) for turn in glue.turns] == [
        ("glue", ("Ben",)),
        ("glue", ("Ana",)),
    ]


def test_what_to_lay_out_for_the_next_glue_up_is_told_with_its_second_pair_of_hands():
    found = today(*a_panel(), resources=NAMED)
    assert words(found.get_ready) == [(
        "glue",
        "From 09:00 with Ana and Ben: 2 people, 8 clamps and the bench. "
        "Lay out the glue, and try the parts dry, with the clamps set to width.",
    )]  # fmt: skip


def test_who_is_away_has_no_turn_and_what_only_they_can_do_waits_for_them():
    ill = Absence(1, 5, at("2026-06-01 00:00"), at("2026-06-02 00:00"))
    found = today(*a_panel(), resources=replace(NAMED, absences=(ill,)))
    ben = found.turns[1]
    assert (ben.away, ben.can_start) == ("Ben is away until tomorrow 00:00", False)
    assert names(found.fits) == ["sand"]
    assert (found.fits[0].can_do, found.fits[0].short) == (frozenset(), "Ben is away until tomorrow 00:00")


def test_who_works_mornings_alone_is_not_there_in_the_afternoon():
    mornings = replace(BEN, weekly=(((time(8), time(12)),),) * 5 + ((), ()))
    found = today(*a_panel(), now=at("2026-06-01 13:30"), resources=replace(NAMED, people=(ANA, mornings)))
    assert found.turns[1].away == "Ben does not work any more today"


def test_what_would_hold_the_bench_that_the_next_step_needs_is_in_the_way():
    glued, held, _ = in_clamps()[:3]
    off = a_task("unclamp", 20, "in clamps", kind=TaskKind.UNCLAMP, bench=1)
    made = a_plan(
        replace(glued, bench=0, until=""), held, off, a_task("fit doors", 300, bench=1), a_task("fit", 30, bench=1),
        now=at("2026-06-01 13:00"),
    )  # fmt: skip

    def told(key):
        return in_the_way(made, made.tasks[key], at("2026-06-01 13:00"), at("2026-06-01 14:20"))

    assert told("1/fit doors") == "it would hold the bench that “unclamp” needs 14:20"
    assert told("1/fit") == ""


def test_seconds_within_the_minute_do_not_hide_what_can_start_now():
    now = MONDAY + timedelta(seconds=42, microseconds=7)
    found = today(a_task("mill", 120), now=now)
    assert now_or_else(found) == ["mill"]
    assert found.late == ()


def test_nothing_to_do_is_an_empty_list():
    found = today(a_task("mill", 120, finished_at=MONDAY), now=at("2026-06-01 10:00"))
    assert (found.fits, found.blocked, found.timers, found.late) == ((), (), (), ())
