"""The kinds of piece a job is built from: typed sizes and choices -> parts, joints, faces and steps."""

from collections.abc import Mapping

from domain.pieces.base_cabinet import BaseCabinet
from domain.pieces.built_up_edge import BuiltUpEdge
from domain.pieces.corner_top import CornerTop
from domain.pieces.door import Door
from domain.pieces.drawer import Drawer
from domain.pieces.filler import Filler
from domain.pieces.part_list import PartList
from domain.pieces.piece import Piece
from domain.pieces.shelf import Shelf
from domain.pieces.support_strips import SupportStrips
from domain.pieces.toe_kick import ToeKick
from domain.pieces.top import Top

_ALL: tuple[type[Piece], ...] = (
    Top,
    CornerTop,
    BuiltUpEdge,
    SupportStrips,
    BaseCabinet,
    Drawer,
    Shelf,
    Door,
    ToeKick,
    Filler,
    PartList,
)

KINDS: Mapping[str, type[Piece]] = {one.kind: one for one in _ALL}
"""Every kind of piece by the word it is stored by, in the order a person is offered them."""
