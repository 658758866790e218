"""From the cut list to blanks: the size each part is cut to, before the kerfs that a layout puts between them."""

from collections.abc import Iterable, Iterator

from domain.layout.shape import Blank
from domain.length import Length
from domain.lumber import RoughSize
from domain.material import MaterialKind
from domain.part import Grain
from domain.practice import ShopPractice
from domain.take_off.shape import CutLine


def blanks(lines: Iterable[CutLine], practice: ShopPractice) -> Iterator[Blank]:
    """Yield the blanks of the cut lines of one material, those that are cut first from one rough size."""
    for line in lines:
        part, count = line.part, int(line.pieces.value)
        if line.rough is not None:
            width, length = _rough(line.rough, practice)
        elif part.grain is Grain.WIDTH:
            width, length = part.length, part.width
        else:
            width, length = part.width, part.length
        turns = part.material.kind is MaterialKind.SHEET and part.grain is Grain.FREE
        yield Blank(line.ref.on_stock, line.ref.on_stock, width, length, count, turns, part.match)


def _rough(rough: RoughSize, practice: ShopPractice) -> tuple[Length, Length]:
    """Return rough width and length less the kerf that the rough size allows for."""
    kerf = practice.length("kerf")
    return rough.width.length - kerf, rough.length.length - kerf
