"""The chart of a plan: what is drawn where."""

from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from domain.part import TaskKind
from domain.plan import Plan, chart
from plan_builders import CALENDAR, MONDAY, a_plan, a_task, at, hours, wait
from webapp.chart import LEAST_BAR, LETTER, SCREEN, Drawing, draw, sheets

CLAMPED = (
    a_task("mill", 240),
    a_task("glue-up", 60, "mill", kind=TaskKind.GLUE_UP, splittable=False),
    a_task("in clamps", 180, "glue-up", kind=TaskKind.CLAMP),
    a_task("show", 0, "in clamps", kind=TaskKind.MILESTONE),
)


def drawn(found: Plan, promised_on: date | None = None, **more: int) -> Drawing:
    return draw(chart(found, found.of_job(1)), CALENDAR, promised_on, **more)


def test_a_day_is_as_wide_as_its_share_of_the_sheet() -> None:
    drawing = drawn(a_plan(*CLAMPED), width=960)  # one day, 40 px an hour
    mill, glue_up, clamps, show = drawing.rows
    assert [(bar.kind, bar.x, bar.end) for bar in mill.bars] == [("attended", 320.0, 480.0)]  # 08:00 to 12:00
    assert [(bar.kind, bar.x, bar.end) for bar in glue_up.bars] == [("attended", 520.0, 560.0)]  # after lunch
    assert [(bar.kind, bar.x, bar.end) for bar in clamps.bars] == [("elapsed", 560.0, 680.0)]
    assert [(bar.kind, bar.x, bar.width) for bar in show.bars] == [("moment", 680.0, 0)]
    assert drawing.now.x == 320.0
    assert [(shut.x, shut.end) for shut in drawing.closed] == [(0.0, 320.0), (480.0, 520.0), (680.0, 960.0)]


def test_rows_stand_below_each_other_on_the_sheet() -> None:
    drawing = drawn(a_plan(*CLAMPED))
    assert all(below.y - row.y == 24 for row, below in pairwise(drawing.rows))
    assert drawing.rows[-1].y < drawing.height


def test_what_sets_the_date_what_is_done_and_what_runs_have_signs() -> None:
    tasks = (
        replace(CLAMPED[0], finished_at=at("2026-06-01 10:00")),
        replace(CLAMPED[1], started_at=at("2026-06-01 10:00")),
        *CLAMPED[2:],
        a_task("tidy", 5),
    )
    rows = drawn(a_plan(*tasks, now=at("2026-06-01 10:30"))).rows
    assert [row.sign for row in rows] == ["✓", "▸●", "●", "", ""]
    assert [row.kind for row in rows] == [
        "is-done", "is-running sets-date", "is-waiting sets-date", "is-waiting", "is-ready",
    ]  # fmt: skip


def test_float_is_drawn_to_a_stop_or_off_the_sheet() -> None:
    kept = drawn(a_plan(*CLAMPED, promised={1: date(2026, 6, 2)}), date(2026, 6, 2))
    assert kept.promise is not None
    assert (kept.promise.words, kept.promise.x) == ("promised Tue 2 Jun", float(SCREEN))
    assert kept.rows[0].slip is not None
    assert kept.rows[0].slip.closes
    far = drawn(a_plan(*CLAMPED, promised={1: date(2026, 12, 2)}), date(2026, 12, 2))
    assert far.promise is not None
    assert far.promise.words == "promised Wed 2 Dec →"
    assert far.rows[0].slip is not None
    assert not far.rows[0].slip.closes
    assert far.rows[0].slip.end == SCREEN
    gone = drawn(a_plan(*CLAMPED, promised={1: date(2026, 5, 2)}), date(2026, 5, 2))
    assert gone.promise is not None
    assert (gone.promise.words, gone.promise.x) == ("← promised Sat 2 May", 1.5)


def test_what_was_over_long_ago_is_left_out_and_counted_unless_everything_is_over() -> None:
    old = [replace(task, finished_at=at("2026-05-11 10:00")) for task in CLAMPED[:2]]
    drawing = drawn(a_plan(*old, *CLAMPED[2:], a_task("sand", 60)))
    assert [row.name for row in drawing.rows] == ["sand"]
    assert drawing.left_out == "4 tasks done before Sat 30 May left out."
    assert drawing.ticks[0].words == "Sat 30 May"
    everything = drawn(a_plan(*(replace(task, finished_at=at("2026-05-11 10:00")) for task in CLAMPED)))
    assert len(everything.rows) == 4
    assert everything.left_out == ""


def test_what_began_before_the_sheet_comes_in_from_its_edge() -> None:
    coming = a_task("boards", 30 * 24 * 60, kind=TaskKind.DELIVERY, started_at=at("2026-05-10 08:00"))
    bar = drawn(a_plan(coming, a_task("mill", 60, "boards"))).rows[0].bars[0]
    assert (bar.x, bar.opens, bar.closes) == (0.0, False, True)


def test_a_cure_that_goes_on_after_the_finish_does_not_stretch_the_sheet() -> None:
    tasks = (a_task("coat", 60), a_task("cure", 30 * 24 * 60, "coat", kind=TaskKind.CURE, trails=True))
    drawing = drawn(a_plan(*tasks))
    assert len(drawing.ticks) == 1
    assert not drawing.rows[1].bars[0].closes


@pytest.mark.parametrize(
    ("days", "first"),
    [(1, "Mon 1 Jun"), (12, "Mon 1 Jun"), (25, "1 Jun"), (40, "1 Jun"), (200, "Jun"), (500, "Jun"), (3000, "2027")],
)
def test_days_weeks_months_or_years_are_named_as_there_is_room(days: int, first: str) -> None:
    drawing = drawn(a_plan(a_task("rest", days * 1440 - 1000, kind=TaskKind.CURE)))
    words = [tick for tick in drawing.ticks if tick.words]
    assert words[0].words == first
    assert all(later.x - earlier.x >= 24 for earlier, later in pairwise(words))


def test_nights_are_shaded_only_where_they_can_be_seen() -> None:
    assert len(drawn(a_plan(a_task("rest", 6 * 1440, kind=TaskKind.CURE))).closed) > 10
    month = drawn(a_plan(a_task("rest", 60 * 1440, kind=TaskKind.CURE))).closed
    assert all(shut.width > 30 for shut in month)  # weekends


def test_elapsed_hours_are_one_more_the_day_the_clocks_go_back() -> None:
    # 1 November 2026 has 25 hours in New York (tz database).
    now = at("2026-10-31 09:00")
    drawing = drawn(a_plan(a_task("rest", 30 * 60, kind=TaskKind.CURE, started_at=now), now=now), width=980)
    assert [tick.words for tick in drawing.ticks] == ["Sat 31 Oct", "Sun 1 Nov"]
    assert [tick.x for tick in drawing.ticks] == [0.0, 480.0]  # 49 hours at 20 px


def test_the_sheets_for_paper_hold_a_few_rows_each_on_the_same_days() -> None:
    tasks = [a_task(f"task {number}", 30) for number in range(40)]
    found = a_plan(*tasks)
    drawn_sheets = sheets(chart(found, found.of_job(1)), CALENDAR, None)
    assert [len(sheet.rows) for sheet in drawn_sheets] == [16, 16, 8]
    assert {sheet.ticks for sheet in drawn_sheets} == {drawn_sheets[0].ticks}
    assert drawn_sheets[1].words.endswith("Part 2 of 3.")


def test_the_chart_is_told_in_words() -> None:
    found = a_plan(
        replace(CLAMPED[0], started_at=MONDAY, finished_at=MONDAY), *CLAMPED[1:], promised={1: date(2026, 6, 3)}
    )
    assert drawn(found, date(2026, 6, 3)).words == (
        "A chart of 4 tasks, 3 days from Mon 1 Jun to Wed 3 Jun: 1 done, 1 can start, 2 waiting. "
        "The promise is Wed 3 Jun. The list of tasks says the same in words."
    )


def test_a_long_name_is_cut_and_stays_on_the_sheet() -> None:
    drawing = drawn(a_plan(a_task("a" * 80, 9 * 60)))
    assert drawing.rows[0].name == "a" * 45 + "…"


@settings(max_examples=60)
@given(
    st.lists(
        st.tuples(st.sampled_from([TaskKind.OTHER, TaskKind.CURE, TaskKind.MILESTONE]), st.integers(0, 20_000)),
        min_size=1,
        max_size=8,
    ),
    st.integers(-60, 60),
)
def test_nothing_is_drawn_off_the_sheet(kinds: list[tuple[TaskKind, int]], promised_in: int) -> None:
    tasks = [
        a_task(str(number), minutes, *([wait(str(number - 1), hours(1))] if number else []), kind=kind)
        for number, (kind, minutes) in enumerate(kinds)
    ]
    on = MONDAY.date() + timedelta(days=promised_in)
    drawing = drawn(a_plan(*tasks, promised={1: on}), on)
    for row in drawing.rows:
        for bar in (*row.bars, *((row.slip,) if row.slip else ())):
            assert 0 <= bar.x <= bar.end <= SCREEN + LEAST_BAR
        assert 0 <= row.label_x <= SCREEN
        assert 0 < row.top < row.foot < drawing.height
    for tick in drawing.ticks:
        assert 0 <= tick.x < SCREEN
    for mark in (drawing.now, drawing.promise):
        assert mark is not None
        assert 0 <= mark.x <= SCREEN


def test_the_words_of_days_never_meet() -> None:
    """On paper: two days back from a Monday, over six weeks, so that a date stands before bare numbers."""
    for days in range(3, 60):
        long = a_task("Cure", 1440 * days, kind=TaskKind.CURE)
        found = a_plan(long)
        drawing = sheets(chart(found, found.of_job(1)), CALENDAR, None)[0]
        words = [tick for tick in drawing.ticks if tick.words]
        for one, then in pairwise(words):
            assert one.x + LETTER * len(one.words) <= then.x, (days, one.words, then.words)
