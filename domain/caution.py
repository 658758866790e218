"""The usual cautions where work can hurt someone: reminders, not a compliance programme."""

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from domain.adhesive import adhesive, adhesive_families
from domain.finish import colour_families, finish, finish_families
from domain.material import Material, MaterialKind
from domain.part import TaskKind
from domain.practice import PRACTICES

GOVERNS = "Labels, safety data sheets and local codes govern; these are reminders."

ONE_PERSON = PRACTICES["one_person_lift"].usual
"""Most that one person lifts under ideal conditions [lb], with its source; a shop may ask for less."""

MACHINING = frozenset({TaskKind.MILL, TaskKind.CUT})
DUSTY = frozenset({TaskKind.MILL, TaskKind.CUT, TaskKind.SAND})
GLUING = frozenset({TaskKind.GLUE_UP, TaskKind.ASSEMBLE, TaskKind.INSTALL, TaskKind.OTHER})
COATING = frozenset({TaskKind.COAT, TaskKind.DRY, TaskKind.OTHER})


@dataclass(frozen=True, slots=True)
class Caution:
    """What can hurt, what the usual care is, and who publishes it."""

    title: str
    words: str
    source: str


KICKBACK = Caution(
    "Kickback and blades",
    "Guard or hood on, riving knife or spreader and anti-kickback on the ripsaw, push sticks at hand. "
    "No restart by itself after a power failure. Lock the power out before changing a blade or knife.",
    "29 CFR 1910.213; OSHA 3157; lockout 29 CFR 1910.147 (from memory)",
)
DUST = Caution(
    "Wood dust",
    "Collect dust at the source and wear a fitting respirator for what is left. Oak and beech dust cause cancer, "
    "birch, mahogany, teak and walnut dust are suspected. Dust in the air can explode: no sparks, no heaps.",
    "OSHA wood-dust page; NIOSH limit 1 mg/m³; combustible dust NFPA 652 and 664 (from memory)",
)
NOISE = Caution(
    "Noise",
    "Wear hearing protection at the machines: from 85 dBA over a day hearing is lost for good.",
    "29 CFR 1910.95; from memory",
)
OILY_RAGS = Caution(
    "Oily rags catch fire by themselves",
    "Spread used rags flat outdoors in one layer to dry, or put them under water in a closed metal can. "
    "Never in a heap, never in a bin, never left in the shop overnight.",
    "fire-department and university laboratory notices citing NFPA advice",
)
ISOCYANATES = Caution(
    "Isocyanates",
    "This product may hold isocyanates: they cause asthma and an allergy that can stay for life, and who is "
    "sensitized must stop using them. Gloves and fresh air; a respirator programme where it is sprayed.",
    "OSHA isocyanate emphasis programme; 29 CFR 1910.134",
)
FORMALDEHYDE = Caution(
    "Formaldehyde",
    "Gives off formaldehyde while it sets: ventilate, and keep below 0.75 ppm over a day.",
    "29 CFR 1910.1048; from memory",
)
EPOXY = Caution(
    "Skin allergy from epoxy",
    "Resin and hardener can make the skin allergic for good: gloves, and no solvent to wash hands. "
    "A large mixed pot heats itself: mix little, spread it out.",
    "product safety data sheets; from memory",
)
VAPOUR = Caution(
    "Flammable vapour",
    "No flame, spark, pilot light or heater near, fresh air through the room, lids on, an extinguisher at hand. "
    "Spraying needs a spray room.",
    "29 CFR 1910.107; from memory",
)
HOT_POT = Caution("Hot glue pot", "The pot is near 60 °C: it scalds.", "from memory")
LADDERS = Caution(
    "Ladders",
    "One foot out for four up, three points of contact, and nobody carries a cabinet up a ladder.",
    "29 CFR 1910.23 and 1926.1053; from memory",
)
LICENSED_TRADES = Caution(
    "Water, gas and electric",
    "Sinks, taps, hobs, outlets and wired lights are connected by licensed trades under local codes. "
    "Cut openings only to their templates, find what runs in the wall before driving a screw, and plan their dates.",
    "local codes; common practice, no source",
)
LEAD_PAINT = Caution(
    "Old paint",
    "A home built before 1978 may have lead paint: before it is sanded, cut or scraped, certified renovator "
    "rules apply.",
    "40 CFR 745; from memory",
)
SILICA = Caution(
    "Stone dust",
    "Cutting stone, tile or engineered stone dry fills the air with silica, which scars lungs for good: "
    "have it cut by its own trade, or cut it wet.",
    "29 CFR 1926.1153 and 1910.1053; from memory",
)
FOOD_CONTACT = Caution(
    "Food contact",
    "No food on a film finish before its full cure. Cutting boards get white mineral oil made for food; oils that "
    "go rancid are no use there.",
    "21 CFR 172.878 (from memory); university extension newsletter",
)

LIFTING = Caution(
    "Lifting",
    f"One person lifts at most {ONE_PERSON} lb, close to the body and without a twist, and less the farther and the "
    "more often. Plan a second person, a cart or a lift; the weight of every piece stands in the take-off.",
    "NIOSH revised lifting equation, load constant 51 lb (23 kg)",
)

STONE = ("stone", "granite", "marble", "quartz", "slate", "tile", "concrete")
"""Words in a material's name that say it is cut with silica dust."""


def lifting(pounds: Fraction) -> Caution:
    """Return the caution for a load [lb], saying what it weighs."""
    return Caution(
        f"Lifting {round(pounds)} lb",
        f"The heaviest piece weighs about {round(pounds)} lb. One person lifts at most {ONE_PERSON} lb, close to the "
        "body and without a twist: plan a second person, a cart or a lift.",
        "NIOSH revised lifting equation, load constant 51 lb (23 kg)",
    )


def lifting_a_sheet(pounds: Fraction) -> Caution:
    """Return the caution for putting whole sheets on the saw. pounds: what the heaviest weighs [lb]."""
    return Caution(
        f"A whole sheet weighs about {round(pounds)} lb",
        "Two people or a lift put it on the saw; support it on both sides of the blade, and stand clear of its line.",
        LIFTING.source,
    )


def cautions_for(
    kinds: Iterable[TaskKind], materials: Iterable[Material] = (), heaviest_lb: Fraction | None = None
) -> tuple[Caution, ...]:
    """Return the usual cautions for kinds of work with these materials, each once, the gravest first.

    heaviest_lb: weight of the heaviest thing lifted [lb], None when it is not known.
    """
    work = frozenset(kinds)
    found = [caution for caution, needs in _BY_WORK if needs & work]
    for material in materials:
        found += _of_material(material, work)
    if heaviest_lb is not None and heaviest_lb > ONE_PERSON:
        found.append(lifting(heaviest_lb))
    return tuple(sorted(dict.fromkeys(found), key=_gravity))


_BY_WORK = (
    (KICKBACK, MACHINING),
    (DUST, DUSTY),
    (NOISE, MACHINING | {TaskKind.SAND}),
    (LADDERS, frozenset({TaskKind.INSTALL})),
    (LICENSED_TRADES, frozenset({TaskKind.INSTALL})),
    (LEAD_PAINT, frozenset({TaskKind.INSTALL})),
)

_ORDER = (
    OILY_RAGS, ISOCYANATES, VAPOUR, FORMALDEHYDE, KICKBACK, DUST, NOISE, SILICA, LEAD_PAINT, LICENSED_TRADES,
    LADDERS, EPOXY, HOT_POT, FOOD_CONTACT,
)  # fmt: skip

CAUTIONS = (*_ORDER, LIFTING)
"""Every usual caution, the gravest first; lifting() says the same of a known weight."""


def _gravity(caution: Caution) -> int:
    return _ORDER.index(caution) if caution in _ORDER else len(_ORDER)


def _of_material(material: Material, work: frozenset[TaskKind]) -> tuple[Caution, ...]:
    if material.kind is MaterialKind.GLUE and work & GLUING:
        return _of_glue(material.name)
    if material.kind is MaterialKind.FINISH and work & COATING:
        return _of_finish(material.name)
    stone = any(word in material.name.casefold() for word in STONE)
    return (SILICA,) if stone and work & (DUSTY | {TaskKind.INSTALL}) else ()


@cache
def _of_glue(family: str) -> tuple[Caution, ...]:
    """Return the cautions of an adhesive family by what its hazards say, of an unknown one by its name."""
    known = adhesive(family).hazards if family in adhesive_families() else ""
    words = f"{family} {known}".casefold()
    return _matching(
        (ISOCYANATES, "isocyanate" in words or "polyurethane" in words),
        (FORMALDEHYDE, "formaldehyde" in words),
        (EPOXY, "epoxy" in words),
        (VAPOUR, "fire and vapour" in words or "contact" in family.casefold()),
        (HOT_POT, "hot pot" in words),
    )


@cache
def _of_finish(family: str) -> tuple[Caution, ...]:
    """Return the cautions of a finish or stain family by its hazards; of an unknown one all that may hold."""
    known = finish(family) if family in (*finish_families(), *colour_families()) else None
    words = known.hazards.casefold() if known else "isocyanate, formaldehyde, vapour"
    return _matching(
        (OILY_RAGS, known is None or known.makes_oily_rags),
        (ISOCYANATES, "isocyanate" in words),
        (FORMALDEHYDE, "formaldehyde" in words),
        (VAPOUR, "vapour" in words),
        (FOOD_CONTACT, known is None or not known.is_colour),
    )


def _matching(*cautions: tuple[Caution, bool]) -> tuple[Caution, ...]:
    return tuple(caution for caution, holds in cautions if holds)
