"""The hand-over note: dates from records and the plan, care, light, movement and what can hurt a client."""

from datetime import timedelta

from builders import USUAL, a_piece, a_top, placed, with_habits
from domain.caution import FOOD_CONTACT
from domain.hand_over import AT_HOME, HandOver, hand_over
from domain.job import Client, Job
from domain.job_tasks import job_tasks
from domain.movement import movements
from domain.operation import starting_times
from domain.pieces.piece import PlacedPiece
from domain.practice import ShopPractice
from domain.shop import Shop
from domain.take_off import take_off
from domain.task import TaskRecord
from plan_builders import MONDAY, a_plan, at

JOB = Job(1, "Pantry", Client(1, "A. Invented"))
SHOP = Shop(name="Invented Joinery")
HARDWAX = "Hardwax oil"


def note(*pieces: PlacedPiece, practice: ShopPractice = USUAL, records: tuple[TaskRecord, ...] = (),
         is_planned: bool = True) -> HandOver:  # fmt: skip
    needs = take_off(pieces, practice)
    tasks = job_tasks(JOB, needs, starting_times(), practice, MONDAY, records=records).tasks
    planned = a_plan(*tasks).tasks if is_planned else {}
    return hand_over(1, needs, planned, movements(needs.pieces, (), practice, SHOP), practice, SHOP)


def test_full_cure_is_as_long_after_the_last_coat_as_the_table_says() -> None:
    # Source: finishes.csv, hardwax oil, from memory: dry to handle 24 h, full cure 7 to 14 days, the cautious end
    (one,) = note(placed(a_top(finish=HARDWAX, coats=2))).finishes
    assert one.last_coat is not None
    assert one.handled is not None
    assert one.cured is not None
    assert one.handled.at - one.last_coat.at == timedelta(hours=24)
    assert one.cured.at - one.last_coat.at == timedelta(days=14)
    assert not one.cured.is_recorded


def test_a_recorded_last_coat_sets_the_dates_for_good() -> None:
    done = at("2026-05-28 11:00")
    keys = [task.part for task in job_tasks(JOB, take_off((placed(a_top(finish=HARDWAX, coats=1)),), USUAL),
                                            starting_times(), USUAL, MONDAY).tasks]  # fmt: skip
    last = "finish-hardwax_oil.coat-1"
    before = keys[: keys.index(last) + 1]
    records = tuple(TaskRecord(key, started_at=done, finished_at=done) for key in before)
    found = note(placed(a_top(finish=HARDWAX, coats=1)), records=records)
    (one,) = found.finishes
    assert one.last_coat is not None
    assert one.cured is not None
    assert (one.last_coat.at, one.last_coat.is_recorded) == (done, True)
    assert one.cured.at == done + timedelta(days=14)
    assert not found.has_planned_dates


def test_without_a_plan_there_are_lengths_of_time_and_no_dates() -> None:
    (one,) = note(placed(a_top(finish=HARDWAX)), is_planned=False).finishes
    assert (one.last_coat, one.handled, one.cured) == (None, None, None)
    assert one.cure is not None
    assert one.cure.value == 14


def test_the_label_of_the_shop_goes_before_the_table() -> None:
    (one,) = note(placed(a_top(finish=HARDWAX)), practice=with_habits(hardwax_oil_full_cure="5")).finishes
    assert one.cured is not None
    assert one.last_coat is not None
    assert one.cured.at - one.last_coat.at == timedelta(days=5)
    assert one.cure is not None
    assert one.cure.rule.source == "shop practice"


def test_mineral_oil_never_hardens_and_has_no_date() -> None:
    (one,) = note(placed(a_top(finish="Food-safe mineral oil, with or without wax", coats=4))).finishes
    assert one.cure is None
    assert one.cured is None


def test_rags_are_warned_about_only_where_they_heat_themselves() -> None:
    assert note(placed(a_top(finish=HARDWAX))).cautions == (AT_HOME, FOOD_CONTACT)
    assert note(placed(a_top(finish="Waterborne polyurethane"))).cautions == (FOOD_CONTACT,)
    assert note(placed(a_top(finish="none"))).cautions == ()


def test_light_and_seasons_are_told_for_the_woods_of_the_job_and_the_unknown_left_out() -> None:
    # Source: species.csv, common practice: black cherry darkens strongly; nothing is said of sweetgum
    found = note(
        placed(a_top(species="Black cherry"), 1, name="Island"),
        placed(a_piece("shelf", species="Sweetgum", depth="4"), 2, name="Shelf"),
    )
    assert [wood.wood for wood in found.woods] == ["Black cherry"]
    assert found.woods[0].in_light.startswith("Darkens strongly")
    assert found.moving == ("Island: across the grain, in the damp season it grows about 3/16 in and "
                            "in the dry one it shrinks about 1/8 in, from the size it was built.",)  # fmt: skip
    assert "30 % and 60 %" in found.air


def test_what_belongs_to_a_top_is_not_named_beside_it() -> None:
    top, edge = placed(a_top(), 1, name="Island"), placed(a_piece("built_up_edge"), 2, name="Edge", belongs_to=1)
    (one,) = note(top, edge).finishes
    assert one.named == "Island"


def test_two_finishes_have_a_note_each_and_a_job_of_nothing_none() -> None:
    found = note(placed(a_top(finish=HARDWAX), 1), placed(a_top(), 2))
    assert [one.finish.family for one in found.finishes] == [HARDWAX, "Waterborne polyurethane"]
    assert note(is_planned=False).is_empty


def test_parts_that_hardly_move_are_not_worth_a_clients_attention() -> None:
    found = note(placed(a_piece("drawer", made_of="solid wood", species="Teak", height="6")))
    assert found.moving == ()
    assert found.air == ""


def test_a_client_reads_no_words_of_the_bench() -> None:
    # Source: finishes.csv: waterborne polyurethane does not amber and raises grain, oil-modified ambers
    told = [one.stands_up_to for one in note(
        placed(a_top(finish="Waterborne polyurethane"), 1, name="Desk"),
        placed(a_top(finish="Oil-modified polyurethane"), 2, name="Bench"),
    ).finishes]  # fmt: skip
    assert told == ["Good wear and water resistance; does not turn amber.",
                    "Very good wear, heat and water resistance; turns amber."]  # fmt: skip
