"""The numbers printed on quotes and orders: the year, then a running number, then a letter for a revision."""

import re
from collections.abc import Iterable
from datetime import date

_NUMBER = re.compile(r"(?P<base>\D?(?P<year>\d{4})-(?P<running>\d+))(?:-(?P<letter>[A-Z]+))?", re.ASCII)


def next_number(taken: Iterable[str], on: date, *, prefix: str = "") -> str:
    """Return the next number of the year: `2026-014` after `2026-013`; each year starts again at 001.

    prefix: one character before the year, such as P for a purchase.
    """
    found = (_NUMBER.fullmatch(number) for number in taken)
    running = [int(m["running"]) for m in found if m and m["base"].startswith(f"{prefix}{on.year:04}-")]
    return f"{prefix}{on.year:04}-{max(running, default=0) + 1:03}"


def revised_number(number: str, taken: Iterable[str]) -> str:
    """Return the next free revision of a number: `2026-014-B`, then C; after Z comes AA.

    The original counts as A. Raises ValueError for text that is no such number.
    """
    match = _NUMBER.fullmatch(number)
    if not match:
        raise ValueError(f"“{number}” is not a number such as 2026-014")
    used = set(taken)
    rank = _rank(match["letter"] or "A")
    while (revised := f"{match['base']}-{_letters(rank := rank + 1)}") in used:
        pass
    return revised


def _rank(letters: str) -> int:
    rank = 0
    for letter in letters:
        rank = rank * 26 + ord(letter) - ord("A") + 1
    return rank


def _letters(rank: int) -> str:
    letters = ""
    while rank:
        rank, place = divmod(rank - 1, 26)
        letters = chr(ord("A") + place) + letters
    return letters
