"""The published JSON Schema of a job document, from the same dataclasses that read and write it."""

from functools import cache
from typing import Any

from domain.pieces import KINDS
from domain.pieces.ask import Asked, asks
from webapp.job_document.shape import NOT_SAID, JobDocument
from webapp.store.codec import adapter

ADDRESS = "/schema/job.json"
DIALECT = "https://json-schema.org/draft/2020-12/schema"
EXACT = {
    "type": "string",
    "pattern": r"^-?[0-9]+(\.[0-9]+|/[0-9]+)?$",
    "description": "An exact number as text: 3, 0.75 or 3/4.",
}


@cache
def json_schema() -> dict[str, Any]:
    """Return the JSON Schema (draft 2020-12) of a job document; nothing beyond it is read."""
    made: dict[str, Any] = _plain(adapter(JobDocument).json_schema(mode="validation"))
    for name, left_out in NOT_SAID.items():
        for field in left_out:
            del made["$defs"][name]["properties"][field]
    for kind in KINDS.values():
        for asked in asks(kind):
            made["$defs"][kind.__name__]["properties"][asked.name] |= _asked(asked)
    return {"$schema": DIALECT, "$id": ADDRESS, "title": "A job of Benchday, version 1", **made}


def _asked(asked: Asked) -> dict[str, Any]:
    """Return how a field is asked for, beside its type; limits of sizes are in words of their own when read."""
    said: dict[str, Any] = {"title": asked.ask.label}
    if asked.type is int:
        said |= {"minimum": asked.ask.least, "maximum": asked.ask.most}
    return said | ({"description": asked.ask.help} if asked.ask.help else {})


def _plain(node: Any) -> Any:
    """Return a schema without words for programmers, with exact values as text, and closed to unknown fields."""
    if isinstance(node, list):
        return [_plain(each) for each in node]
    if not isinstance(node, dict):
        return node
    if {"type": "string", "format": "fraction"} in node.get("anyOf", ()):
        return _exact(node)
    found = {name: _plain(each) for name, each in node.items() if name not in ("title", "discriminator", "default")}
    if "properties" in node:
        found["properties"] = {name: _plain(each) for name, each in node["properties"].items()}
        found["additionalProperties"] = False
    if isinstance(words := found.get("description"), str):
        found["description"] = words.partition("Raises ")[0].strip()
    return found


def _exact(node: dict[str, Any]) -> dict[str, Any]:
    may_be_null = {"type": "null"} in node["anyOf"]
    return {"anyOf": [EXACT, {"type": "null"}]} if may_be_null else dict(EXACT)
