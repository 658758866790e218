"""Boards and sheets with what is cut from them, as laid out: each way of cutting once, with how many are cut so."""

from collections.abc import Iterator, Mapping
from fractions import Fraction

from domain.cutting import is_worth_keeping
from domain.drawing.shape import Dimension, Drawing, Label, Marker, Meaning, Shape, Side, box, within
from domain.drawing.tape import Tape
from domain.layout.shape import Blank, Cut, Laid, Layout, Place, Rectangle, Source, Way
from domain.length import ZERO, Length
from domain.material import MaterialKind
from domain.words import counted

TURNED = "Drawn upright: its left end is at the top, its near edge at the left."


def layout_drawings(
    layout: Layout, called: Mapping[str, str], tape: Tape, kind: MaterialKind, *, key: str = "layout", first: int = 1
) -> tuple[Drawing, ...]:
    """Return a drawing of each board or sheet, alike ones drawn once.

    called: what each source is, by its key; kind: boards or sheets; first: the number of the first board, where
    others come before.
    """
    return tuple(_Bench(layout, called, tape, kind, key).drawings(first))


class _Bench:
    def __init__(self, layout: Layout, called: Mapping[str, str], tape: Tape, kind: MaterialKind, key: str) -> None:
        self.layout, self.called, self.tape, self.kind, self.key = layout, called, tape, kind, key
        self.sources = {one.key: one for one in layout.to_cut.sources}
        self.blanks = {one.key: one for one in layout.to_cut.blanks}

    def drawings(self, first: int) -> Iterator[Drawing]:
        alike: dict[Laid, list[int]] = {}
        for number, laid in enumerate(self.layout.laid, start=first):
            alike.setdefault(laid, []).append(number)
        for number, (laid, numbers) in enumerate(alike.items(), start=1):
            yield self._drawing(number, laid, numbers)

    def _drawing(self, number: int, laid: Laid, numbers: list[int]) -> Drawing:
        source = self.sources[laid.source]
        size = f"{self.tape.bare(source.length)} × {self.tape.bare(source.width)}"
        name = self.called.get(source.key, source.key)
        times = f" × {len(numbers)}" if len(numbers) > 1 else ""
        sheet = box(Meaning.OUTLINE, 0, 0, source.length.inches, source.width.inches, "source")
        return Drawing(
            key=f"{self.key}-{number}",
            title=f"{_numbered(numbers)} {name}, {size}{times}",
            about=f"{name}, {size} {self.tape.unit} usable: {counted(len(laid.places), 'part')} cut from it "
            f"in {counted(len(laid.cuts), 'cut')}, {counted(len(laid.offcuts), 'offcut')} left."
            + (f" {len(numbers)} are cut alike." if len(numbers) > 1 else ""),
            words=tuple(self._sentences(laid, source, name, numbers)),
            shapes=(sheet, *self._shapes(laid, source)),
            labels=tuple(self._labels(laid, source)),
            markers=tuple(_marker(cut, source) for cut in laid.cuts),
            turned="" if _taller(source) > 1 or source.length < source.width else TURNED,
            taller=_taller(source),
            dimensions=(
                Dimension(Side.TOP, sheet.left, sheet.right, sheet.top),
                Dimension(Side.LEFT, sheet.top, sheet.bottom, sheet.left),
            ),
        )

    def _shapes(self, laid: Laid, source: Source) -> Iterator[Shape]:
        for offcut in laid.offcuts:
            yield _placed(Meaning.OFFCUT if self._is_kept(offcut) else Meaning.WASTE, offcut, source)
        for place in laid.places:
            yield _placed(Meaning.PART, place.at, source, self._name(place))
        for cut in laid.cuts:
            start, end = _ends(cut, source)
            yield Shape(Meaning.CUT, (start, end), f"cut {cut.number}", closed=False)

    def _labels(self, laid: Laid, source: Source) -> Iterator[Label]:
        named = [(self._name(place), place.at) for place in laid.places]
        named += [("offcut", one) for one in laid.offcuts if self._is_kept(one)]
        said = [f"{name} {self._size(at)}" for name, at in named]
        for (name, at), words in zip(named, said, strict=True):
            many = said.count(words)
            together = f"{words}, {many} of them" if many > 1 else ""
            short = () if name == "offcut" else (name,)
            yield Label(
                (f"{name}\n{self._size(at)}", words, *short), within(_placed(Meaning.PART, at, source)), together
            )

    def _is_kept(self, offcut: Rectangle) -> bool:
        return is_worth_keeping(offcut, self.layout.to_cut.keep, self.kind)

    def _name(self, place: Place) -> str:
        return self.blanks[place.blank].name

    def _size(self, at: Rectangle) -> str:
        return f"{self.tape.bare(at.length)} × {self.tape.bare(at.width)}"

    def _sentences(self, laid: Laid, source: Source, name: str, numbers: list[int]) -> Iterator[str]:
        mark = self.tape.mark
        alike = f"; {_numbered(numbers)[:-1]} are cut alike" if len(numbers) > 1 else ""
        yield f"{name}: {mark(source.length)} long and {mark(source.width)} wide, trims taken off{alike}."
        for place in laid.places:
            blank = self.blanks[place.blank]
            yield (
                f"{blank.name}: {_said(blank, self.tape)}, {_from(place.at, self.tape)}"
                f"{', turned: its length lies across' if place.turned else ''}."
            )
        for cut in laid.cuts:
            yield f"Cut {cut.number}: {_cut_words(cut, self.tape)}."
        for offcut in laid.offcuts:
            what = "Offcut" if self._is_kept(offcut) else "Left over, too small to keep"
            yield f"{what}: {mark(offcut.length)} long, {mark(offcut.width)} wide, {_from(offcut, self.tape)}."


def _taller(source: Source) -> int:
    """Return how many times larger widths are drawn, so that there is room on a thin board for words."""
    slender = source.length.inches / source.width.inches
    return 1 if slender < 6 else 2 if slender < 12 else 3


def _numbered(numbers: list[int]) -> str:
    """Return the numbers of boards or sheets as they are taken up: `No. 3.`, `No. 1 to 4.`, `No. 1, 2, 6.`"""
    first, last = numbers[0], numbers[-1]
    in_a_row = last - first + 1 == len(numbers) and len(numbers) > 2
    return f"No. {first} to {last}." if in_a_row else f"No. {', '.join(map(str, numbers))}."


def _placed(meaning: Meaning, at: Rectangle, source: Source, name: str = "") -> Shape:
    """Return a place as drawn: the near edge of the board is at the foot of the paper."""
    return box(meaning, at.x.inches, (source.width - at.far).inches, at.length.inches, at.width.inches, name)


def _ends(cut: Cut, source: Source) -> tuple[tuple[Fraction, Fraction], tuple[Fraction, Fraction]]:
    wide = source.width.inches
    if cut.way is Way.RIP:
        y = wide - cut.at.inches
        return (cut.begins.inches, y), (cut.ends.inches, y)
    return (cut.at.inches, wide - cut.ends.inches), (cut.at.inches, wide - cut.begins.inches)


def _marker(cut: Cut, source: Source) -> Marker:
    start, end = _ends(cut, source)
    return Marker(str(cut.number), start, end)


def _said(blank: Blank, tape: Tape) -> str:
    return f"{tape.mark(blank.length)} long, {tape.mark(blank.width)} wide"


def _from(at: Rectangle, tape: Tape) -> str:
    """Return where a place begins."""
    left = "at the left end" if at.x == ZERO else f"{tape.mark(at.x)} from the left end"
    near = "at the near edge" if at.y == ZERO else f"{tape.mark(at.y)} from the near edge"
    return f"{left}, {near}"


def _cut_words(cut: Cut, tape: Tape) -> str:
    def from_to(start: Length, end: Length) -> str:
        return f"{'0' if start == ZERO else tape.mark(start)} to {tape.mark(end)}"

    if cut.way is Way.RIP:
        return f"rip {tape.mark(cut.at)} from the near edge, along from {from_to(cut.begins, cut.ends)}"
    return f"crosscut {tape.mark(cut.at)} from the left end, across from {from_to(cut.begins, cut.ends)}"
