"""What is wrong with something typed or planned, in words for the person."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Problem:
    """field: the name of the field it belongs to, empty for the whole; words: what is wrong and what would work."""

    field: str
    words: str
