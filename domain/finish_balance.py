"""Both sides where balance needs it: wide solid parts that are coated on one face only."""

from collections.abc import Iterable, Iterator

from domain.practice import ShopPractice
from domain.problem import Problem
from domain.take_off import BuiltPiece
from domain.wide_part import Held, WidePart, wide_parts


def one_sided(pieces: Iterable[BuiltPiece], practice: ShopPractice) -> tuple[Problem, ...]:
    """Return the wide solid parts coated on one face only, each naming its piece. Fields are addresses.

    A part left bare on both faces is in balance. Source: common practice, no source.
    """
    kept = tuple(pieces)
    by_id = {built.placed.id: built for built in kept}
    return tuple(problem for part in wide_parts(kept, practice) for problem in _problem(part, by_id[part.piece_id]))


def _problem(part: WidePart, built: BuiltPiece) -> Iterator[Problem]:
    if part.held is Held.IN_FRAME:
        return  # a frame and its panel are coated together, both faces
    broad = [face for face in built.faces if part.across.length in (face.width, face.length)]
    largest = max((face.width.inches * face.length.inches for face in broad), default=0)
    coated = sum(face.count for face in broad if face.width.inches * face.length.inches == largest)
    if broad and coated < 2 * part.count:
        words = (
            f"{part.piece}: {part.name.lower()} is coated on one face only, so the other takes up damp and it may cup. "
            "Coat the hidden face too, at least once."
        )
        yield Problem(f"piece:{part.piece_id}", words)
