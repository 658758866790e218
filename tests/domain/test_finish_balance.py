from builders import USUAL, a_piece, a_top, placed
from domain.finish_balance import one_sided
from domain.pieces.piece import PlacedPiece
from domain.take_off import take_off


def words(*pieces: PlacedPiece) -> list[str]:
    return [problem.words for problem in one_sided(take_off(pieces, USUAL).pieces, USUAL)]


def test_a_top_coated_on_one_face_may_cup() -> None:
    (said,) = words(placed(a_top(finish_underside=False), name="Island"))
    assert said.startswith("Island: top is coated on one face only")
    assert words(placed(a_top())) == []


def test_a_wide_filler_and_a_high_toe_kick_have_a_bare_back() -> None:
    filler = a_piece("filler", gap="6", to_scribe="1/2")
    kick = a_piece("toe_kick", made_of="solid wood", height="7")
    assert len(words(placed(filler, 1), placed(kick, 2))) == 2


def test_narrow_parts_sheets_and_parts_coated_all_round_are_in_balance() -> None:
    door = a_piece("door", make="slab", made_of="solid wood")
    pieces = (
        placed(a_piece("shelf", depth="12"), 1, quantity=3),
        placed(door, 2),
        placed(a_piece("drawer", made_of="solid wood", height="10"), 3),
        placed(a_piece("filler"), 4),
        placed(a_piece("toe_kick", made_of="sheet", height="8"), 5),
        placed(a_piece("part_list", lines="End, 2, 3/4, 23, 34, White oak\nRail, 2, 3/4, 23, 34, White oak"), 6),
    )
    assert words(*pieces) == []


def test_wood_left_bare_on_both_faces_is_in_balance() -> None:
    assert words(placed(a_top(finish="none", finish_underside=False))) == []
