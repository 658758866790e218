"""Which drawings a piece of a job has, and a measured run."""

from collections.abc import Iterator, Sequence

from domain.drawing.cabinet import cabinet_front, shown
from domain.drawing.cabinet_section import cabinet_section
from domain.drawing.corner_top import corner_top_plan
from domain.drawing.edge import edge_section
from domain.drawing.fit import fit_drawing
from domain.drawing.floor import floor_drawing
from domain.drawing.shape import Drawing
from domain.drawing.tape import Tape
from domain.drawing.top import top_plan
from domain.measure import Run, fit
from domain.part import Built
from domain.pieces.base_cabinet import BaseCabinet
from domain.pieces.built_up_edge import BuiltUpEdge
from domain.pieces.corner_top import CornerTop
from domain.pieces.piece import PlacedPiece
from domain.pieces.support_strips import SupportStrips
from domain.pieces.top import Top
from domain.practice import ShopPractice
from domain.take_off.built import build


def piece_drawings(
    placed: PlacedPiece, others: Sequence[PlacedPiece], practice: ShopPractice, tape: Tape
) -> tuple[Drawing, ...]:
    """Return the drawings of a piece; none of a kind that has none, or of a piece that cannot be built.

    others: the pieces of its job, for what belongs to it and what it lies on.
    """
    built = build(placed.piece, practice, placed.where)
    if isinstance(built, tuple):
        return ()
    return tuple(_drawings(placed, built, others, practice, tape))


def _drawings(
    placed: PlacedPiece, built: Built, others: Sequence[PlacedPiece], practice: ShopPractice, tape: Tape
) -> Iterator[Drawing]:
    match placed.piece:
        case Top() as top:
            yield top_plan(placed, top, built, practice, tape)
        case CornerTop() as corner:
            yield corner_top_plan(placed, corner, built, practice, tape)
        case BuiltUpEdge() as edge:
            beside = [one.piece for one in others if one.belongs_to == placed.belongs_to is not None]
            strips = next((one for one in beside if isinstance(one, SupportStrips)), None)
            cabinet = next((one.piece for one in others if isinstance(one.piece, BaseCabinet)), None)
            yield edge_section(placed, edge, built, strips, cabinet, practice, tape)
        case BaseCabinet() as cabinet:
            belongings = [one for one in others if one.belongs_to == placed.id]
            made = {one.id: build(one.piece, practice, one.where) for one in belongings}
            buildable = {key: one for key, one in made.items() if not isinstance(one, tuple)}
            seen = shown(placed, cabinet, built, [one for one in belongings if one.id in buildable], practice, tape)
            yield cabinet_front(seen)
            yield cabinet_section(seen, buildable)


def run_drawings(run: Run, practice: ShopPractice, tape: Tape) -> tuple[Drawing, ...]:
    """Return the fit of a run between its walls, and the fall of its floor; none while no size follows from it."""
    found = fit(run, practice)
    return tuple(one for one in (fit_drawing(run, found, practice, tape), floor_drawing(run, found, tape)) if one)
