"""The wide solid parts of a job: what moves far enough with the seasons to be made for it."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from enum import Enum

from domain.figure import Figure, typed
from domain.length import Length
from domain.material import MaterialKind
from domain.pieces.base_cabinet import BaseCabinet
from domain.pieces.corner_joint import Corner, SecondGrain
from domain.pieces.corner_top import CornerTop
from domain.pieces.door import Door
from domain.pieces.drawer import Drawer, FrontFit
from domain.pieces.filler import Filler
from domain.pieces.making import Making, inches
from domain.pieces.part_list import PartList
from domain.pieces.piece import PlacedPiece
from domain.pieces.shelf import Shelf
from domain.pieces.slab import SolidOrSheet
from domain.pieces.toe_kick import ToeKick
from domain.pieces.top import Top
from domain.practice import COMMON, ShopPractice
from domain.take_off import BuiltPiece
from domain.wood import Cut

WIDE = Length.of(6)
"""From this width across the grain a solid part is looked at. Source: common practice, no source."""

WHOLE = frozenset({"Top", "Shelf", "Door", "Toe kick", "Filler"})
"""Names of parts that are all there is to their piece."""


class Held(Enum):
    """How a part is held, in a maker's words."""

    SCREWED = "screwed down from below"
    ON_PINS = "lying loose on pins"
    FIXED = "fastened in its cabinet"
    IN_FRAME = "loose in the grooves of its frame"
    HUNG = "hung on hinges"
    ON_BOX = "screwed to its box"
    ANYHOW = "fitted as the list says"


@dataclass(frozen=True, slots=True)
class WidePart:
    """One wide solid part. sawn: as chosen, None when nobody was asked; across: its width over the grain [in];
    fast, far: the side held fast and the one that moves; along_wall: its grain runs front to back, so that it is held
    in the middle and moves along the wall; room: what it has to swell into, None where nothing is beside it [in];
    groove: how deep it sits in a groove on each side [in].
    """

    piece_id: int
    piece: str
    name: str
    count: int
    wood: str
    sawn: Cut | None
    across: Figure
    held: Held
    fast: str = "front"
    far: str = "back"
    along_wall: bool = False
    length: Figure | None = None
    room: Figure | None = None
    groove: Figure | None = None

    @property
    def called(self) -> str:
        """Return what a person knows it by: its piece, and which part of it where it is not the whole piece."""
        return self.piece if self.name in WHOLE else f"{self.piece}, {self.name.lower()}"


def wide_parts(pieces: Iterable[BuiltPiece], practice: ShopPractice) -> tuple[WidePart, ...]:
    """Return the solid parts at least WIDE across the grain, in the order of the pieces."""
    placed = [built.placed for built in pieces]
    cases = {one.id for one in placed if isinstance(one.piece, BaseCabinet)}
    makings = ((one, Making(one.piece, practice, one.where)) for one in placed)
    found = (part for one, making in makings for part in _parts(one, making, is_on_case=one.belongs_to in cases))
    return tuple(part for part in found if part.across.length >= WIDE)


def _parts(placed: PlacedPiece, making: Making, *, is_on_case: bool) -> Iterator[WidePart]:
    piece = placed.piece
    match piece:
        case Top():
            yield _as_held(_top(placed, piece, making), making)
        case CornerTop():
            yield from _legs(placed, piece, making)
        case Door() if piece.is_solid:
            yield _door(placed, piece, making)
        case Drawer() if piece.is_solid:
            yield _front(placed, piece, making)
        case Shelf() if piece.is_solid:
            held = Held.ON_PINS if piece.is_adjustable else Held.FIXED
            yield _solid(placed, piece, "Shelf", making.typed("depth"), held)
        case ToeKick() if piece.is_solid:
            yield _solid(placed, piece, "Toe kick", making.typed("height"), Held.FIXED)
        case Filler() if piece.is_solid:
            gap, more = making.typed("gap"), making.typed("to_scribe")
            width = inches("Width to cut", gap.value + more.value, "widest gap + left on for scribing", gap, more)
            yield _solid(placed, piece, "Filler", width, Held.FIXED)
        case PartList():
            yield from _listed(placed, making, Held.FIXED if is_on_case else Held.ANYHOW)


def _solid(placed: PlacedPiece, piece: SolidOrSheet, name: str, across: Figure, held: Held) -> WidePart:
    return WidePart(placed.id, placed.name, name, placed.quantity, piece.species, None, across, held)


def _top(placed: PlacedPiece, top: Top, making: Making) -> WidePart:
    length = making.typed("length")
    across = length if top.has_end_grain_front else making.typed("depth")
    return WidePart(
        placed.id, placed.name, "Top", placed.quantity, top.species, top.cut, across, Held.SCREWED,
        along_wall=top.has_end_grain_front, length=length,
    )  # fmt: skip


def _legs(placed: PlacedPiece, top: CornerTop, making: Making) -> Iterator[WidePart]:
    """Yield both legs; one whose grain runs parallel to the other's is held at the corner and moves along its wall."""
    first = making.typed("first_depth")
    yield _as_held(_leg("First leg", placed, top, first, making), making)
    if top.second_grain is SecondGrain.TURNED:
        yield _as_held(_leg("Second leg", placed, top, making.typed("second_depth"), making), making)
        return
    across = second = making.typed("second_length")
    if top.corner is Corner.BUTT:
        words = "along its wall − depth of the first leg"
        across = inches("Second leg, front edge", second.value - first.value, words, second, first)
    leg = _leg("Second leg", placed, top, across, making)
    yield replace(leg, fast="corner", far="free end")


def _leg(name: str, placed: PlacedPiece, top: CornerTop, across: Figure, making: Making) -> WidePart:
    length = making.typed("first_length" if name == "First leg" else "second_length")
    return WidePart(
        placed.id, placed.name, name, placed.quantity, top.species, top.cut, across, Held.SCREWED,
        length=length,
    )  # fmt: skip


def _as_held(part: WidePart, making: Making) -> WidePart:
    """Return a top's part held fast along the side that the shop holds."""
    return replace(part, fast="back", far="front") if making.practice.value("top_held_at_back") else part


def _door(placed: PlacedPiece, door: Door, making: Making) -> WidePart:
    across = door.across_grain(making)
    if not door.is_framed:
        return WidePart(placed.id, placed.name, "Door", placed.quantity, door.species, None, across, Held.HUNG)
    return WidePart(
        placed.id, placed.name, "Panel", placed.quantity, door.species, None, across, Held.IN_FRAME,
        room=making.habit("panel_play"), groove=making.habit("frame_groove_depth"),
    )  # fmt: skip


def _front(placed: PlacedPiece, drawer: Drawer, making: Making) -> WidePart:
    room = None
    if drawer.fit is FrontFit.INSET:
        gap = making.habit("front_gap")
        room = inches("Gap above and below", 2 * gap.value, "2 × gap", gap, source=COMMON)
    across = drawer.across_grain(making)
    return WidePart(
        placed.id, placed.name, "Front", placed.quantity, drawer.species, None, across, Held.ON_BOX, room=room
    )


def _listed(placed: PlacedPiece, making: Making, held: Held) -> Iterator[WidePart]:
    """Yield the solid parts of a list, each line once; those of a cabinet, such as solid ends, are fastened to it."""
    for part in placed.piece.build(making.practice, making.where).parts:
        if part.material.kind is MaterialKind.LUMBER:
            across = part.sizes[1] if part.sizes else typed("Width", part.width)
            count = placed.quantity * part.count
            yield WidePart(placed.id, placed.name, part.name, count, part.material.name, None, across, held)
