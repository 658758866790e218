"""A base cabinet cut through from front to back, its front at the left."""

from collections.abc import Iterator, Mapping
from fractions import Fraction

from domain.drawing.cabinet import Shown
from domain.drawing.shape import Callout, Dimension, Drawing, Meaning, Shape, Side, box, line
from domain.length import Length
from domain.part import Built

KICK, FOOT = Fraction(3), Fraction(3, 2)
"""How far a toe kick is set back, and how wide a leveling foot is drawn [in]. Source: common practice, no source."""


def cabinet_section(one: Shown, built: Mapping[int, Built]) -> Drawing:
    """Return the section. built: what the pieces that belong to the cabinet are made of, by their id."""
    return _Section(one, built).drawing()


class _Section:
    def __init__(self, one: Shown, built: Mapping[int, Built]) -> None:
        self.one, self.case, self.tape, self.built = one, one.carcass, one.tape, built

    def drawing(self) -> Drawing:
        cabinet, mark = self.one.cabinet, self.tape.mark
        return Drawing(
            key=f"piece-{self.one.placed.id}-section",
            title=f"{self.one.placed.name}, section",
            about=f"Cut through from front to back, the front at the left: {mark(cabinet.depth)} deep without doors, "
            f"{mark(cabinet.height)} high.",
            words=tuple(self._sentences()),
            shapes=tuple(self._shapes()),
            callouts=tuple(self._callouts()),
            dimensions=tuple(self._dimensions()),
        )

    def _shapes(self) -> Iterator[Shape]:
        case, one = self.case, self.one
        deep = case.front_of_back
        yield self._side()
        yield box(Meaning.SAWN, deep, 0, case.back, case.box, "back")
        yield box(Meaning.SAWN_TOO, 0, case.box - case.thick, deep, case.thick, "bottom")
        yield box(Meaning.SAWN_TOO, 0, 0, case.stretcher, case.thick, "stretcher, front")
        if one.cabinet.stretchers > 1:
            yield box(Meaning.SAWN_TOO, deep - case.stretcher, 0, case.stretcher, case.thick, "stretcher, back")
        for name, top in one.levels():
            part = one.part(name)
            wide = part.width.inches if part else deep
            begins = Fraction(0) if name == "Stretcher" else deep - wide
            yield box(Meaning.SAWN_TOO, begins, top, wide, case.thick, name.lower())
        yield from self._fronts()
        yield from self._feet()

    def _side(self) -> Shape:
        """Return the side beyond the cut: to the floor with a notch for the toe kick, or the box alone."""
        case, zero = self.case, Fraction(0)
        deep = case.front_of_back
        if case.side <= case.box:
            return box(Meaning.OUTLINE, 0, 0, deep, case.side, "side")
        kick = min(KICK, deep / 4)
        points = (
            (zero, zero), (deep, zero), (deep, case.high), (kick, case.high), (kick, case.box), (zero, case.box),
        )  # fmt: skip
        return Shape(Meaning.OUTLINE, points, "side")

    def _fronts(self) -> Iterator[Shape]:
        for front in self.one.fronts:
            parts = self.built[front.placed.id].parts if front.placed.id in self.built else ()
            if not parts:
                continue
            thick = parts[0].thickness.inches
            yield box(Meaning.SAWN, -thick, front.top, thick, front.high, front.name)
            side = next((part for part in parts if part.name == "Box side"), None)
            if side:
                low = front.top + (front.high - side.width.inches) / 2
                yield box(Meaning.BEHIND, 0, low, side.length.inches, side.width.inches, f"{front.name}, box")

    def _feet(self) -> Iterator[Shape]:
        case = self.case
        if not self.one.cabinet.stands_on_feet or case.box >= case.high:
            return
        for x in (min(KICK, case.deep / 4), case.front_of_back - 2 * FOOT):
            yield box(Meaning.PART, x, case.box, FOOT, case.high - case.box, "foot")
        yield line(Meaning.LEVEL, (Fraction(0), case.high), (case.deep, case.high), name="floor")

    def _callouts(self) -> Iterator[Callout]:
        case, one = self.case, self.one
        middle = case.deep * Fraction(3, 5)
        yield Callout((case.front_of_back + case.back / 2, case.box * Fraction(5, 6)), one.called("Back"))
        yield Callout((middle, case.box - case.thick / 2), one.called("Bottom"))
        at = case.front_of_back - case.stretcher / 2 if one.cabinet.stretchers > 1 else case.stretcher / 2
        yield Callout((at, case.thick / 2), one.called("Stretcher"))
        for name, top in one.levels():
            x = case.stretcher / 2 if name == "Stretcher" else middle
            yield Callout((x, top + case.thick / 2), one.called(name))
        yield Callout((middle, case.box * Fraction(8, 9)), f"{one.called('Side')}, beyond")

    def _dimensions(self) -> Iterator[Dimension]:
        case, zero = self.case, Fraction(0)
        foot = case.high
        yield Dimension(Side.BOTTOM, zero, case.front_of_back, foot, 0)
        yield Dimension(Side.BOTTOM, zero, case.deep, foot, 1)
        yield Dimension(Side.TOP, zero, min(case.stretcher, case.front_of_back), zero, 0)
        left = min(shape.left for shape in self._shapes())
        if case.box < case.high:
            yield Dimension(Side.LEFT, zero, case.box, left, 0)
            yield Dimension(Side.LEFT, case.box, case.high, left, 0)
        yield Dimension(Side.LEFT, zero, case.high, left, 1)

    def _sentences(self) -> Iterator[str]:
        one, mark, case = self.one, self.tape.mark, self.case
        yield f"{one.called('Side')}: {mark(Length(case.front_of_back))} deep, in front of the back."
        yield f"{one.called('Back')}: {mark(Length(case.back))} thick, behind everything."
        yield f"{one.called('Bottom')}: its underside {mark(Length(case.high - case.box))} above the floor."
        yield f"{one.called('Stretcher')}: {mark(Length(case.stretcher))} wide, {self._stretchers()}."
        for name, top in one.levels():
            yield f"{one.called(name)}: its upper face {mark(Length(case.high - top))} above the floor, as drawn."
        for front in one.fronts:
            if front.placed.id in self.built:
                yield f"{front.name}: {self._depth(front.placed.id)} in front of the cabinet."

    def _stretchers(self) -> str:
        many = self.one.cabinet.stretchers
        if many == 1:
            return "one at the top in front"
        return "at the top in front and at the back" + (f", {many - 2} more as rails in front" if many > 2 else "")

    def _depth(self, piece_id: int) -> str:
        parts = self.built[piece_id].parts
        side = next((part for part in parts if part.name == "Box side"), None)
        box_words = f", its box {self.tape.mark(side.length)} long behind it" if side else ""
        return f"{self.tape.mark(parts[0].thickness)} thick{box_words}, the front"
