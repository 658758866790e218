"""Wide parts from season to season: movement, slots, gaps at walls and cross-grain places."""

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builders import USUAL, a_piece, a_top, leaves, placed, with_habits
from domain.cross_grain import cross_grain
from domain.figure import Figure, Unit, typed
from domain.length import Length
from domain.measure import Cover, Run, fit
from domain.movement import Movement, movements, moves
from domain.pieces.built_up_edge import AcrossTop
from domain.pieces.piece import PlacedPiece
from domain.practice import ShopPractice
from domain.season import seasons
from domain.shop import Shop
from domain.take_off import take_off
from domain.wall_gap import MeasuredRun
from domain.wide_part import Held, WidePart
from domain.wood import Cut, species_names

SHOP = Shop(name="Invented Joinery")
EIGHT_TO_ELEVEN = with_habits(moisture_built="8", moisture_driest="8", moisture_dampest="11")


def found(*pieces: PlacedPiece, practice: ShopPractice = USUAL, runs: tuple[MeasuredRun, ...] = ()) -> list[Movement]:
    return list(movements(take_off(pieces, practice).pieces, runs, practice, SHOP))


def only(piece: Any, practice: ShopPractice = USUAL, runs: tuple[MeasuredRun, ...] = ()) -> Movement:
    (one,) = found(placed(piece), practice=practice, runs=runs)
    return one


def measured(practice: ShopPractice = USUAL, **sizes: Any) -> MeasuredRun:
    run = Run(1, "North wall", **{key: Length.parse(v) if isinstance(v, str) else v for key, v in sizes.items()})
    return MeasuredRun(run, fit(run, practice), "job:1:measure:1")


def called_out(*pieces: PlacedPiece, practice: ShopPractice = USUAL) -> str:
    built = take_off(pieces, practice).pieces
    return " ".join(each.words for each in cross_grain(built, movements(built, (), practice, SHOP), practice, SHOP))


def a_part(across: Fraction, wood: str = "White oak") -> WidePart:
    return WidePart(1, "Top", "Top", 1, wood, None, typed("Width", Length(across)), Held.SCREWED)


def mc(percent: Fraction | int) -> Figure:
    return typed("Moisture", Fraction(percent), Unit.MOISTURE)


@pytest.mark.parametrize(("cut", "printed"), [("flat-sawn", "0.279"), ("quarter-sawn", "0.138")])
def test_a_white_oak_top_grows_as_the_handbook_says(cut: str, printed: str) -> None:
    # Source: Wood Handbook (2010) ch. 13, Table 13-5: white oak CT 0.00365, CR 0.00180; worked example W11:
    # 25 1/2 in deep, 8 to 11 %
    one = only(a_top(species="White oak", depth="25 1/2", cut=cut), EIGHT_TO_ELEVEN)
    assert one.counted is not None
    assert round(one.counted.swells.value, 3) == Fraction(printed)
    assert one.counted.shrinks.value == 0


def test_hard_maple_shrinks_as_the_handbook_says() -> None:
    # Source: Wood Handbook (2010), Table 13-5, hard maple CT 0.00353; worked example W13: 600 mm flat-sawn,
    # 9 to 6 %, moves 6.354 mm
    practice = with_habits(moisture_built="9", moisture_driest="6", moisture_dampest="9")
    one = only(a_top(species="Hard maple (sugar maple)", depth="600 mm"), practice)
    assert one.flat is not None
    assert Length(one.flat.shrinks.value).in_mm == Fraction("-6.354")


def test_both_ways_of_sawing_stand_side_by_side_and_flat_moves_more() -> None:
    one = only(a_top(species="White oak"))
    assert one.flat is not None
    assert one.quarter is not None
    assert one.flat.whole.value > one.quarter.whole.value
    assert one.counted == one.flat
    assert only(a_top(species="White oak", cut="quarter-sawn")).counted == one.quarter


def test_growing_and_shrinking_are_told_from_the_day_it_is_built() -> None:
    one = only(a_top(species="White oak", depth="25 1/2"))
    assert one.words == "Built at 8 %: grows about 1/4 in till the damp season, shrinks about 3/16 in till the dry."


def test_wood_built_damper_than_the_house_ever_is_only_shrinks() -> None:
    one = only(a_top(species="White oak"), with_habits(moisture_built="13"))
    assert one.counted is not None
    assert one.counted.swells.value < 0
    assert "shrinks" in one.words.split(",")[0]
    assert all(row.swell_room.value == 0 for row in one.slots)


def test_slots_at_the_far_side_are_as_long_as_all_of_the_movement_and_the_screw() -> None:
    one = only(a_top(species="White oak"))
    assert one.counted is not None
    far, middle = one.slots
    assert far.row == "at the back"
    assert far.length.value == one.counted.whole.value + Fraction(11, 64)
    assert middle.length.value == one.counted.whole.value / 2 + Fraction(11, 64)
    assert one.advice[0].startswith("Screw it fast along the front only.")


def test_a_part_that_hardly_moves_needs_no_slots() -> None:
    one = only(a_piece("drawer", made_of="solid wood", species="Teak", height="6"))
    assert one.slots == ()
    assert one.advice == ("It moves about 1/16 in in all: too little for slots, ordinary holes do.",)


def test_a_top_held_at_its_back_moves_at_the_front_and_leaves_the_wall_alone() -> None:
    one = only(a_top(), with_habits(top_held_at_back="1"))
    assert one.slots[0].row == "at the front"
    assert one.gaps == ()


def test_a_top_with_its_grain_front_to_back_is_held_in_its_middle_and_moves_at_both_ends() -> None:
    one = only(a_top(species="White oak", length="60", depth="24", grain="front to back"))
    assert one.counted is not None
    assert one.part.across.value == 60
    assert [gap.side for gap in one.gaps] == ["left", "right"]
    assert one.gaps[0].swells.value == one.counted.swells.value / 2
    assert one.slots[0].length.value == one.counted.whole.value / 2 + Fraction(11, 64)


def test_a_top_that_grows_more_than_is_left_at_the_wall_is_told_how_much_to_leave() -> None:
    one = only(a_top(species="White oak", depth="25 1/2"))
    (gap,) = one.gaps
    assert gap.leave.value == gap.swells.value > Fraction(1, 8)
    (problem,) = one.problems
    assert "at the back wall leave 5/16 in, not 1/8 in" in problem.words


def test_the_cover_measured_in_the_job_is_held_against_the_dry_season() -> None:
    tile = measured(back="108", front="108", middle="108", depth_left="25 1/2", depth_right="25 1/2", cover=Cover.TILE)
    one = only(a_top(species="White oak", length="107 3/4", depth="25 1/2"), runs=(tile,))
    (gap,) = one.gaps
    assert (gap.run, gap.hides.value if gap.hides else None) == ("North wall", Fraction(1, 4))
    assert not gap.is_covered
    assert any("Take a wider one" in problem.words for problem in one.problems)
    wide = measured(back="108", depth_left="25 1/2", cover=Cover.BEAD, hides="3/4")
    assert only(a_top(species="White oak", length="107 3/4"), runs=(wide,)).gaps[0].is_covered


def test_a_crooked_wall_is_added_to_what_the_wood_shrinks() -> None:
    straight = measured(back="108", depth_left="25", depth_right="25", cover=Cover.BEAD)
    crooked = measured(back="108", depth_left="25", depth_right="25 1/4", cover=Cover.BEAD)
    one, other = (only(a_top(), runs=(run,)).gaps[0].widest.value for run in (straight, crooked))
    assert other == one + Fraction(1, 4)


def test_a_panel_that_outgrows_its_grooves_is_told_what_would_do() -> None:
    door = a_piece("door", made_of="solid wood", species="White oak", width="24", height="30", thickness="1/2")
    one = only(door)
    assert one.part.held is Held.IN_FRAME
    assert any("in the groove" in problem.words and "quarter-sawn" in problem.words for problem in one.problems)
    assert only(door, with_habits(panel_play="3/8")).problems == ()


def test_a_panel_that_shrinks_out_of_its_grooves_is_called_out() -> None:
    door = a_piece("door", made_of="solid wood", species="White oak", width="36", height="30", thickness="1/2")
    shallow = with_habits(frame_groove_depth="1/8", panel_play="1/8", moisture_built="12", moisture_driest="6")
    assert any("out of a groove" in problem.words for problem in only(door, shallow).problems)


def test_cross_grain_places_of_a_job_are_called_out_together() -> None:
    words = called_out(
        placed(a_top(species="White oak"), 1, name="Island top"),
        placed(a_piece("built_up_edge", end_grain_front=True, across=AcrossTop.LONG_GRAIN.value), 2),
        placed(a_piece("door", made_of="solid wood", thickness="1/2"), 3, name="Pantry door"),
        placed(a_piece("shelf", depth="16", is_adjustable=False), 4, name="Deep shelf"),
    )
    assert "lies across the grain of the top" in words
    assert "take short pieces with the top's grain" in words
    assert "Pantry door, panel, is solid and moves" in words
    assert "Deep shelf moves" in words
    assert "plywood that does not move" in words
    assert "Island top moves" in words


def test_sheets_narrow_parts_and_short_grain_strips_are_left_out() -> None:
    pieces = (
        placed(a_piece("shelf", made_of="sheet", depth="20"), 1),
        placed(a_piece("shelf", depth="5 1/2"), 2),
        placed(a_piece("built_up_edge", end_grain_front=True), 3),
        placed(a_piece("part_list", lines="Rail, 2, 3/4, 2, 30, White oak\nPanel, 1, 3/4, 18, 60, maple plywood"), 4),
    )
    assert found(*pieces) == []
    assert called_out(*pieces) == ""


def test_solid_parts_of_a_list_count_each_line() -> None:
    one = only(a_piece("part_list", lines="End, 2, 3/4, 23, 34, White oak"))
    assert (one.part.name, one.part.count, one.part.across.value) == ("End", 2, 23)


def test_every_figure_of_a_part_leads_to_something_typed_or_a_named_source() -> None:
    one = only(a_top(species="White oak"))
    assert one.flat is not None
    for figure in (one.flat.whole, one.slots[0].length, one.gaps[0].widest):
        for leaf in leaves(figure):
            assert leaf.rule.source, leaf.label


percents = st.integers(60, 140).map(lambda tenths: Fraction(tenths, 10))
widths = st.integers(16, 16 * 48).map(lambda sixteenths: Fraction(sixteenths, 16))


@given(widths, percents, percents, st.sampled_from(species_names()), st.sampled_from(Cut))
def test_movement_is_antisymmetric_proportional_and_none_for_equal_moisture(
    width: Fraction, one: Fraction, other: Fraction, wood: str, cut: Cut
) -> None:
    there = moves(a_part(width, wood), cut, seasons(mc(one), mc(one), mc(other)))
    back = moves(a_part(width, wood), cut, seasons(mc(other), mc(one), mc(other)))
    wider = moves(a_part(3 * width, wood), cut, seasons(mc(one), mc(one), mc(other)))
    if there is None or back is None or wider is None:
        assert there is back is wider is None
        return
    low, high = sorted((one, other))
    if one == low:
        assert there.shrinks.value == 0
        assert back.shrinks.value == -there.swells.value, "there and back again"
    assert wider.whole.value == 3 * there.whole.value
    assert there.whole.value == back.whole.value
    assert (there.whole.value == 0) is (low == high)


@given(widths.filter(lambda width: width >= 6), percents, percents, percents, st.booleans())
def test_slots_are_never_shorter_than_the_movement_at_them(
    width: Fraction, built: Fraction, dry: Fraction, damp: Fraction, front_to_back: bool
) -> None:
    practice = ShopPractice({"moisture_built": built, "moisture_driest": dry, "moisture_dampest": damp})
    grain = "front to back" if front_to_back else "along the length"
    size = {"length": Length(width), "depth": Length.of(20)} if front_to_back else {"depth": Length(width)}
    one = only(a_top(species="White oak", grain=grain, **size), practice)
    assert one.counted is not None
    shank = practice.value("slot_shank")
    assert bool(one.slots) is (one.counted.whole.value >= Fraction(1, 8))
    for row in one.slots:
        assert row.length.value - shank >= row.swell_room.value + row.shrink_room.value
    reach = max((row.length.value - shank for row in one.slots), default=one.counted.whole.value)
    assert reach * (2 if front_to_back else 1) >= one.counted.whole.value


def test_both_legs_of_an_l_shaped_top_move_and_its_turned_grain_is_called_out() -> None:
    piece = a_piece("corner_top", species="White oak", first_depth="25 1/2", second_depth="24")
    first, second = found(placed(piece, name="Corner"))
    assert (first.part.name, first.part.across.value) == ("First leg", Fraction("25.5"))
    assert (second.part.name, second.part.across.value) == ("Second leg", 24)
    assert "Corner: at the joint the grain turns 90 degrees" in called_out(placed(piece, name="Corner"))


def test_a_leg_with_its_grain_parallel_to_the_others_is_held_at_the_corner_and_moves_along_its_wall() -> None:
    piece = a_piece("corner_top", second_length="72", first_depth="24",
                    second_grain="as the first leg's")  # fmt: skip
    _, second = found(placed(piece, name="Corner"))
    assert second.part.across.value == 72 - 24
    assert second.advice[0].startswith("Screw it fast along the corner only.")
    assert second.slots[0].row == "at the free end"
    assert second.gaps[0].side == "free end"


def test_a_long_strip_over_end_grain_is_called_out_and_short_pieces_are_not() -> None:
    long, short = (
        a_top(grain="front to back", front_strip=how) for how in ("long, glued end to end", "short, one to each board")
    )
    assert "Bar: the front strip runs across the grain" in called_out(placed(long, name="Bar"))
    assert "front strip" not in called_out(placed(short, name="Bar"))


def test_a_solid_end_on_a_plywood_case_is_called_out_and_a_loose_list_is_not() -> None:
    ends = a_piece("part_list", lines="End, 2, 3/4, 23, 34, White oak")
    cabinet = placed(a_piece("base_cabinet"), 1)
    said = called_out(cabinet, placed(ends, 2, name="Seen ends", belongs_to=1))
    assert "Seen ends, end moves" in said
    assert "plywood that does not move" in said
    assert called_out(cabinet, placed(ends, 2)) == ""
