"""Glue-ups, drawn for a page."""

from domain.drawing.glue_up import glue_up_drawing
from domain.drawing.tape import Tape
from domain.glue_card import GlueCard
from domain.shop import Shop
from webapp.drawing.drawn import Drawn
from webapp.drawing.sheet import drawn


def glue_up_drawn(card: GlueCard, shop: Shop) -> Drawn:
    """Return a glue-up as drawn."""
    tape = Tape.of(shop)
    return drawn(glue_up_drawing(card, tape), tape)
