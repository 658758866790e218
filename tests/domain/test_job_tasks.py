"""From a job's facts to its tasks: stable keys, waits, coats, deliveries, records and the maker's own tasks."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from builders import a_top, placed, with_habits
from domain.data import rows
from domain.job import Client, Job
from domain.job_steps import DELIVER, HAND_OVER, INSTALL_DAY, job_steps
from domain.job_tasks import delivery_key, job_tasks
from domain.length import Length
from domain.material import MaterialKind
from domain.operation import starting_times
from domain.part import TaskKind
from domain.pieces.base_cabinet import BaseCabinet
from domain.pieces.built_up_edge import BuiltUpEdge
from domain.pieces.drawer import Drawer
from domain.pieces.piece import PlacedPiece
from domain.pieces.support_strips import SupportStrips
from domain.pieces.top import Top
from domain.plan import TaskState
from domain.practice import ShopPractice
from domain.take_off import take_off
from domain.task import Clock, Delivery, OwnLink, TaskRecord
from plan_builders import MONDAY, a_plan, at, hours

JOB = Job(1, "Invented pantry", Client(1, "Invented client"), promised_on=date(2026, 9, 1))
USUAL = ShopPractice()
TOP = PlacedPiece(1, "Bar top", 1, Top())
PANTRY = (
    TOP,
    PlacedPiece(2, "Front edge", 1, BuiltUpEdge(), belongs_to=1),
    PlacedPiece(3, "Strips", 1, SupportStrips(), belongs_to=1),
    PlacedPiece(4, "Base", 2, BaseCabinet()),
    PlacedPiece(5, "Drawer", 4, Drawer(), belongs_to=4),
)


def made(*pieces, practice=USUAL, times=None, now=MONDAY, **more):
    said = starting_times() if times is None else times
    return job_tasks(JOB, take_off(pieces or (TOP,), practice), said, practice, now, **more)


def by_part(found):
    return {task.part: task for task in found.tasks}


def waits_of(task):
    return {link.before.partition("/")[2]: link for link in task.links}


def upstream(tasks, part):
    """Return everything a task waits for, however far back."""
    seen, todo = set(), [part]
    while todo:
        for before in waits_of(tasks[todo.pop()]):
            if before not in seen:
                seen.add(before)
                todo.append(before)
    return seen


def test_every_step_of_every_piece_becomes_one_task_with_a_stable_key():
    found = made(*PANTRY)
    steps = [f"p{built.placed.id}.{step.key}" for built in take_off(PANTRY, USUAL).pieces for step in built.steps]
    assert [task.part for task in found.tasks if task.piece_id] == steps
    assert len({task.key for task in found.tasks}) == len(found.tasks)
    longer = made(replace(TOP, piece=Top(length=Length.parse("8' 6"))))
    assert [task.key for task in longer.tasks] == [task.key for task in made(TOP).tasks]


def test_names_say_how_many_of_which_piece():
    tasks = by_part(made(*PANTRY))
    assert tasks["p1.glue-up-1"].name == "Bar top: glue-up"
    assert tasks["p5.assemble-box"].name.startswith("4 × Drawer: ")


def test_attended_tasks_take_what_the_shop_says_and_waits_take_what_practice_says():
    tasks = by_part(made(TOP))
    glue_up = tasks["p1.glue-up-1"]
    assert glue_up.clock is Clock.ATTENDED
    assert glue_up.takes.label == "Attended time"
    assert not glue_up.splittable
    assert glue_up.crew == 2
    assert glue_up.clamps > 0
    assert glue_up.until == "1/p1.unclamp-1"
    assert tasks["p1.clamp-1"].duration == hours(3)
    assert tasks["p1.cure-1"].takes.rule.where.startswith("practice:")
    assert glue_up.operations == ("glue-up",)


def test_the_whole_job_can_be_planned_and_ends_with_the_hand_over():
    found = made(*PANTRY)
    plan = a_plan(*found.tasks)
    counted = [each for each in plan.tasks.values() if not each.task.trails]
    last = max(counted, key=lambda each: each.earliest_finish)
    assert last.task.part == HAND_OVER
    tasks = by_part(found)
    trailing = {part for part, task in tasks.items() if task.trails}
    assert upstream(tasks, HAND_OVER) == set(tasks) - trailing - {HAND_OVER}


def test_pieces_are_made_finished_carried_in_and_put_in_in_that_order():
    tasks = by_part(made(*PANTRY))
    coat = "finish-waterborne_polyurethane.coat-1"
    assert {"p1.sand", "p2.sand", "p4.sand", "p5.sand"} <= upstream(tasks, coat)
    assert "finish-waterborne_polyurethane.coat-3" in waits_of(tasks[DELIVER])
    assert waits_of(tasks[DELIVER])["finish-waterborne_polyurethane.coat-3"].at_least == hours(8)  # dry to handle
    assert {DELIVER, "p4.install"} <= upstream(tasks, "p1.install")
    assert "p2.glue-up-1" not in upstream(tasks, "p1.flatten")
    assert "p1.flatten" in upstream(tasks, "p2.glue-up-1")  # the edge is glued to a flat top
    assert INSTALL_DAY in waits_of(tasks[DELIVER])


def test_operations_without_a_time_count_as_none_and_are_named_once_each():
    times = {key: time for key, time in starting_times().items() if key not in ("mill", "coat")}
    found = made(TOP, times=times)
    assert [(problem.field, problem.words) for problem in found.problems] == [
        (
            "operation:mill",
            "Nobody has said how long “Mill boards flat, straight and to thickness” takes: "
            "the plan counts it as no time.",
        ),
        ("operation:coat", "Nobody has said how long “Put on a coat” takes: the plan counts it as no time."),
    ]
    assert by_part(found)["p1.mill"].duration == timedelta(0)
    a_plan(*found.tasks)


def finished(**choices):
    return PlacedPiece(1, "Bar top", 1, Top(**choices))


def test_coats_follow_each_other_within_their_recoat_window():
    tasks = by_part(made(finished(finish="Oil-modified polyurethane", coats=3)))
    second = waits_of(tasks["finish-oil_modified_polyurethane.coat-2"])["finish-oil_modified_polyurethane.coat-1"]
    assert (second.at_least, second.at_most) == (hours(12), hours(24))
    assert second.if_missed == "it needs sanding"
    assert tasks["finish-oil_modified_polyurethane.coat-2"].name == "Second coat of oil-modified polyurethane"
    assert not any("scuff" in part for part in tasks)
    cure = tasks["finish-oil_modified_polyurethane.cure"]
    assert (cure.kind, cure.duration) == (TaskKind.CURE, timedelta(days=30))
    assert cure.trails
    assert "finish-oil_modified_polyurethane.cure" not in upstream(tasks, HAND_OVER)


def test_a_finish_whose_window_never_closes_has_no_latest_time():
    tasks = by_part(made(finished(finish="Hardwax oil", coats=2)))
    second = waits_of(tasks["finish-hardwax_oil.coat-2"])["finish-hardwax_oil.coat-1"]
    assert (second.at_least, second.at_most) == (hours(12), None)


def test_colour_goes_on_first_and_dries_longer_under_a_waterborne_finish():
    tasks = by_part(made(finished(finish="Waterborne polyurethane", colour="Oil stain", coats=2)))
    name = "finish-waterborne_polyurethane-oil_stain"
    assert tasks[f"{name}.colour"].operations == ("stain",)
    first = waits_of(tasks[f"{name}.coat-1"])[f"{name}.colour"]
    assert first.at_least == hours(72)
    assert "p1.sand" in waits_of(tasks[f"{name}.colour"])


def test_coats_on_site_follow_the_install_soon():
    tasks = by_part(made(finished(finish="Hardwax oil", coats=2, on_site=True)))
    first = waits_of(tasks["finish-hardwax_oil-site.coat-1"])["p1.install"]
    assert (first.at_least, first.at_most) == (timedelta(0), hours(48))
    assert first.why == "bare wood takes up damp and dirt"
    assert "finish-hardwax_oil-site.coat-2" not in upstream(tasks, DELIVER)
    plan = a_plan(*made(finished(finish="Hardwax oil", coats=2, on_site=True)).tasks, now=at("2026-06-01 08:00"))
    (window,) = [window for window in plan.windows if window.after.endswith("site.coat-1")]
    assert "after that it must be cleaned and sanded again first" in window.words


def test_two_finishes_that_differ_in_coats_only_keep_apart():
    other = PlacedPiece(2, "Shelf top", 1, Top(finish="Hardwax oil", coats=3))
    tasks = by_part(made(finished(finish="Hardwax oil", coats=2), other))
    assert "finish-hardwax_oil.coat-2" in tasks
    assert "finish-hardwax_oil-3_coats.coat-3" in tasks
    assert "finish-hardwax_oil.coat-3" not in tasks


FILM = "finish-oil_modified_polyurethane"
THREE_COATS = finished(finish="Oil-modified polyurethane", coats=3)


def test_once_a_recoat_window_has_closed_a_scuffing_comes_before_the_coat():
    first = TaskRecord(f"{FILM}.coat-1", finished_at=at("2026-06-01 09:40"))
    in_time = by_part(made(THREE_COATS, records=[first], now=at("2026-06-02 09:40")))
    assert f"{FILM}.scuff-2" not in in_time
    closed = by_part(made(THREE_COATS, records=[first], now=at("2026-06-02 09:41")))
    scuff, second = closed[f"{FILM}.scuff-2"], closed[f"{FILM}.coat-2"]
    assert scuff.operations == ("scuff",)
    assert waits_of(scuff)[f"{FILM}.coat-1"].at_least == hours(12)
    assert list(waits_of(second)) == [f"{FILM}.scuff-2"]
    assert waits_of(second)[f"{FILM}.scuff-2"].at_most is None
    assert f"{FILM}.scuff-3" not in closed
    late = TaskRecord(f"{FILM}.coat-2", started_at=at("2026-06-02 14:00"))
    begun = by_part(made(THREE_COATS, records=[first, late], now=at("2026-06-02 15:00")))
    assert f"{FILM}.scuff-2" not in begun


def test_the_maker_may_ask_for_a_scuffing_or_do_without():
    asked = by_part(made(THREE_COATS, records=[TaskRecord(f"{FILM}.scuff-3")]))
    assert list(waits_of(asked[f"{FILM}.coat-3"])) == [f"{FILM}.scuff-3"]
    records = [
        TaskRecord(f"{FILM}.coat-1", finished_at=at("2026-06-01 09:40")),
        TaskRecord(f"{FILM}.scuff-2", dropped=True),
    ]
    without = by_part(made(THREE_COATS, records=records, now=at("2026-06-10 08:00")))
    assert list(waits_of(without[f"{FILM}.coat-2"])) == [f"{FILM}.coat-1"]


def test_a_shop_that_always_scuffs_has_no_latest_time_for_a_coat():
    practice = ShopPractice({"scuff_between_coats": USUAL.value("scuff_between_coats") + 1})
    tasks = by_part(made(THREE_COATS, practice=practice))
    assert list(waits_of(tasks[f"{FILM}.coat-2"])) == [f"{FILM}.scuff-2"]
    assert {f"{FILM}.scuff-2", f"{FILM}.scuff-3"} <= set(tasks)


def a_delivery(kinds, key="supplier:Hill yard", **more):
    lines = take_off(PANTRY, USUAL).lines
    keys = frozenset(line.material.key for line in lines if line.material.kind in kinds)
    assert keys
    return Delivery(key, f"Delivery {key}", keys, timedelta(days=7), **more)


def test_lumber_gets_used_to_the_shop_between_delivery_and_milling():
    boards = a_delivery({MaterialKind.LUMBER})
    tasks = by_part(made(*PANTRY, deliveries=[boards]))
    rest = tasks["supplier:Hill yard.acclimate"]
    assert (rest.kind, rest.duration) == (TaskKind.ACCLIMATE, timedelta(days=10))
    assert rest.takes.rule.where == "practice:acclimation_days"
    assert list(waits_of(rest)) == ["supplier:Hill yard.delivery"]
    assert "supplier:Hill yard.acclimate" in waits_of(tasks["p1.mill"])
    assert "supplier:Hill yard.acclimate" not in upstream(tasks, "p4.cut")
    assert tasks["supplier:Hill yard.delivery"].duration == timedelta(days=7)
    assert tasks["supplier:Hill yard.delivery"].key == delivery_key(1, boards.key)


def test_sheets_and_finish_hold_up_only_what_needs_them():
    sheets, finish = a_delivery({MaterialKind.SHEET}), a_delivery({MaterialKind.FINISH}, key="delivery:9")
    tasks = by_part(made(*PANTRY, deliveries=[sheets, finish]))
    assert "supplier:Hill yard.acclimate" not in tasks
    assert "supplier:Hill yard.delivery" in waits_of(tasks["p4.cut"])
    assert "supplier:Hill yard.delivery" not in upstream(tasks, "p1.flatten")
    assert "delivery:9.delivery" in waits_of(tasks["finish-waterborne_polyurethane.coat-1"])
    assert "delivery:9.delivery" not in upstream(tasks, "p4.sand")


def test_orders_give_a_delivery_its_times():
    ordered = a_delivery({MaterialKind.LUMBER}, ordered_at=at("2026-05-20 09:00"), expected_at=at("2026-06-03 12:00"))
    plan = a_plan(*made(*PANTRY, deliveries=[ordered]).tasks)
    assert plan.tasks["1/supplier:Hill yard.delivery"].earliest_finish == at("2026-06-03 12:00")
    assert plan.tasks["1/p1.mill"].earliest_start == at("2026-06-15 08:00")  # ten days later, a Saturday, and so Monday
    arrived = replace(ordered, arrived_at=at("2026-05-29 10:00"))
    later = a_plan(*made(*PANTRY, deliveries=[arrived]).tasks)
    assert later.tasks["1/supplier:Hill yard.delivery"].state is TaskState.DONE
    assert later.tasks["1/supplier:Hill yard.acclimate"].state is TaskState.RUNNING
    assert later.tasks["1/p1.mill"].earliest_start == at("2026-06-08 10:00")


def test_lumber_says_what_a_meter_should_read_before_it_is_milled():
    # Source: woodworkers' forums: within 2 points of use; halfway between 6.2 and 10.9 % is 8.6 % to a tenth
    tasks = by_part(made(*PANTRY, deliveries=[a_delivery({MaterialKind.LUMBER})]))
    name = tasks["supplier:Hill yard.acclimate"].name
    assert name.startswith("Lumber gets used to the shop, 6.6 to 10.6 % on the meter: ")


def test_the_shop_says_how_long_lumber_lies():
    practice = with_habits(acclimation_days="4")
    tasks = by_part(made(*PANTRY, practice=practice, deliveries=[a_delivery({MaterialKind.LUMBER})]))
    assert tasks["supplier:Hill yard.acclimate"].duration == timedelta(days=4)


def test_wood_from_the_shops_own_stock_waits_for_nothing():
    tasks = by_part(made(*PANTRY, deliveries=[a_delivery({MaterialKind.SHEET, MaterialKind.GLUE})]))
    assert not [part for part in tasks if part.endswith(".acclimate")]
    assert upstream(tasks, "p1.mill") == set()
    plan = a_plan(*made(*PANTRY).tasks)
    assert plan.tasks["1/p1.mill"].earliest_start == MONDAY


def test_boards_that_came_get_used_to_the_shop_though_the_rest_of_their_order_is_still_to_come():
    boards, sheets = a_delivery({MaterialKind.LUMBER}), a_delivery({MaterialKind.SHEET}, key="delivery:9")
    came = at("2026-05-29 10:00")
    rest = replace(sheets, lumber=boards.materials, lumber_at=came, ordered_at=at("2026-05-20 09:00"))
    tasks = by_part(made(*PANTRY, deliveries=[rest]))
    acclimate = tasks["delivery:9.acclimate"]
    assert acclimate.started_at == came
    assert list(waits_of(acclimate)) == []
    assert "delivery:9.acclimate" in waits_of(tasks["p1.mill"])
    assert "delivery:9.delivery" not in upstream(tasks, "p1.mill")
    plan = a_plan(*tasks.values())
    assert plan.tasks["1/delivery:9.acclimate"].state is TaskState.RUNNING
    assert plan.tasks["1/p1.mill"].earliest_start == at("2026-06-08 10:00"), "ten days after the boards came"


@pytest.mark.parametrize("family", [row["family"] for row in rows("finishes.csv") if row["coats_typical"] != "1"])
def test_recoat_and_full_cure_windows_of_the_table_feed_the_plan(family):
    # Source: finishes.csv of domain/data, each row's own source: min_recoat_h, max_recoat_without_scuff_h and
    # full_cure_days_high
    (row,) = (each for each in rows("finishes.csv") if each["family"] == family)
    tasks = by_part(made(placed(a_top(finish=family, coats=2), 1)))
    second = next(task for part, task in tasks.items() if part.endswith(".coat-2"))
    first = second.part.replace("coat-2", "coat-1")
    link = waits_of(second)[first]
    assert link.at_least == timedelta(hours=int(row["min_recoat_h"]))
    closes = row["max_recoat_without_scuff_h"]
    assert link.at_most == (timedelta(hours=int(closes)) if closes else None)
    cures = [task for part, task in tasks.items() if part.endswith(".cure")]
    assert [task.duration for task in cures] == (
        [timedelta(days=int(row["full_cure_days_high"]))] if row["full_cure_days_high"] else []
    )
    assert all(task.trails and list(waits_of(task)) == [second.part] for task in cures)


def test_records_change_names_times_and_places_and_keep_what_happened():
    record = TaskRecord(
        "p1.mill", name="Mill at the neighbour's", minutes=95, crew=2, position=1, started_at=MONDAY, not_before=MONDAY
    )
    found = made(TOP, records=[record])
    first = found.tasks[0]
    assert (first.part, first.name, first.duration, first.crew) == (
        "p1.mill",
        "Mill at the neighbour's",
        timedelta(minutes=95),
        2,
    )
    assert first.takes.rule.source == "typed"
    assert (first.started_at, first.not_before) == (MONDAY, MONDAY)


def test_a_record_of_a_step_that_is_gone_does_no_harm():
    assert made(TOP, records=[TaskRecord("p99.mill", minutes=5)]).tasks == made(TOP).tasks


def test_what_waited_for_a_dropped_task_waits_for_what_that_one_waited_for():
    found = made(TOP, records=[TaskRecord("p1.clamp-1", dropped=True), TaskRecord("p1.unclamp-1", dropped=True)])
    tasks = by_part(found)
    assert [task.part for task in found.dropped] == ["p1.clamp-1", "p1.unclamp-1"]
    assert "p1.glue-up-1" in waits_of(tasks["p1.flatten"])
    assert tasks["p1.glue-up-1"].until == ""
    assert "p1.cure-1" in waits_of(tasks["p1.flatten"])
    a_plan(*found.tasks)


def test_waits_before_and_after_a_dropped_coat_add_up():
    film = finished(finish="Oil-modified polyurethane", coats=3)
    tasks = by_part(made(film, records=[TaskRecord(f"{FILM}.coat-2", dropped=True)]))
    third = waits_of(tasks[f"{FILM}.coat-3"])[f"{FILM}.coat-1"]
    assert (third.at_least, third.at_most) == (hours(24), None)


def test_the_makers_own_tasks_and_links_take_part():
    records = [TaskRecord("own.1", own=True, name="Template the sink", kind=TaskKind.OTHER, minutes=45, crew=1)]
    links = [OwnLink("own.1", "p1.cut-to-length", at_least=hours(2))]
    tasks = by_part(made(TOP, records=records, links=links))
    own = tasks["own.1"]
    assert (own.own, own.duration, own.clock) == (True, timedelta(minutes=45), Clock.ATTENDED)
    link = waits_of(tasks["p1.cut-to-length"])["own.1"]
    assert (link.own, link.at_least) == (True, hours(2))


def test_an_own_task_without_a_time_is_named():
    found = made(TOP, records=[TaskRecord("own.1", own=True, name="Template the sink")])
    assert [problem.words for problem in found.problems] == [
        "Nobody has said how long “Template the sink” takes: the plan counts it as no time."
    ]


def test_a_link_that_would_go_round_in_a_ring_is_left_out_and_its_tasks_are_named():
    found = made(TOP, links=[OwnLink("p1.flatten", "p1.joint")])
    (problem,) = found.problems
    assert problem.field == "link:p1.flatten:p1.joint"
    assert problem.words.startswith("These tasks would wait for each other: “Bar top: joint edges” → ")
    assert problem.words.endswith("→ “Bar top: joint edges”. Take one of the links away.")
    assert "p1.flatten" not in waits_of(by_part(found)["p1.joint"])
    a_plan(*found.tasks)


def test_a_link_to_a_task_that_is_gone_is_left_out_and_named():
    found = made(TOP, links=[OwnLink("p9.mill", "p1.mill")])
    assert [problem.words for problem in found.problems] == [
        "A link of “Bar top: mill boards” leads to a task that is gone."
    ]


@pytest.mark.parametrize("pieces", [(), (PlacedPiece(1, "Bar top", 0, Top()),)])
def test_a_job_without_pieces_has_no_tasks_of_its_own(pieces):
    nothing = take_off(pieces, USUAL)
    assert job_steps(nothing, USUAL) == ()
    assert job_tasks(JOB, nothing, starting_times(), USUAL, MONDAY).tasks == ()


def test_finishing_the_clamp_task_late_moves_the_plan_of_a_real_top():
    glued = [TaskRecord(f"p1.{step}", finished_at=at("2026-06-01 10:00")) for step in ("mill", "joint", "glue-up-1")]
    now = at("2026-06-01 16:00")
    on_time = [*glued, TaskRecord("p1.clamp-1", finished_at=at("2026-06-01 13:00"))]
    late = [*glued, TaskRecord("p1.clamp-1", finished_at=at("2026-06-01 16:00"))]
    off = TaskRecord("p1.unclamp-1", started_at=at("2026-06-01 13:00"), finished_at=at("2026-06-01 13:20"))
    before = a_plan(*made(TOP, records=[*on_time, off], now=now).tasks, now=now)
    after = a_plan(*made(TOP, records=late, now=now).tasks, now=now)
    assert before.tasks["1/p1.unclamp-1"].state is TaskState.DONE
    assert after.tasks["1/p1.unclamp-1"].earliest_start == now
    flattened = [plan.tasks["1/p1.flatten"].earliest_start for plan in (before, after)]
    assert flattened == [at("2026-06-02 10:00")] * 2  # the cure, counted from the glue-up, still decides
    later = at("2026-06-02 14:00")
    much_later = a_plan(*made(TOP, records=glued, now=later).tasks, now=later)
    assert much_later.tasks["1/p1.flatten"].earliest_start > later


def test_a_coat_is_wet_for_half_the_time_until_the_next_and_work_at_the_clients_is_told_from_that_in_the_shop():
    tasks = by_part(made(*PANTRY))
    coat = tasks["finish-waterborne_polyurethane.coat-1"]
    # Source: common practice, no source; half of 4 h until the next coat, and never less than 1 h.
    assert coat.wet_for == hours(2)
    assert tasks["p1.sand"].wet_for == hours(0)
    assert not coat.on_site
    assert tasks[DELIVER].on_site
    assert not tasks["p1.mill"].on_site


def test_the_clamps_of_a_glue_up_span_what_its_stage_makes():
    tasks = by_part(made(*PANTRY))
    stages = [task for part, task in tasks.items() if ".glue-up-" in part and part.startswith("p1.")]
    assert stages
    widths = [task.clamp_length.inches for task in stages]
    assert max(widths) >= 20  # the whole top
    assert all(width > 0 for width in widths)
    assert tasks["p1.clamp-1"].clamp_length is None
