"""Checks a layout as a person at the saw would, by its places and cuts alone; shares no code with the layout engine."""

from collections import Counter
from fractions import Fraction

from domain.layout.shape import Laid, Layout, Rectangle, Way

Piece = tuple[Fraction, Fraction, Fraction, Fraction]
"""Left, near, right, far [in]."""


def check(layout: Layout) -> None:
    """Raise AssertionError for whatever is wrong with a layout."""
    to_cut = layout.to_cut
    sources = {source.key: source for source in to_cut.sources}
    used = Counter(laid.source for laid in layout.laid)
    for key, many in used.items():
        limit = sources[key].count
        assert limit is None or many <= limit, f"{many} of {key}, there are {limit}"
    wanted = Counter({blank.key: blank.count for blank in to_cut.blanks})
    placed = Counter(place.blank for laid in layout.laid for place in laid.places)
    assert placed + Counter(layout.unplaced) == wanted, "every part once, or said not to be"
    assert all(many > 0 for many in layout.unplaced.values())
    assert layout.cost == sum((sources[laid.source].cost for laid in layout.laid), Fraction(0))
    for laid in layout.laid:
        assert laid.places, "a board that nothing is cut from is not taken up"
        _check_places(laid, layout)
        _check_cuts(laid, layout)


def _piece(at: Rectangle) -> Piece:
    return at.x.inches, at.y.inches, (at.x + at.length).inches, (at.y + at.width).inches


def _check_places(laid: Laid, layout: Layout) -> None:
    """Each lies inside, at its own size and grain, a kerf or more from every other."""
    source = next(source for source in layout.to_cut.sources if source.key == laid.source)
    blanks = {blank.key: blank for blank in layout.to_cut.blanks}
    kerf = layout.to_cut.kerf.inches
    boxes = [_piece(place.at) for place in laid.places]
    for place, (left, near, right, far) in zip(laid.places, boxes, strict=True):
        blank = blanks[place.blank]
        size = (blank.width, blank.length) if place.turned else (blank.length, blank.width)
        assert (place.at.length, place.at.width) == size
        assert blank.turns or not place.turned, "grain is kept"
        assert left >= 0
        assert near >= 0
        assert right <= source.length.inches
        assert far <= source.width.inches
    for at, one in enumerate(boxes):
        for other in boxes[at + 1 :]:
            assert _apart(one, other, kerf), f"{one} and {other} are nearer than a kerf"


def _apart(one: Piece, other: Piece, kerf: Fraction) -> bool:
    return (
        one[2] + kerf <= other[0] or other[2] + kerf <= one[0] or one[3] + kerf <= other[1] or other[3] + kerf <= one[1]
    )


def _check_cuts(laid: Laid, layout: Layout) -> None:
    """Cut the board up as told: each cut goes right through one piece in hand; the places and offcuts remain."""
    source = next(source for source in layout.to_cut.sources if source.key == laid.source)
    kerf = layout.to_cut.kerf.inches
    hand: list[Piece] = [(Fraction(0), Fraction(0), source.length.inches, source.width.inches)]
    assert [cut.number for cut in laid.cuts] == list(range(1, len(laid.cuts) + 1))
    for cut in laid.cuts:
        at, begins, ends = cut.at.inches, cut.begins.inches, cut.ends.inches
        held = [piece for piece in hand if _goes_through(piece, cut.way, at, begins, ends)]
        assert len(held) == 1, f"cut {cut.number} goes through {len(held)} pieces"
        hand.remove(held[0])
        left, near, right, far = held[0]
        if cut.way is Way.CROSSCUT:
            rest = (at + kerf, near, right, far)
            hand.append((left, near, at, far))
        else:
            rest = (left, at + kerf, right, far)
            hand.append((left, near, right, at))
        if rest[0] < rest[2] and rest[1] < rest[3]:
            hand.append(rest)
    remaining = Counter(hand)
    for place in laid.places:
        assert remaining[_piece(place.at)], f"{place.blank} is not cut free"
        remaining[_piece(place.at)] -= 1
    assert +remaining == Counter(_piece(offcut) for offcut in laid.offcuts), "offcuts are what is left"
    areas = [offcut.area for offcut in laid.offcuts]
    assert areas == sorted(areas, reverse=True)


def _goes_through(piece: Piece, way: Way, at: Fraction, begins: Fraction, ends: Fraction) -> bool:
    left, near, right, far = piece
    if way is Way.CROSSCUT:
        return (begins, ends) == (near, far) and left < at < right
    return (begins, ends) == (left, right) and near < at < far
