"""What every wide part of a job does from season to season, and how to make it so that it can."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from domain.figure import Figure, Rule, Unit
from domain.practice import COMMON, ShopPractice
from domain.problem import Problem
from domain.season import Seasons
from domain.shop import Shop
from domain.take_off import BuiltPiece
from domain.tape import at_least, near
from domain.terms import percent
from domain.wall_gap import MeasuredRun, WallGap, wall_gaps
from domain.wide_part import Held, WidePart, wide_parts
from domain.wood import Cut, movement, species

DRY_PANEL = (
    "Keep glue out of the grooves; one dab in the middle of each end keeps the panel centred. Finish it before the "
    "frame is glued, or a bare line shows when it shrinks."
)

WORTH_A_SLOT = Fraction(1, 8)
"""Movement from which screws need slots [in]. Source: common practice, no source."""


@dataclass(frozen=True, slots=True)
class Moves:
    """What a width does, sawn one way [in]. swells: from as built to the dampest season; shrinks: to the driest,
    below zero; whole: between the two. A width built damper than the house ever is only shrinks.
    """

    cut: Cut
    swells: Figure
    shrinks: Figure
    whole: Figure


@dataclass(frozen=True, slots=True)
class Slots:
    """A row of slotted holes. length: of each slot; swell_room, shrink_room: to leave beyond and before the screw,
    seen from the line that is held fast [in].
    """

    row: str
    length: Figure
    swell_room: Figure
    shrink_room: Figure


@dataclass(frozen=True, slots=True)
class Movement:
    """One wide part. flat, quarter: None where the table knows no movement; counted: as it is sawn, flat-sawn where
    nobody said; words: what it does; advice: what to do about it; problems: what does not fit as it stands.
    """

    part: WidePart
    flat: Moves | None
    quarter: Moves | None
    counted: Moves | None
    slots: tuple[Slots, ...]
    gaps: tuple[WallGap, ...]
    words: str
    advice: tuple[str, ...]
    problems: tuple[Problem, ...]


def movements(
    pieces: Iterable[BuiltPiece], runs: Sequence[MeasuredRun], practice: ShopPractice, shop: Shop
) -> tuple[Movement, ...]:
    """Return the movement of every wide solid part, in the order of the pieces. runs: measured in the job."""
    return tuple(_movement(part, runs, practice, shop) for part in wide_parts(pieces, practice))


def moves(part: WidePart, cut: Cut, seasons: Seasons) -> Moves | None:
    """Return what a part does sawn that way; None when it is not known. Source: Wood Handbook (2010), ch. 13."""
    wood = species(part.wood)
    swells = movement(wood, cut, part.across, seasons.built, seasons.dampest)
    shrinks = movement(wood, cut, part.across, seasons.built, seasons.driest)
    if swells is None or shrinks is None:
        return None
    whole = _inches(f"Moves in all, {cut.value}", swells.value - shrinks.value,
                    "from the driest season to the dampest", swells, shrinks)  # fmt: skip
    return Moves(
        cut,
        replace(swells, label=f"Grows until the dampest season, {cut.value}"),
        replace(shrinks, label=f"Shrinks until the driest season, {cut.value}"),
        whole,
    )


def _movement(part: WidePart, runs: Sequence[MeasuredRun], practice: ShopPractice, shop: Shop) -> Movement:
    seasons = practice.seasons
    flat, quarter = (moves(part, cut, seasons) for cut in (Cut.FLAT, Cut.QUARTER))
    counted = quarter if part.sawn is Cut.QUARTER else flat
    if counted is None:
        words = f"The table knows no movement of {part.wood} sawn so: leave as much as for a wood that moves a lot."
        return Movement(part, flat, quarter, None, (), (), words, (), ())
    gaps: tuple[WallGap, ...] = ()
    if part.held is Held.SCREWED:
        gaps = wall_gaps(part, counted.swells, counted.shrinks, runs, practice)
    rows = tuple(slots(part, counted, practice))
    return Movement(
        part, flat, quarter, counted, rows, gaps,
        words=_words(counted, seasons, shop),
        advice=tuple(_advice(part, counted, rows, practice, shop)),
        problems=(
            *_no_room(part, counted, shop),
            *(problem for gap in gaps for problem in gap.problems(part.called, shop)),
        ),
    )  # fmt: skip


def _words(found: Moves, seasons: Seasons, shop: Shop) -> str:
    until_damp, until_dry = (_does(figure.value, shop) for figure in (found.swells, found.shrinks))
    return (
        f"Built at {percent(seasons.built.value / 100)}: {until_damp} till the damp season, {until_dry} till the dry."
    )


def _does(change: Fraction, shop: Shop) -> str:
    return f"{'grows' if change >= 0 else 'shrinks'} {near(change, shop)}"


def slots(part: WidePart, found: Moves, practice: ShopPractice) -> Iterator[Slots]:
    """Yield the slotted rows of a part that is screwed: none along the line that is held fast.

    A slot is as long as the movement at its distance from that line and the shank of its screw. A part that moves
    less than WORTH_A_SLOT has the play of an ordinary hole.
    """
    if found.whole.value < WORTH_A_SLOT:
        return
    if part.held is Held.ON_BOX:
        yield _row("above and below the middle", part, found, Fraction(1, 2), practice)
    elif part.held is Held.SCREWED and part.along_wall:
        yield _row("at both ends", part, found, Fraction(1, 2), practice)
        yield _row("halfway to the ends", part, found, Fraction(1, 4), practice)
    elif part.held in (Held.SCREWED, Held.FIXED):
        yield _row(f"at the {part.far}", part, found, Fraction(1), practice)
        yield _row("in the middle", part, found, Fraction(1, 2), practice)


def _row(row: str, part: WidePart, found: Moves, share: Fraction, practice: ShopPractice) -> Slots:
    shank = practice.figure("slot_shank")
    distance = _inches(
        "From the line held fast", part.across.value * share, "at most; nearer rows need less", part.across
    )
    words = "movement × distance from the line held fast ÷ width"
    here = (distance, part.across)
    swell = _inches("Room for swelling", max(found.swells.value, Fraction(0)) * share, words, found.swells, *here)
    shrink = _inches("Room for shrinking", max(-found.shrinks.value, Fraction(0)) * share, words, found.shrinks, *here)
    moved = _inches("Movement there", found.whole.value * share, words, found.whole, *here)
    length = max(moved.value, swell.value + shrink.value) + shank.value
    return Slots(row, _inches("Slot", length, "movement there + shank of the screw", moved, shank), swell, shrink)


def _advice(part: WidePart, found: Moves, rows: Sequence[Slots], practice: ShopPractice, shop: Shop) -> Iterator[str]:
    if part.held in (Held.SCREWED, Held.FIXED, Held.ON_BOX) and not rows:
        yield f"It moves {near(found.whole.value, shop)} in all: too little for slots, ordinary holes do."
        return
    match part.held:
        case Held.SCREWED:
            fast = "middle" if part.along_wall else part.fast
            yield f"Screw it fast along the {fast} only. Every other screw goes through a slot across the grain."
        case Held.FIXED:
            yield "Fasten it along its front edge only; behind that let it move, in slots or on cleats."
        case Held.ON_PINS:
            yield "Leave it loose on its pins: nothing holds it, so nothing splits."
        case Held.IN_FRAME:
            yield DRY_PANEL
        case Held.ON_BOX:
            yield "Two screws in the middle hold it; the others go through slots or wide holes with washers."
        case Held.HUNG:
            yield f"It gets {near(found.whole.value, shop)} wider over the year: leave the larger gap on the lock side."
        case Held.ANYHOW:
            yield f"Fasten it along one line only; it moves {near(found.whole.value, shop)} over the year beyond that."
    yield from (_slot_words(row, shop) for row in rows[:1])


def _slot_words(row: Slots, shop: Shop) -> str:
    swell, shrink = (near(room.value, shop) for room in (row.swell_room, row.shrink_room))
    long = at_least(row.length.value, shop)
    return (
        f"Slots {row.row} at least {long} long: leave {swell} beyond the screw for swelling and {shrink} before it for "
        "shrinking."
    )


def _no_room(part: WidePart, found: Moves, shop: Shop) -> Iterator[Problem]:
    """Yield what a part in a groove or an opening has no room for."""
    if part.room is None:
        return
    field = f"piece:{part.piece_id}"
    swells, room = found.swells.value, part.room.value
    if swells > room:
        beside = "the groove" if part.held is Held.IN_FRAME else "the opening"
        yield Problem(
            field,
            f"{part.called}: it grows {near(swells, shop)} and has {near(room, shop)} in {beside}, so it would jam or "
            f"break it open. Leave {at_least(swells, shop)} or take quarter-sawn boards.",
        )
    if part.groove is not None and -found.shrinks.value >= 2 * part.groove.value - room:
        words = (
            f"{part.called}: it shrinks {near(found.shrinks.value, shop)}, out of a groove "
            f"{near(part.groove.value, shop)} deep. Make the grooves deeper or the panel narrower."
        )
        yield Problem(field, words)


def _inches(label: str, value: Fraction, words: str, *came_from: Figure, source: str = COMMON) -> Figure:
    return Figure(label, value, Unit.INCH, Rule(words, source), came_from)
