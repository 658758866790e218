"""What was typed about a cost of a job -> a CostLine, or problems."""

from collections.abc import Mapping

from domain.problem import Problem
from domain.terms import CostKind, CostLine
from webapp.forms.field import Fields

LABELS = {
    "kind": "Kind of cost",
    "description": "What it is",
    "amount": "Amount",
    "taxed": "Taxed",
    "marked_up": "Profit is laid on it",
    "on_quote": "A line of its own on the quote",
}

BLANK = {
    "kind": CostKind.DELIVERY.value,
    "description": "",
    "amount": "",
    "taxed": "",
    "marked_up": "yes",
    "on_quote": "",
}
KINDS = tuple((kind.value, kind.value) for kind in CostKind)


def fill(cost: CostLine) -> dict[str, str]:
    """Return the cost as its form shows it."""
    return {
        "kind": cost.kind.value,
        "description": cost.description,
        "amount": cost.amount.plain(),
        "taxed": _yes(cost.taxed),
        "marked_up": _yes(cost.marked_up),
        "on_quote": _yes(cost.on_quote),
    }


def prefix(cost_id: int) -> str:
    """Return what the names of a cost's fields start with, as many costs stand on one page; 0: a new one."""
    return f"cost-{cost_id}-" if cost_id else "new-cost-"


def named(values: Mapping[str, str], cost_id: int) -> dict[str, str]:
    """Return labels or texts by the names their fields have on the page."""
    return {prefix(cost_id) + name: text for name, text in values.items()}


def read(posted: Mapping[str, str], *, cost_id: int = 0, version: int = 1) -> tuple[CostLine | None, list[Problem]]:
    """Return the cost as typed, or None and every problem."""
    fields, name = Fields(posted), prefix(cost_id)
    kind = fields.choice(f"{name}kind", LABELS["kind"], CostKind)
    description = fields.text(f"{name}description", LABELS["description"], needed=True)
    amount = fields.money(f"{name}amount", LABELS["amount"])
    if fields.problems or kind is None or amount is None:
        return None, fields.problems
    cost = CostLine(
        id=cost_id, kind=kind, description=description, amount=amount, taxed=fields.tick(f"{name}taxed"),
        marked_up=fields.tick(f"{name}marked_up"), on_quote=fields.tick(f"{name}on_quote"), version=version,
    )  # fmt: skip
    return cost, []


def _yes(value: bool) -> str:
    return "yes" if value else ""
