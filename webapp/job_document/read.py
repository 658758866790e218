"""Reading a job document from anywhere: whole, or not at all with every fault named by its JSON path."""

import json
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import islice
from typing import Any

from pydantic import ValidationError

from domain.problem import Problem
from domain.words import cut_short
from webapp.job_document.check import faults
from webapp.job_document.shape import FORMAT, VERSION, JobDocument, to_plain
from webapp.store.codec import adapter

LARGEST = 5_000_000
"""Bytes of a job file; a job of 500 parts is well under a tenth of it."""
DEEPEST = 40
MOST_SHOWN = 12
LONGEST_NUMBER = 16
_HUGE = re.compile(r"\s*[-+]?[\d._]+[eE][-+]?\d{3,}\s*", re.ASCII)
"""Text that a number could be made of, so large that making it would take hours."""

Path = tuple[str | int, ...]
Fault = tuple[Path, str]


@dataclass(frozen=True, slots=True)
class _Pointed:
    """A number with a point or an exponent, or none at all, as it was written."""

    text: str


class _Twice(ValueError):
    """A name that stands twice in one object."""


def read(data: bytes | str) -> tuple[JobDocument | None, list[Problem]]:
    """Return the document of a file, or None and what is wrong with it, where, and what would work."""
    try:
        text = _text(data)
        plain = json.loads(
            text, object_pairs_hook=_once, parse_float=_Pointed, parse_constant=_Pointed, parse_int=_whole
        )
    except RecursionError:
        return None, _problems([((), f"is nested too deeply. A job file goes at most {DEEPEST} deep")])
    except json.JSONDecodeError as error:
        return None, [Problem("", f"This is not JSON: line {error.lineno}, column {error.colno}: {error.msg}.")]
    except ValueError as error:
        return None, [Problem("", str(error))]
    if refused := _foreign(plain) or [*islice(_unfit(plain), MOST_SHOWN + 1)]:
        return None, _problems(refused)
    try:
        document: JobDocument = adapter(JobDocument).validate_json(text, strict=True)
    except ValidationError as error:
        return None, _problems(_invalid(error, plain))
    if refused := [*islice(_unknown(plain, to_plain(document)), MOST_SHOWN + 1)] or [*faults(document)]:
        return None, _problems(refused)
    return document, []


def path_text(path: Path) -> str:
    """Return a JSON path as one reads it: `$.pieces[2].choices.length`."""
    return "$" + "".join(f"[{step}]" if isinstance(step, int) else f".{step[:40]}" for step in path)


def _problems(found: Iterable[Fault]) -> list[Problem]:
    shown = [Problem("", f"{path_text(path)} {words}.") for path, words in dict.fromkeys(found)]
    more = [Problem("", f"And {len(shown) - MOST_SHOWN} more.")] if len(shown) > MOST_SHOWN else []
    return shown[:MOST_SHOWN] + more


def _text(data: bytes | str) -> str:
    """Return the text of a file. Raises ValueError, worded for a person."""
    size = len(data)
    if size > LARGEST:
        raise ValueError(f"This file has {size / 1e6:.1f} MB; a job file has at most {LARGEST / 1e6:.0f}. Is it one?")
    try:
        text = data.decode("utf-8-sig") if isinstance(data, bytes) else data.removeprefix("\ufeff")
    except UnicodeDecodeError:
        raise ValueError(
            "This file is not text in UTF-8, so it is no job file. Choose the .json that Benchday made."
        ) from None
    if not text.strip():
        raise ValueError("There is nothing in it. Choose the .json file of a job, or paste its whole text.")
    return text


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) < len(pairs):
        names = [name for name, _ in pairs]
        twice = next(name for name in names if names.count(name) > 1)
        raise _Twice(f"The name “{twice[:40]}” stands twice in one object. Keep one of the two.")
    return found


def _whole(text: str) -> int | _Pointed:
    return int(text) if len(text) <= LONGEST_NUMBER else _Pointed(text)


def _foreign(plain: Any) -> list[Fault]:
    """Return why this is no job file, or none that this program reads."""
    if not isinstance(plain, dict):
        return [((), "is not an object, so this is no job file. Choose the .json that Benchday made")]
    if plain.get("format") != FORMAT:
        said = f"is {_shown(plain['format'])}, not “{FORMAT}”" if "format" in plain else "is missing"
        return [(("format",), f"{said}: this is no job file. Choose the .json that Benchday made")]
    version = plain.get("version")
    if version != VERSION or isinstance(version, bool):
        newer = isinstance(version, int) and version > VERSION
        advice = "It comes from a newer Benchday: update this one" if newer else "Export the job again"
        return [(("version",), f"is {_shown(version)}; this Benchday reads version {VERSION}. {advice}")]
    return []


def _unfit(plain: Any) -> Iterator[Fault]:
    """Yield what no job file holds: numbers with a point, signs that cannot be kept, too much nesting."""
    waiting: list[tuple[Path, Any]] = [((), plain)]
    while waiting:
        path, node = waiting.pop()
        if len(path) > DEEPEST:
            yield path[:4], f"is nested too deeply. A job file goes at most {DEEPEST} deep"
            return
        if isinstance(node, _Pointed):
            yield path, _not_exact(node.text)
        elif isinstance(node, str):
            yield from ((path, words) for words in _unkept(node))
        elif isinstance(node, dict):
            yield from ((path, "has a name with a sign that cannot be kept") for name in node if any(_unkept(name)))
            waiting += [((*path, name), each) for name, each in reversed(node.items())]
        elif isinstance(node, list):
            waiting += [((*path, place), each) for place, each in reversed(list(enumerate(node)))]


def _not_exact(text: str) -> str:
    if text.lstrip("-").isdigit():
        return f"is {text[:20]}…, a number that is too large"
    if re.fullmatch(r"-?\d+\.\d+", text) and len(text) <= 20:
        return f'is the number {text}, and such numbers are not exact. Write it as text: "{text}"'
    return f'is {text[:20]}, and such numbers are not exact. Write it as text, such as "0.75" or "3/4"'


def _unkept(text: str) -> Iterator[str]:
    if "\0" in text:
        yield "holds a NUL, which no text can keep. Take it out"
    if any("\ud800" <= sign <= "\udfff" for sign in text):
        yield "holds half of a sign (a lone surrogate), which no text can keep. Take it out"
    if _HUGE.fullmatch(text):
        yield f"is {_shown(text)}, with an exponent that is too large. Write the number out"


def _unknown(plain: Any, kept: Any, path: Path = ()) -> Iterator[Fault]:
    """Yield what was read but not kept: unknown fields, and numbers where exact text belongs."""
    if isinstance(plain, dict) and isinstance(kept, dict):
        for name, each in plain.items():
            if name in kept:
                yield from _unknown(each, kept[name], (*path, name))
            else:
                yield (*path, str(name)[:40]), "is not known here. Take it out, or check its spelling"
    elif isinstance(plain, list) and isinstance(kept, list):
        for place, (each, other) in enumerate(zip(plain, kept, strict=True)):
            yield from _unknown(each, other, (*path, place))
    elif isinstance(kept, str) and not isinstance(plain, str):
        yield path, f'is the number {_shown(plain)}. Exact values are text: write "{plain}"'


def _invalid(error: ValidationError, plain: Any) -> list[Fault]:
    """Return the faults that the dataclasses found; of several shapes a value could have, those of the nearest."""
    found: dict[Path, dict[str, list[Fault]]] = {}
    for each in error.errors(include_url=False, include_input=True):
        path, at, shape = _path(each["loc"], plain)
        found.setdefault(at, {}).setdefault(shape, []).append((path, _said(each)))
    nearest = [min(shapes.values(), key=len) for shapes in found.values()]
    return [fault for faults_there in nearest for fault in faults_there]


def _path(loc: Sequence[str | int], plain: Any) -> tuple[Path, Path, str]:
    """Return where a fault is, where its value could have had several shapes, and which shape was tried."""
    path: Path = ()
    at, shape, here = path, "", plain
    for place, step in enumerate(loc):
        is_there = (isinstance(here, dict) and step in here) or (isinstance(here, list) and isinstance(step, int))
        if is_there:
            here, path = here[step], (*path, step)
        elif place == len(loc) - 1 and isinstance(here, dict):
            path = (*path, step)
        else:
            at, shape = path, str(step)
    return path, at or path, shape


def _said(error: Any) -> str:
    kind, value, more = error["type"], error["input"], error.get("ctx", {})
    if kind == "missing":
        return "is missing"
    if kind == "value_error":
        return f"cannot be: {more['error']}"
    if kind in ("enum", "literal_error", "union_tag_invalid"):
        known = more.get("expected") or more.get("expected_tags", "")
        return f"is {_shown(more.get('tag', value))}, not one of {known}"
    wanted = next((words for start, words in _WANTED if kind.startswith(start)), "")
    return f"is {_shown(value)}; it must be {wanted}" if wanted else f"is {_shown(value)}: {error['msg']}"


_WANTED = (
    ("fraction", 'an exact number as text, such as "3/4"'),
    ("string", "text"),
    ("int", "a whole number"),
    ("bool", "true or false"),
    ("datetime", 'an instant such as "2026-06-01T14:00:00Z"'),
    ("date", 'a day such as "2026-06-04"'),
    ("time_delta", 'a duration such as "P5D" or "PT40M"'),
    ("tuple", "a list"),
    ("dict", "an object"),
    ("dataclass", "an object"),
)


def _shown(value: Any) -> str:
    """Return a value as it stood in the file, cut short."""
    if isinstance(value, dict | list):
        return "an object" if isinstance(value, dict) else "a list"
    return cut_short(value.text if isinstance(value, _Pointed) else json.dumps(value, ensure_ascii=False))
