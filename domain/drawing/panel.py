"""A panel as glued up, seen from above: boards, glue lines, what is cut off and when, grain and fasteners."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from domain.drawing.shape import Label, Meaning, Point, Shape, line
from domain.drawing.tape import Tape
from domain.figure import Figure
from domain.glue_up import cut_off, fastener_places
from domain.length import Length
from domain.pieces.end_joints import StripRows
from domain.pieces.panel import Panel
from domain.practice import ShopPractice

APART = "\N{NO-BREAK SPACE}" * 2
FASTENER, ARROW = Fraction(3, 8), Fraction(1, 5)
"""Half the length a fastener is drawn; share of the panel's length that a grain arrow takes."""


@dataclass(frozen=True, slots=True)
class Board:
    """One board of a panel, or a row of strips. width: once jointed; joints: end joints, from the finished end [in]."""

    name: str
    width: Fraction
    joints: tuple[Fraction, ...] = ()


@dataclass(frozen=True, slots=True)
class PanelPlan:
    """A panel to draw. along, across: finished [in]; start, end: cut off last at each end of the grain [in];
    boards: in their order across; fasteners: along the joints, from the end as glued [in].
    """

    along: Fraction
    across: Fraction
    boards: tuple[Board, ...]
    start: Fraction = Fraction(0)
    end: Fraction = Fraction(0)
    fasteners: tuple[Fraction, ...] = ()

    @property
    def glued(self) -> Fraction:
        return sum((board.width for board in self.boards), Fraction(0))

    @property
    def ripped(self) -> Fraction:
        """Return what is ripped off at each of the two edges: the panel stands in the middle of what is glued [in]."""
        return (self.glued - self.across) / 2

    def edges(self) -> Iterator[tuple[Board, Fraction, Fraction]]:
        """Yield each board with where it begins and ends across, the finished edge being at 0."""
        begins = -self.ripped
        for board in self.boards:
            yield board, begins, begins + board.width
            begins += board.width


def plan_of(
    panel: Panel, rows: StripRows | None, marks: Sequence[str], practice: ShopPractice, *, of: str = ""
) -> PanelPlan:
    """Return a panel to draw. rows: how its rows are cut up, if they are; marks: of its boards, alike ones together;
    of: which leg it is, where there are two.
    """
    start, end = cut_off(panel.extra, panel.ends_cut)
    places: tuple[Figure, ...] = ()
    if panel.fastening and panel.board_count > 1:
        places = fastener_places(
            panel.fastening, panel.glued_length, practice, extra_length=panel.extra, ends_cut=panel.ends_cut
        )
    boards = _rows(panel, rows, of) if rows else _boards(panel, marks)
    along, across = panel.along.value, panel.across.value
    return PanelPlan(along, across, tuple(boards), start, end, tuple(place.value for place in places))


def _boards(panel: Panel, marks: Sequence[str]) -> Iterator[Board]:
    """Yield boards one by one: A1, A2, B1; a lone one keeps the mark alone."""
    for mark, (count, width) in zip(marks, panel.boards, strict=False):
        for number in range(1, count + 1):
            yield Board(mark if count == 1 else f"{mark}{number}", width.value)


def _rows(panel: Panel, rows: StripRows, of: str) -> Iterator[Board]:
    """Yield rows of strips; every second one starts and ends with half a strip."""
    widths = [width.value for count, width in panel.boards for _ in range(count)]
    strip, half = rows.strip.value, rows.half.value
    for number, width in enumerate(widths, start=1):
        first, many = (strip, rows.many - 1) if number % 2 else (half, rows.many)
        yield Board(
            f"row {number}, {of}" if of else f"row {number}",
            width,
            tuple(first + strip * place for place in range(many)),
        )


Place = Callable[[Fraction, Fraction], Point]
"""Along the grain, across it -> on the drawing."""


@dataclass(frozen=True, slots=True)
class LaidPanel:
    """A panel where it lies on the drawing."""

    plan: PanelPlan
    place: Place

    def corners(self, along: Fraction, across: Fraction, to_along: Fraction, to_across: Fraction) -> tuple[Point, ...]:
        return (
            self.place(along, across), self.place(to_along, across),
            self.place(to_along, to_across), self.place(along, to_across),
        )  # fmt: skip

    def shapes(self) -> Iterator[Shape]:
        """Yield what is cut off, boards, glue lines, grain, fasteners and cuts; the finished outline is the piece's."""
        plan = self.plan
        first, last = -plan.start, plan.along + plan.end
        yield from self._waste(first, last)
        for board, begins, ends in plan.edges():
            yield Shape(Meaning.PART, self.corners(first, begins, last, ends), board.name)
            for at in board.joints:
                yield line(Meaning.JOINT, self.place(at, begins), self.place(at, ends), name="end joint")
            middle, reach = plan.along * Fraction(7, 10), plan.along * ARROW / 2
            across = (begins + ends) / 2
            yield line(Meaning.GRAIN, self.place(middle - reach, across), self.place(middle + reach, across))
        for _, begins, _ in list(plan.edges())[1:]:
            yield line(Meaning.JOINT, self.place(first, begins), self.place(last, begins), name="glue line")
            for at in plan.fasteners:
                near, far = self.place(first + at, begins - FASTENER), self.place(first + at, begins + FASTENER)
                yield line(Meaning.FASTENER, near, far)
        yield from self._cuts()

    def _waste(self, first: Fraction, last: Fraction) -> Iterator[Shape]:
        plan, far = self.plan, self.plan.across + self.plan.ripped
        near = -plan.ripped
        if plan.start:
            yield Shape(Meaning.WASTE, self.corners(first, near, Fraction(0), far), "last cut")
        if plan.end:
            yield Shape(Meaning.WASTE, self.corners(plan.along, near, last, far), "last cut")
        if plan.ripped:
            yield Shape(Meaning.WASTE, self.corners(Fraction(0), near, plan.along, Fraction(0)), "ripped off")
            yield Shape(Meaning.WASTE, self.corners(Fraction(0), plan.across, plan.along, far), "ripped off")

    def _cuts(self) -> Iterator[Shape]:
        plan, far = self.plan, self.plan.across + self.plan.ripped
        for extra, at in ((plan.start, Fraction(0)), (plan.end, plan.along)):
            if extra:
                yield line(Meaning.CUT, self.place(at, -plan.ripped), self.place(at, far), name="last cut")

    def labels(self, tape: Tape) -> Iterator[Label]:
        """Yield the name and width of each board, where its grain arrow is not."""
        for board, begins, ends in self.plan.edges():
            until = min([self.plan.along * Fraction(11, 20), *board.joints])
            corners = self.corners(Fraction(0), begins, until, ends)
            xs, ys = [x for x, _ in corners], [y for _, y in corners]
            width = tape.bare(Length(board.width))
            alike = [one.name for one in self.plan.boards if one.width == board.width]
            together = f"{alike[0]} to {alike[-1]}, each {width}" if len(alike) > 1 else ""
            words = f"{board.name}{APART}{width}"
            yield Label((words, board.name), (min(xs), min(ys), max(xs), max(ys)), together)


def panel_sentences(plan: PanelPlan, tape: Tape, first: str, last: str) -> Iterator[str]:
    """Yield boards, glue lines and cuts as sentences. first, last: what the first and last board lie at."""
    yield f"{len(plan.boards)} boards side by side." if len(plan.boards) > 1 else "One board."
    for number, board in enumerate(plan.boards):
        where = "" if len(plan.boards) == 1 else f", at {first}" if number == 0 else ""
        where = f", at {last}" if number == len(plan.boards) - 1 and number else where
        called = board.name.capitalize() if board.joints else f"Board {board.name}"
        joints = ", ".join(tape.mark(Length(at)) for at in board.joints)
        jointed = f", end joints {joints} from its first finished end" if joints else ""
        yield f"{called}: {tape.mark(Length(board.width))} wide{where}{jointed}."
    if lines := len(plan.boards) - 1:
        fastened = f", {len(plan.fasteners)} fasteners in each, none where the last cut goes" if plan.fasteners else ""
        yield f"{lines} glue line{'s' * (lines > 1)}{fastened}."
    for extra, end in ((plan.start, "start"), (plan.end, "end")):
        if extra and (end == "end" or not plan.end):
            ends = "at each end" if plan.start == plan.end else "at the free end"
            yield f"Left on until the last cut: {tape.mark(Length(extra))} {ends} of the grain."
    if plan.ripped:
        yield f"Ripped off once glued: {tape.mark(Length(plan.ripped))} at each edge."
