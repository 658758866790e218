"""The key below a drawing: a letter for words that have no room where they belong, and words too long for there."""

from collections.abc import Iterator

from webapp.drawing.drawn import Ring, Text, tidy
from webapp.drawing.text import LINE, SIZE, widest, wrap

INDENT, GAP = 20.0, 3.0


class Key:
    """Words and their letters; the same words have the same letter."""

    def __init__(self) -> None:
        self._letters: dict[str, str] = {}

    def letter(self, words: str) -> str:
        """Return the letter that stands for words: a to z, then aa."""
        return self._letters.setdefault(words, _letter(sum(1 for one in self._letters.values() if one)))

    def explain(self, words: str) -> None:
        """Say words in full of which only the beginning is on the drawing."""
        self._letters.setdefault(words, "")

    def lines(self, top: float, left: float, room: float) -> Iterator[tuple[Ring | None, Text]]:
        """Yield each line of the key from a place downwards, no wider than room."""
        y = top
        for words, letter in self._letters.items():
            inset = INDENT if letter else 0.0
            lines = wrap(words, room - inset)
            high = LINE * len(lines)
            box = (left + inset, y, left + inset + widest(lines), y + high)
            ring = Ring(tidy(left + 8), tidy(y + LINE / 2 + 0.5), letter) if letter else None
            yield ring, Text("callout", tidy(left + inset), tidy(y + SIZE - 0.5), lines, box)
            y += high + GAP


def _letter(place: int) -> str:
    return chr(ord("a") + place) if place < 26 else _letter(place // 26 - 1) + _letter(place % 26)
