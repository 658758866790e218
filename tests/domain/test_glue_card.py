"""The card of a glue-up: marks in order, what to have at hand, fasteners, and its drawing in words."""

from fractions import Fraction

import pytest

from builders import a_piece, a_top, build, placed, with_habits
from domain.drawing.glue_up import glue_up_drawing
from domain.drawing.shape import Meaning
from domain.drawing.tape import Tape
from domain.glue_card import GlueCard, glue_cards
from domain.pieces.piece import Piece
from domain.practice import ShopPractice

USUAL = ShopPractice()
WIDE = {"length": "10'", "depth": "30", "boards_by": "so many boards of one width", "board_count": 13, "crew": 1}


def card_of(piece: Piece, practice: ShopPractice = USUAL) -> GlueCard:
    (card,) = glue_cards(placed(piece), build(piece, practice), practice)
    return card


def test_boards_are_told_in_their_order_by_the_marks_of_the_cut_list():
    card = card_of(a_top(boards_by="boards of the widths typed", board_widths="6, 6, 5 1/2, 6, 5"))
    assert [board.mark for board in card.boards] == ["7A1", "7A2", "7B", "7C", "7D"]
    assert [board.number for board in card.boards] == [1, 2, 3, 4, 5]


def test_stages_say_what_they_join_and_what_they_wait_for():
    card = card_of(a_top(**WIDE))
    assert card.stages[0].joins == ("7A1", "7A2", "7A3", "7A4")
    assert card.stages[0].after == ""
    assert card.stages[3].joins == (
        "glue-up 1 (boards 1 to 4)", "glue-up 2 (boards 5 to 8)", "glue-up 3 (boards 9 to 12)", "7A13",
    )  # fmt: skip
    assert card.stages[3].after == "Once the clamps are off glue-ups 1, 2 and 3."
    assert [stage.is_whole for stage in card.stages] == [False, False, False, True]
    assert [stage.fits_planer for stage in card.stages] == [True, True, True, False]


def test_time_to_spare_is_what_the_open_time_leaves():
    for stage in card_of(a_top(**WIDE)).stages:
        assert stage.to_spare.value == 5 - stage.stage.closed.value >= 0


def test_clamps_go_below_and_above_in_turn():
    card = card_of(a_top(**WIDE))
    assert card.below.value + card.above.value == card.plan.clamps.value
    assert 0 <= card.below.value - card.above.value <= 1


def test_the_glue_of_all_stages_is_that_of_the_joints():
    card = card_of(a_top(**WIDE))
    # 12 joints of 123 1/2 x 1 1/2 in are 15.4375 ft²; 42.5 lb on 1000 ft², 15 % lost, 9.2 lb to the gallon
    ounces = sum(stage.glue.value for stage in card.stages if stage.glue)
    assert float(ounces) == pytest.approx(15.4375 * 42.5 / 1000 * 1.15 / 9.2 * 128)


def test_fasteners_are_those_of_the_cut_list_and_clear_of_the_last_cut():
    top = a_top(alignment="biscuits", **WIDE)
    card = card_of(top)
    (joint,) = build(top).joints
    assert joint.fasteners
    assert len(card.fasteners) * 12 == joint.fasteners.value
    left, right = card.clear
    assert left.value == right.value == card.fasteners[0].value
    assert "biscuits, tried dry" in card.at_hand


@pytest.mark.parametrize(
    ("glue", "words"),
    [
        ("Polyurethane liquid, one part moisture cure", "gloves, and a damp rag"),
        ("Epoxy, two part", "gloves, scale, pots"),
        ("Hot hide (animal) glue", "hot pot"),
        ("PVA interior", "damp rag and clean water"),
    ],
)
def test_every_kind_of_glue_has_its_own_things_at_hand(glue, words):
    assert any(line.startswith(words) for line in card_of(a_top(glue=glue, crew=8)).at_hand)


def test_a_glue_with_isocyanates_comes_with_its_caution():
    titles = [caution.title for caution in card_of(a_top(glue="Polyurethane liquid, one part moisture cure")).cautions]
    assert "Isocyanates" in titles


def test_a_cold_shop_says_how_much_longer():
    card = card_of(a_top(glue="PVA interior"), with_habits(shop_temperature="52"))
    assert (card.colder.value, card.clamped.value, card.machined.value) == (2, 6, 48)


@pytest.mark.parametrize(
    ("kind", "typed"),
    [("shelf", {"made_of": "solid wood", "depth": "20"}), ("door", {"made_of": "solid wood", "width": "24"})],
)
def test_other_solid_pieces_wider_than_a_board_have_their_card_too(kind, typed):
    piece = a_piece(kind, **typed)
    for card in glue_cards(placed(piece), build(piece), USUAL):
        assert card.has_all_marks
        assert card.plan.stages.value >= 1


def test_each_leg_of_a_corner_top_has_a_card_and_keeps_its_free_end_clear():
    piece = a_piece("corner_top", alignment="biscuits")
    first, second = glue_cards(placed(piece), build(piece), USUAL)
    assert (first.name, second.name) == ("first leg", "second leg")
    assert first.key != second.key
    assert {board.mark[:2] for board in first.boards}.isdisjoint(board.mark[:2] for board in second.boards)
    for card in (first, second):
        left, right = card.clear
        # 2 in clear of a finished end; the 3 1/2 in of extra length are all at the free one
        assert (left.value, right.value) == (2, Fraction(11, 2))


def test_a_piece_of_one_board_has_none():
    piece = a_top(depth="5", length="30", widest_board="6")
    assert glue_cards(placed(piece), build(piece), USUAL) == ()


# The drawing.


def test_the_drawing_shows_every_board_joint_clamp_and_biscuit_within_the_panel():
    card = card_of(a_top(alignment="biscuits", **WIDE))
    drawing = glue_up_drawing(card, Tape())
    whole = next(drawing.of(Meaning.OUTLINE))
    boards = list(drawing.of(Meaning.PART))
    assert [board.top for board in boards[1:]] == [board.bottom for board in boards[:-1]]
    assert (boards[0].top, boards[-1].bottom) == (whole.top, whole.bottom)
    assert len(list(drawing.of(Meaning.JOINT))) == 12
    assert len(list(drawing.of(Meaning.FASTENER))) == 12 * len(card.fasteners)
    above, below = (len(list(drawing.of(one))) for one in (Meaning.CLAMP, Meaning.CLAMP_BELOW))
    assert (above, below) == (4 * card.above.value, 4 * card.below.value), "a bar and a head at both edges"
    cuts = [cut.left for cut in drawing.of(Meaning.CUT)]
    clear = [place.value for place in card.fasteners]
    assert min(clear) - cuts[0] >= 2 <= cuts[1] - max(clear), "no biscuit within 2 in of a cut"


def test_the_drawing_is_told_in_words():
    words = " ".join(glue_up_drawing(card_of(a_top(**WIDE)), Tape()).words)
    assert "Board 1, 7A1: about 2 3/8 in wide, at the back." in words
    assert "Board 13, 7A13: about 2 3/8 in wide, at the front." in words
    assert "Clamps from the left end, below and above in turn, the first below: 2 in," in words
    assert "Glue-up 4: boards 1 to 13, 31 in across." in words
    assert words.count("The last cut goes at") == 2
