"""Rows of shorter strips: how they are cut up, their staggered end joints, and what these need."""

from fractions import Fraction

from hypothesis import given, settings

from builders import USUAL, a_top, build, pieces
from domain.length import Length
from domain.part import Built, TaskKind
from domain.pieces.piece import problems_of

STRIPS = "shorter strips, end to end"


def figure(built: Built, label: str) -> Fraction:
    (found,) = (one for one in built.figures if one.label.startswith(label))
    return found.value


def a_top_of_strips(**typed: object) -> object:
    """Return a top of 5 rows, 108 in long, with 3 1/2 in kept until the last cut."""
    return a_top(rows=STRIPS, **typed)


def test_a_row_has_as_few_strips_as_can_be_cut_from_the_longest() -> None:
    # 108 ÷ (48 − 3 1/2 ÷ 2 at one end) = 2.3, so 3 strips of 36 in; every second row starts and ends with 18 in
    built = build(a_top_of_strips(longest_strip="48"))
    assert figure(built, "Strips in a row") == 3
    assert figure(built, "Strip length") == 36
    assert figure(built, "End joints of neighbouring rows apart") == 18


def test_strips_of_all_rows_are_counted_by_their_length() -> None:
    # rows 1, 3, 5: 3 strips of 36 in, 2 of them at an end; rows 2, 4: 18, 36, 36, 18
    built = build(a_top_of_strips())
    assert {part.name: (part.count, part.length, part.extra_length) for part in built.parts} == {
        "Strip, between": (3 * 1 + 2 * 2, Length.of(36), Length.of(0)),
        "Strip, at an end": (3 * 2, Length.of(36), Length.of("7/4")),
        "Strip, half, at an end": (2 * 2, Length.of(18), Length.of("7/4")),
    }


def test_end_joints_are_counted_and_glued_over_the_width_of_a_board() -> None:
    # 3 rows with 2 of them and 2 rows with 3
    built = build(a_top_of_strips())
    edge, end = built.joints
    assert (edge.name, edge.count) == ("Edge joint", 4)
    assert (end.name, end.count, end.length, end.width) == (
        "End joint", 3 * 2 + 2 * 3, Length.of(Fraction("26.5") / 5), Length.of("3/2"),
    )  # fmt: skip
    assert end.fasteners is None


def test_strips_are_milled_cut_square_and_glued_end_to_end() -> None:
    built = build(a_top_of_strips())
    steps = {step.key: step for step in built.steps}
    strips = sum(part.count for part in built.parts)
    assert strips == 3 * 3 + 2 * 4
    assert steps["mill"].work[0].quantity.value == strips
    assert (steps["square-ends"].work[0].operation, steps["square-ends"].work[0].quantity.value) == (
        "cut-solid", strips,
    )  # fmt: skip
    assert [wait.step for wait in steps["joint"].after] == ["square-ends"]
    glued = sum(work.quantity.value for step in built.steps if step.kind is TaskKind.GLUE_UP for work in step.work)
    assert glued == sum(joint.count * joint.length.in_feet for joint in built.joints)


def test_end_joints_take_time_that_the_open_glue_must_have() -> None:
    # 12 end joints of 5.3 in are 5.3 ft at 5 s, shared by two people; 17 strips are 12 more to place than 5 rows, at
    # 10 s each: 26.5 ÷ 2 + 120 = 133.25 s
    built = build(a_top_of_strips(crew=2))
    assert figure(built, "End joints take longer by") == (Fraction("5.3") * 5 / 2 + 120) / 60
    assert any("End grain hardly holds glue" in problem.words for problem in built.problems)


def test_a_stagger_of_more_than_half_a_strip_is_refused_with_strips_that_would_do() -> None:
    # 3 strips of 36 in stagger by 18; for 20 in two strips of 54 in and 1 3/4 in of extra length are needed
    (problem,) = problems_of(a_top_of_strips(stagger="20"))
    assert problem.field == "stagger"
    assert "every second row starts with 18 in" in problem.words
    assert "Take strips up to 55 3/4 in long, or at most 18 in here." in problem.words
    assert problems_of(a_top_of_strips(stagger="20", longest_strip="55 3/4")) == ()


def test_a_shortest_strip_that_half_a_strip_is_not_is_refused() -> None:
    (problem,) = problems_of(a_top_of_strips(shortest_strip="40"))
    assert problem.field == "shortest_strip"
    assert "Take boards as long as the top, or at most 18 in here." in problem.words


def test_one_board_has_no_neighbours_to_hold_end_joints() -> None:
    (problem,) = problems_of(a_top_of_strips(depth="5"))
    assert problem.field == "rows"


def test_strips_as_long_as_the_top_are_boards() -> None:
    assert build(a_top_of_strips(longest_strip="10'")).parts == build(a_top()).parts


@settings(max_examples=60)
@given(top=pieces("top"))
def test_rows_are_as_long_as_the_top_and_joints_part_them(top: object) -> None:
    if problems_of(top):  # type: ignore[arg-type]
        return
    built = build(top)  # type: ignore[arg-type]
    panel, rows = top.panel(USUAL)  # type: ignore[attr-defined]
    if rows is None:
        return
    length = sum(
        (part.count * (part.length + part.extra_length).inches for part in built.parts if "Front" not in part.name),
        Fraction(0),
    )
    assert length == panel.board_count * panel.glued_length.value
    joints = sum(joint.count for joint in built.joints if joint.name == "End joint")
    strips = sum(part.count for part in built.parts if "Front" not in part.name)
    assert joints == strips - panel.board_count, "a row of so many strips has one joint fewer"
