"""Which boards a top is glued up from: of one width, of the widths typed, or chosen from those to be had."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import Enum
from fractions import Fraction
from itertools import groupby
from math import ceil

from domain.figure import Figure, typed
from domain.length import Length
from domain.pieces.ask import number, pick, size, sizes
from domain.pieces.board_mix import Fill, chosen, left_over
from domain.pieces.making import Making, each, inches
from domain.pieces.panel import (
    WIDEST,
    Boards,
    boards_no_wider,
    boards_of_widths,
    equal_boards,
    glued_width,
    jointed,
    off_its_edges,
    sum_problems,
    width_problems,
)
from domain.practice import ShopPractice
from domain.problem import Problem
from domain.words import listing

BOARDS = "Boards"


class BoardsBy(Enum):
    COUNT = "so many boards of one width"
    WIDEST = "boards of one width, no wider than"
    CHOSEN = "mixed, of widths to be had"
    MIXED = "boards of the widths typed"


@dataclass(frozen=True, kw_only=True)
class BoardChoice:
    """How a top is divided into boards across its grain."""

    boards_by: BoardsBy = pick("Boards", BoardsBy.WIDEST, group=BOARDS)
    board_count: int = number("Number of boards", 5, least=1, most=80, group=BOARDS, help="For so many of one width.")
    widest_board: Length = size("Widest board", "6", least="1 in", most="24 in", group=BOARDS,
                                help="For boards of one width, no wider than.")  # fmt: skip
    stock_widths: tuple[Length, ...] = sizes(
        "Widths to be had", least="1 in", most="24 in", group=BOARDS,
        help="Rough, to choose mixed widths from. Empty: whole inches of the boards you usually buy.",
    )  # fmt: skip
    board_widths: tuple[Length, ...] = sizes(
        "Board widths", least="1 in", most="24 in", group=BOARDS,
        help="For the widths typed: rough, in their order, with commas between: 5 1/2, 6, 4 3/4",
    )  # fmt: skip

    @property
    def is_mixed(self) -> bool:
        return self.boards_by in (BoardsBy.CHOSEN, BoardsBy.MIXED)


LEAST_RIPPED = "of the widths to be had, those that leave the least to rip away, then the fewest boards"

TYPED = "board_widths"

FIELDS = {
    BoardsBy.COUNT: "board_count",
    BoardsBy.WIDEST: "widest_board",
    BoardsBy.CHOSEN: "stock_widths",
    BoardsBy.MIXED: TYPED,
}
"""The field that decides, by how boards are chosen."""


def boards_of(choice: BoardChoice, across: Figure, making: Making, typed_in: str = TYPED) -> Boards:
    """Return the boards of a panel; none when no mix of the widths to be had fills it.

    across: finished width [in]; typed_in: the field in which their widths are typed.
    """
    trim = making.habit("panel_trim")
    match choice.boards_by:
        case BoardsBy.COUNT:
            return equal_boards(across, making.typed("board_count"), trim)
        case BoardsBy.WIDEST:
            return boards_no_wider(across, making.typed("widest_board"), trim)
        case BoardsBy.CHOSEN:
            return _chosen_boards(choice, across, making)
        case BoardsBy.MIXED:
            return boards_of_widths(choice.board_widths, f"{making.where}:{typed_in}", making.practice)


def _chosen_boards(choice: BoardChoice, across: Figure, making: Making) -> Boards:
    """Return boards of mixed widths that fill a panel with the least ripped away, alike neighbours together."""
    rough = _chosen(_fill(across, making.practice), to_be_had(choice, making.practice), making.practice)
    where = f"{making.where}:stock_widths"
    usual = (making.habit("board_narrowest"), making.habit("board_widest"))
    source = tuple(typed("Width to be had", width, where=where) for width in choice.stock_widths) or usual
    wanted = (*source, across, making.habit("panel_trim"), making.habit("narrowest_strip"))
    return tuple(
        (
            len(tuple(alike)),
            jointed(
                inches("Width chosen, rough", width.inches, LEAST_RIPPED, *wanted), "width chosen", making.practice
            ),
        )
        for width, alike in groupby(rough)
    )


def to_be_had(choice: BoardChoice, practice: ShopPractice) -> tuple[Length, ...]:
    """Return the rough widths to choose from: as typed, else whole inches of the boards the shop usually buys."""
    if choice.stock_widths:
        return choice.stock_widths
    narrowest, widest = practice.value("board_narrowest"), practice.value("board_widest")
    whole = range(ceil(narrowest), int(widest) + 1)
    return tuple(Length.of(width) for width in whole) or (Length(widest),)


def _fill(across: Figure, practice: ShopPractice) -> Fill:
    needed = across.value + 2 * practice.value("panel_trim")
    return Fill(needed, across.value, practice.value("narrowest_strip"))


def _chosen(fill: Fill, rough: tuple[Length, ...], practice: ShopPractice) -> tuple[Length, ...]:
    """Return rough widths that fill a panel with the least ripped away, none when none do."""
    less = off_its_edges(practice)
    return tuple(Length(width + less) for width in chosen(fill, tuple(width.inches - less for width in rough)))


def board_refusals(choice: BoardChoice, across: Figure, making: Making, typed_in: str = TYPED) -> Iterator[Problem]:
    """Yield why a panel cannot be made of such boards, with what would work. across, typed_in: as in boards_of()."""
    if choice.boards_by is BoardsBy.MIXED and not 1 <= len(choice.board_widths) <= 80:
        yield Problem(typed_in, "Type the width of each board, 1 to 80 of them: 5 1/2, 6, 4 3/4.")
        return
    boards = boards_of(choice, across, making, typed_in)
    field = typed_in if choice.boards_by is BoardsBy.MIXED else FIELDS[choice.boards_by]
    if not boards:
        yield Problem("stock_widths", _nothing_fills(choice, across, making.practice))
        return
    found = list(width_problems(boards, field))
    if not found and choice.boards_by is BoardsBy.MIXED:
        found = list(sum_problems(boards, across, making.habit("panel_trim"), field))
        found = found or list(_too_narrow(boards, across, choice, field, making.practice))
    if found and choice.boards_by is BoardsBy.COUNT and boards[0][1].length > WIDEST:
        enough = ceil((across.value + 2 * making.practice.value("panel_trim")) / WIDEST.inches)
        found = [Problem(field, f"{found[0].words} Take {enough} or more.")]
    yield from found


def _nothing_fills(choice: BoardChoice, across: Figure, practice: ShopPractice) -> str:
    narrowest, trim = practice.length("narrowest_strip"), practice.length("panel_trim")
    wide_enough = narrowest + trim + Length(off_its_edges(practice)) + Length.of("1/8")
    shown = listing([width.tape() for width in to_be_had(choice, practice)])
    return (
        f"No boards of {shown} fill {across.length.tape()} with every strip at least {narrowest.tape()} as seen. "
        f"Have boards of {wide_enough.tape()} or wider among them."
    )


def _too_narrow(
    boards: Boards, across: Figure, choice: BoardChoice, field: str, practice: ShopPractice
) -> Iterator[Problem]:
    """Yield the problem of a strip that is seen narrower than the shop's limit, and widths that would do."""
    narrowest, seen = practice.length("narrowest_strip"), strips_seen(boards, across)
    if min(seen) >= min(narrowest.inches, across.value):
        return
    place = seen.index(min(seen))
    words = (
        f"Board {place + 1}, {choice.board_widths[place].tape()} rough, is seen {Length(seen[place]).tape()} wide "
        f"once the panel is ripped. Your narrowest strip is {narrowest.tape()}."
    )
    fill = _fill(across, practice)
    better = _chosen(fill, choice.board_widths, practice) or _chosen(fill, to_be_had(choice, practice), practice)
    works = f" These would do: {', '.join(width.exact() for width in better)}." if better else " Take wider boards."
    yield Problem(field, words + works)


def strips_seen(boards: Boards, across: Figure) -> tuple[Fraction, ...]:
    """Return how wide each board is seen once the panel is ripped to its width, half off each side [in]."""
    return left_over([width.value for count, width in boards for _ in range(count)], across.value)


def board_figures(choice: BoardChoice, boards: Boards, across: Figure, making: Making) -> Iterator[Figure]:
    """Yield how many boards there are and how wide, what is ripped off, and the narrowest strip seen."""
    widths = tuple(width for _, width in boards)
    counted = each("Boards", sum(count for count, _ in boards), "side by side", *widths)
    yield counted
    yield each("Glue lines between them", counted.value - 1, "boards − 1", counted)
    yield from _said(boards, counted)
    words = "boards side by side − finished width"
    if choice.boards_by is BoardsBy.CHOSEN:
        words += "; the least that these widths leave with the trim of both edges and no strip too narrow"
    yield inches("Ripped off the glued panel", glued_width(boards) - across.value, words, *widths, across)
    if choice.is_mixed:
        words = "the outer boards lose half of what is ripped off each, the others nothing"
        limit = making.habit("narrowest_strip")
        narrowest = min(strips_seen(boards, across))
        yield inches("Narrowest strip as seen", narrowest, words, *widths, across, limit)


def _said(boards: Boards, counted: Figure) -> Iterator[Figure]:
    """Yield the width of the boards, of mixed ones each width once with how many there are of it."""
    alike: dict[Fraction, int] = {}
    for count, width in boards:
        alike[width.value] = alike.get(width.value, 0) + count
    first = {width.value: width for _, width in reversed(boards)}
    for value, count in alike.items():
        width = first[value]
        yield width if len(alike) == 1 else replace(width, label=f"Width of {count} of {counted.value} boards")
