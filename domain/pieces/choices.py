"""Choices that several kinds of piece share: wood, sheet or solid, glue, finish."""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum
from typing import Any

from domain.adhesive import adhesive_families
from domain.finish import colour_families, finish_families, finish_problems
from domain.length import Length
from domain.lumber import grade_names, quarter_for
from domain.material import Material
from domain.part import FinishChoice
from domain.pieces.ask import NONE, choose, number, text, tick
from domain.pieces.making import lumber
from domain.practice import ShopPractice
from domain.problem import Problem
from domain.wood import species_names

WOOD, FINISH, GLUE = "Wood", "Finish", "Glue"


class MadeOf(Enum):
    SOLID = "solid wood"
    SHEET = "sheet"


class SheetThickness(Enum):
    """Nominal thickness of sheets; how thick they really are is a shop's practice."""

    QUARTER = "1/4"
    HALF = "1/2"
    FIVE_EIGHTHS = "5/8"
    THREE_QUARTERS = "3/4"


def sheets() -> tuple[str, ...]:
    """Return names of sheets to start from; a shop types its own."""
    return ("maple plywood", "birch plywood", "white oak plywood", "walnut plywood", "fir plywood", "MDF")


def finishes() -> tuple[str, ...]:
    return (NONE, *finish_families())


def colours() -> tuple[str, ...]:
    return (NONE, *colour_families())


def sheet_ask(label: str = "Sheet", usual: str = "maple plywood") -> Any:
    """Return a field for the name of a sheet material."""
    return text(label, usual, options=sheets, needed=True, group=WOOD)


@dataclass(frozen=True, kw_only=True)
class SolidWood:
    """Boards of one species and grade."""

    species: str = choose("Wood", species_names, "Hard maple (sugar maple)", group=WOOD)
    grade: str = choose("Grade", grade_names, "FAS", group=WOOD)

    def lumber(self, thickness: Length, practice: ShopPractice) -> Material:
        """Return the rough stock for a finished thickness."""
        return lumber(self.species, self.grade, thickness, practice)


@dataclass(frozen=True, kw_only=True)
class Glued:
    """Glue by its chemistry."""

    glue: str = choose("Glue", adhesive_families, "PVA cross-linking, water resistant", group=GLUE,
                       help="By chemistry; the label of yours governs.")  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class Finished:
    """The finish a piece gets, if any."""

    finish: str = choose("Finish", finishes, "Waterborne polyurethane", group=FINISH,
                         help="By chemistry; the label of yours governs.")  # fmt: skip
    coats: int = number("Coats", 3, least=1, most=12, group=FINISH)
    colour: str = choose("Stain under it", colours, NONE, group=FINISH)
    on_site: bool = tick("Coated at the client's, after install", group=FINISH)

    def finish_choice(self) -> FinishChoice | None:
        """Return the choice, None for a piece left raw."""
        if self.finish == NONE:
            return None
        return FinishChoice(self.finish, self.coats, self.on_site, "" if self.colour == NONE else self.colour)

    def finish_refusals(self) -> Iterator[Problem]:
        """Yield what cannot be: a stain with nothing over it."""
        if self.finish == NONE and self.colour != NONE:
            words = f"“{self.colour}” has no finish over it. Choose a finish, or no stain."
            yield Problem("colour", words)

    def finish_warnings(self) -> tuple[Problem, ...]:
        """Return what is unusual about the choice."""
        choice = self.finish_choice()
        return finish_problems(choice) if choice else ()


def thickness_refusals(thickness: Length, practice: ShopPractice, field: str = "thickness") -> Iterator[Problem]:
    """Yield the problem of a solid thickness that no stock can be dressed to."""
    found = quarter_for(thickness, practice)
    if isinstance(found, Problem):
        yield Problem(field, found.words)
