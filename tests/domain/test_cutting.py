"""What boards that are cut leave behind: cuttings, marks, offcuts on the rack; and the cuts as set at the saw."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builders import USUAL, a_piece, placed, with_habits
from domain.buying import MaterialPlan, OnHand, Stand, buying_plan
from domain.buying.take_off import bought_lines
from domain.cutting import boards_to_cut, cut_up, rack_used, seen_as
from domain.layout.first import first_layout
from domain.layout.shape import Blank, Cut, Laid, Layout, Source, ToCut, Way
from domain.length import ZERO, Length
from domain.material import Material, MaterialKind
from domain.practice import ShopPractice
from domain.rack import Cutting, RackPiece, RackPlace
from domain.saw_cut import saw_cuts
from domain.take_off import take_off

OAK = Material(MaterialKind.LUMBER, "White oak", "4/4", "FAS")


def a_plan(lines: str, rack: tuple[RackPiece, ...] = (), **on_hand: object) -> MaterialPlan:
    return plans(lines, rack, **on_hand)[0]


def plans(lines: str, rack: tuple[RackPiece, ...] = (), **on_hand: object) -> tuple[MaterialPlan, ...]:
    parts = [placed(a_piece("part_list", lines=lines), 7, name="Shelf")]
    known = OnHand(3, rack, **on_hand)  # type: ignore[arg-type]
    return buying_plan(take_off(parts, USUAL), known, USUAL).materials


def a_board(id: int, width: str, length: str, **more: object) -> RackPiece:
    return RackPiece(id, f"R{id}", OAK, Length.of(width), Length.of(length), **more)  # type: ignore[arg-type]


ONE_OF_100 = ToCut(
    blanks=(Blank("A", "A", Length.of(4), Length.of(60)),),
    sources=(Source("S", Length.of(10), Length.of(100), Fraction(1)),),
    kerf=Length.of(1),
)

SHELVES = "Shelf, 4, 3/4, 5, 30, White oak"


def all_of(plan: MaterialPlan) -> tuple[set[str], dict[str, tuple[Length, Length]]]:
    boards = boards_to_cut(plan)
    kept = {offcut.key: (offcut.width, offcut.length) for board in boards for offcut in board.offcuts}
    return {board.key for board in boards}, kept


def test_an_offcut_at_least_as_large_as_the_shop_keeps_lies_on_the_rack_with_the_next_mark() -> None:
    plan = a_plan(SHELVES, (a_board(4, "12", "120"),))
    cut, kept = all_of(plan)
    assert kept, "a 12 in × 10 ft board leaves something of four 5 × 30 shelves"
    done = cut_up(plan, cut, kept, (a_board(4, "12", "120"), a_board(9, "6", "96")), job_id=3)
    wide, long = USUAL.length("offcut_width"), USUAL.length("offcut_length")
    assert [one.mark for one in done.offcuts] == [f"R{10 + place}" for place in range(len(done.offcuts))]
    for piece in done.offcuts:
        assert all((size.inches * 8).denominator == 1 for size in (piece.width, piece.length)), "down to the eighth"
        assert (piece.offcut_of, piece.cut_for, piece.place, piece.price) == (3, None, RackPlace.SHOP, None)
        assert piece.width >= wide
        assert piece.length >= long
        assert piece.material == OAK


def test_boards_of_the_rack_are_cut_for_the_job_and_those_of_the_yard_are_in_the_shop_then() -> None:
    plan = a_plan(SHELVES, (a_board(4, "6", "140", place=RackPlace.YARD),))
    done = cut_up(plan, *all_of(plan), (), job_id=3)
    assert [(one.id, one.cut_for, one.place) for one in done.used] == [(4, 3, RackPlace.SHOP)]


def test_boards_that_are_not_ticked_stay_and_only_their_parts_are_still_asked_for() -> None:
    rack = (a_board(4, "6", "68"), a_board(5, "6", "68"))
    plan = a_plan(SHELVES, rack)
    first, second = boards_to_cut(plan)
    done = cut_up(plan, {first.key}, {}, rack, job_id=3)
    assert [one.id for one in done.used] == [first.size.piece.id]  # type: ignore[union-attr]
    after = a_plan(
        SHELVES,
        (*done.used, *(one for one in rack if one.id != done.used[0].id)),
        cuttings=tuple(Cutting(1, OAK, one) for one in done.layouts),
    )
    assert [each.stand for each in after.rounds] == [Stand.CUT, Stand.LISTED]
    (left,) = boards_to_cut(after)
    assert len(left.laid.places) + len(first.laid.places) == 4
    assert left.size.piece == second.size.piece


def test_once_all_is_cut_nothing_is_asked_for_and_what_was_used_is_still_told() -> None:
    rack = (a_board(4, "6", "140"),)
    plan = a_plan(SHELVES, rack)
    done = cut_up(plan, *all_of(plan), rack, job_id=3)
    after = a_plan(SHELVES, done.used, cuttings=tuple(Cutting(1, OAK, one) for one in done.layouts))
    assert boards_to_cut(after) == ()
    assert after.used.value == plan.used.value
    assert after.problems == ()


def test_a_changed_part_is_asked_for_alone_after_the_cut() -> None:
    rack = (a_board(4, "6", "140"),)
    plan = a_plan(SHELVES, rack)
    done = cut_up(plan, *all_of(plan), rack, job_id=3)
    cuttings = tuple(Cutting(1, OAK, one) for one in done.layouts)
    more = a_plan(SHELVES.replace("4,", "5,", 1), done.used, cuttings=cuttings)
    assert sum(len(board.laid.places) for board in boards_to_cut(more)) == 1
    bought = a_plan(SHELVES)
    done_too = cut_up(bought, *all_of(bought), (), job_id=3)
    five = a_plan(SHELVES.replace("4,", "5,", 1), cuttings=tuple(Cutting(1, OAK, one) for one in done_too.layouts))
    (line,) = bought_lines(five)
    assert line.asked_for.startswith("1 of "), "what was cut was bought"
    other = a_plan(SHELVES.replace("30,", "31,"), done.used, cuttings=cuttings)
    assert sum(len(board.laid.places) for board in boards_to_cut(other)) == 4


def test_other_layouts_are_told_from_those_that_were_seen() -> None:
    rack = (a_board(4, "6", "140"),)
    assert seen_as(a_plan(SHELVES, rack)) == seen_as(a_plan(SHELVES, rack))
    assert seen_as(a_plan(SHELVES, rack)) != seen_as(a_plan(SHELVES.replace("30,", "31,"), rack))
    assert seen_as(a_plan(SHELVES, rack)) != seen_as(a_plan(SHELVES))


def test_boards_used_are_told_by_where_they_are() -> None:
    plan = a_plan(SHELVES, (a_board(4, "6", "68"), a_board(5, "6", "68", place=RackPlace.YARD)))
    assert [one.id for one in rack_used(plan, RackPlace.SHOP)] == [4]
    assert [one.id for one in rack_used(plan, RackPlace.YARD)] == [5]


def test_an_offcut_of_a_sheet_is_kept_either_way_round() -> None:
    practice: ShopPractice = with_habits(sheet_offcut_width="10", sheet_offcut_length="40")
    parts = [placed(a_piece("part_list", lines="Panel; 1; 3/4; 47 1/2; 84; maple plywood"), 7, name="Wall")]
    (plan,) = buying_plan(take_off(parts, practice), OnHand(3), practice).materials
    (board,) = boards_to_cut(plan)
    (offcut,) = board.offcuts
    assert offcut.length < Length.of(40), "it lies across the sheet"
    assert max(offcut.width, offcut.length) >= Length.of(40)


def test_the_saw_is_set_from_the_edge_of_the_piece_in_hand() -> None:
    """By hand: 100 × 10, kerf 1. Crosscut at 60; the left piece ripped at 4 leaves 5; the rest crosscut 20 on."""
    cuts = (
        Cut(1, Way.CROSSCUT, Length.of(60), ZERO, Length.of(10)),
        Cut(2, Way.RIP, Length.of(4), ZERO, Length.of(60)),
        Cut(3, Way.CROSSCUT, Length.of(81), ZERO, Length.of(10)),
    )
    base = first_layout(ONE_OF_100)
    place = base.laid[0].places[0]
    laid = Laid("S", (replace(place, at=replace(place.at, x=ZERO, y=ZERO)),), cuts)
    found = saw_cuts(replace(base, laid=(laid,)), laid)
    assert [one.setting for one in found] == [Length.of(60), Length.of(4), Length.of(20)]  # 81 − (60 + kerf 1)
    assert [one.frees for one in found] == [(), ("A",), ()]
    assert [one.piece.length for one in found] == [Length.of(100), Length.of(60), Length.of(39)]


def test_a_cut_through_no_piece_is_a_fault() -> None:
    layout = first_layout(ONE_OF_100)
    wrong = replace(layout.laid[0], cuts=(Cut(1, Way.RIP, Length.of(4), ZERO, Length.of(50)),))
    with pytest.raises(ValueError, match="goes through no piece"):
        saw_cuts(replace(layout, laid=(wrong,)), wrong)


SIZES = st.integers(4, 80).map(lambda quarters: Length.of(Fraction(quarters, 4)))


@given(st.lists(st.tuples(SIZES, SIZES, st.integers(1, 4), st.booleans()), min_size=1, max_size=6))
def test_following_the_cuts_frees_every_part_once(wanted: list[tuple[Length, Length, int, bool]]) -> None:
    """Cut by cut, with a saw that goes right through the piece in hand, each part has its size in the end."""
    blanks = tuple(Blank(f"P{n}", f"P{n}", *size, count, turns) for n, (*size, count, turns) in enumerate(wanted))
    sources = (Source("S", Length.of(24), Length.of(48), Fraction(1)),)
    layout: Layout = first_layout(ToCut(blanks, sources, Length.of("1/8")))
    for laid in layout.laid:
        freed = sorted(key for one in saw_cuts(layout, laid) for key in one.frees)
        uncut = [place for place in laid.places if (place.at.length, place.at.width) == (Length.of(48), Length.of(24))]
        assert freed + [place.blank for place in uncut] == sorted(place.blank for place in laid.places)
        for one in saw_cuts(layout, laid):
            whole = one.piece.length if one.cut.way is Way.CROSSCUT else one.piece.width
            assert ZERO < one.setting < whole
