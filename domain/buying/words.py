"""What a buying plan says in a maker's words."""

from collections.abc import Iterable
from fractions import Fraction
from math import ceil

from domain.buying.shape import Round, SizeUsed, Stand
from domain.figure import Unit
from domain.layout.shape import Blank, Layout
from domain.material import Material, MaterialKind
from domain.problem import Problem
from domain.rack import noun, so_many


def bound_words(rounds: Iterable[Round], material: Material) -> str:
    """Return how far the layouts that may still change can be from the best possible."""
    words = (_round_words(one, material) for one in rounds if one.stand is not Stand.CUT)
    return " ".join(found for found in words if found)


def _round_words(one: Round, material: Material) -> str:
    layout, used = one.layout, len(one.layout.laid)
    if not used:
        return ""
    if not layout.cost:
        return f"All of it comes from what the shop has: {so_many(used, material.kind)}."
    why = f" {layout.bound.why[:1].upper()}{layout.bound.why[1:].rstrip('.')}." if layout.bound.why else ""
    if len({source.cost for source in layout.to_cut.sources}) == 1:
        return _by_count(layout.bound.count, used, material.kind) + why
    return _by_cost(layout, one.unit) + why


def _by_count(least: int, used: int, kind: MaterialKind) -> str:
    """Return the words for boards or sheets that all cost the same."""
    over = so_many(used - least, kind)
    best = "one of the best" if used <= least else f"at most {over} more than the best possible"
    return f"No layout needs fewer than {so_many(least, kind)}; this one takes {used}: {best}."


def _by_cost(layout: Layout, unit: Unit) -> str:
    """Return the words for boards or sheets of several sizes."""
    over = ceil((layout.cost - layout.bound.cost) / layout.bound.cost * 100) if layout.bound.cost else None
    if unit is Unit.DOLLAR:
        return _by_money(over)
    least, bought = _amount(layout.bound.cost, unit), _amount(layout.cost, unit)
    if over is not None and over <= 0:
        return f"No layout buys less than {least}, and this one buys just that: one of the best."
    if over is None:
        return f"This layout buys {bought}; how little would do is not known."
    return f"No layout buys less than {least}; this one buys {bought}: at most {over} % more than the best possible."


def _by_money(over: int | None) -> str:
    """Return the words for boards or sheets weighed by their prices. over: percent above what none can go below."""
    if over is None:
        return "How cheaply it could be bought is not known."
    if over <= 0:
        return "No layout buys for less: one of the best."
    return f"It buys for at most {over} % more than the best possible."


def left_aside_words(many: int, material: Material) -> str:
    """Return why listed boards or sheets are not used, empty when all are offered."""
    if not many:
        return ""
    words = f"{so_many(many, material.kind)} listed at the yard cannot give all of this, so usual sizes are bought."
    return f"{words} To use {'it' if many == 1 else 'them'}, set {'it' if many == 1 else 'them'} aside for this job."


def _amount(value: Fraction, unit: Unit) -> str:
    return f"{float(value):,.1f}".removesuffix(".0") + f" {unit.value}"


def asked_for(sizes: Iterable[SizeUsed]) -> str:
    """Return sizes as a supplier is asked for them: `4 of 6 in × 10 ft, 2 of 8 in × 12 ft`."""
    return ", ".join(f"{int(one.count.value)} of {one.title}" for one in sizes)


def unplaced_problem(material: Material, blank: Blank, name: str, where: str) -> Problem:
    """Return that a part fits nothing that can be bought, with what would work. name: what a maker calls it."""
    if material.kind is MaterialKind.SHEET:
        advice = "Join it from two parts, let its grain turn, or add a larger sheet to the price book."
    else:
        advice = (
            "List a board that is long and wide enough on the rack, glue it up from narrower strips, or raise the "
            "sizes usually bought in Practice. Lengthening it by a scarf is for you to decide."
        )
    size = f"{blank.width.tape()} × {blank.length.tape()}"
    words = f"{name}: {size} with allowances fits no {noun(material.kind)} of {material.title}. {advice}"
    return Problem(where, words)
