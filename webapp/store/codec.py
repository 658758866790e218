"""Domain values as JSON text and back, losslessly. Values check themselves as they are made."""

from collections.abc import Hashable
from functools import cache
from typing import Any, TypeVar, cast

from pydantic import TypeAdapter

T = TypeVar("T")


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
    """Return the value of a JSON text written by to_json. Raises ValueError when it is not one."""
    value: T = adapter(kind).validate_json(text)
    return value
