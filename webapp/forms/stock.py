"""What was typed about a thing in stock -> a StockItem, or problems."""

from collections.abc import Mapping
from dataclasses import replace

from domain.material import MaterialKind
from domain.problem import Problem
from domain.stock import StockItem
from domain.words import cut_short
from webapp.forms import material as material_forms
from webapp.forms.field import Fields
from webapp.forms.number import as_typed

LABELS = {
    "name": "Name",
    "size": "Size",
    "grade": "Grade",
    "quantity": "How much there is",
    "set_aside_for": "Set aside for",
    "note": "Note",
}


def blank(kind: MaterialKind) -> dict[str, str]:
    return dict.fromkeys(LABELS, "") | {"kind": kind.value}


def fill(item: StockItem) -> dict[str, str]:
    """Return a thing in stock as the form shows it."""
    return material_forms.fill(item.material) | {
        "quantity": as_typed(item.quantity),
        "set_aside_for": "" if item.set_aside_for is None else str(item.set_aside_for),
        "note": item.note,
    }


def quantity_name(item: StockItem) -> str:
    """Return the name of the field that changes how much there is, told apart by id as they stand on one page."""
    return f"quantity-{item.id}"


def read(
    posted: Mapping[str, str], jobs: Mapping[int, str], *, item_id: int = 0, version: int = 1
) -> tuple[StockItem | None, list[Problem]]:
    """Return the thing in stock as typed, or None and every problem. jobs: those it can be set aside for."""
    fields = Fields(posted)
    kind = material_forms.read_kind(fields)
    if kind is None:
        return None, fields.problems
    material = material_forms.read(fields, kind)
    quantity = fields.number("quantity", LABELS["quantity"])
    note = fields.text("note", LABELS["note"])
    chosen = fields.raw("set_aside_for")
    job_id = next((known for known in jobs if str(known) == chosen), None)
    if chosen and job_id is None:
        fields.problem(
            "set_aside_for", f"Set aside for “{cut_short(chosen)}” is not a job here. Choose one of the list."
        )
    if fields.problems or material is None or quantity is None:
        return None, fields.problems
    return StockItem(item_id, material, quantity, job_id, note, version), []


def read_quantity(
    posted: Mapping[str, str], item: StockItem, *, version: int
) -> tuple[StockItem | None, list[Problem]]:
    """Return a thing in stock with the quantity typed for it, or None and every problem."""
    fields = Fields(posted)
    quantity = fields.number(quantity_name(item), item.material.title)
    return (None if quantity is None else replace(item, quantity=quantity, version=version)), fields.problems
