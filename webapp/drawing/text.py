"""How much room words take, without a browser to ask: reckoned generously, so that nothing runs into a line."""

from collections.abc import Iterator

SIZE, LINE = 12.0, 14.0
"""Size of letters and height of a line of them."""

_NARROW, _SLIM, _BROAD = "iljI.,:;'|!", "ftr()[]-/ \u00a0°", "mwMWQ@×≈—%"


def width(words: str, size: float = SIZE) -> float:
    """Return how wide a line of words is."""
    return sum(_letter(letter) for letter in words) * size


def _letter(letter: str) -> float:
    if letter in _NARROW:
        return 0.33
    if letter in _SLIM:
        return 0.41
    if letter in _BROAD:
        return 0.95
    return 0.73 if letter.isupper() else 0.64


def wrap(words: str, room: float) -> tuple[str, ...]:
    """Return words in lines no wider than that; \\n always breaks them, a word too long by itself is broken too."""
    lines: list[str] = []
    for row in words.split("\n"):
        kept = ""
        for word in (piece for whole in row.split(" ") for piece in _broken(whole, room)):
            longer = f"{kept} {word}".strip()
            if kept and width(longer) > room:
                lines.append(kept)
                longer = word
            kept = longer
        lines.append(kept)
    return tuple(lines)


def _broken(word: str, room: float) -> Iterator[str]:
    """Yield a word in pieces that fit."""
    piece = ""
    for letter in word:
        if piece and width(piece + letter) > room:
            yield piece
            piece = ""
        piece += letter
    yield piece


def widest(lines: tuple[str, ...]) -> float:
    return max(width(one) for one in lines)
