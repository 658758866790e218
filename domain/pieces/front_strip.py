"""A strip of the top's wood that covers end grain at the front of a top whose grain runs front to back."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import Enum

from domain.clamp import clamps
from domain.cure import cure_before_machining
from domain.figure import Figure, Rule, Unit
from domain.glue_up import Fastening, fasteners
from domain.length import Length
from domain.part import Item, Joint, Part, Step, TaskKind
from domain.pieces.ask import pick, size
from domain.pieces.making import Making, each, how_far_apart, inches, joint, lumber, part, screws, seasonal, times
from domain.pieces.panel import Panel, fastener
from domain.pieces.steps import MACHINE_WAIT, after, assembly_steps, square_feet, work
from domain.practice import COMMON
from domain.problem import Problem
from domain.wood import Cut

FRONT_STRIP = "Front strip"


class FrontStrip(Enum):
    """What covers the end grain at the front, and how it is held."""

    NONE = "no strip"
    MIDDLE = "long, glued in the middle"
    SHORT = "short, one to each board"
    GLUED = "long, glued end to end"


@dataclass(frozen=True, kw_only=True)
class FrontStripChoice:
    """Whether a strip covers the end grain at the front, and how it is held."""

    front_strip: FrontStrip = pick("Front strip covers the end grain", FrontStrip.NONE, group=FRONT_STRIP,
                                   help="Where the grain runs front to back.")  # fmt: skip
    front_strip_seen: Length = size("Thickness seen", "1 1/2", least="3/8 in", most="10 in", group=FRONT_STRIP,
                                    help="Up and down: as the top, or more.")  # fmt: skip
    front_strip_depth: Length = size("Strip, front to back", "3/4", least="1/4 in", most="6 in", group=FRONT_STRIP,
                                     help="Part of the depth of the top.")  # fmt: skip

    @property
    def has_front_strip(self) -> bool:
        return self.front_strip is not FrontStrip.NONE


@dataclass(frozen=True, slots=True)
class Front:
    """The strip of a top: its sizes [in], the panel it covers the ends of, and how the boards were sawn.

    count: pieces it is made of; piece: length of one; glued: length that is glued fast, of each.
    """

    choice: FrontStripChoice
    panel: Panel
    cut: Cut
    seen: Figure
    deep: Figure
    count: Figure
    piece: Figure
    glued: Figure


def front_refusals(
    choice: FrontStripChoice, *, is_end_grain: bool, depth: Length, thickness: Length
) -> Iterator[Problem]:
    """Yield why a top cannot have such a strip, with what would work."""
    if not choice.has_front_strip:
        return
    if not is_end_grain:
        words = "The grain runs along the length, so the front shows no end grain. Take no strip, or turn the grain."
        yield Problem("front_strip", words)
        return
    if choice.front_strip_seen < thickness:
        seen = choice.front_strip_seen.tape()
        words = f"Thickness seen “{seen}” leaves end grain of the top bare. Try {thickness.tape()}."
        yield Problem("front_strip_seen", words)
    if choice.front_strip_depth + Length.of(1) > depth:
        words = f"Strip, front to back “{choice.front_strip_depth.tape()}” leaves no top behind it. Try 3/4."
        yield Problem("front_strip_depth", words)


def front(choice: FrontStripChoice, panel: Panel, cut: Cut, making: Making) -> Front | None:
    """Return the strip of a panel whose grain runs front to back, None without one."""
    if not choice.has_front_strip:
        return None
    length, count = panel.across, each("Front strip", 1, "one, from end to end")
    piece = glued = length
    if choice.front_strip is FrontStrip.SHORT:
        count = each("Short pieces", panel.board_count, "one to each board", panel.counted)
        piece = glued = inches("Length of a piece", length.value / count.value, "length ÷ boards", length, count)
    elif choice.front_strip is FrontStrip.MIDDLE:
        glued = inches("Glued in the middle", length.value / 3, "a third of the length", length, source=COMMON)
    seen, deep = making.typed("front_strip_seen"), making.typed("front_strip_depth")
    return Front(choice, panel, cut, seen, deep, count, piece, glued)


def front_part(strip: Front, species: str, grade: str, making: Making) -> Part:
    """Return its part: thickness is the depth of the strip, width the thickness seen."""
    stock = lumber(species, grade, strip.deep.length, making.practice)
    name = "Front strip" if strip.count.value == 1 else "Front strip, short piece"
    sizes = (strip.deep, strip.seen, strip.piece)
    return part(name, int(strip.count.value), sizes, stock, counted=strip.count)


def front_joint(strip: Front, making: Making) -> Joint:
    """Return its glue line, with the fasteners of the top's edge joints if it has any."""
    panel, kind = strip.panel, strip.panel.fastening
    many = int(strip.count.value)
    needed = fasteners(kind, strip.glued, making.practice, joints=many) if kind else None
    used = fastener(kind, panel.thickness.length) if kind else None
    return joint("Front strip to end grain", many, strip.glued, panel.thickness, panel.glue, used, needed)


def front_items(strip: Front, making: Making) -> tuple[Item, ...]:
    """Return the screws that hold a sliding strip in slots outside its glued middle."""
    if strip.choice.front_strip is not FrontStrip.MIDDLE:
        return ()
    free = inches("Free at each end", (strip.piece.value - strip.glued.value) / 2, "(length − glued) ÷ 2",
                  strip.piece, strip.glued)  # fmt: skip
    in_one = how_far_apart("Screws in slots at one end", free, making.habit("hold_down_spacing"), least=1)
    needed = times(in_one, each("Ends", 2, "left and right of the glued middle"))
    return (screws("#8 x 2", needed, "hold the front strip in slots, so that the top can move"),)


def front_steps(strip: Front, ready: str, making: Making) -> tuple[Step, ...]:
    """Return the steps from milling the strip to planing it flush. ready: the step that flattened the panel."""
    feet = _feet(strip)
    fitted = front_joint(strip, making).fasteners
    slots = work("dowel" if strip.panel.fastening is Fastening.DOWEL else "biscuit", fitted) if fitted else ()
    driven = [one for item in front_items(strip, making) for one in work("screw", item.quantity)]
    end = each("Cuts", 1, "the front end, before its strip covers it")
    done = (*work("cut-to-length", end), *work("mill", strip.count), *slots)
    mill = Step("front-mill", "Cut the front end true and mill its strip", TaskKind.MILL, work=done, after=after(ready))
    glued = assembly_steps(
        "Glue on the front strip", (*work("glue-up", feet), *driven), feet, strip.panel.glue, making.practice,
        key="front-glue-up", suffix="front", clamps=int(front_clamps(strip, making).value), waits=after("front-mill"),
    )  # fmt: skip
    cured = Step("cure-front", "Glue of the front strip cures", TaskKind.CURE,
                 elapsed=cure_before_machining(strip.panel.glue, making.practice),
                 after=after("front-glue-up", why="the cure counts from the glue-up"))  # fmt: skip
    planed = work("flatten", square_feet("Front strip", strip.seen, strip.piece, int(strip.count.value)))
    waits = (*after("unclamp-front"), *after("cure-front", why=MACHINE_WAIT))
    return (
        mill,
        *glued,
        cured,
        Step("front-flush", "Plane the front strip flush", TaskKind.MILL, work=planed, after=waits),
    )


def front_clamps(strip: Front, making: Making) -> Figure:
    """Return the clamps on the glued length of the strip, all its pieces together."""
    panel = strip.panel
    one = clamps(strip.glued, panel.thickness, panel.material.name, panel.glue, making.practice)
    return times(one, strip.count)


def _feet(strip: Front) -> Figure:
    rule = Rule(f"{strip.count.value} × glued length ÷ 12")
    return Figure("Front strip to glue", strip.count.value * strip.glued.value / 12, Unit.FOOT, rule, (strip.glued,))


def front_movement(strip: Front, making: Making) -> Figure | None:
    """Return how much the top moves along one piece of the strip between seasons [in], None when not known."""
    moved = seasonal(strip.panel.material.name, strip.cut, strip.piece, making.practice)
    label = "The top moves along the front strip by" if strip.count.value == 1 else "The top moves along a piece by"
    return replace(moved, label=label) if moved else None


def front_figures(strip: Front, making: Making) -> Iterator[Figure]:
    """Yield what is seen and what is there, how far the top moves along the strip, and its slots."""
    there = strip.panel.thickness
    yield inches("Thickness seen at the front", strip.seen.value, "of the front strip, as typed", strip.seen)
    yield inches("Thickness there behind it", there.value, "of the top, as typed", there)
    moved = front_movement(strip, making)
    if moved:
        yield moved
        if strip.choice.front_strip is FrontStrip.MIDDLE:
            each_end = moved.value / 2
            yield inches("Slots let each end slide by", each_end, "movement ÷ 2: its middle is glued", moved)


def front_warnings(strip: Front, making: Making) -> Iterator[Problem]:
    """Yield what the strip does across the grain of the top, and what works."""
    moved = front_movement(strip, making)
    how_far = f", which moves {moved.length.tape()} along it between seasons" if moved else ""
    match strip.choice.front_strip:
        case FrontStrip.GLUED:
            words = (
                f"The front strip runs across the grain of the top{how_far}: glued from end to end it cracks the top "
                "or lets go. Glue only its middle and let its ends slide, or take short pieces, one to each board."
            )
            yield Problem("front_strip", words)
        case FrontStrip.MIDDLE:
            words = (
                f"The front strip runs across the grain of the top{how_far}. Glue the middle third and no more; screws "
                "in slots, or a tongue without glue, hold the rest. Its ends do not stay flush with those of the top."
            )
            yield Problem("front_strip", words)
        case _:
            words = (
                "Set each short piece to its own board; the seams over the glue lines open and close with the seasons. "
                "Cut the pieces off one long board: short pieces are not safe in jointer or planer."
            )
            yield Problem("front_strip", words)
    if strip.panel.fastening is None:
        words = "End grain hardly holds glue: put a tongue, biscuits or dowels into the joint of the front strip."
        yield Problem("front_strip", words)
