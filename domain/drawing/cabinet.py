"""A base cabinet from the front, doors and drawers shown, and cut through from front to back."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from domain.drawing.shape import Callout, Dimension, Drawing, Label, Meaning, Shape, Side, box, line, within
from domain.drawing.stack import Front, Inside, fronts, overlapping
from domain.drawing.tape import Tape
from domain.length import Length
from domain.part import Built, Part
from domain.pieces.base_cabinet import BaseCabinet
from domain.pieces.piece import PlacedPiece
from domain.practice import ShopPractice


@dataclass(frozen=True, slots=True)
class Carcass:
    """The sizes of a cabinet as built, from its upper left corner [in]. box: the foot of the box, above the kick."""

    wide: Fraction
    high: Fraction
    deep: Fraction
    box: Fraction
    thick: Fraction
    back: Fraction
    side: Fraction
    stretcher: Fraction

    @property
    def inside(self) -> Inside:
        return Inside(self.thick, self.thick, self.wide - self.thick, self.box - self.thick)

    @property
    def front_of_back(self) -> Fraction:
        return self.deep - self.back


@dataclass(frozen=True, slots=True)
class Shown:
    """A cabinet to draw: its parts by name, what belongs to it, its fronts."""

    placed: PlacedPiece
    cabinet: BaseCabinet
    built: Built
    carcass: Carcass
    fronts: tuple[Front, ...]
    tape: Tape

    def part(self, name: str) -> Part | None:
        return next((part for part in self.built.parts if part.name == name), None)

    def called(self, name: str) -> str:
        """Return a part's mark and name, as words: `A side`."""
        part = self.part(name)
        return f"{part.mark} {part.name.lower()}" if part else name.lower()

    def levels(self) -> Iterator[tuple[str, Fraction]]:
        """Yield what lies between top and bottom, and where its upper face is [in]: stretchers beyond the two at the
        top, which are rails in front, then fixed and loose shelves; spread evenly.
        """
        names = ["Stretcher"] * (self.cabinet.stretchers - 2)
        names += ["Fixed shelf"] * self.cabinet.fixed_shelves + ["Adjustable shelf"] * self.cabinet.adjustable_shelves
        inside = self.carcass.inside
        apart = (inside.high - len(names) * self.carcass.thick) / (len(names) + 1)
        for number, name in enumerate(names, start=1):
            yield name, inside.top + number * apart + (number - 1) * self.carcass.thick


def shown(
    placed: PlacedPiece, cabinet: BaseCabinet, built: Built, belongings: Sequence[PlacedPiece], practice: ShopPractice,
    tape: Tape,
) -> Shown:  # fmt: skip
    """Return a cabinet with what belongs to it, ready to draw."""
    parts = {part.name: part for part in built.parts}
    side, back = parts["Side"], parts["Back"]
    carcass = Carcass(
        wide=cabinet.width.inches, high=cabinet.height.inches, deep=cabinet.depth.inches,
        box=cabinet.height.inches - cabinet.toe_kick_height.inches, thick=side.thickness.inches,
        back=back.thickness.inches, side=side.length.inches, stretcher=cabinet.stretcher_width.inches,
    )  # fmt: skip
    found = fronts(belongings, placed.quantity, carcass.inside, practice)
    return Shown(placed, cabinet, built, carcass, found, tape)


def cabinet_front(one: Shown) -> Drawing:
    """Return a cabinet seen from the front."""
    return _FrontView(one).drawing()


class _FrontView:
    def __init__(self, one: Shown) -> None:
        self.one, self.case, self.tape = one, one.carcass, one.tape

    def drawing(self) -> Drawing:
        cabinet, mark = self.one.cabinet, self.tape.mark
        many = f" Its {len(self.one.fronts)} fronts hide what is dashed." if self.one.fronts else ""
        return Drawing(
            key=f"piece-{self.one.placed.id}-front",
            title=f"{self.one.placed.name}, front",
            about=f"{mark(cabinet.width)} wide and {mark(cabinet.height)} high, toe kick of "
            f"{mark(cabinet.toe_kick_height)} included.{many}",
            words=tuple(self._sentences()),
            shapes=tuple(self._shapes()),
            labels=tuple(self._labels()),
            callouts=tuple(self._callouts()),
            dimensions=tuple(self._dimensions()),
        )

    def _shapes(self) -> Iterator[Shape]:
        case = self.case
        meaning = Meaning.BEHIND if self.one.fronts else Meaning.PART
        inner = case.wide - 2 * case.thick
        yield box(Meaning.OUTLINE, 0, 0, case.wide, case.high, "cabinet")
        yield box(meaning, 0, 0, case.thick, case.side, "side, left")
        yield box(meaning, case.wide - case.thick, 0, case.thick, case.side, "side, right")
        yield box(meaning, case.thick, case.box - case.thick, inner, case.thick, "bottom")
        yield box(meaning, case.thick, 0, inner, case.thick, "stretcher")
        for name, top in self.one.levels():
            yield box(meaning, case.thick, top, inner, case.thick, name.lower())
        if case.box < case.high:
            yield line(Meaning.PART, (Fraction(0), case.box), (case.wide, case.box), name="toe kick")
        for front in self.one.fronts:
            yield box(Meaning.PART, front.left, front.top, front.wide, front.high, front.name)

    def _labels(self) -> Iterator[Label]:
        for front in self.one.fronts:
            size = f"{self.tape.bare(Length(front.wide))} × {self.tape.bare(Length(front.high))}"
            shape = box(Meaning.PART, front.left, front.top, front.wide, front.high)
            yield Label((f"{front.name}\n{size}", size, front.name), within(shape))

    def _callouts(self) -> Iterator[Callout]:
        case, one = self.case, self.one
        near = case.wide - case.thick - case.wide / 12
        if case.box < case.high:
            yield Callout((near, (case.box + case.high) / 2), "toe kick")
        yield Callout((case.wide - case.thick / 2, case.box * Fraction(5, 6)), one.called("Side"))
        yield Callout((near, case.box - case.thick / 2), one.called("Bottom"))
        yield Callout((near, case.thick / 2), one.called("Stretcher"))
        for name, top in one.levels():
            yield Callout((near, top + case.thick / 2), one.called(name))

    def _dimensions(self) -> Iterator[Dimension]:
        case, zero = self.case, Fraction(0)
        yield Dimension(Side.BOTTOM, case.thick, case.wide - case.thick, case.high, 0)
        yield Dimension(Side.BOTTOM, zero, case.wide, case.high, 1)
        if case.box < case.high:
            yield Dimension(Side.LEFT, zero, case.box, zero, 0)
            yield Dimension(Side.LEFT, case.box, case.high, zero, 0)
        yield Dimension(Side.LEFT, zero, case.high, zero, 1)

    def _sentences(self) -> Iterator[str]:
        one, mark = self.one, self.tape.mark
        cabinet = one.cabinet
        many = f" {one.placed.quantity} are made alike." if one.placed.quantity > 1 else ""
        sizes = f"{mark(cabinet.width)} wide, {mark(cabinet.height)} high, {mark(cabinet.depth)} deep"
        yield f"{one.placed.name}: {sizes}.{many}"
        for part in one.built.parts:
            yield (
                f"{part.mark}, {part.name.lower()}: {part.count} of {mark(part.width)} × {mark(part.length)}, "
                f"{mark(part.thickness)} thick{WHERE.get(part.name, '')}."
            )
        for front in one.fronts:
            above = mark(Length(self.case.high - front.bottom))
            wide, high = mark(Length(front.wide)), mark(Length(front.high))
            yield f"{front.name}: front {wide} wide and {high} high, {above} above the floor."
        if (over := overlapping(one.fronts)).inches > 0:
            yield f"Stacked like that, fronts run over one another by {mark(over)}: look at overlay and openings."
        if one.fronts:
            yield "Where fronts are is a drawing's guess: spread from top to bottom, doors below drawers."


WHERE = {
    "Side": ", left and right",
    "Bottom": ", between the sides above the toe kick",
    "Stretcher": ", across the top",
    "Back": ", behind the box",
    "Fixed shelf": ", between the sides",
    "Adjustable shelf": ", on pins",
}
"""Where a part of a cabinet is, as a sentence goes on."""
