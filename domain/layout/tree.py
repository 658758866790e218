"""A board or sheet as a tree of through cuts, in whole numbers, and the cuts, places and offcuts it comes to.

Every size is one kerf larger than it is, boards and sheets too, so that pieces lie edge to edge and the kerf is
never added again: pieces with kerfs between them fit exactly when these sizes add up to no more than the board's.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from domain.layout.shape import Way


@dataclass(frozen=True, slots=True)
class Leaf:
    """A blank. size: which one, by its place in `Whole.sizes`."""

    length: int
    width: int
    size: int
    turned: bool = False


@dataclass(frozen=True, slots=True)
class Split:
    """A rectangle cut through into parts, one after the other from the left end or the near edge; the rest is left."""

    length: int
    width: int
    way: Way
    parts: tuple["Tree", ...]


Tree = Leaf | Split

Box = tuple[int, int, int, int]
"""x, y, length, width; without the kerf."""


def joined(length: int, width: int, way: Way, parts: Sequence[Tree | None]) -> Tree | None:
    """Return the parts as one split, one level less where the last goes on the same way; None for nothing."""
    kept = [part for part in parts if part is not None]
    if not kept:
        return None
    last = kept[-1]
    if isinstance(last, Split) and last.way is way and _across(last, way) == (width if way is Way.CROSSCUT else length):
        kept[-1:] = last.parts
    return kept[0] if len(kept) == 1 else Split(length, width, way, tuple(kept))


def leaves(tree: Tree | None) -> Iterator[Leaf]:
    """Yield every blank in the tree, in the order they are cut."""
    if isinstance(tree, Leaf):
        yield tree
    elif tree is not None:
        for part in tree.parts:
            yield from leaves(part)


def clipped(tree: Tree, length: int, width: int) -> Tree:
    """Return the tree in a smaller rectangle that all its blanks still fit in as they lie."""
    if isinstance(tree, Leaf):
        return tree
    room, parts = (length if tree.way is Way.CROSSCUT else width), list[Tree]()
    for at, part in enumerate(tree.parts):
        last = at == len(tree.parts) - 1
        if tree.way is Way.CROSSCUT:
            parts.append(clipped(part, room if last else part.length, width))
            room -= part.length
        else:
            parts.append(clipped(part, length, room if last else part.width))
            room -= part.width
    return Split(length, width, tree.way, tuple(parts))


def pruned(tree: Tree | None, surplus: Counter[int]) -> Tree | None:
    """Return the tree without so many of each size; what they leave is left over. surplus is used up."""
    if isinstance(tree, Leaf):
        if surplus[tree.size] > 0:
            surplus[tree.size] -= 1
            return None
        return tree
    if tree is None:
        return None
    parts = [kept for part in tree.parts if (kept := pruned(part, surplus)) is not None]
    return Split(tree.length, tree.width, tree.way, tuple(parts)) if parts else None


@dataclass(slots=True)
class Sawn:
    """What cutting a tree out of a board comes to, in whole numbers without kerfs."""

    kerf: int
    places: list[tuple[Leaf, Box]] = field(default_factory=list)
    cuts: list[tuple[Way, int, int, int]] = field(default_factory=list)
    offcuts: list[Box] = field(default_factory=list)


def saw(tree: Tree | None, length: int, width: int, kerf: int) -> Sawn:
    """Return the cuts in their order, first those through the whole board; a section is done before the next begins."""
    sawn = Sawn(kerf)
    _cut(tree, 0, 0, length, width, sawn)
    return sawn


def _cut(tree: Tree | None, x: int, y: int, length: int, width: int, sawn: Sawn) -> None:
    if tree is None:
        _leave(x, y, length, width, sawn)
        return
    if isinstance(tree, Split) and _across(tree, tree.way) == (width if tree.way is Way.CROSSCUT else length):
        _split(tree, x, y, length, width, sawn)
        return
    # What is bigger than it is trimmed first, the way that leaves the larger offcut.
    ways = [Way.CROSSCUT, Way.RIP]
    if length * (width - tree.width) > (length - tree.length) * width:
        ways.reverse()
    for way in ways:
        if way is Way.CROSSCUT and tree.length < length:
            _through(way, x + tree.length, y, width, sawn)
            _leave(x + tree.length, y, length - tree.length, width, sawn)
            length = tree.length
        elif way is Way.RIP and tree.width < width:
            _through(way, y + tree.width, x, length, sawn)
            _leave(x, y + tree.width, length, width - tree.width, sawn)
            width = tree.width
    if isinstance(tree, Split):
        _split(tree, x, y, length, width, sawn)
    else:
        sawn.places.append((tree, (x, y, length - sawn.kerf, width - sawn.kerf)))


def _split(tree: Split, x: int, y: int, length: int, width: int, sawn: Sawn) -> None:
    at = 0
    pieces: list[tuple[Tree, int, int]] = []
    for part in tree.parts:
        pieces.append((part, at, part.length if tree.way is Way.CROSSCUT else part.width))
        at += pieces[-1][2]
        if tree.way is Way.CROSSCUT and at < length:
            _through(tree.way, x + at, y, width, sawn)
        elif tree.way is Way.RIP and at < width:
            _through(tree.way, y + at, x, length, sawn)
    for part, begins, extent in pieces:
        if tree.way is Way.CROSSCUT:
            _cut(part, x + begins, y, extent, width, sawn)
        else:
            _cut(part, x, y + begins, length, extent, sawn)
    if tree.way is Way.CROSSCUT:
        _leave(x + at, y, length - at, width, sawn)
    else:
        _leave(x, y + at, length, width - at, sawn)


def _across(tree: Tree, way: Way) -> int:
    return tree.width if way is Way.CROSSCUT else tree.length


def _through(way: Way, after: int, begins: int, extent: int, sawn: Sawn) -> None:
    sawn.cuts.append((way, after - sawn.kerf, begins, begins + extent - sawn.kerf))


def _leave(x: int, y: int, length: int, width: int, sawn: Sawn) -> None:
    if length > sawn.kerf and width > sawn.kerf:
        sawn.offcuts.append((x, y, length - sawn.kerf, width - sawn.kerf))
