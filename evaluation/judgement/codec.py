"""Results as text and back, in full precision: the one way in which a result is kept and fetched.

Frozen dataclasses, tuples, mappings with text as keys, texts, numbers and None, as their annotations say.
What does not fit them to the last field is refused: a result of another version is none of this one's.
"""

import json
import math
import types
from collections.abc import Callable, Mapping
from dataclasses import fields, is_dataclass
from functools import lru_cache
from typing import Any, Final, Literal, TypeVar, Union, cast, get_args, get_origin, get_type_hints

T = TypeVar("T")
_NO_NUMBERS: Final = ("nan", "inf", "-inf")  # JSON has no word for them


def encoded(result: Any) -> str:
    """A result as JSON text; floats to the last bit. Raises TypeError for what is no result."""
    return json.dumps(_plain(result), separators=(",", ":"), allow_nan=False)


def decoded(kind: type[T], text: str) -> T:
    """The result that `encoded` wrote. Raises ValueError for any other text."""
    try:
        return cast(T, _reader(cast(Any, kind))(json.loads(text)))
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
def _reader(kind: Any) -> Reader:
    """How a value of that annotation is read from plain JSON."""
    origin, parts = get_origin(kind), get_args(kind)
    if is_dataclass(kind) and isinstance(kind, type):
        return _of_dataclass(kind)
    if origin in (Union, types.UnionType):
        (one,) = (part for part in parts if part is not type(None))
        inner = _reader(one)
        return lambda value: None if value is None else inner(value)
    if origin is Literal:
        return _of_words(frozenset(parts))
    if origin is tuple:
        return _of_tuple(parts)
    if origin is not None and issubclass(origin, Mapping):
        inner = _reader(parts[1])
        return lambda value: {key: inner(part) for key, part in value.items()}
    if kind is float:
        return _number
    if kind in (str, int, bool):
        return _of_type(kind)
    raise TypeError(f"{kind} is not kept in a result")


def _of_dataclass(kind: type) -> Reader:
    hints = get_type_hints(kind)
    readers = [(field.name, _reader(hints[field.name])) for field in fields(kind)]

    def read(value: Any) -> Any:
        if len(value) != len(readers):
            raise ValueError(f"{kind.__name__} with {len(value)} fields")
        return kind(*[inner(value[name]) for name, inner in readers])

    return read


def _of_tuple(parts: tuple[Any, ...]) -> Reader:
    if parts[-1] is Ellipsis:
        inner = _reader(parts[0])
        return lambda value: tuple([inner(part) for part in _list(value)])
    readers = [_reader(part) for part in parts]
    return lambda value: tuple(inner(part) for inner, part in zip(readers, _list(value), strict=True))


def _list(value: Any) -> list[Any]:
    if not isinstance(value, list):
        raise ValueError("a list expected")
    return value


def _of_words(words: frozenset[Any]) -> Reader:
    def read(value: Any) -> Any:
        if value not in words:
            raise ValueError("none of the words")
        return value

    return read


def _of_type(kind: type) -> Reader:
    def read(value: Any) -> Any:
        if type(value) is not kind:
            raise ValueError(f"{kind.__name__} expected")
        return value

    return read


def _number(value: Any) -> float:
    if type(value) is float or type(value) is int:
        return float(value)
    if value in _NO_NUMBERS:
        return float(value)
    raise ValueError("a number expected")
