"""Each finish of a job: what gets it, coat by coat, with what a coat takes and when the next may follow."""

from collections.abc import Iterator
from dataclasses import dataclass

from domain.figure import Figure, Unit, add_up
from domain.finish import coat_gallons, full_cure, recoat_closes, recoat_opens
from domain.job_steps import named_finishes
from domain.part import Face, FinishChoice
from domain.practice import ShopPractice
from domain.take_off import FinishArea, TakeOff
from domain.words import ordinal


@dataclass(frozen=True, slots=True)
class PieceFaces:
    """What of one piece gets the finish. area [ft²]."""

    piece_id: int
    piece: str
    faces: tuple[Face, ...]
    area: Figure


@dataclass(frozen=True, slots=True)
class Coat:
    """One coat. opens: not before so long after the one before it; closes: without scuffing until; None: does not
    apply.
    """

    name: str
    family: str
    takes: Figure
    opens: Figure | None = None
    closes: Figure | None = None
    is_colour: bool = False


@dataclass(frozen=True, slots=True)
class FinishPlan:
    """One finish on everything that gets it. cure: until it is fully cured, None for one that never is."""

    choice: FinishChoice
    area: Figure
    pieces: tuple[PieceFaces, ...]
    coats: tuple[Coat, ...]
    cure: Figure | None


def finish_plans(needed: TakeOff, practice: ShopPractice) -> tuple[FinishPlan, ...]:
    """Return the finishes of a job, in the order the plan has them."""
    return tuple(_plan(area, needed, practice) for area in named_finishes(needed).values())


def _plan(area: FinishArea, needed: TakeOff, practice: ShopPractice) -> FinishPlan:
    choice = area.choice
    pieces = []
    for built in needed.pieces:
        own = tuple(face for face in built.faces if face.finish == choice)
        if own:
            whole = add_up(f"{built.placed.name}, to finish", (face.area for face in own), Unit.SQUARE_FOOT)
            pieces.append(PieceFaces(built.placed.id, built.placed.name, own, whole))
    coats = tuple(_coats(area, practice))
    return FinishPlan(choice, area.area, tuple(pieces), coats, full_cure(choice.family, practice))


def _coats(area: FinishArea, practice: ShopPractice) -> Iterator[Coat]:
    choice = area.choice
    if choice.colour:
        takes = coat_gallons(area.area, 1, choice.colour, practice)
        yield Coat("Colour", choice.colour, takes, is_colour=True)
    for number in range(1, choice.coats + 1):
        opens = recoat_opens(choice.family, practice) if number > 1 else None
        if number == 1 and choice.colour:
            opens = recoat_opens(choice.colour, practice, under=choice.family)
        closes = recoat_closes(choice.family, practice) if number > 1 else None
        takes = coat_gallons(area.area, number, choice.family, practice)
        yield Coat(ordinal(number), choice.family, takes, opens, closes)
