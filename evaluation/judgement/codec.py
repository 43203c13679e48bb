"""Results as text and back, in full precision: the one way in which a result is kept and fetched.

Frozen dataclasses, tuples, mappings with text as keys, texts, numbers and None, as annotated.
Thirty results are read while somebody waits, so texts and words are taken as they stand: a kept text that was
damaged is found out by its digest. Every field must be there and no other, or the result is not read; but a
field with `SINCE` in its metadata, a version of the rules, is missing in what was written up before, and has
its default there.
"""

import json
import math
import types
from collections.abc import Callable, Mapping
from dataclasses import fields, is_dataclass
from functools import lru_cache
from typing import Any, Final, Literal, TypeVar, Union, cast, get_args, get_origin, get_type_hints

T = TypeVar("T")
SINCE: Final = "since"
_NO_NUMBERS: Final = ("nan", "inf", "-inf")  # JSON has no word for them


def encoded(result: Any) -> str:
    """A result as JSON text; floats to the last bit. Raises TypeError for what is no result."""
    return json.dumps(_plain(result), separators=(",", ":"), allow_nan=False)


def decoded(kind: type[T], text: str) -> T:
    """The result that `encoded` wrote. Raises ValueError for any other text."""
    try:
        return cast(T, (_reader(cast(Any, kind)) or _same)(json.loads(text)))
    except (TypeError, KeyError, AttributeError, RecursionError) as error:
        raise ValueError(f"not a {kind}") from error


def _plain(value: Any) -> Any:
    if value is None or isinstance(value, bool | str):
        return value
    if isinstance(value, float):  # numpy's doubles are floats too
        return float(value) if math.isfinite(value) else str(float(value))
    if isinstance(value, int):
        return value
    if isinstance(value, tuple):
        return [_plain(part) for part in value]
    if isinstance(value, Mapping):
        return {key: _plain(part) for key, part in value.items()}
    if is_dataclass(value) and not isinstance(value, type):
        return {field.name: _plain(getattr(value, field.name)) for field in fields(value)}
    raise TypeError(f"{type(value).__name__} is not kept in a result")


Reader = Callable[[Any], Any]


@lru_cache(maxsize=256)
def _reader(kind: Any) -> Reader | None:
    """How a value of that annotation is read from plain JSON; None: as it stands there."""
    origin, parts = get_origin(kind), get_args(kind)
    if is_dataclass(kind) and isinstance(kind, type):
        return _of_dataclass(kind)
    if origin in (Union, types.UnionType):
        (one,) = (part for part in parts if part is not type(None))
        return _or_none(_reader(one))
    if origin is tuple:
        return _of_tuple(parts)
    if origin is not None and origin is not Literal and issubclass(origin, Mapping):
        inner = _reader(parts[1]) or _same
        return lambda value: {key: inner(part) for key, part in value.items()}
    if kind is float:
        return _number
    if origin is Literal or kind in (str, int, bool):
        return None
    raise TypeError(f"{kind} is not kept in a result")


def _of_dataclass(kind: type) -> Reader:
    hints = get_type_hints(kind)
    names = {field.name for field in fields(kind)}
    needed = {field.name for field in fields(kind) if not field.metadata.get(SINCE)}
    numbers = [name for name in names if hints[name] in (float, float | None)]
    readers = [(name, _reader(hints[name])) for name in names.difference(numbers)]
    others = [(name, inner) for name, inner in readers if inner is not None]

    def read(value: Any) -> Any:
        if value.keys() != names and not needed <= value.keys() <= names:
            raise ValueError(f"other fields than those of {kind.__name__}")
        for name in numbers:  # by far the most: without a call each
            if type(value.get(name)) is not float and value.get(name) is not None:
                value[name] = _number(value[name])
        for name, inner in others:
            if name in value:
                value[name] = inner(value[name])
        return kind(**value)

    return read


def _of_tuple(parts: tuple[Any, ...]) -> Reader:
    if parts[-1] is Ellipsis:
        inner = _reader(parts[0])
        return _tuple if inner is None else lambda value: tuple([inner(part) for part in _list(value)])
    readers = [_reader(part) or _same for part in parts]
    return lambda value: tuple(inner(part) for inner, part in zip(readers, _list(value), strict=True))


def _or_none(inner: Reader | None) -> Reader | None:
    return None if inner is None else lambda value: None if value is None else inner(value)


def _tuple(value: Any) -> Any:
    return tuple(_list(value))


def _list(value: Any) -> list[Any]:
    if type(value) is not list:
        raise ValueError("a list expected")
    return value


def _same(value: Any) -> Any:
    return value


def _number(value: Any) -> float:
    if type(value) is float:
        return value
    if type(value) is int or value in _NO_NUMBERS:
        return float(value)
    raise ValueError("a number expected")
