"""A list of boards pasted from a spreadsheet or a message -> rack pieces, with what is wrong in each line."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from domain.length import Length
from domain.material import MaterialKind
from domain.practice import ShopPractice
from domain.problem import Problem
from domain.rack import RackPiece
from webapp.forms import rack as rack_forms
from webapp.forms.rack import Known
from webapp.forms.rack_paste.columns import Columns, Row, by_content, by_title, cells_of, check_named, delimiter_of
from webapp.forms.rack_paste.line import FOR_ALL, Said, for_all_problem
from webapp.forms.rack_paste.words import as_words, line_in_words, sizes_in

MOST_LINES, LONGEST_LINE, MOST_BOARDS = 1_000, 500, 1_000

SHORT = Length.feet(2)

NO_SIZES = Problem(
    "dimensions",
    "No width and length in it. If it is a board, write them as 7 1/4 x 9' 10\"; if it is only words, leave it.",
)


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a list. number: as pasted; pieces: none when there are problems; heard: what was read otherwise."""

    number: int
    text: str
    pieces: tuple[RackPiece, ...] = ()
    problems: tuple[Problem, ...] = ()
    heard: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PastedRack:
    """What was understood of a list. unused: titles of columns not used; doubt: what may be meant otherwise;
    problem: why it cannot be read at all.
    """

    lines: tuple[Line, ...] = ()
    unused: tuple[str, ...] = ()
    doubt: str = ""
    problem: Problem | None = None

    @property
    def pieces(self) -> tuple[RackPiece, ...]:
        return tuple(piece for line in self.lines for piece in line.pieces)

    @property
    def wrong(self) -> tuple[Line, ...]:
        return tuple(line for line in self.lines if line.problems)


def read(posted: Mapping[str, str], known: Known, practice: ShopPractice) -> PastedRack:
    """Return what a pasted list says. Tabs, semicolons or commas part its cells; a first line may name them.

    posted: `text`, and FOR_ALL for lines that do not say.
    """
    if problem := for_all_problem(posted, known.jobs):
        return PastedRack(problem=problem)
    text = re.split(r"\r\n|\r|\n", posted.get("text", ""))
    found = [(number, line.strip(" ")) for number, line in enumerate(text, start=1) if line.strip()]
    try:
        _check_amount(found)
        columns, rows = _table(found)
    except ValueError as error:
        return PastedRack(problem=Problem("text", str(error)))
    lines = tuple(_lines(found[len(found) - len(rows) :], rows, columns, posted, known, practice))
    if (many := sum(len(line.pieces) for line in lines)) > MOST_BOARDS:
        words = f"{many:,} boards are more than {MOST_BOARDS:,} at a time. Paste a part of the list."
        return PastedRack(problem=Problem("text", words))
    return PastedRack(lines, columns.unused if columns else (), _doubt(lines, columns, posted))


def _check_amount(found: Sequence[tuple[int, str]]) -> None:
    """Raises ValueError, worded for the person, when there is nothing to read, or more than is read at a time."""
    if not found:
        raise ValueError("Nothing is pasted. Copy the boards from a spreadsheet or a message, one to a line.")
    if len(found) > MOST_LINES:
        raise ValueError(f"{len(found):,} lines are more than {MOST_LINES:,} at a time. Paste a part of the list.")
    if number := next((number for number, line in found if len(line) > LONGEST_LINE), 0):
        raise ValueError(f"Line {number} is longer than {LONGEST_LINE} characters. Write one board to a line.")


def _table(found: Sequence[tuple[int, str]]) -> tuple[Columns | None, list[Row]]:
    """Return the columns and the rows below any titles; no columns where each line is plain words.

    Raises ValueError, worded for the person, when the columns cannot be told.
    """
    texts = [text for _, text in found]
    delimiter = delimiter_of(texts)
    rows = [cells_of(text, delimiter) if delimiter else (as_words(text),) for text in texts]
    if titled := by_title(rows[0]):
        check_named(titled)
        return titled, rows[1:]
    with_sizes = 2 * sum(bool(sizes_in(text if delimiter else as_words(text))) for text in texts) >= len(texts)
    if with_sizes and delimiter in ("", ","):
        return None, rows
    if delimiter and (told := by_content(rows)):
        return told, rows
    if with_sizes:
        return None, rows
    raise ValueError(
        "The columns cannot be told apart. Put a line above that names them, such as: "
        "mark, thickness, width, length, grade, price."
    )


def _lines(
    found: Sequence[tuple[int, str]], rows: Sequence[Row], columns: Columns | None, posted: Mapping[str, str],
    known: Known, practice: ShopPractice,
) -> Iterator[Line]:  # fmt: skip
    for (number, text), row in zip(found, rows, strict=True):
        typed = columns.typed(row) if columns else line_in_words(", ".join(row))
        said = Said(typed, {name: posted.get(name, "").strip() for name in FOR_ALL}, known.unit)
        completed, heard, problems = said.completed(practice)
        pieces, found_wrong = rack_forms.read(completed, known)
        own = {problem.field for problem in problems}
        wrong = (*problems, *(problem for problem in found_wrong if problem.field not in own))
        if wrong and columns is None and not typed["dimensions"]:
            wrong = (NO_SIZES,)
        pieces = () if wrong else pieces
        known = replace(known, marks=known.marks | {piece.mark.casefold() for piece in pieces if piece.mark})
        if any(piece.width > piece.length for piece in pieces):
            heard = (*heard, "wider than it is long")
        yield Line(number, text.replace("\t", " · ")[:200], pieces, wrong, heard)


def _doubt(lines: Sequence[Line], columns: Columns | None, posted: Mapping[str, str]) -> str:
    """Return what to look at when every board of a list is so short that its length may be in feet."""
    boards = [piece for line in lines for piece in line.pieces if piece.material.kind is MaterialKind.LUMBER]
    said = posted.get("lengths_in") or (columns and columns.unit_of("length"))
    if said or len(boards) < 3 or any(board.length >= SHORT for board in boards):
        return ""
    return "Every board is shorter than 2 ft. If the lengths are feet, say so below and look again."
