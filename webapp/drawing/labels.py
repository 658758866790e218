"""Words inside a drawing: each in its own box, level or upright, the longest that fit; numbers in rings on lines."""

from collections.abc import Iterator, Sequence

from domain.drawing.shape import Callout, Label, Marker
from webapp.drawing.drawn import Box, Ring, Text, tidy, touch
from webapp.drawing.frame import Frame
from webapp.drawing.key import Key
from webapp.drawing.text import LINE, SIZE, widest

PAD = 3.0
ALONG = (0.5, 0.35, 0.65, 0.2, 0.8, 0.1, 0.9, 0.27, 0.73, 0.42, 0.58)
"""Places along a line where its number may be, best first."""

LOWEST = 9.5
"""Height of a box that still takes a lone letter."""


def fit_labels(
    labels: Sequence[Label], frame: Frame, key: Key, thin: Sequence[Box], *, in_key: bool
) -> tuple[list[Text], list[Callout]]:
    """Return the words where they belong, and what must be said at the side instead.

    What is there only by its short name is said in full in the key. thin: what words keep off if they can;
    in_key: a lone letter may stand for words.
    """
    texts: list[Text] = []
    outside = []
    groups: dict[str, list[Label]] = {}
    for number, label in enumerate(labels):
        groups.setdefault(label.together or f"\n{number}", []).append(label)
    for group in groups.values():
        found = _group(group, frame, texts, thin)
        full = group[0].together or _in_a_row(group[0].words[0])
        if found and not all(_is_whole(text, one) for text, one in zip(found, group, strict=True)):
            key.explain(full)
        elif not found and in_key and len(group) == 1:
            found = _lone(frame.box(group[0].within), full, key, texts)
        texts += found
        if not found:
            left, top, right, bottom = group[len(group) // 2].within
            outside.append(Callout((right - (right - left) / 20, (top + bottom) / 2), full))
    return texts, outside


def _is_whole(text: Text, label: Label) -> bool:
    return " ".join(text.lines) == _in_a_row(label.words[0])


def _in_a_row(words: str) -> str:
    return words.replace("\n", " ")


def _group(group: Sequence[Label], frame: Frame, taken: Sequence[Text], thin: Sequence[Box]) -> list[Text]:
    """Return the words of labels that are said alike, as long as all of them fit; none when one fits nothing."""
    for first in range(len(group[0].words)):
        found: list[Text] = []
        for label in group:
            if text := _fitted(label.words[first:], frame.box(label.within), [*taken, *found], thin):
                found.append(text)
        if len(found) == len(group) and (len(group) == 1 or _are_alike(found, group, first)):
            return found
    return []


def _are_alike(found: Sequence[Text], group: Sequence[Label], first: int) -> bool:
    return all("\n".join(text.lines) == label.words[first] for text, label in zip(found, group, strict=True))


def _fitted(words: Sequence[str], box: Box, taken: Sequence[Text], thin: Sequence[Box]) -> Text | None:
    for one in words:
        lines = tuple(one.split("\n"))
        for turned in (False, True):
            free = [
                text for text in _placed(lines, box, turned=turned)
                if not any(touch(text.box, other.box) for other in taken)
            ]  # fmt: skip
            if free:
                return next((text for text in free if not any(touch(text.box, line) for line in thin)), free[0])
    return None


def _placed(lines: tuple[str, ...], box: Box, *, turned: bool) -> Iterator[Text]:
    """Yield the words in the middle of a box, then nearer to either side of it; none where there is no room."""
    left, top, right, bottom = box
    wide, high = widest(lines), LINE * len(lines)
    if turned:
        wide, high = high, wide
    if wide > right - left - PAD or high > bottom - top - PAD + 1:
        return
    for share in (0.5, 0.35, 0.65, 0.15, 0.85):
        x = (left + right) / 2 if not turned else left + wide / 2 + (right - left - wide) * share
        y = (top + bottom) / 2 if turned else top + high / 2 + (bottom - top - high) * share
        around = (x - wide / 2, y - high / 2, x + wide / 2, y + high / 2)
        first = (x - wide / 2 + SIZE - 1.5, y) if turned else (x, y - high / 2 + SIZE - 1.5)
        yield Text("label", tidy(first[0]), tidy(first[1]), lines, around, "middle", turned)


def _lone(box: Box, words: str, key: Key, taken: Sequence[Text]) -> list[Text]:
    """Return the letter that stands for words, where there is room for nothing else."""
    left, top, right, bottom = box
    if min(right - left, bottom - top) < LOWEST:
        return []
    x, y = (left + right) / 2, (top + bottom) / 2
    around = (x - 5, y - 5, x + 5, y + 5)
    if any(touch(around, other.box) for other in taken):
        return []
    return [Text("letter", tidy(x), tidy(y + 3.5), (key.letter(words),), around, "middle")]


def set_markers(markers: Sequence[Marker], frame: Frame, taken: Sequence[Box]) -> tuple[list[Ring], list[Callout]]:
    """Return the rings that find a free place on their line, and the numbers to be said at the side instead."""
    rings: list[Ring] = []
    outside = []
    for marker in sorted(markers, key=lambda one: _long(one, frame)):
        (x1, y1), (x2, y2) = frame.at(marker.start), frame.at(marker.end)
        tried = (Ring(tidy(x1 + (x2 - x1) * share), tidy(y1 + (y2 - y1) * share), marker.words) for share in ALONG)
        occupied = [*taken, *(ring.box for ring in rings)]
        if ring := next((one for one in tried if not any(touch(one.box, other) for other in occupied)), None):
            rings.append(ring)
        else:
            middle = ((marker.start[0] + marker.end[0]) / 2, (marker.start[1] + marker.end[1]) / 2)
            outside.append(Callout(middle, f"cut {marker.words}"))
    return rings, outside


def _long(marker: Marker, frame: Frame) -> float:
    """Return how long a line is: a short one has the fewest places for its number, so it comes first."""
    (x1, y1), (x2, y2) = frame.at(marker.start), frame.at(marker.end)
    return abs(x2 - x1) + abs(y2 - y1)
