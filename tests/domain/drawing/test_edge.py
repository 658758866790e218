"""The section through a built-up edge, against sums by hand."""

from fractions import Fraction

from builders import USUAL, a_piece, build, placed
from domain.drawing.edge import edge_section
from domain.drawing.shape import Drawing, Meaning
from domain.drawing.tape import Tape


def section(*, on_strips: bool = True, **typed: object) -> Drawing:
    edge = a_piece("built_up_edge", **typed)
    strips, cabinet = (a_piece("support_strips"), a_piece("base_cabinet")) if on_strips else (None, None)
    return edge_section(placed(edge), edge, build(edge), strips, cabinet, USUAL, Tape())


def test_what_is_seen_is_top_and_strip_and_what_is_there_is_the_top() -> None:
    drawing = section(top_thickness="1 1/2", seen_thickness="2 1/4", strip_width="1 1/2")
    top, strip = drawing.named("top"), drawing.named("strip")
    assert (top.high, strip.high, strip.wide) == (Fraction(3, 2), Fraction(3, 4), Fraction(3, 2))
    assert strip.top == top.bottom
    (seen,) = drawing.of(Meaning.SEEN)
    assert seen.high == top.high + strip.high == Fraction(9, 4)
    assert "2 1/4" in drawing.about.replace("\N{NO-BREAK SPACE}", " ")
    assert "Thickness seen: 2 1/4 in." in drawing.words
    assert "Thickness there, behind the strip: 1 1/2 in." in drawing.words


def test_the_top_lies_on_support_strips_on_the_cabinet() -> None:
    # 1 1/2 of top, 15/32 of 1/2 plywood: the cabinet begins 1 31/32 below the upper face, 1 1/2 behind the front.
    drawing = section(overhang="1 1/2")
    assert drawing.named("support strip").high == Fraction(15, 32)
    cabinet = drawing.named("stretcher")
    assert (cabinet.left, cabinet.top) == (Fraction(3, 2), Fraction(63, 32))
    # 2 1/4 − 1 31/32: what the strip hangs below the edge of the cabinet.
    assert "The strip hangs 9/32 in below the upper edge of the cabinet." in drawing.words


def test_without_cabinets_only_the_top_and_its_strip_are_drawn() -> None:
    names = {shape.name for shape in section(on_strips=False).shapes}
    assert names == {"top", "strip", "seen edge"}


def test_a_strip_too_wide_for_its_overhang_is_said() -> None:
    assert any("raise the top" in words for words in section(strip_width="3", overhang="1 1/2").words)


def test_every_part_is_named_in_words_once() -> None:
    edge = a_piece("built_up_edge", returned_ends=2)
    drawing = edge_section(placed(edge), edge, build(edge), None, None, USUAL, Tape())
    for part in build(edge).parts:
        assert sum(words.startswith(f"{part.mark}, ") for words in drawing.words) == 1
