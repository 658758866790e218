"""What holds for every kind of piece: every field refuses what is absurd, and whatever is accepted can be made."""

import json
import re
from collections.abc import Iterator
from dataclasses import replace
from enum import Enum
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from builders import USUAL, a_piece, build, figures_of, leaves, pieces
from domain.length import Length
from domain.material import MaterialKind
from domain.operation import OPERATIONS
from domain.pieces import KINDS
from domain.pieces.ask import Asked, asks
from domain.pieces.piece import PlacedPiece, placing_problems, problems_of
from webapp.store.codec import from_json, to_json

FIELDS = [(kind, asked) for kind in KINDS for asked in asks(KINDS[kind])]


def fields(*types: Any) -> list[Any]:
    return [pytest.param(kind, asked, id=f"{kind}-{asked.name}") for kind, asked in FIELDS if asked.type in types]


def with_field(kind: str, asked: Asked, value: Any) -> Any:
    """Return a piece that is built by force, as a document from elsewhere might build it."""
    return replace(a_piece(kind), **{asked.name: value})


def problem_of(kind: str, asked: Asked, value: Any) -> str:
    """Return the words of the one problem, which names its field."""
    (problem,) = problems_of(with_field(kind, asked, value))
    assert problem.field == asked.name
    assert problem.words.startswith(asked.ask.label)
    return problem.words


@pytest.mark.parametrize("kind", KINDS)
def test_what_is_offered_can_be_made(kind: str) -> None:
    piece = a_piece(kind)
    assert problems_of(piece) == ()
    assert build(piece).parts


@pytest.mark.parametrize("kind", KINDS)
def test_every_field_is_described_once(kind: str) -> None:
    asked = asks(KINDS[kind])
    assert len({one.name for one in asked}) == len(asked)
    assert len({(one.ask.label, one.ask.group) for one in asked}) == len(asked), "labels tell fields apart"
    assert all(one.ask.label and one.ask.group for one in asked)
    for one in asked:
        if one.type in (Length, int):
            assert one.ask.least <= getattr(a_piece(kind), one.name) <= one.ask.most


@pytest.mark.parametrize(("kind", "asked"), fields(Length))
@pytest.mark.parametrize("absurd", ["-1", "4 km", "50000"])
def test_an_absurd_size_is_refused_by_its_field(kind: str, asked: Asked, absurd: str) -> None:
    value = {"-1": Length.of(-1), "4 km": Length.mm(4_000_000), "50000": Length.of(50_000)}[absurd]
    words = problem_of(kind, asked, value)
    assert f"“{'-1' if absurd == '-1' else ''}" in words
    assert "must be from" in words
    assert "Try " in words


@pytest.mark.parametrize(("kind", "asked"), fields(Length))
def test_nothing_is_no_size_unless_the_field_says_so(kind: str, asked: Asked) -> None:
    zero = Length.of(0)
    if asked.ask.least == zero:
        assert all(problem.field != asked.name or "must be from" not in problem.words
                   for problem in problems_of(with_field(kind, asked, zero)))  # fmt: skip
    else:
        assert "“0 in”" in problem_of(kind, asked, zero)


@pytest.mark.parametrize(("kind", "asked"), fields(int))
@pytest.mark.parametrize("absurd", [-1, 10_000])
def test_an_absurd_number_is_refused_by_its_field(kind: str, asked: Asked, absurd: int) -> None:
    words = problem_of(kind, asked, absurd)
    assert f"“{absurd}” must be from {asked.ask.least} to {asked.ask.most}. Try {asked.ask.usual}." in words


@pytest.mark.parametrize(("kind", "asked"), fields(tuple[Length, ...]))
def test_an_absurd_size_in_a_row_is_refused(kind: str, asked: Asked) -> None:
    assert "“0 in”" in problem_of(kind, asked, (Length.of(5), Length.of(0)))


@pytest.mark.parametrize(("kind", "asked"), fields(str))
def test_words_that_cannot_be_kept_are_refused_by_their_field(kind: str, asked: Asked) -> None:
    if asked.ask.needed:
        assert "is empty" in problem_of(kind, asked, "")
    if asked.ask.only_options:
        assert "“no such thing” is not known. Try " in problem_of(kind, asked, "no such thing")
    elif not asked.ask.lines:
        assert "holds a sign that cannot be kept" in problem_of(kind, asked, "pipe|d")
        assert "holds a sign that cannot be kept" in problem_of(kind, asked, "two\nlines")
    too_long = "x" * (asked.ask.longest + 1)
    assert "characters" in " ".join(problem.words for problem in problems_of(with_field(kind, asked, too_long)))


@pytest.mark.parametrize("kind", KINDS)
def test_a_piece_survives_being_stored(kind: str) -> None:
    piece = a_piece(kind)
    assert from_json(KINDS[kind], to_json(piece)) == piece


ASKED_LATER = {
    "top": ("stock_widths", "rows", "longest_strip", "shortest_strip", "stagger", "front_strip", "front_strip_seen",
            "front_strip_depth"),
    "built_up_edge": ("raised_by",),
    "support_strips": ("edge_hangs",),
}  # fmt: skip
"""Fields that pieces stored by earlier versions do not have."""


@pytest.mark.parametrize("kind", ASKED_LATER)
def test_a_piece_stored_before_a_field_was_asked_loads_as_it_was(kind: str) -> None:
    stored = json.loads(to_json(a_piece(kind)))
    for name in ASKED_LATER[kind]:
        del stored[name]
    assert from_json(KINDS[kind], json.dumps(stored)) == a_piece(kind)


@pytest.mark.parametrize("kind", KINDS)
@settings(max_examples=25, suppress_health_check=[HealthCheck.too_slow])
@given(data=st.data())
def test_whatever_is_accepted_can_be_made_and_shows_its_working(kind: str, data: st.DataObject) -> None:
    piece = data.draw(pieces(kind))
    problems = problems_of(piece)
    known = {asked.name for asked in asks(KINDS[kind])}
    assert all(problem.field in known and problem.words for problem in problems)
    if problems:
        return
    built = build(piece)
    assert all(part.count >= 1 and min(part.thickness, part.width, part.length) > Length.of(0) for part in built.parts)
    assert len({part.mark for part in built.parts}) == len(built.parts)
    assert all(face.count >= 1 and min(face.width, face.length) > Length.of(0) for face in built.faces)
    for figure in figures_of(built):
        assert figure.value >= 0 or "moves" in figure.label
        for leaf in leaves(figure):
            assert leaf.rule.source, f"{leaf.label}: {leaf.rule.words} has no source"
            if leaf.rule.source == "typed":
                assert re.fullmatch(r"piece:7:\w+", leaf.rule.where)
                assert leaf.rule.where.rpartition(":")[2] in known


@pytest.mark.parametrize("kind", KINDS)
@settings(max_examples=25, suppress_health_check=[HealthCheck.too_slow])
@given(data=st.data())
def test_steps_wait_for_steps_that_are_there_and_work_is_in_the_catalogue(kind: str, data: st.DataObject) -> None:
    piece = data.draw(pieces(kind))
    if problems_of(piece):
        return
    steps = build(piece).steps
    keys = [step.key for step in steps]
    assert len(set(keys)) == len(keys)
    for place, step in enumerate(steps):
        assert {wait.step for wait in step.after} <= set(keys[:place]), "a step waits only for steps before it"
        assert bool(step.work) != bool(step.elapsed), f"{step.key}: someone works, or time passes"
        assert not step.until or step.until in keys[place:]
        assert step.clamps >= 0
        assert step.crew >= 1
        for work in step.work:
            assert work.quantity.unit is OPERATIONS[work.operation].unit, work.operation
            assert work.quantity.value > 0


@pytest.mark.parametrize("kind", KINDS)
def test_parts_are_of_boards_or_sheets_and_sizes_equal_their_working(kind: str) -> None:
    built = build(a_piece(kind))
    for part in built.parts:
        assert part.material.kind in (MaterialKind.LUMBER, MaterialKind.SHEET)
        assert [size.length for size in part.sizes[:3]] == [part.thickness, part.width, part.length]
        assert part.counted is None or part.counted.value == part.count
    for joint in built.joints:
        assert [size.length for size in joint.sizes] == [joint.length, joint.width]
    for face in built.faces:
        assert [size.length for size in face.sizes] == [face.width, face.length]


def links() -> Iterator[Any]:
    for kind, made in KINDS.items():
        for link in made.links:
            yield pytest.param(kind, link, id=f"{kind}-{link.first}-{link.then}")


@pytest.mark.parametrize(("kind", "link"), list(links()))
def test_every_link_names_steps_that_some_owner_and_some_piece_have(kind: str, link: Any) -> None:
    own = {step.key for choices in VARIANTS.get(kind, [{}]) for step in build(a_piece(kind, **choices)).steps}
    owners = {step.key for owner in KINDS[kind].belongs_to for choices in VARIANTS.get(owner, [{}])
              for step in build(a_piece(owner, **choices)).steps}  # fmt: skip
    first, then = (owners, own) if link.owner_first else (own, owners)
    assert link.first in first
    assert link.then in then
    assert link.why


VARIANTS: dict[str, list[dict[str, Any]]] = {
    "base_cabinet": [{}, {"joinery": "dowels and glue"}],
    "top": [{}, {"last_cut": "in the shop"}],
    "corner_top": [{}, {"last_cut": "in the shop"}],
}


def test_an_enum_value_reads_as_words() -> None:
    for _, asked in FIELDS:
        if isinstance(asked.type, type) and issubclass(asked.type, Enum):
            assert all(isinstance(one.value, str) and "_" not in one.value for one in asked.type)


def test_a_count_below_one_or_a_wrong_owner_is_named() -> None:
    top = PlacedPiece(1, "Top", 1, a_piece("top"))
    none = PlacedPiece(2, "Edge", 0, a_piece("built_up_edge"), belongs_to=1)
    assert [problem.field for problem in placing_problems(none, [top, none])] == ["quantity"]
    drawer = PlacedPiece(3, "Drawer", 1, a_piece("drawer"), belongs_to=1)
    (problem,) = placing_problems(drawer, [top, drawer])
    assert problem.words == "“Top” is not what a drawer belongs to: base cabinet."
    lost = PlacedPiece(4, "Edge", 1, a_piece("built_up_edge"), belongs_to=99)
    assert placing_problems(lost, [top, lost])[0].field == "belongs_to"
    assert placing_problems(replace(lost, belongs_to=1), [top, lost]) == ()


def test_the_usual_practice_is_what_problems_are_judged_by() -> None:
    assert problems_of(a_piece("top")) == problems_of(a_piece("top"), USUAL)
