"""What is asked of the layouts of one material: what is cut already, then the rack and the yard, then usual sizes."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from hashlib import sha256

from domain.buying.blanks import blanks
from domain.buying.shape import OnHand, Round, Stand
from domain.buying.sources import Offered, Stock, for_sale, listed, rack_stock
from domain.layout.first import first_layout
from domain.layout.shape import Blank, Layout, ToCut, fits
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
    """The rounds of one material. stocks: everything that a layout of it can use, by the source's key;
    left_aside: boards listed at the yard that are too few for it.
    """

    rounds: tuple[Round, ...]
    stocks: Mapping[str, Stock]
    left_aside: int = 0


def rounds_of(material: Material, lines: Sequence[CutLine], on_hand: OnHand, practice: ShopPractice) -> Asked:
    """Return how the parts of a material are cut, round by round.

    What the rack and the yard cannot give is laid out on usual sizes. Boards at the yard that nobody has set aside
    for this job serve only when their list is long enough for all that fits it.
    """
    cut = [one for one in on_hand.cuttings if one.material == material]
    rest = tuple(_not_cut(tuple(blanks(lines, practice)), cut))
    rounds = [Round(Stand.CUT, one.layout, material.unit) for one in cut]
    found = listed(material, on_hand, practice)
    own, usual = listed(material, on_hand, practice, own_only=True), for_sale(material, on_hand, practice)
    left_aside = 0
    if rest and found.stocks != own.stocks and _runs_short(_layout(rest, found, material, on_hand, practice)[0]):
        left_aside, found = len(found.stocks) - len(own.stocks), own
    for stand, offered in ((Stand.LISTED, found), (Stand.USUAL, usual)):
        if rest and offered.stocks:
            layout, mark = _layout(rest, offered, material, on_hand, practice)
            if layout.laid or stand is Stand.USUAL:
                rounds.append(Round(stand, layout, offered.unit, mark))
            rest = tuple(_left(rest, layout))
    stocks = (*_once_there(on_hand, practice), *found.stocks, *usual.stocks)
    return Asked(tuple(rounds), {one.source.key: one for one in stocks}, left_aside)


def _layout(
    rest: tuple[Blank, ...], offered: Offered, material: Material, on_hand: OnHand, practice: ShopPractice
) -> tuple[Layout, str]:
    """Return the best layout known of what is still to cut, else the first one, and the mark of what was asked."""
    to_cut = ToCut(rest, offered.sources, practice.length("kerf"), _keep(material, practice))
    mark = fingerprint(to_cut)
    return on_hand.known.get(mark) or _first(to_cut), mark


def _runs_short(layout: Layout) -> bool:
    """Whether a part is left over that would fit one of the boards, were there more of them."""
    left = (blank for blank in layout.to_cut.blanks if blank.key in layout.unplaced)
    return any(fits(blank, source) for blank in left for source in layout.to_cut.sources)


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
