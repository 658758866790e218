"""A new piece for one that it belongs to: the same wood, glue and finish, and sizes that follow from its owner's.

They are a start to be looked at and changed, not a rule. Source of every size here: common practice, no source.
"""

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from domain.length import Length
from domain.pieces.ask import asks
from domain.pieces.choices import SheetThickness
from domain.pieces.corner_joint import SecondGrain
from domain.pieces.piece import USUAL, Piece
from domain.pieces.raised_top import plywood_for

SAME = ("species", "grade", "glue", "finish", "coats", "colour", "on_site", "cut")
"""Choices that a piece takes over from its owner where both have them."""

ROUND_A_DOOR, ABOVE_A_DOOR = Length.of("1/4"), Length.of("3/4")
"""What a door leaves of a cabinet's width and of its height above the toe kick."""

PAIR_FROM = Length.of(24)
"""From this width a cabinet has doors in pairs."""

USUAL_STRIP = Length.of(22)


def kinds_for(owner: Piece, kinds: Mapping[str, type[Piece]]) -> tuple[type[Piece], ...]:
    """Return the kinds of piece that can belong to this one."""
    return tuple(kind for kind in kinds.values() if owner.kind in kind.belongs_to)


def started(kind: type[Piece], owner: Piece, beside: Iterable[Piece] = ()) -> Piece:
    """Return a new piece of a kind for its owner; a size that the kind cannot have stays as usual.

    beside: what belongs to the owner already.
    """
    theirs = {asked.name for asked in asks(type(owner))}
    asked_for = {asked.name: asked for asked in asks(kind)}
    values: dict[str, Any] = {name: getattr(owner, name) for name in SAME if name in theirs and name in asked_for}
    sizes = _SIZES.get((owner.kind, kind.kind), _nothing)(owner)
    for other in beside:
        sizes |= _BESIDE.get((other.kind, kind.kind), _nothing)(other)
        if other.kind == kind.kind:
            sizes |= _SECOND.get((owner.kind, kind.kind), _nothing)(owner)
    for name, size in sizes.items():
        least, most = asked_for[name].ask.least, asked_for[name].ask.most
        if not isinstance(size, Length) or (least <= size <= most):  # type: ignore[operator]
            values[name] = size
    return kind(**values)


def _nothing(owner: Any) -> dict[str, Any]:
    return {}


def _edge(top: Any) -> dict[str, Any]:
    return {
        "length": top.length,
        "depth": top.depth,
        "top_thickness": top.thickness,
        "end_grain_front": top.has_end_grain_front,
    }


def _leg_edge(top: Any) -> dict[str, Any]:
    """Return sizes for an edge of the first leg, beyond the corner."""
    return {"length": top.first_length - top.second_depth, "depth": top.first_depth, "top_thickness": top.thickness}


def _second_edge(top: Any) -> dict[str, Any]:
    """Return what an edge of the second leg has otherwise than one of the first."""
    return {
        "length": top.second_length - top.first_depth,
        "depth": top.second_depth,
        "end_grain_front": top.second_grain is SecondGrain.PARALLEL,
    }


def _second_strips(top: Any) -> dict[str, Any]:
    return {"run": top.second_length - top.first_depth, "length": min(USUAL_STRIP, top.second_depth)}


def _leg_strips(top: Any) -> dict[str, Any]:
    return {"run": top.first_length, "length": min(USUAL_STRIP, top.first_depth)}


def _strips(top: Any) -> dict[str, Any]:
    return {"run": top.length, "length": min(USUAL_STRIP, top.depth)}


def _under_an_edge(edge: Any) -> dict[str, Any]:
    """Return strips that raise the top as far as its edge hangs, of the plywood that is nearest to it."""
    hangs = edge.seen_thickness - edge.top_thickness
    found = plywood_for(hangs.inches, USUAL)
    return {"edge_hangs": hangs} | ({"thickness": SheetThickness(found[0])} if len(found) == 1 else {})


def _over_strips(strips: Any) -> dict[str, Any]:
    return {"raised_by": USUAL.length(f"actual_{strips.thickness.value.replace('/', '_')}")}


def _inside(cabinet: Any) -> tuple[Length, Length]:
    """Return the clear width and depth of a cabinet, its sheets taken at their nominal thickness."""
    side, back = Length.of(cabinet.thickness.value), Length.of(cabinet.back_thickness.value)
    return cabinet.width - 2 * side, cabinet.depth - back


def _drawer(cabinet: Any) -> dict[str, Any]:
    width, depth = _inside(cabinet)
    return {"width": width, "depth": depth}


def _shelf(cabinet: Any) -> dict[str, Any]:
    width, depth = _inside(cabinet)
    return {"length": width, "depth": depth}


def _door(cabinet: Any) -> dict[str, Any]:
    is_pair = cabinet.width >= PAIR_FROM
    width = (cabinet.width - 2 * ROUND_A_DOOR) / 2 if is_pair else cabinet.width - ROUND_A_DOOR
    return {"width": width, "height": cabinet.height - cabinet.toe_kick_height - ABOVE_A_DOOR}


_SIZES: Mapping[tuple[str, str], Callable[[Any], dict[str, Any]]] = {
    ("top", "built_up_edge"): _edge,
    ("top", "support_strips"): _strips,
    ("corner_top", "built_up_edge"): _leg_edge,
    ("corner_top", "support_strips"): _leg_strips,
    ("corner_top", "filler"): lambda top: {"length": top.second_length},
    ("top", "filler"): lambda top: {"length": top.length},
    ("base_cabinet", "drawer"): _drawer,
    ("base_cabinet", "shelf"): _shelf,
    ("base_cabinet", "door"): _door,
    ("base_cabinet", "toe_kick"): lambda cabinet: {"length": cabinet.width, "height": cabinet.toe_kick_height},
    ("base_cabinet", "filler"): lambda cabinet: {"length": cabinet.height - cabinet.toe_kick_height},
}
"""(owner's kind, new kind) -> what fills in sizes of the new one."""

_SECOND: Mapping[tuple[str, str], Callable[[Any], dict[str, Any]]] = {
    ("corner_top", "built_up_edge"): _second_edge,
    ("corner_top", "support_strips"): _second_strips,
}
"""(owner's kind, new kind) -> what fills in sizes of a second one."""

_BESIDE: Mapping[tuple[str, str], Callable[[Any], dict[str, Any]]] = {
    ("built_up_edge", "support_strips"): _under_an_edge,
    ("support_strips", "built_up_edge"): _over_strips,
}
"""(kind that is there already, new kind) -> what fills in sizes of the new one."""
