"""Whether an entry says what its subject can have: by the nouns that entries make. Standard library only.

Asked of what a person says, and of what another archive brings, which may come from anybody.
"""

from collections.abc import Mapping
from math import isfinite
from types import NoneType, UnionType
from typing import Any, Final, Literal, Union, get_args, get_origin, get_type_hints

from evaluation.entry import FACT, Entry
from evaluation.session import Mark, PrintingCondition

# In JSON a moment is a text, and several of something are a list.
_CONDITION: Final = get_type_hints(PrintingCondition) | {"printed_at": str, "absent": list[str]}
_Fact = Mapping[str, str | float | list[float]]
_Detail = Mapping[str, str | float | bool | None]
_PARTS: Final[Mapping[str, Mapping[str, Any]]] = {
    "readiness": {"mark": Mark | None, "detail": _Detail},
    "fault": {"where": str, "none": bool},
    "attachment": {"digest": str, "caption": str},
    "written": {"file": str},
}
_WHOLE: Final[Mapping[str, Any]] = {"remark": str, "readings": Literal["in", "out"], "timer": str}


def refuse_other_kinds(entry: Entry) -> None:
    """Raise ValueError where the value of an entry is of a kind that its subject cannot have."""
    value = entry.value
    if entry.kind == "condition":
        sound = fits(value, _Fact if entry.subject.startswith(FACT) else _CONDITION.get(entry.subject, Any))
    elif entry.kind in _PARTS:
        parts = _PARTS[entry.kind]
        sound = isinstance(value, Mapping) and all(
            fits(part, parts[name]) for name, part in value.items() if name in parts
        )
    else:
        sound = fits(value, _WHOLE.get(entry.kind, Any))
    if not sound:
        raise ValueError(f"no value of {entry.kind} {entry.subject}")


def fits(value: Any, wanted: Any) -> bool:
    """Whether a value of JSON is of a type; a whole number is also a number, true and false are none.

    >>> fits(3, float | None), fits(True, float), fits(["a", 1], list[str])
    (True, False, False)
    """
    origin, arguments = get_origin(wanted), get_args(wanted)
    if wanted is Any:
        return True
    if origin in (Union, UnionType):
        return any(fits(value, one) for one in arguments)
    if origin is Literal:
        return isinstance(value, str) and value in arguments
    if origin is list:
        return isinstance(value, list) and all(fits(one, arguments[0]) for one in value)
    if origin is not None:
        return isinstance(value, Mapping) and all(fits(one, arguments[1]) for one in value.values())
    if wanted is float:
        return isinstance(value, int | float) and not isinstance(value, bool) and isfinite(value)
    if wanted is int:
        return isinstance(value, int) and not isinstance(value, bool)
    return isinstance(value, NoneType if wanted is None else wanted)
