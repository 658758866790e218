"""The buying plan: boards and sheets as laid out, what comes off the rack, what is bought, and how it is said."""

from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builders import NO_ALLOWANCES, USUAL, a_pantry, a_piece, a_top, leaves, placed, with_habits
from domain.buying import MaterialPlan, OnHand, Stand, buying_plan, job_take_off
from domain.buying.asked import fingerprint
from domain.figure import Figure, Unit
from domain.layout.shape import Layout
from domain.length import Length
from domain.material import Material, MaterialKind
from domain.money import Money
from domain.pieces.piece import PlacedPiece
from domain.practice import ShopPractice
from domain.price import PriceBook
from domain.rack import Cutting, RackPiece, RackPlace
from domain.shortage import to_order
from domain.take_off import TakeOff, WasteChoice, WasteMethod, take_off
from money_builders import a_price

OAK = Material(MaterialKind.LUMBER, "White oak", "4/4", "FAS")
MAPLE = Material(MaterialKind.SHEET, "maple plywood", "3/4")
BARE = with_habits(**NO_ALLOWANCES, sheet_trim="0", board_end_trim="0")
"""No kerf, no allowances, no trims: sums by hand."""
BY_LAYOUT = WasteChoice(WasteMethod.LAYOUT)


def a_list(lines: str, id: int = 7) -> PlacedPiece:
    return placed(a_piece("part_list", lines=lines), id, name="Parts")


def a_board(id: int = 1, width: str = "7", length: str = "100", material: Material = OAK, **more: object) -> RackPiece:
    return RackPiece(id, f"R{id}", material, Length.parse(width), Length.parse(length), **more)  # type: ignore[arg-type]


def plans(*pieces: PlacedPiece, practice: ShopPractice = BARE, on_hand: OnHand = OnHand()) -> list[MaterialPlan]:
    return list(buying_plan(take_off(pieces, practice), on_hand, practice).materials)


def plan(lines: str, practice: ShopPractice = BARE, **hand: object) -> MaterialPlan:
    (found,) = plans(a_list(lines), practice=practice, on_hand=OnHand(**hand))  # type: ignore[arg-type]
    return found


def sizes(found: MaterialPlan) -> dict[str, int]:
    return {size.title: int(size.count.value) for size in found.sizes}


# Worked by hand


def test_parts_that_fill_sheets_without_waste_take_just_those_sheets() -> None:
    found = plan("Side, 8, 3/4, 24, 48, maple plywood")
    assert sizes(found) == {"48 × 96 in": 2}  # 8 × 24 × 48 = 2 × 48 × 96
    assert found.to_buy.value == found.used.value == 2
    assert found.got is not None
    assert found.got.value == 1
    assert found.bound.startswith("No layout needs fewer than 2 sheets; this one takes 2: one of the best.")


def test_a_kerf_between_parts_counts_and_none_at_the_edge_of_the_sheet() -> None:
    # Three of 15 7/8 in with two kerfs of 1/8 in fill 47 7/8 in; a fourth or one of 16 in would not go in.
    kerf = with_habits(**NO_ALLOWANCES | {"kerf": "1/8"}, sheet_trim="0")
    assert sizes(plan("Strip, 3, 3/4, 15 7/8, 96, maple plywood", kerf)) == {"48 × 96 in": 1}
    assert sizes(plan("Strip, 3, 3/4, 16, 96, maple plywood", kerf)) == {"48 × 96 in": 2}


def test_boards_are_bought_in_board_feet_of_the_sizes_usually_sold() -> None:
    found = plan("Rail, 3, 3/4, 6, 96, White oak")
    assert sizes(found) == {"6 in × 8 ft": 3}
    assert found.to_buy.value == 3 * Fraction(1 * 6 * 96, 144)  # 12 bf
    assert found.to_buy.unit is Unit.BOARD_FOOT


def test_a_grade_asks_for_its_least_width_and_length() -> None:
    # Source: NHLA grade chart as published by AHEC: FAS boards are 6 in and wider, 8 ft and longer.
    narrow = with_habits(**NO_ALLOWANCES, board_narrowest="3", board_shortest="48", board_end_trim="0")
    (only,) = plan("Lath, 1, 3/4, 2, 40, White oak", narrow).sizes
    assert (only.width, only.length) == (Length.of(6), Length.feet(8))


def test_a_rough_part_keeps_its_edges_and_its_extra_length_and_the_layout_adds_the_kerf() -> None:
    (top,) = plans(placed(a_top(length="60", depth="20", thickness="7/8")), practice=USUAL)
    (blank, *_) = top.rounds[0].layout.to_cut.blanks
    board = take_off([placed(a_top(length="60", depth="20", thickness="7/8"))], USUAL).cut_list[0]
    # finished + extra until the last cut 3 1/2 + left on the length 1; 1/8 on each edge
    assert blank.length == Length.of(60) + Length.of("7/2") + Length.of(1)
    assert blank.width == board.part.width + 2 * Length.of("1/8")
    assert blank.name == board.ref.on_stock


@pytest.mark.parametrize(
    ("grain", "fits"), [("along the length", False), ("across the length", True), ("either way", True)]
)
def test_grain_decides_how_a_part_may_lie_on_a_sheet(grain: str, fits: bool) -> None:
    shelf = a_piece("part_list", lines="Wide, 1, 3/4, 90, 40, maple plywood")
    needed = take_off([placed(shelf)], BARE)
    cut = tuple(replace(one, part=replace(one.part, grain=type(one.part.grain)(grain))) for one in needed.cut_list)
    found = buying_plan(replace(needed, cut_list=cut), OnHand(), BARE)
    assert not found.problems if fits else "fits no sheet" in found.problems[0].words


# The rack and the yard


def test_the_rack_is_used_first_and_costs_nothing() -> None:
    found = plan("Rail, 3, 3/4, 6, 96, White oak", rack=(a_board(1), a_board(2, width="6", length="97")))
    assert sizes(found) == {"R1, 7 in × 100 in": 1, "R2, 6 in × 97 in": 1, "6 in × 8 ft": 1}
    assert found.to_buy.value == 4  # one board of 4 bf
    assert [one.stand for one in found.rounds] == [Stand.LISTED, Stand.USUAL]


@pytest.mark.parametrize(
    "unusable",
    [
        a_board(material=replace(OAK, size="8/4")),
        a_board(material=replace(OAK, grade="No. 1 Common")),
        a_board(material=replace(OAK, name="White ash")),
        a_board(set_aside_for=99),
        a_board(cut_for=99),
    ],
)
def test_boards_of_another_kind_or_another_job_are_left_alone(unusable: RackPiece) -> None:
    assert sizes(plan("Rail, 1, 3/4, 6, 96, White oak", job_id=3, rack=(unusable,))) == {"6 in × 8 ft": 1}


def test_a_better_grade_serves_for_a_lesser_one() -> None:
    found = plan("Rail, 1, 3/4, 6, 90, White oak No. 1 Common", rack=(a_board(),))
    assert sizes(found) == {"R1, 7 in × 100 in": 1}


def test_a_board_at_the_yard_is_bought_at_its_own_price() -> None:
    yard = a_board(5, place=RackPlace.YARD, price=Money.parse("9"), supplier="Hill Yard", set_aside_for=3)
    hand = OnHand(job_id=3, rack=(yard,), prices=PriceBook((a_price(1, OAK, "1", "8", whole=False),)))
    needed = job_take_off([a_list("Rail, 2, 3/4, 6, 96, White oak")], BARE, BY_LAYOUT, hand)
    (line,) = (line for line in needed.lines if line.material == OAK)
    (chosen,) = line.chosen
    # 1 × 7 × 100 ÷ 144 bf at 9.00, to the cent; the other board comes from the book
    assert chosen.packages.extension == Money.of(Fraction(700, 144) * 9) == Money.parse("43.75")
    assert line.by_the_book == 4
    short = to_order(needed.lines, (), (), hand.prices, job_id=3)
    lines = [line.packages for each in short.suppliers for line in each.lines]
    bought = {each.price.description: each.extension for each in lines if each.price.material == OAK}
    assert bought == {"R5, 7 in × 100 in": Money.parse("43.75"), OAK.title: Money(4 * 800)}


def test_a_list_at_the_yard_serves_only_when_it_is_long_enough() -> None:
    lines = "Rail, 3, 3/4, 6, 96, White oak"
    yard = [a_board(id, place=RackPlace.YARD) for id in (1, 2, 3)]
    enough = plan(lines, rack=tuple(yard))
    assert sizes(enough) == {f"R{id}, 7 in × 100 in": 1 for id in (1, 2, 3)}
    assert enough.note == ""
    too_few = plan(lines, rack=tuple(yard[:2]))
    assert sizes(too_few) == {"6 in × 8 ft": 3}
    assert too_few.note == (
        "2 boards listed at the yard cannot give all of this, so usual sizes are bought. "
        "To use them, set them aside for this job."
    )
    ours = plan(lines, job_id=3, rack=(replace(yard[0], set_aside_for=3), yard[1]))
    assert sizes(ours) == {"R1, 7 in × 100 in": 1, "6 in × 8 ft": 2}


def test_a_part_that_fits_no_listed_board_does_not_spoil_the_list() -> None:
    yard = tuple(a_board(id, place=RackPlace.YARD) for id in (1, 2))
    found = plan("Rail, 2, 3/4, 6, 96, White oak\nLong rail, 1, 3/4, 6, 140, White oak", rack=yard)
    assert sizes(found) == {"R1, 7 in × 100 in": 1, "R2, 7 in × 100 in": 1, "6 in × 12 ft": 1}


def test_a_sheet_at_the_yard_costs_its_own_price_and_an_offcut_is_its_share_of_a_sheet() -> None:
    whole = a_board(1, width="48", length="96", material=MAPLE, place=RackPlace.YARD, price=Money.parse("70"))
    offcut = a_board(2, width="24", length="48", material=MAPLE, offcut_of=9)
    needed = job_take_off(
        [a_list("Side, 3, 3/4, 24, 48, maple plywood")], BARE, BY_LAYOUT, OnHand(rack=(whole, offcut))
    )
    (line,) = (line for line in needed.lines if line.material == MAPLE)
    assert (line.needed.value, line.by_the_book) == (1, 0)
    assert [one.packages.extension for one in line.chosen] == [Money.parse("70")]
    found = plan("Side, 3, 3/4, 24, 48, maple plywood", rack=(whole, offcut))
    assert found.used.value == 1 + Fraction(24 * 48, 48 * 96)


# Sheets of several sizes


def test_of_several_sheet_sizes_the_cheapest_mix_is_bought() -> None:
    square = replace(MAPLE, grade="60 x 60")
    book = PriceBook((a_price(1, MAPLE, "1", "100"), a_price(2, square, "1", "60")))
    needed = job_take_off([a_list("Panel, 2, 3/4, 50, 50, maple plywood")], BARE, BY_LAYOUT, OnHand(prices=book))
    (line,) = (line for line in needed.lines if line.material.kind is MaterialKind.SHEET)
    assert (line.material, line.needed.value) == (square, 2)  # 50 in is wider than a sheet of 48 in
    assert line.asked_for == "2 of 60 × 60 in"


def test_sheets_of_two_sizes_share_the_net_area_between_their_lines() -> None:
    square = replace(MAPLE, grade="60 x 60")
    book = PriceBook((a_price(1, MAPLE, "1", "80"), a_price(2, square, "1", "60")))
    lines = "Panel, 1, 3/4, 50, 50, maple plywood\nSide, 2, 3/4, 48, 48, maple plywood"
    needed = job_take_off([a_list(lines)], BARE, BY_LAYOUT, OnHand(prices=book))
    found = {line.material.grade: (line.needed.value, line.net.value) for line in needed.lines
             if line.material.kind is MaterialKind.SHEET}  # fmt: skip
    assert found == {"60 x 60": (1, Fraction(2500, 144)), "": (1, 32)}


# What is cut already


def cut_of(found: MaterialPlan) -> Cutting:
    return Cutting(1, found.material, found.rounds[0].layout)


def test_what_is_cut_already_is_asked_for_no_more_but_still_counts() -> None:
    lines = "Rail, 3, 3/4, 6, 96, White oak"
    before = plan(lines)
    after = plan(lines, cuttings=(cut_of(before),))
    assert [one.stand for one in after.rounds] == [Stand.CUT]
    assert after.to_buy.value == before.to_buy.value
    assert after.bound == ""


def test_a_part_that_changed_after_it_was_cut_is_asked_for_anew_and_the_others_are_not() -> None:
    first = "Rail, 2, 3/4, 6, 96, White oak\nStile, 2, 3/4, 6, 90, White oak"
    changed = "Rail, 2, 3/4, 6, 96, White oak\nStile, 2, 3/4, 5, 90, White oak"
    after = plan(changed, cuttings=(cut_of(plan(first)),))
    (rest,) = (one for one in after.rounds if one.stand is not Stand.CUT)
    assert [(blank.width.inches, blank.count) for blank in rest.layout.to_cut.blanks] == [(5, 2)]
    assert after.to_buy.value == 4 * 4 + 2 * 4


# Both ways side by side


def test_both_ways_stand_side_by_side_with_their_difference() -> None:
    found = plan("Rail, 3, 3/4, 6, 96, White oak")
    assert found.by_factor is not None
    assert found.difference is not None
    assert found.by_factor.value == 12 * (1 + Fraction(7, 40))  # 17.5 % added to hardwood
    assert found.difference.value == found.by_factor.value - 12


def test_a_job_by_factor_is_not_touched_by_the_rack() -> None:
    pieces = [a_list("Rail, 3, 3/4, 6, 96, White oak")]
    hand = OnHand(rack=(a_board(),))
    assert job_take_off(pieces, BARE, WasteChoice(), hand) == take_off(pieces, BARE)


def test_a_job_by_our_own_yield_buys_net_over_yield_where_there_is_one() -> None:
    share = Figure("Our own yield", Fraction(3, 4), Unit.SHARE, plan("Rail, 1, 3/4, 6, 96, White oak").net.rule)
    hand = OnHand(yields={("White oak", "FAS"): share})
    lines = "Rail, 3, 3/4, 6, 96, White oak\nLeg, 3, 3/4, 6, 96, White ash"
    needed = job_take_off([a_list(lines)], BARE, WasteChoice(WasteMethod.OWN_YIELD), hand)
    by_name = {line.material.name: line.needed.value for line in needed.lines}
    assert by_name["White oak"] == 12 / Fraction(3, 4)
    assert by_name["White ash"] == 12 * (1 + Fraction(7, 40))


def test_an_order_buys_exactly_what_the_layouts_say() -> None:
    book = PriceBook((a_price(1, OAK, "1", "8", whole=False), a_price(2, MAPLE, "1", "90")))
    pieces = [a_list("Rail, 3, 3/4, 6, 96, White oak\nSide, 8, 3/4, 24, 48, maple plywood")]
    hand = OnHand(prices=book)
    needed = job_take_off(pieces, BARE, BY_LAYOUT, hand)
    short = to_order(needed.lines, (), (), book, job_id=0)
    ordered = {line.packages.price.material: line.packages.holds for each in short.suppliers for line in each.lines}
    found = {one.material: one.to_buy.value for one in buying_plan(take_off(pieces, BARE), hand, BARE).materials}
    assert {material: ordered[material] for material in found} == found == {OAK: 12, MAPLE: 2}
    said = {line.packages.price.material: line.parts for each in short.suppliers for line in each.lines}
    assert said[OAK] == "Parts A: 3 of 6 in × 8 ft"


# What cannot be


def test_a_part_no_board_gives_is_named_with_what_would_work_and_the_rest_is_laid_out() -> None:
    needed = job_take_off([a_list("Beam, 1, 3/4, 6, 240, White oak\nRail, 1, 3/4, 6, 96, White oak")], BARE, BY_LAYOUT,
                          OnHand())  # fmt: skip
    (problem,) = needed.problems
    assert problem.field == "piece:7:length"
    assert "beam 7A" in problem.words
    assert "scarf" in problem.words
    (line,) = (line for line in needed.lines if line.material == OAK)
    assert line.needed.value == 4


# Only what changed is made again


def test_a_part_without_a_place_is_in_no_yield() -> None:
    alone, beside = (
        plan("Short, 2, 3/4, 5, 40, White oak"),
        plan("Short, 2, 3/4, 5, 40, White oak\nLong, 1, 3/4, 5, 200, White oak"),
    )
    assert beside.got
    assert alone.got
    assert (beside.got.value, beside.used.value) == (alone.got.value, alone.used.value)
    assert beside.net.value > alone.net.value


def test_changing_one_drawer_asks_anew_only_for_its_own_materials() -> None:
    def marks(pieces: Iterable[PlacedPiece]) -> dict[str, set[str]]:
        return {one.material.title: {each.fingerprint for each in one.rounds}
                for one in plans(*pieces, practice=USUAL)}  # fmt: skip

    before, pantry = marks(a_pantry()), list(a_pantry())
    (place,) = (place for place, one in enumerate(pantry) if one.name == "Drawers")
    drawer = pantry[place]
    pantry[place] = replace(drawer, piece=replace(drawer.piece, depth=Length.of(20)))  # type: ignore[type-var]
    after = marks(pantry)
    changed = {title for title in before if before[title] != after[title]}
    assert changed == {"1/2 birch plywood", "1/4 birch plywood"}


def test_a_known_layout_is_taken_in_the_place_of_a_new_one() -> None:
    found = plan("Rail, 3, 3/4, 6, 96, White oak")
    (only,) = found.rounds
    better = replace(only.layout, improved=True)
    again = plan("Rail, 3, 3/4, 6, 96, White oak", known={only.fingerprint: better})
    assert again.rounds[0].layout is better
    assert again.is_improved


def test_a_fingerprint_tells_every_size_apart() -> None:
    asked = plan("Rail, 3, 3/4, 6, 96, White oak").rounds[0].layout.to_cut
    (blank,) = asked.blanks
    other = replace(asked, blanks=(replace(blank, length=blank.length + Length.of("1/64")),))
    assert fingerprint(asked) != fingerprint(other)
    assert fingerprint(asked) == fingerprint(replace(asked))


# Every figure, every part


def figures(found: Iterable[MaterialPlan]) -> Iterable[Figure]:
    for one in found:
        yield from (one.net, one.used, one.to_buy)
        yield from (figure for figure in (one.got, one.by_factor, one.difference) if figure)
        for size in one.sizes:
            yield from (size.count, size.quantity)


def test_every_figure_opens_down_to_a_named_source() -> None:
    rack = (a_board(1), a_board(2, place=RackPlace.YARD, price=Money.parse("9")))
    found = plans(*a_pantry(), practice=USUAL, on_hand=OnHand(rack=rack))
    for figure in figures(found):
        for leaf in leaves(figure):
            assert leaf.rule.source, f"{figure.label}: {leaf.label} has no source"


def placed_of(layouts: Iterable[Layout]) -> dict[str, int]:
    many: dict[str, int] = {}
    for layout in layouts:
        for laid in layout.laid:
            for place in laid.places:
                many[place.blank] = many.get(place.blank, 0) + 1
    return many


def wanted_of(needed: TakeOff) -> dict[str, int]:
    return {line.ref.on_stock: int(line.pieces.value) for line in needed.cut_list}


boards = st.builds(
    a_board,
    st.integers(1, 9_999),
    st.sampled_from(("4", "6", "7 1/4", "9")),
    st.sampled_from(("30", "64", "97", "120")),
    place=st.sampled_from(RackPlace),
)


@settings(max_examples=25)
@given(rack=st.lists(boards, max_size=5, unique_by=lambda one: one.id), wide=st.sampled_from(("2", "3 1/2", "5 1/4")),
       long=st.sampled_from(("18", "33", "61")), many=st.integers(1, 9))  # fmt: skip
def test_buying_what_the_plan_says_builds_the_job(rack: list[RackPiece], wide: str, long: str, many: int) -> None:
    pieces = [a_list(f"Rail, {many}, 3/4, {wide}, {long}, White oak\nCleat, 2, 3/4, 4, 30, maple plywood")]
    needed = take_off(pieces, USUAL)
    found = buying_plan(needed, OnHand(rack=tuple(rack)), USUAL)
    layouts = [each.layout for one in found.materials for each in one.rounds]
    assert placed_of(layouts) == wanted_of(needed)
    used = [size for one in found.materials for size in one.sizes]
    assert all(size.count.value == 1 for size in used if size.piece), "a board on the rack can be cut up once"
    for one in found.materials:
        at_hand = sum((size.quantity.value for size in one.sizes if size.piece and size.piece.place is RackPlace.SHOP),
                      Fraction(0))  # fmt: skip
        assert one.to_buy.value == one.used.value - at_hand
