"""What a buying plan says in a maker's words."""

from collections.abc import Iterable, Sequence
from math import ceil

from domain.buying.shape import Round, SizeUsed, Stand
from domain.layout.shape import Blank, Layout
from domain.material import Material, MaterialKind
from domain.problem import Problem
from domain.words import counted


def bound_words(rounds: Iterable[Round], material: Material) -> str:
    """Return how far the layouts that may still change can be from the best possible."""
    return " ".join(_round_words(one.layout, material) for one in rounds if one.stand is not Stand.CUT)


def _round_words(layout: Layout, material: Material) -> str:
    used = len(layout.laid)
    noun = ("sheet", "sheets") if material.kind is MaterialKind.SHEET else ("board", "boards")
    if not used:
        return ""
    takes = f"this one takes {counted(used, *noun)}"
    if _costs_nothing(layout):
        return f"All of it comes from what the shop has: {counted(used, *noun)}."
    if layout.is_best:
        return f"No layout can buy less: {takes}, and that is proved the best. {_why(layout)}".strip()
    if _alike(layout):
        least = max(layout.bound.count, 1)
        gap = used - least
        best = "one of the best" if not gap else f"at most {counted(gap, *noun)} from the best possible"
        return f"No layout needs fewer than {counted(least, *noun)}; {takes}: {best}. {_why(layout)}".strip()
    over = ceil((layout.cost - layout.bound.cost) / layout.cost * 100)
    words = f"No layout can buy more than {over} % less; {takes}. {_why(layout)}"
    return words.strip()


def _why(layout: Layout) -> str:
    why = layout.bound.why
    return f"{why[:1].upper()}{why[1:].rstrip('.')}." if why else ""


def _costs_nothing(layout: Layout) -> bool:
    return layout.cost == 0


def _alike(layout: Layout) -> bool:
    """Whether all boards or sheets to choose from cost the same, so that their number says it all."""
    return len({source.cost for source in layout.to_cut.sources}) == 1


def asked_for(sizes: Iterable[SizeUsed]) -> str:
    """Return sizes as a supplier is asked for them: `4 of 6 in × 10 ft, 2 of 8 in × 12 ft`."""
    return ", ".join(f"{int(one.count.value)} of {one.title}" for one in sizes)


def unplaced_problems(
    material: Material, left: Sequence[Blank], where: str, names: dict[str, str]
) -> Iterable[Problem]:
    """Yield each part that fits nothing that can be bought, with what would work. names: of parts, by blank."""
    kind = "sheet" if material.kind is MaterialKind.SHEET else "board"
    advice = (
        "Join it from two parts, let its grain turn, or add a larger sheet to the price book."
        if kind == "sheet"
        else "List a board that is long and wide enough on the rack, glue it up from narrower strips, or raise the "
        "sizes usually bought in Practice. Lengthening it by a scarf is for you to decide."
    )
    for blank in left:
        size = f"{blank.width.tape()} × {blank.length.tape()}"
        words = (
            f"{names.get(blank.key, blank.name)}: {size} with allowances fits no {kind} of {material.title}. {advice}"
        )
        yield Problem(where, words)
