"""What glue lines take: their area, their glue, and biscuits, dowels or screws in them and where these stand."""

from collections.abc import Iterable
from enum import Enum
from fractions import Fraction
from math import ceil

from domain.adhesive import glue_for
from domain.figure import Figure, Rule, Unit, add_up, count, typed
from domain.part import Joint
from domain.practice import ShopPractice
from domain.problem import Problem

_AREA = Rule("joints × width × length ÷ 144")


class Fastening(Enum):
    """What is put into a joint at a spacing; the value is the word read."""

    BISCUIT = "biscuit"
    DOWEL = "dowel"
    WOOD_SCREW = "wood screw"


def glue_line(joint: Joint) -> Figure:
    """Return the area of alike glue lines together [ft²]."""
    value = joint.count * joint.width.inches * joint.length.inches / 144
    sizes = joint.sizes or (typed("Joint length", joint.length), typed("Joint width", joint.width))
    return Figure(joint.name, value, Unit.SQUARE_FOOT, _AREA, sizes)


def glued_area(joints: Iterable[Joint]) -> Figure:
    """Return the area of glue lines [ft²]."""
    return add_up("Glued area", (glue_line(joint) for joint in joints), Unit.SQUARE_FOOT)


def glue_needed(joints: Iterable[Joint], family: str, practice: ShopPractice) -> Figure | Problem:
    """Return the glue for those joints that use the family [fl oz], or a problem: its spread is not known.

    Raises KeyError for an unknown family.
    """
    return glue_for(glued_area(joint for joint in joints if joint.glue == family), family, practice)


_SPACING = {kind: f"{kind.value.replace(' ', '_')}_spacing" for kind in Fastening}
_FASTENED = Rule("(length − extra − 2 × clear of the ends) ÷ spacing, rounded up, and one more, in each joint")


def fasteners(kind: Fastening, length: Figure, practice: ShopPractice, *, extra_length: Figure | None = None,
              joints: int = 1) -> Figure:  # fmt: skip
    """Return the fasteners in alike joints [each], clear of the ends and of the extra length cut off last.

    length: of the joint as glued [in], extra_length: the part of it that is cut off later [in]. A joint
    with no room between its ends gets none. Raises ValueError for a negative number of joints.
    """
    if joints < 0:
        raise ValueError(f"joints are counted from 0, not {joints}")
    spacing, clear = practice.figure(_SPACING[kind]), practice.figure("fastener_keep_clear")
    room = _room(length, extra_length, clear)
    each = ceil(room / spacing.value) + 1 if room >= 0 else 0
    came_from = (count("Joints", joints, "counted"), length, *((extra_length,) if extra_length else ()), clear, spacing)
    return Figure(f"{kind.value.capitalize()}s", Fraction(joints * each), Unit.EACH, _FASTENED, came_from)


def fastener_places(kind: Fastening, length: Figure, practice: ShopPractice, *, extra_length: Figure | None = None,
                    ends_cut: int = 2) -> tuple[Figure, ...]:  # fmt: skip
    """Return where the fasteners of one joint stand, from its left end as glued [in], as many as fasteners() counts.

    Equally far apart between the places kept clear. extra_length, ends_cut: as in kept_clear().
    """
    many = int(fasteners(kind, length, practice, extra_length=extra_length).value)
    left, _ = kept_clear(length, practice, extra_length=extra_length, ends_cut=ends_cut)
    room = _room(length, extra_length, practice.figure("fastener_keep_clear"))
    apart = room / (many - 1) if many > 1 else Fraction(0)
    words = "kept clear at the left end + {} × (length − extra − 2 × clear of the ends) ÷ (how many − 1)"
    return tuple(
        Figure(f"{kind.value.capitalize()} {place + 1}", left.value + place * apart, Unit.INCH,
               Rule(words.format(place)), (left, length))
        for place in range(many)
    )  # fmt: skip


def kept_clear(length: Figure, practice: ShopPractice, *, extra_length: Figure | None = None,
               ends_cut: int = 2) -> tuple[Figure, Figure]:  # fmt: skip
    """Return how far from the left and from the right end as glued no fastener may stand, so that no cut opens one.

    extra_length: cut off last [in]; ends_cut: half of it at each of 2 ends, or all of it at the right one.
    Source: common practice, no source.
    """
    clear = practice.figure("fastener_keep_clear")
    if extra_length is None:
        found = Figure("No fastener within", clear.value, Unit.INCH, Rule("clear of the finished end"), (clear,))
        return found, found
    left, right = cut_off(extra_length, ends_cut)
    return _clear_of("left", left, extra_length, clear), _clear_of("right", right, extra_length, clear)


def cut_off(extra_length: Figure | None, ends_cut: int) -> tuple[Fraction, Fraction]:
    """Return what the last cut takes off at the left and at the right end [in]. Arguments as in kept_clear()."""
    extra = extra_length.value if extra_length else Fraction(0)
    left = extra / 2 if ends_cut == 2 else Fraction(0)
    return left, extra - left


def _clear_of(end: str, cut_off: Fraction, extra_length: Figure, clear: Figure) -> Figure:
    rule = Rule("what the last cut takes off there + clear of the finished end")
    return Figure(f"No fastener within, {end} end", cut_off + clear.value, Unit.INCH, rule, (extra_length, clear))


def _room(length: Figure, extra_length: Figure | None, clear: Figure) -> Fraction:
    return length.value - (extra_length.value if extra_length else 0) - 2 * clear.value
