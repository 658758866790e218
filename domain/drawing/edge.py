"""The section through the front of a top with a built-up edge: what is seen, and what is there."""

from collections.abc import Iterator
from fractions import Fraction

from domain.drawing.shape import Callout, Dimension, Drawing, Label, Meaning, Shape, Side, box, line
from domain.drawing.tape import Tape
from domain.length import Length
from domain.part import Built
from domain.pieces.base_cabinet import BaseCabinet
from domain.pieces.built_up_edge import BuiltUpEdge
from domain.pieces.making import sheet_thickness
from domain.pieces.piece import PlacedPiece
from domain.pieces.support_strips import SupportStrips
from domain.practice import ShopPractice

BEHIND, BELOW = Fraction(4), Fraction(2)
"""How far the drawing goes on behind the front of the cabinet, and below its top [in]."""


def edge_section(
    placed: PlacedPiece, edge: BuiltUpEdge, built: Built, strips: SupportStrips | None, cabinet: BaseCabinet | None,
    practice: ShopPractice, tape: Tape,
) -> Drawing:  # fmt: skip
    """Return the section, its front at the left. strips, cabinet: what is under the top in this job, if any."""
    raised = sheet_thickness(strips.sheet, strips.thickness.value, practice).length if strips else None
    below = sheet_thickness(cabinet.sheet, cabinet.thickness.value, practice).length if cabinet else None
    return _Section(placed, edge, built, raised, below, tape).drawing()


class _Section:
    """raised: thickness of the support strips; below: of the cabinet's sheet; None without."""

    def __init__(
        self, placed: PlacedPiece, edge: BuiltUpEdge, built: Built, raised: Length | None, below: Length | None,
        tape: Tape,
    ) -> None:  # fmt: skip
        self.placed, self.edge, self.built, self.tape = placed, edge, built, tape
        self.raised, self.below = raised, below
        self.there, self.seen = edge.top_thickness.inches, edge.seen_thickness.inches
        self.face = edge.overhang.inches
        self.strip = edge.strip_width.inches + (edge.across_wider.inches if edge.end_grain_front else 0)
        self.end = max(self.face, self.strip) + BEHIND
        self.floor = self.there + (raised.inches if raised else 0)

    def drawing(self) -> Drawing:
        mark, edge = self.tape.mark, self.edge
        return Drawing(
            key=f"piece-{self.placed.id}-section",
            title=f"{self.placed.name}, section",
            about=f"Cut through from front to back, the front at the left. Seen from the front it is "
            f"{mark(edge.seen_thickness)} thick; behind the strip the top is {mark(edge.top_thickness)}.",
            words=tuple(self._sentences()),
            shapes=tuple(self._shapes()),
            labels=tuple(self._labels()),
            callouts=tuple(self._callouts()),
            dimensions=tuple(self._dimensions()),
        )

    @property
    def strip_name(self) -> str:
        part = self.built.parts[0]
        return f"{part.mark}, {part.name.lower()}"

    def _shapes(self) -> Iterator[Shape]:
        under = self.seen - self.there
        yield box(Meaning.SAWN, 0, 0, self.end, self.there, "top")
        yield box(Meaning.SAWN_TOO, 0, self.there, self.strip, under, "strip")
        if self.raised:
            ahead = max(self.face, self.strip)
            yield box(Meaning.SAWN_TOO, ahead, self.there, self.end - ahead, self.raised.inches, "support strip")
        if self.below:
            yield box(Meaning.SAWN, self.face, self.floor, self.end - self.face, self.below.inches, "stretcher")
            bottom = self.floor + self.below.inches + BELOW
            yield line(Meaning.PART, (self.face, self.floor), (self.face, bottom), name="cabinet side")
            yield line(Meaning.BEHIND, (self.face, bottom), (self.end, bottom))
        zero = Fraction(0)
        yield line(Meaning.SEEN, (zero, zero), (zero, self.seen), name="seen edge")

    def _callouts(self) -> Iterator[Callout]:
        ahead = self.end * Fraction(9, 10)
        if self.raised:
            yield Callout((ahead, self.there + self.raised.inches / 2), f"support strip, {self.tape.bare(self.raised)}")
        if self.below:
            yield Callout((ahead, self.floor + self.below.inches / 2), "stretcher of the cabinet")
            yield Callout((self.face, self.floor + self.below.inches + BELOW * Fraction(2, 3)), "side of the cabinet")

    def _labels(self) -> Iterator[Label]:
        there, zero = self.tape.bare(self.edge.top_thickness), Fraction(0)
        yield Label((f"top: {there} there", "top"), (self.strip, zero, self.end, self.there))
        part = self.built.parts[0]
        yield Label((f"{part.mark}\n{part.name.lower()}", part.mark), (zero, self.there, self.strip, self.seen))

    def _dimensions(self) -> Iterator[Dimension]:
        zero = Fraction(0)
        yield Dimension(Side.LEFT, zero, self.seen, zero, 0, f"{self.tape.bare(self.edge.seen_thickness)} seen")
        yield Dimension(Side.RIGHT, zero, self.there, self.end)
        yield Dimension(Side.BOTTOM, zero, self.strip, self.seen, 0)
        if self.face > 0:
            yield Dimension(Side.TOP, zero, self.face, zero, 0, f"{self.tape.bare(self.edge.overhang)} overhang")

    def _sentences(self) -> Iterator[str]:
        mark, edge = self.tape.mark, self.edge
        thick = Length(self.seen - self.there)
        yield f"Thickness seen: {mark(edge.seen_thickness)}."
        yield f"Thickness there, behind the strip: {mark(edge.top_thickness)}."
        yield f"{self.strip_name}: {mark(thick)} thick and {mark(Length(self.strip))} wide, under the front of the top."
        for part in self.built.parts[1:]:
            sizes = f"{mark(part.thickness)} thick and {mark(part.width)} wide"
            yield f"{part.mark}, {part.name.lower()}: {sizes}, round the ends; not in this section."
        yield f"The top reaches {mark(edge.overhang)} over the front of the cabinets."
        if self.raised:
            yield f"A support strip {mark(self.raised)} thick lies on the cabinet and raises the top."
        if self.below:
            yield f"Below it: a stretcher of the cabinet, {mark(self.below)} thick, and its side."
        low = Length(self.seen - self.floor)
        if self.below and low.inches > 0:
            yield f"The strip hangs {mark(low)} below the upper edge of the cabinet."
            if self.strip > self.face:
                yield "It is wider than the overhang, so it would sit on the cabinet: raise the top more."
