"""What a kind of piece asks: one description of each field, for forms, documents and messages alike."""

from collections.abc import Callable
from dataclasses import dataclass, field, fields
from enum import Enum
from functools import cache
from typing import Any, NamedTuple, get_type_hints

from domain.figure import Figure, typed
from domain.length import Length

Options = Callable[[], tuple[str, ...]]

NONE = "none"
"""The option of a choice that means: nothing of the kind."""


@dataclass(frozen=True, slots=True)
class Ask:
    """How a field is asked for.

    least, most: limits of a size or a number; usual: the value offered, as a person types it;
    options: what to choose from, only_options: nothing else will do; longest: characters of a text;
    needed: a text that may not be empty; lines: a text of several lines; group: heading it stands under.
    """

    label: str
    help: str = ""
    least: Length | int | None = None
    most: Length | int | None = None
    usual: str = ""
    options: Options | None = None
    only_options: bool = False
    longest: int = 80
    needed: bool = False
    lines: bool = False
    group: str = ""


class Asked(NamedTuple):
    """One field. type: Length, int, bool, str, an Enum, or tuple[Length, ...] for sizes in a row."""

    name: str
    type: Any
    ask: Ask


def size(
    label: str,
    usual: str,
    *,
    least: str = "1/8 in",
    most: str = "40 ft",
    help: str = "",
    group: str = "Sizes",
) -> Any:
    """Return a field for a size. usual, least, most: as a person types them."""
    ask = Ask(label, help, Length.parse(least), Length.parse(most), usual, group=group)
    return field(default=Length.parse(usual), metadata={"ask": ask})


def sizes(label: str, *, least: str = "1/8 in", most: str = "40 ft", help: str = "", group: str = "Sizes") -> Any:
    """Return a field for several sizes in a row, typed with commas between; none to start with."""
    ask = Ask(label, help, Length.parse(least), Length.parse(most), group=group, longest=2_000)
    return field(default=(), metadata={"ask": ask})


def number(label: str, usual: int, *, least: int = 0, most: int = 100, help: str = "", group: str = "Sizes") -> Any:
    """Return a field for a whole number."""
    return field(default=usual, metadata={"ask": Ask(label, help, least, most, str(usual), group=group)})


def choose(label: str, options: Options, usual: str, *, help: str = "", group: str = "") -> Any:
    """Return a field for one of the options, kept by its name."""
    ask = Ask(label, help, usual=usual, options=options, only_options=True, needed=True, group=group)
    return field(default=usual, metadata={"ask": ask})


def pick(label: str, usual: Enum, *, help: str = "", group: str = "") -> Any:
    """Return a field for one of an Enum's members."""
    return field(default=usual, metadata={"ask": Ask(label, help, usual=str(usual.value), group=group)})


def tick(label: str, usual: bool = False, *, help: str = "", group: str = "") -> Any:
    """Return a field for yes or no."""
    return field(default=usual, metadata={"ask": Ask(label, help, group=group)})


def text(label: str, usual: str = "", *, options: Options | None = None, needed: bool = False,
         longest: int = 80, lines: bool = False, help: str = "", group: str = "") -> Any:  # fmt: skip
    """Return a field for words of a person's own, options offered as a start."""
    ask = Ask(label, help, usual=usual, options=options, longest=longest, needed=needed, lines=lines, group=group)
    return field(default=usual, metadata={"ask": ask})


@cache
def asks(kind: Any) -> tuple[Asked, ...]:
    """Return what a kind of piece asks, its own fields before those it shares with other kinds."""
    types = get_type_hints(kind)
    own = kind.__annotations__
    ordered = sorted(fields(kind), key=lambda one: one.name not in own)
    return tuple(Asked(one.name, types[one.name], one.metadata["ask"]) for one in ordered if "ask" in one.metadata)


@cache
def _asked(kind: Any) -> dict[str, Ask]:
    return {name: ask for name, _, ask in asks(kind)}


def figure(piece: Any, name: str, where: str) -> Figure:
    """Return a typed size or number of a piece as a figure that leads back to its field.

    where: address of the piece, such as `piece:7`; the field name is appended.
    """
    kind: Any = type(piece)
    return typed(_asked(kind)[name].label, getattr(piece, name), where=f"{where}:{name}")
