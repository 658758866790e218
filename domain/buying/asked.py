"""What is asked of the layouts of one material: what is cut already, then the rack and the yard, then usual sizes."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from hashlib import sha256

from domain.buying.blanks import blanks
from domain.buying.shape import OnHand, Round, Stand
from domain.buying.sources import Stock, for_sale, listed, rack_stock
from domain.layout.first import first_layout
from domain.layout.shape import Blank, Layout, ToCut
from domain.length import Length
from domain.material import Material
from domain.practice import ShopPractice
from domain.rack import KEEP, Cutting
from domain.take_off.shape import CutLine

FORM = "1"
"""Changed when layouts are found in another way, so that those kept from before are made anew."""

_first = lru_cache(maxsize=256)(first_layout)


@dataclass(frozen=True, slots=True)
class Asked:
    """The rounds of one material. stocks: everything that a layout of it can use, by the source's key."""

    rounds: tuple[Round, ...]
    stocks: Mapping[str, Stock]


def rounds_of(material: Material, lines: Sequence[CutLine], on_hand: OnHand, practice: ShopPractice) -> Asked:
    """Return how the parts of a material are cut, round by round.

    What the rack and the yard cannot give is laid out on usual sizes. With boards listed at the yard or in the shop,
    usual sizes serve only what those leave over.
    """
    cut = [one for one in on_hand.cuttings if one.material == material]
    rest = tuple(_not_cut(tuple(blanks(lines, practice)), cut))
    rounds = [Round(Stand.CUT, one.layout, material.unit) for one in cut]
    on_rack, usual = listed(material, on_hand, practice), for_sale(material, on_hand, practice)
    for stand, offered in ((Stand.LISTED, on_rack), (Stand.USUAL, usual)):
        if rest and offered.stocks:
            to_cut = ToCut(rest, offered.sources, practice.length("kerf"), _keep(material, practice))
            mark = fingerprint(to_cut)
            layout = on_hand.known.get(mark) or _first(to_cut)
            if layout.laid or stand is Stand.USUAL:
                rounds.append(Round(stand, layout, offered.unit, mark))
            rest = tuple(_left(rest, layout))
    stocks = (*_once_there(on_hand, practice), *on_rack.stocks, *usual.stocks)
    return Asked(tuple(rounds), {one.source.key: one for one in stocks})


def fingerprint(to_cut: ToCut) -> str:
    """Return what tells one thing asked for from every other, the same as long as nothing of it changes."""
    return sha256(f"{FORM} {to_cut!r}".encode()).hexdigest()[:32]


def _keep(material: Material, practice: ShopPractice) -> tuple[Length, Length]:
    width, length = KEEP[material.kind]
    return practice.length(width), practice.length(length)


def _once_there(on_hand: OnHand, practice: ShopPractice) -> Iterator[Stock]:
    """Yield the pieces of the rack that were cut up for this job."""
    for piece in on_hand.rack:
        if piece.cut_for == on_hand.job_id and (stock := rack_stock(piece, practice)):
            yield stock


def _not_cut(wanted: Sequence[Blank], cuttings: Sequence[Cutting]) -> Iterator[Blank]:
    """Yield what is still to cut; what was cut to another size than it has now is cut anew."""
    done: dict[tuple[str, Length, Length], int] = {}
    for cutting in cuttings:
        sizes = {blank.key: blank for blank in cutting.layout.to_cut.blanks}
        for laid in cutting.layout.laid:
            for place in laid.places:
                blank = sizes[place.blank]
                key = (blank.key, blank.width, blank.length)
                done[key] = done.get(key, 0) + 1
    for blank in wanted:
        left = blank.count - done.get((blank.key, blank.width, blank.length), 0)
        if left > 0:
            yield replace(blank, count=left)


def _left(wanted: Sequence[Blank], layout: Layout) -> Iterator[Blank]:
    for blank in wanted:
        if left := layout.unplaced.get(blank.key, 0):
            yield replace(blank, count=left)
