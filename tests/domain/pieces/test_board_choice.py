"""Which boards a top is made of: of mixed widths the least ripped away, and no strip under the shop's limit."""

from fractions import Fraction

import pytest

from builders import a_top, build, with_habits
from domain.figure import Figure
from domain.length import Length
from domain.part import Built
from domain.pieces.piece import problems_of

CHOSEN, TYPED = "mixed, of widths to be had", "boards of the widths typed"


def figure(built: Built, label: str) -> Figure:
    (found,) = (one for one in built.figures if one.label.startswith(label))
    return found


def widths(built: Built) -> list[Length]:
    return [part.width for part in built.parts for _ in range(part.count)]


def test_the_boards_usually_bought_fill_a_top_with_nothing_ripped_off_beyond_its_trim() -> None:
    # boards of 6 to 9 in lose 2 × 1/8 to the jointer and 1/8 to the saw: 5 5/8, 6 5/8, 7 5/8, 8 5/8;
    # 2 × 5 5/8 + 6 5/8 + 8 5/8 = 26 1/2 = 25 1/2 + 2 × 1/2, in four boards
    built = build(a_top(depth="25 1/2", boards_by=CHOSEN))
    assert sorted(widths(built)) == [Length.of(one) for one in ("45/8", "45/8", "53/8", "69/8")]
    assert figure(built, "Ripped off").value == 1
    # the outer strips lose 1/2 in each
    assert figure(built, "Narrowest strip").value == Fraction("45/8") - Fraction(1, 2)


def test_widths_are_chosen_from_those_typed() -> None:
    # 4 1/4 and 5 1/4 typed are 3 7/8 and 4 7/8 jointed: 2 × 4 7/8 + 1 × 3 7/8 = 13 5/8 for 12 + 1
    built = build(a_top(depth="12", boards_by=CHOSEN, stock_widths="4 1/4, 5 1/4"))
    assert sorted(widths(built)) == [Length.of("31/8"), Length.of("39/8"), Length.of("39/8")]
    assert figure(built, "Ripped off").value == Fraction("109/8") - 12


def test_a_width_chosen_says_where_it_comes_from() -> None:
    built = build(a_top(boards_by=CHOSEN))
    labels = {one.label for one in figure(built, "Ripped off").walk()}
    assert {"Narrowest board usually bought", "Narrowest strip in a top of mixed widths", "Depth"} <= labels
    typed = build(a_top(boards_by=CHOSEN, stock_widths="7"))
    places = {one.rule.where for one in figure(typed, "Ripped off").walk()}
    assert "piece:7:stock_widths" in places


def test_widths_that_leave_too_narrow_a_strip_are_refused_with_what_would_work() -> None:
    # limit 2 in + 1/2 in of trim + 3/8 in for jointer and saw
    (problem,) = problems_of(a_top(boards_by=CHOSEN, stock_widths="2, 2 1/4"))
    assert problem.field == "stock_widths"
    assert "No boards of 2 in and 2 1/4 in fill 25 1/2 in with every strip at least 2 in as seen" in problem.words
    assert "Have boards of 3 in or wider among them." in problem.words


def test_a_typed_strip_under_the_limit_is_refused_with_widths_that_would_do() -> None:
    # jointed 4 × 5 5/8 + 1 5/8 + 3 1/8 = 27 1/4, which fills 26 1/2
    (problem,) = problems_of(a_top(boards_by=TYPED, board_widths="6, 6, 2, 6, 6, 3 1/2"))
    assert problem.field == "board_widths"
    assert "Board 3, 2 in rough, is seen 1 5/8 in wide" in problem.words
    assert "Your narrowest strip is 2 in." in problem.words
    would_do = problem.words.partition("These would do: ")[2].rstrip(".")
    assert problems_of(a_top(boards_by=TYPED, board_widths=would_do)) == ()


def test_an_outer_strip_is_judged_once_the_panel_is_ripped() -> None:
    # 2 1/2 is 2 1/8 jointed, but at the edge it loses half of 27 1/8 − 25 1/2: 2 1/8 − 13/16
    typed = {"boards_by": TYPED, "board_widths": "2 1/2, 6, 6, 6, 8 1/2"}
    (problem,) = problems_of(a_top(**typed))
    assert "Board 1, 2 1/2 in rough, is seen 1 5/16 in wide" in problem.words
    assert problems_of(a_top(**typed), with_habits(narrowest_strip="5/4")) == ()


def test_boards_wider_than_any_are_refused_with_how_many_it_takes() -> None:
    # 120 in of length and its trim in boards of at most 24 in: 121 ÷ 24 = 5.04
    wide = a_top(length="120", grain="front to back", boards_by="so many boards of one width", board_count=2)
    (problem,) = problems_of(wide)
    assert problem.field == "board_count"
    assert "Take 6 or more." in problem.words


@pytest.mark.parametrize("depth", ["9", "18", "25 1/2", "30", "41 3/8", "60"])
def test_no_chosen_strip_is_under_the_limit(depth: str) -> None:
    built = build(a_top(depth=depth, boards_by=CHOSEN))
    assert figure(built, "Narrowest strip").value >= 2


def test_mixed_widths_are_said_once_with_how_many_there_are() -> None:
    built = build(a_top(boards_by=TYPED, board_widths="6, 6, 5 1/2, 6, 5"))
    said = [(one.label, one.value) for one in built.figures if one.label.startswith("Width of")]
    assert said == [
        ("Width of 3 of 5 boards", Fraction(45, 8)),
        ("Width of 1 of 5 boards", Fraction(41, 8)),
        ("Width of 1 of 5 boards", Fraction(37, 8)),
    ]
    assert figure(built, "Boards").value == 5
    assert figure(built, "Glue lines").value == 5 - 1


def test_boards_longer_than_those_usually_bought_are_said_with_what_would_work() -> None:
    # 150 in with 3 1/2 until the last cut, 1 in left on and 1/8 in of kerf: 154 5/8 in of the 144 in usually bought
    long = {"length": "150", "depth": "12"}
    (warning,) = (problem for problem in build(a_top(**long)).problems if problem.field == "length")
    assert "154 5/8 in long, rough, are longer than the 144 in you usually buy" in warning.words
    assert "Make each row of shorter strips" in warning.words
    of_strips = build(a_top(rows="shorter strips, end to end", **long))
    assert not [problem for problem in of_strips.problems if problem.field == "length"]


def test_boards_wider_than_those_usually_bought_are_said_with_how_many_it_takes() -> None:
    # 26 1/2 ÷ 2 = 13 1/4 and 3/8 for jointer and saw; of 9 in 8 5/8 is left: 26 1/2 ÷ 8 5/8 = 3.07
    built = build(a_top(boards_by="so many boards of one width", board_count=2))
    (warning,) = (problem for problem in built.problems if problem.field == "board_count")
    assert (
        "Boards 13 5/8 in wide, rough, are wider than the 9 in you usually buy. Take 4 boards or more." in warning.words
    )


def test_openings_are_marked_before_fasteners_are_set() -> None:
    (warning,) = (problem for problem in build(a_top(alignment="dowels", openings=1)).problems
                  if problem.field == "openings")  # fmt: skip
    assert "set no dowel within 2 in of their cuts" in warning.words


def test_fasteners_say_where_they_stand_and_where_they_may_not() -> None:
    # 108 in finished and 3 1/2 kept, half at each end: 1 3/4 + 2 clear; (108 − 4) ÷ 10 rounded up and one more are 12,
    # so 104 ÷ 11 apart
    built = build(a_top(alignment="biscuits"))
    assert figure(built, "Cut off later, at each end").value == Fraction("1.75")
    assert figure(built, "No fastener within, left end").value == Fraction("3.75")
    assert figure(built, "No fastener within, right end").value == Fraction("3.75")
    assert figure(built, "Biscuits in one joint").value == 12
    assert figure(built, "From one biscuit to the next").value == Fraction(104, 11)
