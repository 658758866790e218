"""The built-up edge: how thick it looks, which way its grain runs, and what would crack."""

from fractions import Fraction

from builders import a_piece, build, with_habits
from domain.length import Length
from domain.part import Built, TaskKind
from domain.pieces.piece import problems_of


def edge(**typed: object) -> Built:
    return build(a_piece("built_up_edge", **typed))


def figures(built: Built) -> dict[str, Fraction]:
    return {figure.label: figure.value for figure in built.figures}


def test_the_strip_is_as_thick_as_the_look_asks_for() -> None:
    built = edge(top_thickness="1 1/2", seen_thickness="2 1/4")
    assert built.parts[0].thickness == Length.of("3/4"), "2 1/4 − 1 1/2"
    assert figures(built)["Thickness seen"] == Fraction("2.25")
    assert figures(built)["Thickness there"] == Fraction("1.5")


def test_a_front_along_the_grain_gets_one_long_strip() -> None:
    built = edge(length="9'", strip_width="1 1/2")
    (strip,) = built.parts
    assert (strip.name, strip.count, strip.width, strip.length) == ("Front strip", 1, Length.of("3/2"), Length.feet(9))
    assert strip.extra_length == Length.of("7/2"), "cut together with the top"


def test_a_front_that_shows_end_grain_gets_a_wider_strip_of_short_pieces() -> None:
    built = edge(length="60", strip_width="1 1/2", across_wider="1", end_grain_front=True)
    (pieces,) = built.parts
    assert pieces.count == 8, "60 ÷ widest board 8, rounded up"
    assert pieces.width == Length.of(Fraction(60, 8))
    assert pieces.length == Length.of("5/2"), "1 1/2 + 1 wider, its grain front to back"
    (joint,) = built.joints
    assert (joint.length, joint.width) == (Length.of(60), Length.of("5/2"))
    assert any("not safe in jointer or planer" in problem.words for problem in built.problems)


def test_returned_ends_lie_across_the_grain_behind_the_front_strip() -> None:
    built = edge(returned_ends=2, depth="25 1/2", strip_width="1 1/2")
    end = built.joints[1]
    assert (end.name, end.count, end.length, end.width) == ("End strip to top", 2, Length.of(24), Length.of("5/2"))


def test_a_long_strip_across_the_grain_is_warned_about_with_its_movement() -> None:
    # white oak, flat-sawn: 24 in × 0.00365 × (10.9 − 6.2) = 0.412 in, about 7/16
    built = edge(species="White oak", returned_ends=1, across="a long strip across the top's grain")
    moved = figures(built)["The top moves along the end strip by"]
    assert moved == 24 * Fraction("0.00365") * Fraction("4.7")
    (warning,) = (problem for problem in built.problems if problem.field == "across")
    assert "about 7/16 in along it between seasons: glued fast it will crack" in warning.words


def test_a_strip_with_the_grain_of_the_top_is_not_warned_about() -> None:
    assert edge(strip_width="1 1/2", overhang="1 1/2").problems == ()


def test_a_strip_wider_than_the_overhang_would_sit_on_the_cabinets() -> None:
    (warning,) = edge(strip_width="2", overhang="1 1/2").problems
    assert warning.field == "strip_width"
    assert "Raise the top on support strips as thick as the edge" in warning.words


def test_an_edge_no_thicker_than_the_top_is_refused() -> None:
    (problem,) = problems_of(a_piece("built_up_edge", top_thickness="1 1/2", seen_thickness="1 5/8"))
    assert problem.field == "seen_thickness"
    assert problem.words == (
        "Thickness it should look “1 5/8 in” leaves 1/8 in for the strip under a top of 1 1/2 in. "
        "It must be at least 1/4 in more: leave the edge out, or try 2 1/4 in."
    )


def test_clamps_press_the_width_of_the_strip() -> None:
    # Source: Wood Handbook (2010) p. 10-16, force = pressure × area: 48 in × 3/4 in × 175 psi = 6300 lbf, 7 clamps
    habits = with_habits(clamp_force="1000", pressure_lightest="175", pressure_densest="175", clamp_spacing="24")
    built = build(a_piece("built_up_edge", length="48", strip_width="3/4"), habits)
    (glue_up,) = (step for step in built.steps if step.kind is TaskKind.GLUE_UP)
    assert glue_up.clamps == 7


def test_strips_that_cannot_be_closed_in_time_go_on_one_after_another() -> None:
    built = edge(returned_ends=1, glue="Hot hide (animal) glue")
    assert [step.key for step in built.steps if step.kind is TaskKind.GLUE_UP] == ["glue-up-1", "glue-up-2"]


def test_the_edge_is_planed_flush_when_its_glue_has_cured() -> None:
    steps = {step.key: step for step in edge().steps}
    assert {wait.step for wait in steps["flush"].after} == {"unclamp-1", "cure-1"}
    # 2 1/4 in × 108 in ÷ 144
    assert steps["flush"].work[0].quantity.value == Fraction("2.25") * 108 / 144
