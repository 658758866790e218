"""The joint between the two legs of an L-shaped top: its length, bolts, and what the seasons do to it."""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from math import ceil, isqrt

from domain.figure import Figure
from domain.glue_up import Fastening
from domain.length import Length
from domain.part import Item, Joint
from domain.pieces.making import Making, each, hardware, inches, joint
from domain.pieces.panel import fastener
from domain.problem import Problem

THINNEST_FOR_BOLTS = Length.of(1)
"""A top thinner than that leaves little over the recess of a bolt. Source: common practice, no source."""


class Corner(Enum):
    BUTT = "butt"
    MITRE = "mitre"


class SecondGrain(Enum):
    TURNED = "along its own length"
    PARALLEL = "as the first leg's"


@dataclass(frozen=True, slots=True)
class CornerJoint:
    """What the legs are joined by. first, second: depths; moves: how much each leg's width or, with its grain
    across, length changes between seasons [in], None when not known.
    """

    corner: Corner
    grain: SecondGrain
    first: Figure
    second: Figure
    thickness: Figure
    first_moves: Figure | None
    second_moves: Figure | None

    @property
    def is_mitred(self) -> bool:
        return self.corner is Corner.MITRE

    @property
    def is_crossed(self) -> bool:
        return self.grain is SecondGrain.TURNED


def joint_length(corner: CornerJoint) -> Figure:
    """Return how long the joint is [in]: the depth of the second leg, or from the outer to the inner corner."""
    if not corner.is_mitred:
        return inches("Corner joint", corner.second.value, "depth of the second leg", corner.second)
    square = corner.first.value**2 + corner.second.value**2
    words = "√(first depth² + second depth²), to the nearest 1/64 in"
    return inches("Corner joint", nearest_root(square), words, corner.first, corner.second)


def nearest_root(square: Fraction) -> Fraction:
    """Return the square root of a positive number to the nearest 1/64."""
    return Fraction((isqrt(4 * 4096 * square.numerator // square.denominator) + 1) // 2, 64)


def bolts(length: Figure, making: Making) -> Figure:
    """Return the bolts in a corner joint [each], at the shop's spacing and no fewer than its least."""
    spacing, least = making.habit("corner_bolt_spacing"), making.habit("corner_bolts_least")
    needed = max(ceil(length.value / spacing.value), ceil(least.value))
    return each("Corner bolts", needed, "joint ÷ spacing, rounded up; no fewer than the least", length, spacing, least)


def bolt_item(needed: Figure) -> Item:
    """Return draw bolts that pull two tops together from below. Source of their length: common practice, no source."""
    return hardware("joint bolt", "6 in", needed, "pull the legs of the top together from below")


def corner_line(corner: CornerJoint, glue: str, fastening: Fastening | None, needed: Figure | None) -> Joint:
    """Return the joint itself, dry unless a glue is named. needed: its biscuits or dowels."""
    used = fastener(fastening, corner.thickness.length) if fastening else None
    return joint("Corner joint", 1, joint_length(corner), corner.thickness, glue, used, needed)


def corner_movement(corner: CornerJoint) -> Figure | None:
    """Return how far the legs move against each other at the joint [in]; None when they do not, or it is not known.

    Of a mitre it is how far the joint opens at one end while the other stays closed: each leg's inner point
    moves by its own change of width; the part of both across the joint is what opens.
    """
    first, second = corner.first_moves, corner.second_moves
    if not corner.is_crossed or first is None or second is None:
        return None
    if not corner.is_mitred:
        words = "the second leg changes its width, the first does not change along its length"
        return inches("At the corner the second leg moves along the first by", abs(second.value), words, second)
    length = joint_length(corner)
    opens = (abs(first.value) * corner.second.value + abs(second.value) * corner.first.value) / length.value
    words = "(first's change × second depth + second's change × first depth) ÷ joint"
    came_from = (first, second, corner.first, corner.second, length)
    return inches("The mitre opens at one end between seasons by", opens, words, *came_from)


def along_the_wall(corner: CornerJoint) -> Figure | None:
    """Return how much the free end of the second leg moves along its wall between seasons [in], None if not known."""
    first, second = corner.first_moves, corner.second_moves
    if first is None or second is None or (corner.is_crossed and corner.is_mitred):
        return None
    if corner.is_crossed:
        words = "the first leg's change of width carries it along; its own length does not change"
        return inches("End of the second leg moves along its wall by", abs(first.value), words, first)
    if corner.is_mitred:
        words = "its change of length"
        return inches("End of the second leg moves along its wall by", abs(second.value), words, second)
    words = "first leg's change of width + second leg's change of length: their grain is parallel"
    moved = abs(first.value) + abs(second.value)
    return inches("End of the second leg moves along its wall by", moved, words, first, second)


def corner_warnings(corner: CornerJoint, *, is_glued: bool) -> Iterator[Problem]:
    """Yield what the grain does at the joint, and what works."""
    moved = corner_movement(corner)
    how_far = moved.length.tape() if moved else "a distance that is not known of this wood"
    if corner.is_crossed and not corner.is_mitred:
        fast = "Glued fast it cracks: leave the glue out. " if is_glued else "Leave it without glue. "
        words = (
            f"At the joint the grain turns 90 degrees: the second leg moves {how_far} along the first between seasons. "
            f"{fast}Bore the bolt holes wide by that much along the joint, hold it at the front and let the back move."
        )
        yield Problem("glued_corner" if is_glued else "corner", words)
    elif corner.is_crossed:
        words = (
            f"The mitre opens by {how_far} at one end between seasons, because each leg changes its width and not its "
            "length. Bolts keep it closed only where it is held: seal both cut faces, and keep the house's air even."
        )
        yield Problem("corner", words)
    else:
        far = along_the_wall(corner)
        by = far.length.tape() if far else "a distance that is not known of this wood"
        words = (
            f"The second leg's grain runs across its own length: its end moves {by} along its wall between seasons. "
            "Leave that much at the wall, and slot its hold-down screws along its length. Its front shows end grain."
        )
        yield Problem("second_grain", words)
    if corner.is_mitred and corner.first.value != corner.second.value:
        words = (
            "The depths differ, so the mitre is not 45 degrees: mark it from the outer to the inner corner, "
            "on both panels as they lie."
        )
        yield Problem("corner", words)
    if corner.thickness.length < THINNEST_FOR_BOLTS:
        thin = corner.thickness.length.tape()
        words = f"A top of {thin} leaves little wood over the recess of a bolt. Try 1 1/8 or more."
        yield Problem("thickness", words)


def mitre_warnings(corner: CornerJoint, fastening: Fastening | None, making: Making) -> Iterator[Problem]:
    """Yield where the mitre crosses edge joints, so that its cut opens no fastener in them."""
    if corner.is_mitred and fastening:
        clear = making.habit("fastener_keep_clear").length.tape()
        words = (
            f"The mitre crosses the edge joints within {corner.second.length.tape()} of the first leg's long point and "
            f"{corner.first.length.tape()} of the second's. Mark its line before the glue-up, and set no "
            f"{fastening.value} within {clear} of it."
        )
        yield Problem("alignment", words)
