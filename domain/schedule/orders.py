"""Better schedules of a plain problem: random orders around urgency and around the best found, packed both ways."""

from collections.abc import Callable, Iterator
from random import Random

from domain.schedule.plain import Plain, finish_of, packed_both_ways, placed, sorted_order

ELITE = 12
"""The best schedules that new ones are made from; found by trial on published sets."""
FRESH = 24
"""Schedules made from urgency alone before the best are mixed."""


def better_orders(
    plain: Plain, start: list[int], seed: int, rounds: int, stop: Callable[[], bool]
) -> Iterator[tuple[list[int], int]]:
    """Yield each shorter schedule's starts, and how many schedules have been made. rounds: how many in all."""
    chance = Random(seed)
    longest = max(plain.tails)
    best = finish_of(plain, start)
    elite: list[tuple[int, list[int]]] = [(best, start)]
    made = 0
    while made < rounds and best > longest and not stop():
        found = placed(plain, plain.forward, sorted_order(plain, _keys(plain, elite, made, chance)))
        made += 1
        end = finish_of(plain, found)
        while made < rounds:
            packed = packed_both_ways(plain, found)
            made += 2
            shorter = finish_of(plain, packed)
            if shorter < end or made % 3 == 0:
                found, before, end = packed, end, min(end, shorter)
                if shorter < before:
                    continue
            break
        end = finish_of(plain, found)
        if end < best:
            best = end
            yield found, made
        _keep(elite, end, found)


def _keys(plain: Plain, elite: list[tuple[int, list[int]]], made: int, chance: Random) -> list[float]:
    """Return keys: urgency with some chance, a good schedule with some chance, or two good ones mixed."""
    many = len(plain.length)
    way = chance.random()
    if made < 3 * FRESH or way < 0.05 or len(elite) < 2:
        spread = chance.choice((0.05, 0.1, 0.2, 0.4)) * max(plain.tails)
        return [chance.random() * spread - tail for tail in plain.tails]
    one = elite[min(int(chance.random() ** 2 * len(elite)), len(elite) - 1)][1]
    if way < 0.45:
        other = elite[chance.randrange(len(elite))][1]
        end = max(one)
        cut, width = chance.random() * end, chance.uniform(0.1, 0.5) * end
        # A part of one schedule, the rest as the other has it: good stretches stay whole.
        return [(a if cut <= a < cut + width else b) + chance.random() for a, b in zip(one, other, strict=True)]
    spread = chance.choice((1.0, 2.0, 4.0, 8.0)) * (1 + sum(plain.length) / many / 2)
    if way < 0.75:
        return [at + chance.random() * spread for at in one]
    moved = set(chance.sample(range(many), k=max(1, many // chance.choice((4, 8, 16)))))
    return [at + (chance.gauss(0, 1) * spread * 2 if number in moved else 0) for number, at in enumerate(one)]


def _keep(elite: list[tuple[int, list[int]]], end: int, found: list[int]) -> None:
    """Keep a schedule among the best, if it is one of them and new."""
    if (len(elite) == ELITE and end > elite[-1][0]) or any(found == other for _, other in elite):
        return
    place = next((at for at, (other, _) in enumerate(elite) if end <= other), len(elite))
    elite.insert(place, (end, found))
    del elite[ELITE:]
