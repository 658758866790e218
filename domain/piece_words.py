"""A piece in the client's words: wood, size, finish, and what comes with it; no inner costs."""

from collections.abc import Iterable

from domain.length import Length
from domain.material import MaterialKind
from domain.option import with_belongings
from domain.part import FinishChoice
from domain.pieces.ask import asks
from domain.pieces.piece import PlacedPiece
from domain.shop import Shop
from domain.take_off import TakeOff
from domain.words import counted, listing

SIZES = {
    "length": "long",
    "width": "wide",
    "depth": "deep",
    "height": "high",
    "first_length": "along one wall",
    "first_depth": "deep there",
    "second_length": "along the other",
    "second_depth": "deep there",
    "thickness": "thick",
}
"""Fields of a piece that a client reads, and how they are said."""


def piece_words(piece_id: int, take_off: TakeOff, shop: Shop) -> str:
    """Return what a client reads of a piece and all that belongs to it.

    Raises KeyError for a piece the take-off does not have.
    """
    placed = {built.placed.id: built.placed for built in take_off.pieces}
    top, with_it = placed[piece_id], with_belongings([piece_id], placed.values())
    said = (
        _wood(take_off, with_it),
        size_words(top, shop),
        _finish(take_off, with_it),
        _with((piece for id, piece in placed.items() if id in with_it and id != piece_id), top),
    )
    words = "; ".join(part for part in said if part)
    count = f"{top.quantity}, each: " if top.quantity > 1 and words else ""
    return f"{count}{words}"


def _wood(take_off: TakeOff, pieces: frozenset[int]) -> str:
    materials = [cut.part.material for cut in take_off.cut_list if cut.ref.piece_id in pieces]
    solid = [material.name for material in materials if material.kind is MaterialKind.LUMBER]
    sheets = [material.name for material in materials if material.kind is MaterialKind.SHEET]
    return listing(list(dict.fromkeys(solid + sheets)))


def size_words(placed: PlacedPiece, shop: Shop) -> str:
    """Return the main sizes of a piece: `36 in wide, 34 1/2 in high, 24 in deep`; empty when it has none."""
    found = {name: getattr(placed.piece, name) for name, _, _ in asks(type(placed.piece)) if name in SIZES}
    return ", ".join(
        f"{size.tape(precision=shop.precision, unit=shop.unit)} {SIZES[name]}"
        for name, size in found.items()
        if isinstance(size, Length)
    )


def _finish(take_off: TakeOff, pieces: frozenset[int]) -> str:
    built = (each for each in take_off.pieces if each.placed.id in pieces)
    choices = dict.fromkeys(face.finish for each in built for face in each.faces)
    return listing([_choice(choice) for choice in choices])


def _choice(choice: FinishChoice) -> str:
    coats = f"{counted(choice.coats, 'coat')} of {choice.family}"
    return f"{coats} over {choice.colour}" if choice.colour else coats


def _with(pieces: Iterable[PlacedPiece], top: PlacedPiece) -> str:
    """Return what comes with it; a name such as `Long top, front edge` need not say the long top again."""
    named = ((piece.quantity, piece.name.removeprefix(f"{top.name}, ")) for piece in pieces)
    several = top.quantity > 1  # then how many there are for all of them together must be said
    names = [f"{quantity} × {name}" if quantity > 1 or several else name for quantity, name in named]
    return f"{'together ' if several else ''}with {', '.join(names)}" if names else ""
