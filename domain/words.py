"""Words as sentences for people need them: rows of names, counts of things, long text cut short."""

from collections.abc import Sequence

ORDINALS = ("First", "Second", "Third", "Fourth", "Fifth", "Sixth", "Seventh", "Eighth", "Ninth", "Tenth")

LONGEST_SHOWN = 40
"""Characters of a typed text that a message repeats."""


def listing(names: Sequence[str], *, most: int = 4) -> str:
    """Return names in a row: `Mill, Sand and Coat 1`, the rest counted when there are many."""
    if len(names) > most:
        return f"{', '.join(names[: most - 1])} and {len(names) - most + 1} more"
    if len(names) < 2:
        return "".join(names)
    return f"{', '.join(names[:-1])} and {names[-1]}"


def counted(count: int, one: str, many: str = "") -> str:
    """Return a count of things: `1 coat`, `3 coats`. many: when it is more than an s behind it."""
    return f"{count} {one if count == 1 else many or f'{one}s'}"


def ordinal(number: int) -> str:
    """Return a place in a row, from 1: `First`, `11th`; good for the few coats of a finish."""
    return ORDINALS[number - 1] if number <= len(ORDINALS) else f"{number}th"


def first_lower(words: str) -> str:
    """Return a name as it reads within a sentence."""
    return words[:1].lower() + words[1:]


def sentence(words: str) -> str:
    """Return words as a sentence; of none, none."""
    return f"{words[:1].upper()}{words[1:]}." if words else ""


def cut_short(text: str) -> str:
    """Return a typed text as a message repeats it."""
    return text if len(text) <= LONGEST_SHOWN else f"{text[:LONGEST_SHOWN]}…"
