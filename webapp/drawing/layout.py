"""Layouts of boards and sheets, drawn for a page."""

from collections.abc import Mapping

from domain.drawing.layout import layout_drawings
from domain.drawing.tape import Tape
from domain.layout.shape import Layout
from domain.material import MaterialKind
from domain.shop import Shop
from webapp.drawing.drawn import Drawn
from webapp.drawing.sheet import drawn


def layout_drawing(
    layout: Layout, called: Mapping[str, str], shop: Shop, kind: MaterialKind, *, key: str = "layout", first: int = 1
) -> tuple[Drawn, ...]:
    """Return each board or sheet of a layout as drawn, alike ones once.

    called: what each source is, by its key, such as `maple plywood 3/4`; kind: boards or sheets; key: tells
    this layout from others on its page, without spaces; first: the number of the first board, where others come before.
    """
    tape = Tape.of(shop)
    drawings = layout_drawings(layout, called, tape, kind, key=key, first=first)
    return tuple(drawn(one, tape) for one in drawings)
