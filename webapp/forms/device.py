"""What was typed on a phone to be let in, and what the desk calls it."""

from collections.abc import Mapping
from dataclasses import dataclass

from domain.problem import Problem
from webapp.forms.field import Fields

LABELS = {"name": "Name of this phone", "code": "Code at the desk"}
USUAL_NAME = "Phone"
LONGEST_NAME = 60
DIGITS = 8


@dataclass(frozen=True, slots=True)
class Asked:
    """How a phone asks to be let in: with the secret of the QR code or with the digits that were typed."""

    name: str
    secret: str
    code: str


def read(posted: Mapping[str, str]) -> tuple[Asked | None, list[Problem]]:
    """Return how the phone asks, or None and every problem; a code that cannot be one costs no try."""
    fields = Fields(posted)
    name = fields.text("name", LABELS["name"], most=LONGEST_NAME) or USUAL_NAME
    secret, code = fields.raw("secret"), "".join(fields.raw("code").replace("-", " ").split())
    if not code and not secret:
        fields.problem("code", f"The code is empty. Type the {DIGITS} digits that the desk shows.")
    elif code and not (code.isascii() and code.isdigit() and len(code) == DIGITS):
        fields.problem(
            "code", f"“{fields.raw('code')[:LONGEST_NAME]}” is not a code. It has {DIGITS} digits, as in 1234 5678."
        )
    return (None, fields.problems) if fields.problems else (Asked(name, secret, code), [])


def read_name(posted: Mapping[str, str], field: str) -> tuple[str, list[Problem]]:
    """Return the name typed for a phone at the desk, and every problem."""
    fields = Fields(posted)
    return fields.text(field, "Name", needed=True, most=LONGEST_NAME), fields.problems


def name_field(device_id: int) -> str:
    """Return the name of the field that changes a phone's name, told apart by id as they stand on one page."""
    return f"name-{device_id}"
