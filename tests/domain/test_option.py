"""Options change the named pieces and nothing else."""

from dataclasses import dataclass, replace
from typing import ClassVar

import pytest

from domain.length import Length
from domain.option import (
    LeftOut,
    Option,
    OtherFinish,
    OtherSheet,
    OtherWood,
    apply,
    for_pieces,
    option_problems,
    usual_words,
    with_belongings,
)
from domain.pieces.ask import NONE, size
from domain.pieces.choices import Finished, MadeOf
from domain.pieces.drawer import Drawer
from domain.pieces.piece import PlacedPiece
from domain.pieces.slab import SolidOrSheet
from money_builders import Block


@dataclass(frozen=True, kw_only=True)
class Panel(Finished, SolidOrSheet):
    """A test piece that asks for everything an option can change."""

    kind: ClassVar[str] = "panel"
    title: ClassVar[str] = "Panel"
    belongs_to: ClassVar[tuple[str, ...]] = ("panel",)
    length: Length = size("Length", "24")

    own_problems = Block.own_problems
    build = Block.build
    links = Block.links


def a_panel(id: int, *, belongs_to: int | None = None, **choices: object) -> PlacedPiece:
    usual: dict[str, object] = {"species": "White oak", "finish": "Waterborne polyurethane", "coats": 3}
    return PlacedPiece(id, f"Panel {id}", 1, Panel(**(usual | choices)), belongs_to)  # type: ignore[arg-type]


JOB = (
    a_panel(1),
    a_panel(2, belongs_to=1, species="Hard maple"),
    a_panel(3, finish=NONE),
    PlacedPiece(4, "Block", 1, Block()),
)


def species(pieces: tuple[PlacedPiece, ...]) -> list[str]:
    return [getattr(piece.piece, "species", "") for piece in pieces]


def test_another_wood_replaces_only_the_wood_it_names():
    changed = apply(Option(1, "Cherry", (OtherWood("Black cherry", wood="White oak"),)), JOB)
    assert species(changed) == ["Black cherry", "Hard maple", "Black cherry", ""]
    assert species(JOB) == ["White oak", "Hard maple", "White oak", ""]


def test_without_a_named_wood_every_wooden_piece_changes_and_keeps_its_grade():
    changed = apply(Option(1, "Cherry", (OtherWood("Black cherry"),)), JOB)
    assert species(changed) == ["Black cherry"] * 3 + [""]
    assert changed[0].piece.grade == JOB[0].piece.grade
    assert changed[3] == JOB[3]


def test_fewer_coats_touch_no_piece_that_is_left_raw():
    changed = apply(Option(1, "Two coats", (OtherFinish("", coats=2),)), JOB)
    assert [piece.piece.coats for piece in changed[:3]] == [2, 2, 3]
    assert changed[0].piece.finish == "Waterborne polyurethane"


def test_another_finish_and_stain_replace_the_finish_they_name():
    change = OtherFinish("Hardwax oil", finish="Waterborne polyurethane", coats=2, colour="Water stain")
    changed = apply(Option(1, "Oil", (change,)), (*JOB, a_panel(5, finish="Shellac")))
    assert [piece.piece.finish for piece in changed if piece.id != 4] == [
        "Hardwax oil",
        "Hardwax oil",
        NONE,
        "Shellac",
    ]
    assert changed[0].piece.colour == "Water stain"


def test_an_option_for_some_pieces_reaches_what_belongs_to_them_and_no_further():
    option = Option(1, "Cherry top", (OtherWood("Black cherry"),), pieces=(1,))
    assert species(apply(option, JOB)) == ["Black cherry", "Black cherry", "White oak", ""]


def test_a_piece_left_out_takes_along_what_belongs_to_it():
    job = (*JOB, a_panel(5, belongs_to=2))
    assert [piece.id for piece in apply(Option(1, "Without", (LeftOut(1),)), job)] == [3, 4]
    assert with_belongings([1], job) == {1, 2, 5}


def test_changes_follow_one_another():
    changes = (OtherWood("Black cherry"), OtherWood("Walnut", wood="Black cherry"), OtherFinish("", coats=1))
    first = apply(Option(1, "All of it", changes), JOB)[0].piece
    assert (first.species, first.coats) == ("Walnut", 1)


def test_wood_changes_where_wood_is_used_and_sheet_where_sheet_is():
    job = (a_panel(1), a_panel(2, made_of=MadeOf.SHEET))
    solid, sheet = apply(Option(1, "Both", (OtherWood("Black cherry"), OtherSheet("birch plywood"))), job)
    assert (solid.piece.species, solid.piece.sheet) == ("Black cherry", job[0].piece.sheet)
    assert (sheet.piece.species, sheet.piece.sheet) == ("White oak", "birch plywood")


def test_inner_parts_change_only_when_their_own_material_is_named():
    drawer = PlacedPiece(1, "Drawer", 1, Drawer())
    (front_only,) = apply(Option(1, "Front", (OtherWood("Black cherry", grade="FAS"),)), [drawer])
    assert (front_only.piece.species, front_only.piece.box_species) == ("Black cherry", drawer.piece.box_species)
    for made_of in MadeOf:
        with_front = replace(drawer, piece=replace(drawer.piece, made_of=made_of))
        (inside,) = apply(Option(1, "Box", (OtherWood("Walnut", wood=drawer.piece.box_species),)), [with_front])
        assert (inside.piece.species, inside.piece.box_species) == (drawer.piece.species, "Walnut")


def test_a_change_that_changes_nothing_is_a_problem():
    fine = Option(1, "Cherry", (OtherWood("Black cherry", wood="White oak"),))
    assert option_problems(fine, JOB) == ()
    idle = Option(1, "Cherry", (OtherWood("Black cherry", wood="Teak"), LeftOut(77)))
    first, second = option_problems(idle, JOB)
    assert "Black cherry instead of Teak" in first.words
    assert "a piece that is gone" in second.words
    assert option_problems(Option(1, "Same", (OtherFinish("", coats=3),)), JOB)


def test_the_client_reads_what_changes_unless_the_maker_words_it():
    changes = (OtherWood("Black cherry", wood="White oak"), OtherFinish("", coats=1, colour=NONE), LeftOut(2))
    option = Option(1, "Plainer", changes)
    assert usual_words(option, JOB) == "Black cherry instead of White oak; 1 coat, no stain; Without Panel 2"
    assert usual_words(replace(option, words="As we spoke about"), JOB) == "As we spoke about"


def test_options_follow_their_pieces_to_other_numbers_and_those_of_gone_pieces_alone_are_left_out():
    oak = (OtherWood("White oak"),)
    options = (
        Option(1, "Everywhere", (*oak, LeftOut(2), LeftOut(9))),
        Option(2, "Here", oak, pieces=(1, 9)),
        Option(3, "Only on what is gone", oak, pieces=(9,)),
        Option(4, "Without what is gone", (LeftOut(9),)),
    )
    everywhere, here = for_pieces(options, {1: 11, 2: 12})
    assert (everywhere.changes, everywhere.pieces) == ((*oak, LeftOut(12)), ())
    assert (here.changes, here.pieces) == (oak, (11,))


@pytest.mark.parametrize(("name", "changes"), [("", (LeftOut(1),)), ("Nothing", ())])
def test_an_option_without_name_or_change_is_refused(name, changes):
    with pytest.raises(ValueError, match="has a name and changes something"):
        Option(1, name, changes)
