"""What a client is told when the job is handed over: when it may get wet, care, light, seasons, damage."""

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from fractions import Fraction

from domain.caution import FOOD_CONTACT, OILY_RAGS, Caution
from domain.figure import Figure
from domain.finish import Finish, dry_to_handle, finish, full_cure
from domain.job_steps import named_finishes
from domain.material import MaterialKind
from domain.movement import Movement
from domain.plan import PlannedTask, TaskState
from domain.practice import COMMON, ShopPractice
from domain.shop import Shop
from domain.take_off import FinishArea, TakeOff
from domain.tape import near
from domain.task import duration_of, key_of
from domain.terms import percent
from domain.wood import find_species
from domain.words import listing, sentence

UNTIL_CURED = (
    "Until then: wipe spills up at once, let no water stand, put nothing hot, wet or heavy on it, no rubber feet and "
    "no mats. Dust it with a dry cloth."
)
CARE = (
    "Wipe with a soft cloth, barely damp, and dry it after. No scouring pads, no steam, no bleach or ammonia. Hot pots "
    "and wet glasses get something under them."
)
FIRST_MONTHS = (
    "Move what stands on it now and then in the first months, or its shape stays behind as a lighter or darker patch."
)
FOR_MAKERS = ("raises grain", "good barrier coat")
"""What the finish table says to those who put it on."""

GAPS = "Joints and gaps open a little in the dry season and close in the damp one. That is wood at work, not a fault."
DAMAGE = (
    "A scratch, a ring or a bare spot: keep it dry and call us before anything is sanded or put on it. What goes over "
    "it has to suit what is there."
)
LABEL = (
    "Finishes are named here by their chemistry, with general figures. The label and the safety data sheet of the "
    "product that was used govern."
)
AT_HOME = Caution(
    OILY_RAGS.title,
    "Should you oil it again: spread used rags flat outdoors in one layer to dry, or put them under water in a closed "
    "metal can. Never in a heap, never in a bin, never left in the house.",
    OILY_RAGS.source,
)
WORTH_TELLING = Fraction(1, 8)
"""Movement from which a client is told of it [in]. Source: common practice, no source."""

SOURCE = COMMON
"""Of the words of care, the first months, gaps and damage."""


@dataclass(frozen=True, slots=True)
class Moment:
    """An instant. is_recorded: it rests on what was recorded, else on the plan as it stands now."""

    at: datetime
    is_recorded: bool


@dataclass(frozen=True, slots=True)
class FinishNote:
    """One finish. pieces: that stand for themselves, not what belongs to them; dry: until it can be handled [h];
    cure: until it is fully cured [days], None for one that never is; last_coat, handled, cured: None while nothing
    is planned; stands_up_to: as the table has it, empty for nothing.
    """

    finish: Finish
    coats: int
    pieces: tuple[str, ...]
    dry: Figure
    cure: Figure | None
    last_coat: Moment | None = None
    handled: Moment | None = None
    cured: Moment | None = None

    @property
    def named(self) -> str:
        """Return what it is on, the rest counted when there is much of it."""
        return listing(self.pieces)

    @property
    def stands_up_to(self) -> str:
        clauses = (one for one in self.finish.resistance.split("; ") if one not in FOR_MAKERS)
        return sentence(_to_a_client("; ".join(clauses)))


@dataclass(frozen=True, slots=True)
class WoodNote:
    """What light does to one wood of the job."""

    wood: str
    pieces: tuple[str, ...]
    in_light: str


@dataclass(frozen=True, slots=True)
class HandOver:
    """The note. moving: a sentence per wide part; air: the humidity to keep the house in; cautions: for the client."""

    finishes: tuple[FinishNote, ...]
    woods: tuple[WoodNote, ...]
    moving: tuple[str, ...]
    air: str
    cautions: tuple[Caution, ...]

    @property
    def is_empty(self) -> bool:
        return not (self.finishes or self.woods or self.moving)

    @property
    def has_planned_dates(self) -> bool:
        """Whether a date may still move."""
        return any(note.last_coat and not note.last_coat.is_recorded for note in self.finishes)


def hand_over(
    job_id: int,
    needs: TakeOff,
    planned: Mapping[str, PlannedTask],
    moves: Iterable[Movement],
    practice: ShopPractice,
    shop: Shop,
) -> HandOver:
    """Return the note for a client. planned: the job's tasks by key, empty while nothing can be planned."""
    finishes = tuple(
        _finish(area, planned.get(_last_coat(job_id, name, area)), needs, practice)
        for name, area in named_finishes(needs).items()
    )
    moving = tuple(_moving(moves, shop))
    return HandOver(
        finishes, tuple(_woods(needs)), moving, _air(practice) if moving else "", tuple(_cautions(finishes))
    )


def _last_coat(job_id: int, name: str, area: FinishArea) -> str:
    return key_of(job_id, f"{name}.coat-{area.choice.coats}")


def _finish(area: FinishArea, coat: PlannedTask | None, needs: TakeOff, practice: ShopPractice) -> FinishNote:
    family = area.choice.family
    dry, cure = dry_to_handle(family, practice), full_cure(family, practice)
    own = (built.placed for built in needs.pieces if built.placed.id in area.pieces)
    pieces = tuple(placed.name for placed in own if placed.belongs_to not in area.pieces)
    note = FinishNote(finish(family), area.choice.coats, pieces, dry, cure)
    if coat is None:
        return note
    return replace(
        note,
        last_coat=_after(coat, timedelta()),
        handled=_after(coat, duration_of(dry)),
        cured=_after(coat, duration_of(cure)) if cure else None,
    )


def _after(coat: PlannedTask, passed: timedelta) -> Moment:
    """Return the instant so long after a coat, day and night."""
    return Moment(coat.finish + passed, coat.state is TaskState.DONE)


def _woods(needs: TakeOff) -> Iterator[WoodNote]:
    """Yield the solid woods of the job that light is known to change, in the order of the cut list."""
    found: dict[str, dict[str, None]] = {}
    for cut in needs.cut_list:
        if cut.part.material.kind is MaterialKind.LUMBER:
            found.setdefault(cut.part.material.name, {})[cut.ref.piece] = None
    for name, pieces in found.items():
        wood = find_species(name)
        if wood and wood.in_light:
            yield WoodNote(wood.name, tuple(pieces), sentence(_to_a_client(wood.in_light)))


def _moving(moves: Iterable[Movement], shop: Shop) -> Iterator[str]:
    """Yield how far each wide part moves, in a client's words."""
    for one in moves:
        found = one.counted
        if found is None or found.whole.value < WORTH_TELLING:
            continue
        ways = ((found.swells.value, "in the damp season"), (found.shrinks.value, "in the dry one"))
        said = [f"{when} it {'grows' if by > 0 else 'shrinks'} {near(by, shop)}" for by, when in ways if by]
        if said:
            name = one.part.called if one.part.count == 1 else f"{one.part.called}, each"
            yield f"{name}: across the grain, {' and '.join(said)}, from the size it was built."


def _to_a_client(words: str) -> str:
    """Return a note of the trade in words a client knows."""
    return re.sub(r"\bambers?\b", lambda found: "turns amber" if found[0] == "ambers" else "turn amber", words)


def _air(practice: ShopPractice) -> str:
    dry, damp = sorted((practice.value("dry_humidity"), practice.value("damp_humidity")))
    return (
        f"It is made for a house between {percent(dry)} and {percent(damp)} relative humidity. Keep it there all year."
    )


def _cautions(notes: Iterable[FinishNote]) -> Iterator[Caution]:
    """Yield what can hurt a client: rags, should they oil it again, and food on a fresh film."""
    kept = tuple(notes)
    if any(note.finish.makes_oily_rags for note in kept):
        yield AT_HOME
    if kept:
        yield FOOD_CONTACT
