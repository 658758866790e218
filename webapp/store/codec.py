"""Domain values as JSON text and back, losslessly. Values check themselves as they are made."""

from collections.abc import Hashable
from functools import cache, lru_cache
from typing import Any, TypeVar, cast

from pydantic import TypeAdapter

T = TypeVar("T")

SHORT = 4_000
"""Characters of a text whose value is kept in memory; every page reads many such texts again and again."""


@cache
def _adapter(kind: Hashable) -> TypeAdapter[Any]:
    return TypeAdapter(cast(Any, kind))


def adapter(kind: Any) -> TypeAdapter[Any]:
    """Return what turns values of this kind into JSON and back, made once."""
    return _adapter(kind)


def to_json(value: Any, kind: Any = None) -> str:
    """Return JSON text; sizes and shares stay exact (`"1/3"`), money is in cents."""
    return adapter(kind or type(value)).dump_json(value).decode()


def from_json(kind: type[T], text: str) -> T:
    """Return the value, which must be a frozen one, of a JSON text of to_json. Raises ValueError when it is none."""
    value: T = _kept(cast(Hashable, kind), text) if len(text) <= SHORT else adapter(kind).validate_json(text)
    return value


@lru_cache(maxsize=1024)
def _kept(kind: Hashable, text: str) -> Any:
    return adapter(kind).validate_json(text)
