"""Clamps on an edge joint: how many by spacing and by pressure, where they stand, and the cauls between them."""

from fractions import Fraction
from math import ceil

from domain.adhesive import adhesive
from domain.figure import Figure, Rule, Unit, count
from domain.practice import COMMON, ShopPractice
from domain.wood import find_species, specific_gravity

LIGHTEST, DENSEST = Fraction("0.32"), Fraction("1.00")
"""Specific gravities the clamping pressures are drawn between: western redcedar and ipe, the lightest and the
densest of data/species.csv. The straight line between the handbook's two pressures is our own reading."""

PRESSURE_SOURCE = (
    "US Forest Service, Wood Handbook (FPL-GTR-190, 2010), p. 10-16, for both ends; the line between is ours"
)


def joint_pressure(species: str, practice: ShopPractice) -> Figure:
    """Return the clamping pressure for a wood [psi], by its specific gravity.

    A wood of unknown specific gravity counts as halfway.
    Source: the two ends are the Wood Handbook's (2010), p. 10-16; the straight line between is ours.
    """
    low, high = practice.figure("pressure_lightest"), practice.figure("pressure_densest")
    wood = find_species(species)
    gravity = specific_gravity(wood) if wood else None
    between = Fraction(1, 2)
    words = "halfway between the two: the density of this wood is not known"
    if gravity is not None:
        between = (min(max(gravity.value, LIGHTEST), DENSEST) - LIGHTEST) / (DENSEST - LIGHTEST)
        words = f"on a straight line from specific gravity {float(LIGHTEST):.2f} to {float(DENSEST):.2f}"
    value = low.value + between * (high.value - low.value)
    came_from = (*((gravity,) if gravity else ()), low, high)
    return Figure("Clamping pressure", value, Unit.PSI, Rule(words, PRESSURE_SOURCE), came_from)


def clamps_by_pressure(length: Figure, thickness: Figure, pressure: Figure, force: Figure) -> Figure:
    """Return the clamps that press a joint hard enough [each].

    length, thickness: of the glue line [in]; pressure [psi]; force: of one clamp [lbf].
    Source: force = pressure × glued area, Wood Handbook (2010), p. 10-16.
    """
    needed = Figure(
        "Clamping force",
        length.value * thickness.value * pressure.value,
        Unit.POUND_FORCE,
        Rule("length × thickness × pressure"),
        (length, thickness, pressure),
    )
    rule = Rule("clamping force ÷ force of one clamp, rounded up")
    return Figure("Clamps by pressure", Fraction(ceil(needed.value / force.value)), Unit.EACH, rule, (needed, force))


def clamps_by_spacing(length: Figure, practice: ShopPractice) -> Figure:
    """Return the clamps at the shop's spacing [each], at least two. length: of the glue line [in]."""
    words = "(length − 2 × first clamp from the end) ÷ spacing, rounded up, and one more; at least 2"
    return _spaced("Clamps by spacing", length, practice.figure("clamp_spacing"), Rule(words), practice)


def _spaced(label: str, length: Figure, spacing: Figure, rule: Rule, practice: ShopPractice) -> Figure:
    """Return how many stand along a length at most a spacing apart [each], at least two, clear of both ends."""
    end = practice.figure("clamp_from_end")
    between = max(length.value - 2 * end.value, Fraction(0))
    many = max(ceil(between / spacing.value) + 1, 2)
    return Figure(label, Fraction(many), Unit.EACH, rule, (length, end, spacing))


def clamps(length: Figure, thickness: Figure, species: str, family: str, practice: ShopPractice) -> Figure:
    """Return the clamps for an edge glue-up [each]: by spacing or by pressure, the greater.

    length: of the joint as glued [in]; thickness: of the stock [in]; none for a glue that needs none.
    Raises KeyError for an unknown family.
    """
    glue = adhesive(family)
    if glue.needs_no_clamps:
        return count("Clamps", 0, f"{family} needs none: pressed together for a moment")
    spaced = clamps_by_spacing(length, practice)
    if not glue.is_squeezed:
        return Figure("Clamps", spaced.value, Unit.EACH, Rule("by spacing: this glue wants contact only"), (spaced,))
    pressure, force = joint_pressure(species, practice), practice.figure("clamp_force")
    pressed = clamps_by_pressure(length, thickness, pressure, force)
    words = f"by pressure {pressed.value}, by spacing {spaced.value}: the greater"
    return Figure("Clamps", max(spaced.value, pressed.value), Unit.EACH, Rule(words), (pressed, spaced))


def clamp_places(length: Figure, clamps: Figure, practice: ShopPractice) -> tuple[Figure, ...]:
    """Return where the clamps stand along a joint, from its left end [in], equally far apart; of none, none.

    The first and the last stand as far from their end as the shop's habit says, on a short joint a quarter in.
    """
    many, end = int(clamps.value), practice.figure("clamp_from_end")
    if many < 2:
        return ()
    first = _first(length, end)
    apart = clamps_apart(length, clamps, practice)
    words = "first clamp from the end + {} × between clamps"
    return tuple(
        Figure(f"Clamp {place + 1}", first + place * apart.value, Unit.INCH, Rule(words.format(place)), (end, apart))
        for place in range(many)
    )


def clamps_apart(length: Figure, clamps: Figure, practice: ShopPractice) -> Figure:
    """Return how far the clamps of a joint stand from one another [in]. Raises ValueError for less than two."""
    if clamps.value < 2:
        raise ValueError(f"a distance is between 2 clamps at least, not {clamps.value}")
    end = practice.figure("clamp_from_end")
    value = (length.value - 2 * _first(length, end)) / (clamps.value - 1)
    words = "(length − 2 × first clamp from the end) ÷ (clamps − 1)"
    return Figure("Between these clamps", value, Unit.INCH, Rule(words), (length, end, clamps))


def _first(length: Figure, end: Figure) -> Fraction:
    """Return how far the first clamp stands from its end [in]: as the habit says, on a short joint a quarter in."""
    return min(end.value, length.value / 4)


def caul_pairs(length: Figure, practice: ShopPractice) -> Figure:
    """Return the pairs of cauls across a glue-up [each], at least two. length: of the boards [in].

    Source: common practice, no source.
    """
    words = "(length − 2 × first clamp from the end) ÷ between cauls, rounded up, and one more; at least 2"
    return _spaced("Pairs of cauls", length, practice.figure("caul_spacing"), Rule(words, COMMON), practice)
