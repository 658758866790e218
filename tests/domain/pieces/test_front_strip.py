"""A strip over end grain: its part, its joint, how far the top moves along it, and what works."""

from fractions import Fraction

import pytest

from builders import USUAL, a_top, build, with_habits
from domain.length import Length
from domain.part import Built
from domain.pieces.piece import problems_of

GLUED, MIDDLE, SHORT = "long, glued end to end", "long, glued in the middle", "short, one to each board"
SEASONS = with_habits(moisture_driest="8", moisture_dampest="11")


def bar(**typed: object) -> object:
    """Return an invented bar top of white oak, 60 in long and 24 deep, its grain front to back."""
    return a_top(**{"species": "White oak", "length": "60", "depth": "24", "grain": "front to back", **typed})


def figure(built: Built, label: str) -> Fraction:
    (found,) = (one for one in built.figures if one.label.startswith(label))
    return found.value


def words(built: Built) -> str:
    return " ".join(problem.words for problem in built.problems if problem.field == "front_strip")


def test_the_boards_end_behind_the_strip_and_the_depth_stays() -> None:
    # 24 − 3/4
    built = build(bar(front_strip=GLUED, front_strip_depth="3/4"))
    boards, strip = built.parts
    assert boards.length == Length.of("93/4")
    assert (strip.name, strip.count) == ("Front strip", 1)
    assert (strip.thickness, strip.width, strip.length) == (Length.of("3/4"), Length.of("3/2"), Length.of(60))


def test_a_long_strip_glued_fast_is_warned_about_with_how_far_the_top_moves() -> None:
    # Source: Wood Handbook (2010) ch. 13, Table 13-5: white oak CT 0.00365; 8 to 11 %: 60 in × 0.00365 × 3 = 0.657 in
    built = build(bar(front_strip=GLUED), SEASONS)
    assert figure(built, "The top moves along the front strip by") == 60 * Fraction("0.00365") * 3
    assert "moves about 11/16 in along it between seasons: glued from end to end it cracks the top" in words(built)
    assert "Glue only its middle" in words(built)
    assert "short pieces, one to each board" in words(built)


def test_movement_along_the_strip_agrees_with_the_handbook_for_another_wood() -> None:
    # W13: hard maple, 600 mm flat-sawn from 9 to 6 % shrinks 6.354 mm
    seasons = with_habits(moisture_driest="6", moisture_dampest="9")
    maple = build(bar(species="Hard maple (sugar maple)", length="600 mm", front_strip=GLUED), seasons)
    assert Length(figure(maple, "The top moves along the front strip by")).in_mm == Fraction("6.354")


def test_a_sliding_strip_is_glued_over_a_third_and_screwed_in_slots_beyond() -> None:
    # 60 ÷ 3 = 20 in; 20 in are free at each end, screws 12 in apart: 20 ÷ 12 rounded up and one more, at both ends
    built = build(bar(front_strip=MIDDLE), SEASONS)
    (joint,) = (one for one in built.joints if one.name.startswith("Front strip"))
    assert (joint.count, joint.length, joint.width) == (1, Length.of(20), Length.of("3/2"))
    assert built.items[1].quantity.value == 2 * 3
    assert figure(built, "Slots let each end slide by") == 60 * Fraction("0.00365") * 3 / 2
    assert "Glue the middle third and no more" in words(built)


def test_short_pieces_are_one_to_each_board_and_move_as_little_as_it() -> None:
    # 61 ÷ 6 = 10.2, so 11 boards: 60 ÷ 11 each
    built = build(bar(front_strip=SHORT, widest_board="6"), SEASONS)
    strip = built.parts[-1]
    assert (strip.name, strip.count, strip.length) == ("Front strip, short piece", 11, Length.of(Fraction(60, 11)))
    assert figure(built, "The top moves along a piece by") == Fraction(60, 11) * Fraction("0.00365") * 3
    assert "not safe in jointer or planer" in words(built)
    (joint,) = (one for one in built.joints if one.name.startswith("Front strip"))
    assert joint.count * joint.length.inches == 60


def test_what_is_seen_and_what_is_there_are_said() -> None:
    built = build(bar(front_strip=GLUED, thickness="1 1/2", front_strip_seen="2 1/4"))
    assert figure(built, "Thickness seen at the front") == Fraction("2.25")
    assert figure(built, "Thickness there behind it") == Fraction("1.5")


def test_its_joint_has_the_fasteners_of_the_top_or_is_warned_about() -> None:
    # 60 in: (60 − 2 × 2) ÷ 10, rounded up, and one more
    fastened = build(bar(front_strip=GLUED, alignment="biscuits"))
    (joint,) = (one for one in fastened.joints if one.name.startswith("Front strip"))
    assert joint.fasteners is not None
    assert joint.fasteners.value == 6 + 1
    assert "End grain hardly holds glue" not in words(fastened)
    assert "End grain hardly holds glue" in words(build(bar(front_strip=GLUED)))


def test_the_strip_goes_on_a_flat_panel_and_is_planed_flush_before_the_last_cut() -> None:
    steps = {step.key: step for step in build(bar(front_strip=GLUED), USUAL).steps}
    assert [wait.step for wait in steps["front-mill"].after] == ["flatten"]
    cut = {work.operation: work.quantity.value for work in steps["front-mill"].work}
    assert cut == {"cut-to-length": 1, "mill": 1}, "its extra length is off before the strip covers it"
    assert {wait.step for wait in steps["front-flush"].after} == {"unclamp-front", "cure-front"}
    assert [wait.step for wait in steps["cut-to-length"].after] == ["front-flush"]
    assert steps["front-glue-up"].until == "unclamp-front"
    assert steps["front-glue-up"].clamps > 0


@pytest.mark.parametrize(
    ("typed", "field", "said"),
    [
        ({"grain": "along the length"}, "front_strip", "Take no strip, or turn the grain."),
        ({"front_strip_seen": "1"}, "front_strip_seen", "leaves end grain of the top bare. Try 1 1/2 in."),
        ({"depth": "3", "front_strip_depth": "2 1/2"}, "front_strip_depth", "leaves no top behind it. Try 3/4."),
    ],
)
def test_a_strip_that_cannot_be_is_refused_with_what_works(typed: dict[str, str], field: str, said: str) -> None:
    (problem,) = problems_of(bar(front_strip=GLUED, **typed))
    assert problem.field == field
    assert said in problem.words


def test_a_top_without_a_strip_is_as_it_was() -> None:
    built = build(bar())
    assert [part.length for part in built.parts] == [Length.of(24)]
    assert not any("front" in step.key for step in built.steps)
