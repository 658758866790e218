"""The pieces that are placed as one: blanks by themselves, and blanks that match kept together in one block."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from domain.layout.fill import First, Form, Piece, Rule, fill, plain
from domain.layout.shape import Way
from domain.layout.tree import Leaf, Split, Tree, clipped
from domain.layout.whole import Size, Stock, Whole

MOST_FORMS = 8
"""Ways one block can lie."""

Sized = tuple[int, Size]
"""A size with its place in `Whole.sizes`."""


def pieces_of(within: Whole, loose: frozenset[str] = frozenset()) -> tuple[Piece, ...]:
    """Return what is placed as one. loose: words of blanks that match and yet are placed one by one."""
    pieces: list[Piece] = []
    together: dict[str, list[Sized]] = {}
    for which, size in enumerate(within.sizes):
        if size.match and size.match not in loose:
            together.setdefault(size.match, []).append((which, size))
        else:
            pieces.append(replace(_plain(which, size), match=size.match, group=size.match))
    stocks = [stock for stock in within.stocks if stock.limit]
    for word, sized in together.items():
        pieces += [replace(piece, match=word) for piece in _kept_together(word, sized, stocks)]
    pieces.sort(key=lambda piece: (-piece.area, -piece.forms[0].length, piece.match))
    return tuple(pieces)


def _plain(which: int, size: Size) -> Piece:
    return plain(size.length, size.width, which, size.count, turns=size.turns)


def _kept_together(word: str, sized: Sequence[Sized], stocks: Sequence[Stock]) -> list[Piece]:
    """Return one block where all fit on one board, else a block for each of as few boards as possible."""
    if sum(size.count for _, size in sized) == 1:
        return [_plain(*sized[0])]
    forms = _forms([_leaf(*one) for one in sized for _ in range(one[1].count)], stocks)
    forms += _filled(sized, stocks)
    if all(size.turns for _, size in sized):
        turned = [_leaf(*one, turned=True) for one in sized for _ in range(one[1].count)]
        forms += _forms(turned, stocks)
    area = sum(size.length * size.width * size.count for _, size in sized)
    if forms:
        return [Piece(tuple(_smallest(forms)), 1, area)]
    return _over_boards(word, sized, stocks)


def _leaf(which: int, size: Size, *, turned: bool = False) -> Leaf:
    if turned and size.turns:
        return Leaf(size.width, size.length, which, turned=True)
    return Leaf(size.length, size.width, which)


def _forms(blanks: Sequence[Leaf], stocks: Sequence[Stock]) -> list[Form]:
    """Return the blanks side by side and one after the other, where a board has room for that."""
    side = sorted(blanks, key=lambda leaf: (-leaf.length, -leaf.width))
    line = sorted(blanks, key=lambda leaf: (-leaf.width, -leaf.length))
    long, wide = max(leaf.length for leaf in blanks), max(leaf.width for leaf in blanks)
    across, along = sum(leaf.width for leaf in blanks), sum(leaf.length for leaf in blanks)
    both = (
        Form(long, across, Split(long, across, Way.RIP, tuple(side))),
        Form(along, wide, Split(along, wide, Way.CROSSCUT, tuple(line))),
    )
    return [form for form in both if _fits(form, stocks)]


def _filled(sized: Sequence[Sized], stocks: Sequence[Stock]) -> list[Form]:
    """Return blocks of several rows, as a board filled with nothing else comes to."""
    pieces = [_plain(which, replace(size, turns=False)) for which, size in sized]
    left = [size.count for _, size in sized]
    found: list[Form] = []
    for length, width, rule in _rooms(sized, stocks):
        filled = fill(length, width, pieces, range(len(pieces)), left, rule)
        if filled.tree and sum(filled.used.values()) == sum(left):
            long, wide = _extent(filled.tree)
            found.append(Form(long, wide, clipped(filled.tree, long, wide)))
    return [form for form in found if _fits(form, stocks)]


def _rooms(sized: Sequence[Sized], stocks: Sequence[Stock]) -> Iterator[tuple[int, int, Rule]]:
    """Yield lengths and widths to fill: boards, and less of their width, with the rule to fill them by."""
    widest = max(size.width for _, size in sized)
    for length, width in sorted({(stock.length, stock.width) for stock in stocks}, reverse=True):
        for rows in range(2, min(6, width // widest) + 1):
            yield length, rows * widest, Rule(First.CROSSCUT, rows=True, snug=False)
        for first in First:
            yield length, width, Rule(first, rows=True, snug=False)


def _extent(tree: Tree) -> tuple[int, int]:
    """Return the length and width that the blanks of a tree reach, offcuts left out."""
    if isinstance(tree, Leaf):
        return tree.length, tree.width
    inside = [_extent(part) for part in tree.parts]
    if tree.way is Way.CROSSCUT:
        return sum(part.length for part in tree.parts[:-1]) + inside[-1][0], max(wide for _, wide in inside)
    return max(long for long, _ in inside), sum(part.width for part in tree.parts[:-1]) + inside[-1][1]


def _fits(form: Form, stocks: Sequence[Stock]) -> bool:
    return any(form.length <= stock.length and form.width <= stock.width for stock in stocks)


def _smallest(forms: Sequence[Form]) -> list[Form]:
    """Return the forms that no other one fits inside of."""
    kept: list[Form] = []
    for form in sorted(forms, key=lambda form: (form.length * form.width, form.length)):
        if not any(one.length <= form.length and one.width <= form.width for one in kept):
            kept.append(form)
    return kept[:MOST_FORMS]


def _over_boards(word: str, sized: Sequence[Sized], stocks: Sequence[Stock]) -> list[Piece]:
    """Return blocks that take a whole board each, every one as full as can be."""
    pieces = [_plain(which, size) for which, size in sized]
    left = [size.count for _, size in sized]
    limits = [stock.limit for stock in stocks]
    blocks: list[Piece] = []
    while any(left):
        tries = [
            (fill(stock.length, stock.width, pieces, range(len(pieces)), left, Rule(first, rows=True, snug=False)), at)
            for at, stock in enumerate(stocks)
            if limits[at]
            for first in First
        ]
        if not tries:
            break
        filled, at = max(tries, key=lambda one: (one[0].area, -stocks[one[1]].area))
        if not filled.tree:
            break
        limits[at] -= 1
        for which, many in filled.used.items():
            left[which] -= many
        length, width = stocks[at].length, stocks[at].width
        # A form's tree is as large as the form, also where the blanks leave room.
        board = Split(length, width, Way.CROSSCUT, (filled.tree,))
        blocks.append(Piece((Form(length, width, board),), 1, filled.area, group=word))
    singles = [replace(piece, count=many, group=word) for piece, many in zip(pieces, left, strict=True) if many]
    return blocks + singles
