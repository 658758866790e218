"""A glue-up from above: boards in their order with their marks, glue lines, the triangle, and clamps at both edges."""

from collections.abc import Iterator
from fractions import Fraction
from math import ceil

from domain.drawing.shape import (
    Dimension,
    Drawing,
    Label,
    Meaning,
    Shape,
    Side,
    box,
    line,
    upright,
)
from domain.drawing.tape import Tape
from domain.glue_card import GlueCard
from domain.glue_tree import Group
from domain.glue_up import cut_off
from domain.length import Length

REACH, HEAD = Fraction(5), Fraction(3)
"""How far a clamp is drawn beyond the edge, and how wide its head is, in inches of a panel drawn as wide as it is."""

FASTENER, ROOMY = Fraction(3, 8), 36
"""Half the length a fastener is drawn; how many times longer than wide a board may be drawn and still hold its mark."""


def glue_up_drawing(card: GlueCard, tape: Tape) -> Drawing:
    """Return the drawing of a glue-up. Heights are drawn larger than lengths where boards are long and narrow."""
    return _Bench(card, tape).drawing()


class _Bench:
    def __init__(self, card: GlueCard, tape: Tape) -> None:
        self.card, self.tape, self.panel = card, tape, card.plan.panel
        self.long = self.panel.length.value
        self.edges = [Fraction(0)]
        for board in card.boards:
            self.edges.append(self.edges[-1] + board.width.value)
        self.wide = self.edges[-1]
        self.taller = _taller(self.long, min(board.width.value for board in card.boards))

    def drawing(self) -> Drawing:
        mark, card = self.tape.mark, self.card
        whole = box(Meaning.OUTLINE, 0, 0, self.long, self.wide, "as glued")
        return Drawing(
            key=card.key,
            title=f"{card.title}: the glue-up from above",
            about=f"{len(card.boards)} boards as glued, {mark(Length(self.long))} long and {mark(Length(self.wide))} "
            f"across together, the first at the back, with {int(card.plan.clamps.value)} clamps.",
            words=tuple(self._sentences()),
            shapes=(*self._boards(), *self._cuts(), *self._triangle(), *self._clamps(), whole),
            labels=tuple(self._labels()),
            dimensions=tuple(self._dimensions(whole)),
            taller=self.taller,
        )

    def _boards(self) -> Iterator[Shape]:
        for board, top, bottom in zip(self.card.boards, self.edges[:-1], self.edges[1:], strict=True):
            yield box(Meaning.PART, 0, top, self.long, bottom - top, f"board {board.number}")
        for at in self.edges[1:-1]:
            yield line(Meaning.JOINT, (Fraction(0), at), (self.long, at), name="glue line")
            for place in self.card.fasteners:
                reach = FASTENER / self.taller * 2
                yield line(Meaning.FASTENER, (place.value, at - reach), (place.value, at + reach))

    def _cuts(self) -> Iterator[Shape]:
        """Yield where the last cut goes, once the panel is out of the clamps."""
        for at in self._cut_off():
            yield line(Meaning.CUT, (at, Fraction(0)), (at, self.wide), name="last cut")

    def _cut_off(self) -> tuple[Fraction, ...]:
        """Return where the last cut goes, from the left end as glued [in]."""
        left, right = cut_off(self.panel.extra, self.panel.ends_cut)
        return (*((left,) if left else ()), *((self.long - right,) if right else ()))

    def _triangle(self) -> Iterator[Shape]:
        """Yield the cabinetmaker's triangle, its point at the back."""
        middle, half = self.long * Fraction(3, 4), self.long / 7
        down = self.wide * Fraction(9, 10)
        up = self.wide / 10
        corners = ((middle, up), (middle + half, down), (middle - half, down))
        yield Shape(Meaning.MARK, corners, "triangle")

    def _clamps(self) -> Iterator[Shape]:
        reach, head = REACH / self.taller, min(HEAD, self.long / (3 * max(len(self.card.plan.places), 1)))
        for number, place in enumerate(self.card.plan.places):
            meaning = Meaning.CLAMP if number % 2 else Meaning.CLAMP_BELOW
            for edge, way in ((Fraction(0), -1), (self.wide, 1)):
                out = edge + way * reach
                yield line(meaning, (place.value, edge), (place.value, out), name=f"clamp {number + 1}")
                yield line(meaning, (place.value - head / 2, out), (place.value + head / 2, out))

    def _labels(self) -> Iterator[Label]:
        for board, top, bottom in zip(self.card.boards, self.edges[:-1], self.edges[1:], strict=True):
            width, name = self.tape.bare(board.width.length), board.mark or str(board.number)
            alike = [one.mark or str(one.number) for one in self.card.boards if one.width.value == board.width.value]
            together = f"{alike[0]} to {alike[-1]}, each {width}" if len(alike) > 1 else ""
            room = (self.long / 20, top, self.long * Fraction(11, 20), bottom)
            yield Label((f"{name}   {width}", name), room, together)

    def _dimensions(self, whole: Shape) -> Iterator[Dimension]:
        reach = REACH / self.taller
        places = [place.value for place in self.card.plan.places]
        if len(places) > 1:
            yield Dimension(Side.TOP, Fraction(0), places[0], -reach)
            yield Dimension(Side.TOP, places[0], places[1], -reach)
        yield Dimension(Side.BOTTOM, Fraction(0), self.long, self.wide + reach)
        yield upright(whole, Side.LEFT)
        for card in self.card.stages:
            group = card.stage.group
            if not card.is_whole:
                top, bottom = self.edges[group.first - 1], self.edges[group.last]
                words = f"{group.stage}: {self.tape.bare(card.stage.width.length)}"
                yield Dimension(Side.RIGHT, top, bottom, self.long, _level(group), words)

    def _sentences(self) -> Iterator[str]:
        mark, plan = self.tape.mark, self.card.plan
        first, last = self.card.boards[0], self.card.boards[-1]
        for board in self.card.boards:
            where = ", at the back" if board is first else ", at the front" if board is last else ""
            name = f"Board {board.number}{f', {board.mark}' if board.mark else ''}"
            yield f"{name}: {mark(board.width.length)} wide{where}."
        yield "A triangle is drawn across all boards, its point at the back."
        if plan.places:
            yield (
                f"Clamps from the left end, below and above in turn, the first below: "
                f"{', '.join(mark(place.length) for place in plan.places)}."
            )
        if self.card.fasteners:
            places = ", ".join(mark(place.length) for place in self.card.fasteners)
            yield f"In each joint a {self.panel.fastener} at {places} from the left end."
        for at in self._cut_off():
            yield f"The last cut goes at {mark(Length(at))} from the left end, once the glue has cured."
        for card in self.card.stages:
            group = card.stage.group
            width = mark(card.stage.width.length)
            yield f"Glue-up {group.stage}: boards {group.first} to {group.last}, {width} across."


def _level(group: Group) -> int:
    """Return how many rounds of gluing lie under a group: none under one of single boards."""
    return 1 + max((_level(part) for part in group.parts if part.stage), default=-1)


def _taller(long: Fraction, narrowest: Fraction) -> int:
    """Return how many times larger widths are drawn, so that the narrowest board has room for its mark."""
    slender = long / narrowest
    return max(1, ceil(slender / ROOMY))
