"""Sizes weighed another way, so that no board holds more weight than is said: what lower bounds are made of.

The most that a board's length can hold by one weight, times the most that its width can hold by another, is the most
that the board can hold by their product.
Source: S. P. Fekete, J. Schepers, A general framework for bounds for higher-dimensional orthogonal packing problems,
Mathematical Methods of Operations Research 60, 2004, 311-329.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

FINEST = 12
"""Sizes under one part in so many of the board are not singled out: their weights would take long and say little."""

MOST_ROOMS = 4
"""Sizes of boards that scales are made for; where there are more, they are chosen evenly."""

MOST_CUTS = 36
"""Sizes at which small ones are told from large ones, for boards of one size."""

LONGEST_BITS = 1 << 20
"""Boards of more units than this are not looked at unit by unit."""


@dataclass(frozen=True, slots=True)
class Scale:
    """weights: by size; most: what fits into each board's size, by that; plain: it is the size itself; big: only those
    count of which no two fit one after the other."""

    weights: Mapping[int, int]
    most: Mapping[int, int]
    plain: bool = False
    big: bool = False


def scales(sizes: Mapping[int, int], boards: Iterable[int]) -> list[Scale]:
    """Return the scales of one direction. sizes: with how often each can occur; boards: sizes of boards."""
    rooms = sorted(set(boards), reverse=True)
    found = {tuple(sorted(sizes.items())): _itself(sizes, rooms)}
    chosen = rooms[:: -(-len(rooms) // MOST_ROOMS)]
    for room in chosen:
        for scale in _of_room(list(sizes), room, rooms, MOST_CUTS // len(chosen)):
            if any(scale.weights.values()):
                found.setdefault(tuple(sorted(scale.weights.items())), scale)
    return list(found.values())


def _itself(sizes: Mapping[int, int], rooms: Sequence[int]) -> Scale:
    """Return the sizes themselves; no board's room is used further than sums of sizes reach."""
    if rooms[0] > LONGEST_BITS:
        return Scale({size: size for size in sizes}, {room: room for room in rooms}, plain=True)
    every = (1 << (rooms[0] + 1)) - 1
    reached = 1
    for size, many in sizes.items():
        step = 1
        many = min(many, rooms[0] // size)
        while many:
            step = min(step, many)
            reached |= (reached << (size * step)) & every
            many -= step
            step *= 2
    most = {room: (reached & ((1 << (room + 1)) - 1)).bit_length() - 1 for room in rooms}
    return Scale({size: size for size in sizes}, most, plain=True)


def _of_room(sizes: Sequence[int], room: int, rooms: Sequence[int], many: int) -> Iterator[Scale]:
    """Yield the scales made for one size of board. many: sizes to tell small from large ones at, about."""
    yield _counted({size: int(2 * size > room) for size in sizes}, rooms, big=True)
    cuts = {size for size in sizes if 2 * size <= room} | {room - size for size in sizes if size < room <= 2 * size}
    for least in _spread(sorted(cuts), many):
        yield _without_small(sizes, least, room, rooms)
        if least * FINEST >= room:
            yield _counted({size: _in_twos(size, least, room) for size in sizes}, rooms)
    for parts in range(2, 7):
        yield _counted({size: parts * size // room for size in sizes}, rooms)


def _spread(cuts: Sequence[int], most: int) -> list[int]:
    """Return at most about so many of them, evenly."""
    return list(cuts[:: max(1, len(cuts) // max(most, 6))])


def _without_small(sizes: Sequence[int], least: int, room: int, rooms: Sequence[int]) -> Scale:
    """Return sizes under the least as nothing, those that leave less as the whole room: U of Fekete and Schepers."""
    weights = {size: 0 if size < least else room if size > room - least else size for size in sizes}
    most = {}
    for other in rooms:
        ratio = max((Fraction(weight, size) for size, weight in weights.items() if size <= other), default=Fraction(0))
        most[other] = room if other == room else int(ratio * other)
    return Scale(weights, most)


def _in_twos(size: int, least: int, room: int) -> int:
    """Return how many times the least fits into a size, twice; large sizes count what they leave no room for.

    Source: J. Carlier, F. Clautiaux, A. Moukrim, New reduction procedures and lower bounds for the two-dimensional bin
    packing problem with fixed orientation, Computers & Operations Research 34, 2007, 2223-2250, function f1.
    """
    if 2 * size > room:
        return 2 * (room // least - max(0, room - size) // least)
    return room // least if 2 * size == room else 2 * (size // least)


def _counted(weights: Mapping[int, int], rooms: Sequence[int], *, big: bool = False) -> Scale:
    """Return small whole weights with the most each room holds, by the least length that reaches each weight."""
    least: dict[int, int] = {}
    for size, weight in weights.items():
        if weight:
            least[weight] = min(size, least.get(weight, size))
    most = dict.fromkeys(rooms, 0)
    if not least:
        return Scale(weights, most, big=big)
    highest = max(rooms[0] * weight // size for weight, size in least.items())
    beyond = rooms[0] + 1
    reach = [0] + [beyond] * highest
    steps = list(least.items())
    for total in range(1, highest + 1):
        reach[total] = min((reach[total - weight] + size for weight, size in steps if weight <= total), default=beyond)
    for room in rooms:
        most[room] = max(total for total, size in enumerate(reach) if size <= room)
    return Scale(weights, most, big=big)
