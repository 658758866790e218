"""The take-off: worked examples by hand, what must always hold, and how its parts lead back to what was typed."""

import re
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from math import ceil
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from builders import NO_ALLOWANCES, USUAL, a_pantry, a_piece, a_top, leaves, pieces, placed, with_habits
from domain.figure import Figure, Unit
from domain.length import Length
from domain.material import MaterialKind
from domain.pieces import KINDS
from domain.pieces.piece import PlacedPiece, problems_of
from domain.take_off import StepRef, TakeOff, TakeOffLine, WasteChoice, WasteMethod, take_off

BARE = with_habits(**NO_ALLOWANCES)


def parts(*lines: str) -> PlacedPiece:
    return placed(a_piece("part_list", lines="\n".join(lines), finish="none"))


def line(found: TakeOff, title: str) -> TakeOffLine:
    (one,) = (each for each in found.lines if each.material.title == title)
    return one


@pytest.mark.parametrize(
    ("listed", "bf"),
    [
        ("Board, 1, 1 5/16, 9, 96, White oak 6/4", "9"),  # woodworking tip sheet: 6/4 x 9 in x 8 ft
        ("Board, 1, 13/16, 9, 96, White oak 4/4", "6"),  # the same board in 4/4
        ("Board, 1, 2 3/4, 8, 120, White oak 12/4", "20"),  # sawmill page: 12/4 x 8 in x 10 ft
        ("Board, 1, 1 1/16, 6, 72, White oak 5/4", "15/4"),  # stock-sizing page: 5/4 x 6 in x 72 in
        ("Board, 1, 1 3/4, 6 1/4, 96, White oak 8/4", "25/3"),  # AHEC, Measurement page: 8.333 exact
        ("Board, 10, 3/4, 12, 120, White oak 4/4", "100"),  # ten of the shipping glossary's 10 bf
    ],
)
def test_board_feet_agree_with_published_examples(listed: str, bf: str) -> None:
    (one,) = take_off([parts(listed)], BARE).lines
    assert one.net.value == Fraction(bf)
    assert one.net.unit is Unit.BOARD_FOOT


def test_a_waste_share_is_of_what_is_bought() -> None:
    # cabinetmakers' forum: net 100 bf at 30 % waste share: 142.86 bf to buy
    job = [parts("Board, 10, 3/4, 12, 120, White oak 4/4")]
    (one,) = take_off(job, BARE, WasteChoice(WasteMethod.WASTE_SHARE)).lines
    assert one.needed.value == Fraction(100) / (1 - Fraction(3, 10))
    assert round(one.needed.value, 2) == Fraction("142.86")


def test_an_add_on_is_of_the_net_quantity() -> None:
    job = [parts("Board, 10, 3/4, 12, 120, White oak 4/4")]
    (usual,) = take_off(job, BARE).lines
    assert usual.needed.value == 100 * (1 + Fraction("0.175"))
    (own,) = take_off(job, BARE, WasteChoice(WasteMethod.ADD_ON, Fraction(1, 2), "job:3:terms")).lines
    assert own.needed.value == 150, "woodworking magazine: 50 % more than net is a waste share of a third"
    (typed,) = (leaf for leaf in leaves(own.needed) if leaf.rule.where == "job:3:terms")
    assert typed.rule.source == "typed"


def test_a_grade_yield_is_the_usable_part() -> None:
    # NHLA grade chart as published by AHEC: FAS yields at least 83 1/3 %
    job = [parts("Board, 10, 3/4, 12, 120, White oak 4/4 FAS")]
    (one,) = take_off(job, BARE, WasteChoice(WasteMethod.GRADE_YIELD)).lines
    assert one.needed.value == 100 / Fraction(5, 6) == 120
    assert "yield" in one.needed.rule.words


def test_a_top_is_bought_rough() -> None:
    # 5 boards of 5.3 x 108: rough 2 x (5.3 + 2 x 1/8 + 1/8) x (108 + 3 1/2 + 1 + 1/8)
    found = take_off([placed(a_top(length="9'"))], USUAL)
    (cut,) = found.cut_list
    assert cut.rough is not None
    assert cut.rough.quarter == "8/4"
    assert cut.rough.width.value == Fraction("5.3") + Fraction("0.375")
    assert cut.rough.length.value == Fraction("112.625")
    assert cut.net.value == 5 * 2 * Fraction("5.675") * Fraction("112.625") / 144
    assert line(found, "8/4 Hard maple (sugar maple) FAS").net.value == cut.net.value


def test_glue_for_one_line_agrees_with_the_spread_arithmetic() -> None:
    # computed example: 1 1/2 x 96 in at 45 lb per 1000 ft2 is 0.045 lb; at 9 lb/gal that is 0.64 fl oz
    glue = "PVA interior"
    habits = with_habits(extra_length="0", glue_loss="0", pva_interior_spread="45", pva_interior_density="9")
    top = a_top(length="96", depth="11", thickness="1 1/2", widest_board="6", glue=glue)
    one = line(take_off([placed(top)], habits), glue)
    assert one.net.value == Fraction("1.5") * 96 / 144
    assert one.needed.value == Fraction("0.045") / 9 * 128
    assert one.needed.unit is Unit.FLUID_OUNCE


def test_finish_counts_the_first_coat_by_its_own_coverage() -> None:
    # computed example: 60 ft2 in 3 coats at 450 ft2/gal, no loss: 0.40 gal; here the first coat covers 300
    habits = with_habits(hardwax_oil_coverage_first="300", hardwax_oil_coverage_next="450", finish_loss="0")
    listed = a_piece("part_list", lines="Board, 1, 13/16, 9, 96, White oak", finish="Hardwax oil", coats=3)
    one = line(take_off([placed(listed)], habits), "Hardwax oil")
    area = (2 * Fraction(9) * 96 + 2 * Fraction(13, 16) * 96 + 2 * Fraction(13, 16) * 9) / 144
    assert one.net.value == area
    assert one.needed.value == area / 300 + 2 * area / 450


def test_a_stain_is_one_coat_under_the_finish() -> None:
    found = take_off([placed(a_top(colour="Oil stain", coats=2))], USUAL)
    stain, topcoat = line(found, "Oil stain"), line(found, "Waterborne polyurethane")
    assert stain.net.value == topcoat.net.value == found.finishes[0].area.value


def test_pieces_with_one_finish_are_coated_together() -> None:
    found = take_off(a_pantry(), USUAL)
    (area,) = found.finishes
    assert area.pieces == (1, 2, 4, 5, 6, 7, 8, 9, 10), "all but the support strips"
    assert area.area.value == sum(f.count * f.width.inches * f.length.inches for f in area.faces) / 144
    other = [replace(one, piece=replace(one.piece, coats=2)) if one.id == 1 else one for one in a_pantry()]
    assert [each.choice.coats for each in take_off(other, USUAL).finishes] == [2, 3]


def test_sheets_are_whole_and_never_more_than_parts() -> None:
    found = take_off([parts("Panel, 1, 3/4, 12, 12, MDF")], USUAL)
    assert line(found, "3/4 MDF").needed.value == 1


def test_a_part_larger_than_a_sheet_is_named_with_its_piece() -> None:
    found = take_off([placed(a_piece("shelf", made_of="sheet", length="10 ft"), name="Long shelf")], USUAL)
    (problem,) = found.problems
    assert problem.words.startswith("Long shelf: shelf, 11 in by 120 in with the grain along the length, is larger")
    assert found.cut_list, "it stays on the cut list"


def test_a_trim_that_leaves_nothing_of_a_sheet_is_named() -> None:
    found = take_off([parts("Panel, 1, 3/4, 2, 2, MDF")], with_habits(sheet_trim="3", fibreboard_width="6"))
    (problem,) = found.problems
    assert problem.field == "practice:sheet_trim"
    assert found.lines == ()


def test_fasteners_get_spares_and_hardware_none() -> None:
    # 108 ÷ 12 + 1 in two rows = 20 screws; 20 × 1.05 = 21
    found = take_off([placed(a_top(length="9'"))], USUAL)
    screws = line(found, "#8 x 2 wood screw")
    assert (screws.net.value, screws.needed.value) == (20, 21)
    slides = line(take_off([placed(a_piece("drawer"), quantity=4)], USUAL), "22 in drawer slide pair, side-mounted")
    assert (slides.net.value, slides.needed.value) == (4, 4)


def test_edge_strip_is_bought_longer_than_net() -> None:
    one = line(take_off([placed(a_piece("base_cabinet"))], USUAL), "7/8 maple edge strip")
    assert one.needed.value == one.net.value * Fraction(11, 10)
    assert one.needed.unit is Unit.FOOT


def test_discs_cover_what_is_sanded_once_with_each_grit() -> None:
    found = take_off([placed(a_top(length="9'", finish_underside=False))], USUAL)
    area = Fraction("25.5") * 108 / 144 + Fraction("1.5") * 108 / 144
    for grit in ("120", "150", "180"):
        discs = line(found, f"{grit} grit sanding disc")
        assert discs.net.value == area
        assert discs.needed.value == ceil(area / 10)
    assert line(found, "320 grit scuffing sheet").needed.value == ceil(area * 2 / 30), "between 3 coats"


def test_four_alike_drawers_need_four_times_one() -> None:
    one = take_off([placed(a_piece("drawer"))], USUAL)
    four = take_off([placed(a_piece("drawer"), quantity=4)], USUAL)
    assert [cut.pieces.value * 4 for cut in one.cut_list] == [cut.pieces.value for cut in four.cut_list]
    assert [cut.net.value * 4 for cut in one.cut_list] == [cut.net.value for cut in four.cut_list]
    assert [each.net.value * 4 for each in one.lines] == [each.net.value for each in four.lines]
    for single, many in zip(one.pieces[0].steps, four.pieces[0].steps, strict=True):
        assert [work.quantity.value * 4 for work in single.work] == [work.quantity.value for work in many.work]
        assert many.clamps == 4 * single.clamps
        assert many.elapsed == single.elapsed, "glue cures no slower for four"


def test_a_piece_with_a_problem_is_left_out_and_named() -> None:
    bad = placed(a_top(depth="0"), 1, name="Island")
    good = placed(a_piece("shelf"), 2)
    found = take_off([bad, good], USUAL)
    assert [each.placed.id for each in found.pieces] == [2]
    (problem,) = found.problems
    assert problem.field == "piece:1:depth"
    assert problem.words == "Island: Depth “0 in” must be from 2 in to 8 ft. Try 25 1/2 in."


def test_glue_of_unknown_spread_is_named_not_counted_as_none() -> None:
    found = take_off([placed(a_top(glue="Hot hide (animal) glue"))], USUAL)
    (problem,) = found.problems
    assert problem.field == "material:glue|Hot hide (animal) glue||"
    assert not [each for each in found.lines if each.material.kind is MaterialKind.GLUE]


def test_the_heaviest_piece_is_known_for_lifting() -> None:
    found = take_off(a_pantry(), USUAL)
    assert found.heaviest is not None
    assert found.heaviest.placed.name == "Pantry top"
    assert found.heaviest.weight is not None
    assert found.heaviest.weight.value == max(each.weight.value for each in found.pieces if each.weight)


def linked(found: TakeOff) -> set[tuple[StepRef, StepRef]]:
    return {(link.first, link.then) for link in found.links}


def test_an_edge_goes_under_its_flattened_top_and_both_are_sanded_together() -> None:
    found = linked(take_off(a_pantry(), USUAL))
    assert (StepRef(1, "flatten"), StepRef(2, "glue-up-1")) in found
    assert (StepRef(2, "flush"), StepRef(1, "sand")) in found
    assert (StepRef(2, "flush"), StepRef(1, "cut-to-length")) in found


def test_tops_go_on_set_cabinets_and_drawers_into_their_own() -> None:
    found = linked(take_off(a_pantry(), USUAL))
    assert {(StepRef(4, "install"), StepRef(1, "install")), (StepRef(5, "install"), StepRef(1, "install"))} <= found
    assert (StepRef(3, "install"), StepRef(1, "install")) in found, "support strips before the top"
    assert (StepRef(4, "install"), StepRef(6, "install")) in found
    assert (StepRef(5, "install"), StepRef(6, "install")) not in found, "drawers wait for their own cabinet only"


def test_links_name_steps_that_exist_and_run_in_no_circle() -> None:
    found = take_off(a_pantry(), USUAL)
    before: dict[StepRef, set[StepRef]] = {}
    for one in found.pieces:
        for step in one.steps:
            before[StepRef(one.placed.id, step.key)] = {StepRef(one.placed.id, wait.step) for wait in step.after}
    for link in found.links:
        before[link.then].add(link.first)
        assert link.first in before
    while free := [ref for ref, waits in before.items() if not waits]:
        for ref in free:
            del before[ref]
        for waits in before.values():
            waits.difference_update(free)
    assert not before, "every step can be reached"


def test_every_line_says_which_parts_it_is_for() -> None:
    found = take_off(a_pantry(), USUAL)
    marks = {(cut.ref.piece_id, cut.ref.mark) for cut in found.cut_list}
    ids = {one.placed.id for one in found.pieces}
    for each in found.lines:
        assert each.parts
        for ref in each.parts:
            assert ref.piece_id in ids
            assert not ref.mark or (ref.piece_id, ref.mark) in marks


def figures(found: TakeOff) -> Iterator[Figure]:
    for each in found.lines:
        yield from (each.net, each.needed)
    yield from (cut.net for cut in found.cut_list)
    yield from (area.area for area in found.finishes)
    for one in found.pieces:
        yield from one.figures
        yield from (work.quantity for step in one.steps for work in step.work)


def test_every_figure_opens_down_to_what_was_typed_and_a_named_source() -> None:
    found = take_off(a_pantry(), USUAL)
    for figure in figures(found):
        for leaf in leaves(figure):
            assert leaf.rule.source, f"{figure.label}: {leaf.label} has no source"
    typed = {leaf.rule.where for leaf in leaves(line(found, "8/4 White oak FAS").needed)}
    assert {"piece:1:length", "piece:1:depth", "piece:1:thickness", "practice:kerf", "practice:extra_length"} <= typed
    assert all(re.fullmatch(r"(piece:\d+:\w+|practice:\w+|)", where) for where in typed)


placings = st.lists(st.sampled_from(sorted(KINDS)).flatmap(pieces), min_size=1, max_size=4)


@settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow])
@given(made=placings, quantity=st.integers(1, 5), method=st.sampled_from(WasteMethod))
def test_what_is_needed_is_never_less_than_net(made: list[Any], quantity: int, method: WasteMethod) -> None:
    job = [placed(piece, id, quantity=quantity) for id, piece in enumerate(made, start=1)]
    found = take_off(job, USUAL, WasteChoice(method))
    for each in found.lines:
        assert each.needed.value > 0
        assert each.needed.unit is each.material.unit
        if each.needed.unit is each.net.unit:
            assert each.needed.value >= each.net.value
    assert {one.placed.id for one in found.pieces} == {one.id for one in job if not problems_of(one.piece)}


@settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow])
@given(made=placings, quantity=st.integers(1, 5))
def test_parts_times_quantity_add_up(made: list[Any], quantity: int) -> None:
    job = [placed(piece, id, quantity=quantity) for id, piece in enumerate(made, start=1)]
    found = take_off(job, USUAL)
    for cut in found.cut_list:
        assert cut.pieces.value == cut.part.count * quantity
        assert cut.pieces.unit is Unit.EACH
        if cut.rough:
            assert cut.rough.width.value >= cut.part.width.inches
            assert cut.rough.length.value >= cut.part.length.inches + cut.part.extra_length.inches
            assert cut.rough.thickness.value >= cut.part.thickness.inches
    for kind in (MaterialKind.LUMBER, MaterialKind.SHEET):
        net = sum(each.net.value for each in found.lines if each.material.kind is kind)
        parts_net = sum(
            cut.net.value
            for cut in found.cut_list
            if cut.part.material.kind is kind and _is_bought(cut.part.material, found)
        )
        assert net == parts_net
    assert sum(area.area.value for area in found.finishes) == sum(
        face.count * face.width.inches * face.length.inches / 144 for one in found.pieces for face in one.faces
    )


def _is_bought(material: Any, found: TakeOff) -> bool:
    """Whether the material has a line: a sheet that no part fits has none."""
    return material in {each.material for each in found.lines}


def test_the_same_pieces_give_the_same_take_off() -> None:
    assert take_off(a_pantry(), USUAL) == take_off(a_pantry(), with_habits())


def test_a_changed_habit_changes_the_take_off() -> None:
    wider = take_off([placed(a_top())], with_habits(kerf="1/4"))
    assert wider.lines[0].net.value > take_off([placed(a_top())], USUAL).lines[0].net.value
    (kerf,) = {leaf.rule.source for leaf in leaves(wider.lines[0].net) if leaf.rule.where == "practice:kerf"}
    assert kerf == "shop practice"


def test_a_job_without_pieces_needs_nothing() -> None:
    assert take_off([], USUAL) == TakeOff()


def test_a_length_is_kept_exactly_through_the_take_off() -> None:
    found = take_off([placed(a_piece("shelf", length="641 mm", depth="7"))], USUAL)
    assert found.cut_list[0].part.length == Length.mm(641)
